"""`rules/plausible.yaml`: what facts can be at all, what evidence they need, what must agree."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from lugplane.check.finding import ERROR, WARNING
from lugplane.errors import LugplaneError

_SECTIONS: Final = ("facts", "slips", "evidence", "stale", "orders", "sums")
_LEVELS: Final = (ERROR, WARNING)


@dataclass(frozen=True, slots=True)
class Range:
    """What a fact can be: from `least` to `most`, both taken in, in its unit."""

    unit: str
    least: float
    most: float
    sort: str
    source: str

    def holds(self, value: float) -> bool:
        return self.least <= value <= self.most


@dataclass(frozen=True, slots=True)
class Slip:
    """A mistake that is undone by multiplying; empty `units` and `sorts`: of any fact."""

    times: float
    units: tuple[str, ...]
    sorts: tuple[str, ...]
    said: str

    def befalls(self, fact: Range) -> bool:
        """Whether the fact is of a sort that this slip happens to."""
        if not self.units and not self.sorts:
            return True
        return fact.unit in self.units or fact.sort in self.sorts


@dataclass(frozen=True, slots=True)
class Needs:
    """Level at which each piece of evidence is missed; empty: not needed."""

    source: str = ""
    date: str = ""
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class Order:
    """`times` times the fact `small` is at most the fact `large`; paths within the record."""

    kind: str
    small: str
    times: float
    large: str
    said: str


@dataclass(frozen=True, slots=True)
class Plausible:
    """All that the file says. `stale`: days, by basis and for offers."""

    facts: Mapping[str, Range]
    slips: tuple[Slip, ...]
    evidence: Mapping[str, Needs]
    stale: Mapping[str, int]
    orders: tuple[Order, ...]
    sums: Mapping[str, float]


@cache
def read_plausible(file: Path) -> Plausible:
    """Read the file. Raises `LugplaneError` where it is not what it should be."""
    from lugplane.facts import yaml12

    try:
        found = yaml12.read(file.read_bytes(), file.name)
    except OSError as error:
        raise LugplaneError(f"{file.name} cannot be read: {error.strerror}") from error
    if isinstance(found, yaml12.Damaged):
        raise LugplaneError(str(found.problems[0]))
    try:
        return plausible_of(found.data)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise LugplaneError(f"{file.name}: {error!r}") from error


def plausible_of(data: Any) -> Plausible:
    """The same from plain data. Raises `KeyError`, `TypeError` or `ValueError` for a fault."""
    if set(data) != set(_SECTIONS):
        raise ValueError(f"sections {sorted(data)}, not {sorted(_SECTIONS)}")
    return Plausible(
        {path: _range(path, **body) for path, body in data["facts"].items()},
        tuple(_slip(**body) for body in data["slips"]),
        {basis: _needs(basis, body) for basis, body in data["evidence"].items()},
        {name: int(_sourced(name, body)["days"]) for name, body in data["stale"].items()},
        tuple(_order(**body) for body in data["orders"]),
        {name: float(_sourced(name, body)["value"]) for name, body in data["sums"].items()},
    )


def _range(path: str, *, unit: str, to: float, source: str, sort: str = "", **rest: float) -> Range:
    least = float(rest.pop("from"))
    if rest or not source or not unit or least >= to:
        raise ValueError(f"{path}: from {least:g} to {to:g}, unit '{unit}', source '{source}'")
    return Range(unit, least, float(to), sort, source)


def _slip(*, times: float, said: str, source: str, units: Any = (), sorts: Any = ()) -> Slip:
    if not source or times in (0, 1):
        raise ValueError(f"slip '{said}': times {times:g}, source '{source}'")
    return Slip(float(times), tuple(units), tuple(sorts), said)


def _needs(basis: str, body: Mapping[str, str]) -> Needs:
    if any(level not in _LEVELS for level in body.values()):
        raise ValueError(f"evidence of {basis}: levels are {', '.join(_LEVELS)}")
    return Needs(**body)


def _order(*, kind: str, small: str, large: str, said: str, times: float = 1.0) -> Order:
    return Order(kind, small, float(times), large, said)


def _sourced(name: str, body: Mapping[str, Any]) -> Mapping[str, Any]:
    if not body["source"]:
        raise ValueError(f"{name}: no source")
    return body
