"""One fact of a record by its path, and what makes two facts the same to every measure."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import fields, is_dataclass
from functools import cache
from operator import attrgetter
from typing import Any

from lugplane.facts.records import Record
from lugplane.facts.value import Fact, Number, Numbers, Points, Value, Word, Words

HEAD = frozenset({"kind", "id", "title", "at"})
"""What a record is called and where it stands: nothing is reckoned from these."""
_FACTS = (Value, Word, Number, Numbers, Words, Points)


def fact_at(record: Record, path: str) -> Fact:
    """The fact of a path without its kind (`lug.spacing_mm`). Raises `AttributeError`."""
    found: Fact = _getter(path)(record)
    return found


@cache
def _getter(path: str) -> Callable[[Record], Any]:
    return attrgetter(path)


def worth(fact: Fact) -> Hashable:
    """What measures see of a fact: bounds and value as given, words; not where it comes from."""
    if isinstance(fact, Value):
        if not fact.readings:
            return "through" if fact.through else None
        r = fact.readings[0]
        return r.lo, r.hi, r.nominal
    if isinstance(fact, Word):
        return fact.text
    if isinstance(fact, Number):
        return fact.value
    if isinstance(fact, Points):
        return fact.items, fact.plus_minus
    return fact.items


def worths(record: Record, paths: Iterable[str]) -> Hashable:
    """What measures see of some facts."""
    return tuple(worth(fact_at(record, path)) for path in paths)


def all_worth(record: Record, but: frozenset[str] = frozenset()) -> Hashable:
    """What measures see of a whole record, without the facts of the paths in `but`."""
    return tuple(_walk(record, "", HEAD | but))


def _walk(owner: Any, path: str, but: frozenset[str]) -> Iterable[Hashable]:
    for field in fields(owner):
        here = f"{path}{field.name}"
        if here in but:
            continue
        held = getattr(owner, field.name)
        if isinstance(held, _FACTS):
            yield worth(held)
        elif is_dataclass(held):
            yield from _walk(held, f"{here}.", but)
        else:
            yield tuple(worth(x) for x in held)


def paths_of(record: Record, but: frozenset[str] = frozenset()) -> Iterable[str]:
    """The paths of a record's single facts, in the order of its class."""
    yield from _paths(record, "", HEAD | but)


def _paths(owner: Any, path: str, but: frozenset[str]) -> Iterable[str]:
    for field in fields(owner):
        here = f"{path}{field.name}"
        held = getattr(owner, field.name)
        if here in but:
            continue
        if isinstance(held, _FACTS):
            yield here
        elif is_dataclass(held):
            yield from _paths(held, f"{here}.", but)
