"""The facts of a record one by one, in the order of its class."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from lugplane.answers.evidence import FactLine, ReadingLine
from lugplane.facts.records import Record
from lugplane.facts.value import Fact, Number, Numbers, Points, Value, Word, Words

_NOTES = "trial.notes"


def facts_of(record: Record) -> dict[str, Fact]:
    """All facts of a record by their paths, those that are not known among them.

    Notes are words about a record and no fact of it.
    """
    return {path: fact for path, fact in _leaves(record) if path != _NOTES}


def _leaves(owner: Any) -> Iterator[tuple[str, Fact]]:
    for field in fields(owner):
        value = getattr(owner, field.name)
        for each in value if isinstance(value, tuple) else (value,):
            if isinstance(each, Value | Word | Number | Numbers | Words | Points):
                yield each.path, each
            elif is_dataclass(each):
                yield from _leaves(each)


def stated(fact: Fact) -> bool:
    """Whether the file says something of a fact; `through` is said and is no number."""
    return fact.known or (isinstance(fact, Value) and fact.through)


def fact_line(path: str, record: str, fact: Fact) -> FactLine:
    """A fact as evidence: its value in words, or all of its readings, the first one counting."""
    if isinstance(fact, Value):
        readings = tuple(
            ReadingLine(
                r.lo, r.hi, r.nominal, r.basis, r.name, r.source, r.locator, r.date, r.assumed
            )
            for r in fact.readings
        )
        said = "through" if fact.through else ""
        return FactLine(path, record, fact.at, said, fact.unit, readings)
    return FactLine(path, record, fact.at, _words(fact))


def _words(fact: Word | Number | Numbers | Words | Points) -> str:
    if isinstance(fact, Word):
        return fact.text or ""
    if isinstance(fact, Number):
        return "" if fact.value is None else f"{fact.value:g}"
    if isinstance(fact, Points):
        points = (f"({', '.join(f'{x:g}' for x in p)})" for p in fact.items)
        return f"{' '.join(points)} ±{fact.plus_minus:g}" if fact.items else ""
    return ", ".join(f"{x:g}" if isinstance(x, float) else x for x in fact.items)
