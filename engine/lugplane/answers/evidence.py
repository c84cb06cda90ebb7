"""The facts behind an answer, looked up by their paths."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from lugplane.facts.value import Fact, Number, Numbers, Points, Value, Word, Words
from lugplane.setup.car import ROLES, setup_in_role
from lugplane.setup.parts import Setup


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """One reading: bounds, what it stands on, where that is to be found."""

    lo: float
    hi: float
    nominal: float
    basis: str
    name: str
    source: str
    locator: str
    date: str
    assumed: bool


@dataclass(frozen=True, slots=True)
class FactLine:
    """One fact as an answer used it: its record, its place, its value and its rival readings.

    `text` serves words and lists; `readings` numbers, the first one counting. Both empty: the
    fact is not known.
    """

    path: str
    record: str
    at: str
    text: str = ""
    unit: str = ""
    readings: tuple[ReadingLine, ...] = ()

    @property
    def known(self) -> bool:
        return bool(self.text or self.readings)


@dataclass(frozen=True, slots=True)
class TrialFigure:
    """A quantity that a trial measured, and how it stands to the facts."""

    measure: str
    unit: str
    lo: float
    hi: float
    nominal: float
    state: str


@dataclass(frozen=True, slots=True)
class TrialTold:
    """A trial of the very setup of a sheet: agrees, disagrees, tells or tells nothing."""

    id: str
    title: str
    at: str
    date: str
    measured_with: str
    state: str
    figures: tuple[TrialFigure, ...]


def find_fact(setup: Setup, path: str) -> tuple[str, Fact] | None:
    """The fact that a path names in a setup, with its record's id; None if it names none."""
    for role in ROLES:
        if path.startswith(role):
            there = setup_in_role(setup, role)
            return find_fact(there, path.removeprefix(role)) if there is not None else None
    if path in setup.measured:
        return "this car", setup.measured[path]
    if path.startswith("bolt:"):
        id_, _, key = path.removeprefix("bolt:").rpartition(".")
        owner: Any = next((b for b in setup.bolts if b.id == id_), None)
        keys = [key]
    else:
        kind, *keys = path.split(".")
        owner = getattr(setup, kind, None)
    if owner is None or not keys:
        return None
    id_ = owner.id
    for key in keys:
        owner = getattr(owner, key, None) or getattr(owner, f"{key}_", None)
        if owner is None:
            return None
    if isinstance(owner, Value | Word | Number | Numbers | Words | Points):
        return id_, owner
    return None


def lines(setup: Setup, paths: Iterable[str]) -> tuple[FactLine, ...]:
    """The facts of some paths, each once, in the order given."""
    found: list[FactLine] = []
    for path in dict.fromkeys(paths):
        named = find_fact(setup, path)
        if named is not None:
            found.append(_line(path, *named))
        elif not path.startswith("("):
            found.append(FactLine(path, "", ""))
    return tuple(found)


def _line(path: str, record: str, fact: Fact) -> FactLine:
    if isinstance(fact, Value):
        readings = tuple(
            ReadingLine(
                r.lo, r.hi, r.nominal, r.basis, r.name, r.source, r.locator, r.date, r.assumed
            )
            for r in fact.readings
        )
        return FactLine(
            path, record, fact.at, "through" if fact.through else "", fact.unit, readings
        )
    if isinstance(fact, Word):
        return FactLine(path, record, fact.at, fact.text or "")
    if isinstance(fact, Number):
        return FactLine(path, record, fact.at, "" if fact.value is None else f"{fact.value:g}")
    if isinstance(fact, Points):
        said = f"{len(fact.items)} points ±{fact.plus_minus:g}" if fact.items else ""
        return FactLine(path, record, fact.at, said)
    items = ", ".join(f"{x:g}" if isinstance(x, float) else x for x in fact.items)
    return FactLine(path, record, fact.at, items)
