"""What a fact that is not known may read: that of the likest part which states it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass
from typing import Any

from lugplane.facts.base import Base
from lugplane.facts.records import Record
from lugplane.facts.value import Fact, Number, Numbers, Points, Value, Word, Words

_OTHER_WORD = 0.1
"""How far apart two parts are by a word that differs, as a share of a length."""


def fact_of(record: Any, keys: Sequence[str]) -> Fact | None:
    """The fact of a record under its keys; None where there is none."""
    owner = record
    for key in keys:
        if not is_dataclass(owner):
            return None
        owner = getattr(owner, key, None) or getattr(owner, f"{key}_", None)
    return owner if isinstance(owner, Value | Word | Number | Numbers | Points | Words) else None


def is_stated(fact: Fact | None) -> bool:
    """Whether a fact is known, or said to be right through."""
    return fact is not None and (fact.known or (isinstance(fact, Value) and fact.through))


def likest(base: Base, record: Record, wanted: Sequence[Sequence[str]]) -> list[Record]:
    """Parts of a record's class that state all the wanted facts, the likest first."""
    found: list[tuple[float, str, Record]] = []
    for other in base.all(type(record)):
        if other.id != record.id and all(is_stated(fact_of(other, keys)) for keys in wanted):
            found.append((_apart(record, other), other.id, other))
    return [other for _, _, other in sorted(found, key=lambda f: f[:2])]


def figures(base: Base, record: Record, keys: Sequence[str]) -> tuple[float, ...]:
    """What the parts of a class read for a number, ascending."""
    facts = (fact_of(other, keys) for other in base.all(type(record)))
    return tuple(sorted({f.reading.nominal for f in facts if isinstance(f, Value) and f.known}))


def _apart(one: Any, other: Any) -> float:
    """The mean difference of the facts that both state, each as a share of its size."""
    shares = _shares(one, other)
    return sum(shares) / len(shares) if shares else 1.0


def _shares(one: Any, other: Any) -> list[float]:
    found: list[float] = []
    for field in fields(one):
        a, b = getattr(one, field.name), getattr(other, field.name)
        if isinstance(a, Value) and isinstance(b, Value):
            if a.known and b.known:
                x, y = a.reading.nominal, b.reading.nominal
                found.append(abs(x - y) / max(abs(x), abs(y), 1.0))
        elif isinstance(a, Word) and isinstance(b, Word):
            if a.known and b.known:
                found.append(0.0 if a.text == b.text else _OTHER_WORD)
        elif is_dataclass(a) and type(a) is type(b) and not hasattr(a, "path"):
            found += _shares(a, b)
    return found
