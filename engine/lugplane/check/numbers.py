"""The numbers of a part as they stand in its file, each with its fact's name and its reading."""

from __future__ import annotations

import typing
from collections.abc import Callable, Iterator, Mapping
from copy import copy
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import Any, Final

from lugplane.facts.families import Single
from lugplane.facts.raw import Path
from lugplane.facts.records import RECORDS
from lugplane.facts.units import unit_of
from lugplane.facts.value import Value
from lugplane.quantity.limits import Assumed
from lugplane.quantity.text import NotAQuantity, parse

_NOT_FACTS: Final = frozenset(
    {"kind", "id", "title", "notes", "readings", "unless_said", "members"}
)
_MEASURED: Final = "trial.measured."


@dataclass(frozen=True, slots=True)
class Noted:
    """One number: `path` leads to it in the record, `fact` names it (`disc.bolts.circle_mm`).

    `lo` and `hi` are its bounds by the stated or assumed ±. `valued`: a fact that rests on a
    reading and carries a ±; `reading` is the one it names, or the file's `unless_said`; `stated`:
    a ± is stated with it or with its reading.
    """

    path: Path
    fact: str
    nominal: float
    lo: float
    hi: float
    valued: bool
    reading: str
    stated: bool


class Numbers(Mapping[str, tuple[Noted, ...]]):
    """The numbers of a part by the names of their facts without the kind, in their order."""

    def __init__(self, single: Single, assumed: Mapping[str, Assumed]) -> None:
        self.single = single
        self._assumed = assumed
        self._valued = value_facts(single.kind)
        readings = single.raw.data.get("readings")
        self._readings: Mapping[str, Any] = readings if isinstance(readings, dict) else {}
        self._unless_said = str(single.raw.data.get("unless_said") or "")
        found: dict[str, list[Noted]] = {}
        for key, value in single.data.items():
            if key not in _NOT_FACTS:
                for noted in self._walk(value, (key,), (key,)):
                    found.setdefault(noted.fact.partition(".")[2], []).append(noted)
        self._found = {name: tuple(each) for name, each in found.items()}

    def __getitem__(self, name: str) -> tuple[Noted, ...]:
        return self._found[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)

    def first(self, name: str) -> Noted | None:
        """The reading that counts, or None where the fact is not known as a number."""
        found = self._found.get(name)
        return found[0] if found else None

    def all(self) -> Iterator[Noted]:
        """Every number."""
        for each in self._found.values():
            yield from each

    def within(self, holds: Callable[[Noted], bool]) -> Numbers:
        """The facts all of whose numbers do what `holds` asks."""
        fewer = copy(self)
        fewer._found = {name: each for name, each in self._found.items() if all(map(holds, each))}
        return fewer

    def _walk(self, value: Any, path: Path, keys: tuple[str, ...]) -> Iterator[Noted]:
        if isinstance(value, dict):
            for key, inner in value.items():
                yield from self._walk(inner, (*path, key), (*keys, key))
        elif isinstance(value, list):
            for n, item in enumerate(value):
                if isinstance(item, list):
                    yield from self._point(item, (*path, n), keys)
                else:
                    yield from self._number(item, (*path, n), keys)
        else:
            yield from self._number(value, path, keys)

    def _point(self, point: list[Any], path: Path, keys: tuple[str, ...]) -> Iterator[Noted]:
        """The coordinates of a point, named by the last letters of its key (`points_x_r_y`)."""
        letters = keys[-1].split("_")[1:]
        for n, (letter, number) in enumerate(zip(letters, point, strict=False)):
            if isinstance(number, int | float) and not isinstance(number, bool):
                name = f"{self.single.kind}.{'.'.join(keys)}.{letter}"
                at = float(number)
                yield Noted((*path, n), name, at, at, at, False, "", True)

    def _number(self, value: Any, path: Path, keys: tuple[str, ...]) -> Iterator[Noted]:
        if not isinstance(value, int | float | str) or isinstance(value, bool):
            return
        fact = f"{self.single.kind}.{'.'.join(keys)}"
        valued = fact in self._valued or fact.startswith(_MEASURED)
        if not valued:
            if not isinstance(value, str):
                at = float(value)
                yield Noted(path, fact, at, at, at, False, "", True)
            return
        try:
            jotted = parse(value)
        except NotAQuantity:
            return  # the loader tells it
        reading = jotted.reading or self._unless_said
        doubt, stated = jotted.doubt, True
        if doubt is None:
            spread, stated = self._spread(jotted.nominal, reading, keys)
            doubt = (spread, spread)
        lo, hi = jotted.nominal - doubt[0], jotted.nominal + doubt[1]
        yield Noted(path, fact, jotted.nominal, lo, hi, True, reading, stated)

    def _spread(self, nominal: float, reading: str, keys: tuple[str, ...]) -> tuple[float, bool]:
        """The ± of a value that states none, and whether its reading states one."""
        said = self._readings.get(reading)
        said = said if isinstance(said, dict) else {}
        mm = unit_of(self.single.kind, keys) == "mm"
        stated = said.get("plus_minus_mm" if mm else "plus_minus_percent")
        basis = self._assumed.get(str(said.get("basis", "report")))
        if stated is None:
            if basis is None:
                return 0.0, False
            return (basis.mm if mm else abs(nominal) * basis.percent / 100), False
        return (float(stated) if mm else abs(nominal) * float(stated) / 100), True


@cache
def value_facts(kind: str) -> frozenset[str]:
    """The facts of a kind that are values with readings (`disc.height_mm`)."""
    return frozenset(f"{kind}.{path}" for path in _values_of(RECORDS[kind]))


def _values_of(cls: type[Any]) -> Iterator[str]:
    hints = typing.get_type_hints(cls)
    for field in fields(cls):
        hint, key = hints[field.name], field.name.rstrip("_")
        if hint is Value:
            yield key
        elif isinstance(hint, type) and is_dataclass(hint) and hint.__module__ == cls.__module__:
            for inner in _values_of(hint):
                yield f"{key}.{inner}"
