"""Plain data of one record into its class: every field there, the unknown ones saying so."""

from __future__ import annotations

import typing
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields
from functools import cache
from typing import Any, NamedTuple

from lugplane.errors import Problem
from lugplane.facts.records import RECORDS, Record
from lugplane.facts.units import unit_of
from lugplane.facts.value import Number, Numbers, Points, Reading, Value, Word, Words
from lugplane.quantity.limits import Assumed
from lugplane.quantity.text import ALLOWED, NotAQuantity, parse

Path = tuple[str | int, ...]
_HEAD = frozenset({"kind", "id", "title", "at"})


class Decoder:
    """Turns the merged data of one record into its class.

    `place(path)` gives `(file, line, column)` of a fact; problems (an undeclared reading, a value
    that is none) are gathered in `problems` and the fact is left unknown.
    """

    def __init__(
        self, assumed: Mapping[str, Assumed], place: Callable[[Path], tuple[str, int, int]]
    ) -> None:
        self.problems: list[Problem] = []
        self._assumed = assumed
        self._place = place
        self._readings: Mapping[str, Any] = {}
        self._unless_said = ""
        self._kind = ""

    def record(self, kind: str, id_: str, data: Mapping[str, Any]) -> Record:
        """Decode a record of a known kind."""
        self._kind = kind
        self._readings = data.get("readings") or {}
        self._unless_said = str(data.get("unless_said") or "")
        if self._unless_said and self._unless_said not in self._readings:
            self._undeclared(self._unless_said, ("unless_said",))
        head = {"kind": kind, "id": id_, "title": str(data.get("title", id_)), "at": self._at(())}
        return typing.cast(Record, self._object(_plan(kind), data, head))

    def _object(self, plan: _Plan, data: Mapping[str, Any], head: Mapping[str, Any]) -> Any:
        made = dict(head)
        for field in plan.fields:
            made[field.name] = field.decode(self, field, data.get(field.key), data)
        return plan.cls(**made)

    def _inner(self, field: _Field, raw: Any, owner: Mapping[str, Any]) -> Any:
        assert field.inner is not None
        return self._object(field.inner, raw or {}, {})

    def _word(self, field: _Field, raw: Any, owner: Mapping[str, Any]) -> Word:
        if raw is None:
            return Word(field.fact)
        said = str(raw).lower() if isinstance(raw, bool) else str(raw)
        return Word(field.fact, said, self._at(field.path))

    def _number(self, field: _Field, raw: Any, owner: Mapping[str, Any]) -> Number:
        return Number(field.fact, None if raw is None else float(raw), self._at(field.path))

    def _numbers(self, field: _Field, raw: Any, owner: Mapping[str, Any]) -> Numbers:
        return Numbers(field.fact, tuple(float(x) for x in raw or ()), self._at(field.path))

    def _words(self, field: _Field, raw: Any, owner: Mapping[str, Any]) -> Words:
        return Words(field.fact, tuple(str(x) for x in raw or ()), self._at(field.path))

    def _points(self, field: _Field, raw: Any, owner: Mapping[str, Any]) -> Points:
        unit = field.key.rsplit("_", 1)[-1] if field.key.endswith("_ratio") else "mm"
        doubt = owner.get(f"plus_minus_{unit}")
        if doubt is None and unit != "mm":
            return Points(field.fact)  # its ± is never assumed, and the schema asks for it
        spread = self._doubt("mm") if doubt is None else float(doubt)
        points = tuple(tuple(float(v) for v in p) for p in raw or ())
        return Points(field.fact, points, spread, self._at(field.path))

    def _values(self, field: _Field, raw: Any, owner: Mapping[str, Any]) -> tuple[Value, ...]:
        named = raw or {}
        paths = [(k, (*field.path, k)) for k in sorted(named)]
        return tuple(self._value_at(k, _unit(self._kind, p), named[k], p) for k, p in paths)

    def _value(self, field: _Field, raw: Any, owner: Mapping[str, Any]) -> Value:
        return self._value_at(field.fact, field.unit, raw, field.path)

    def _value_at(self, name: str, unit: str, raw: Any, path: Path) -> Value:
        if raw is None:
            return Value(name, unit)
        if raw == "through":
            return Value(name, unit, (), self._at(path), through=True)
        listed = isinstance(raw, list)
        readings: list[Reading] = []
        for n, item in enumerate(raw if listed else [raw]):
            try:
                jotted = parse(item)
            except NotAQuantity as error:
                file, line, column = self._place((*path, n) if listed else path)
                self.problems.append(
                    Problem(file, line, column, "not-a-value", str(error), f"allowed: {ALLOWED}")
                )
                continue
            key = jotted.reading or self._unless_said
            if jotted.reading and jotted.reading not in self._readings:
                self._undeclared(jotted.reading, (*path, n) if listed else path)
                continue
            readings.append(self._reading(jotted.nominal, jotted.doubt, key, unit))
        return Value(name, unit, tuple(readings), self._at(path))

    def _reading(
        self, nominal: float, doubt: tuple[float, float] | None, key: str, unit: str
    ) -> Reading:
        said = self._readings.get(key, {})
        basis = str(said.get("basis", "report"))
        assumed = False
        if doubt is None:
            stated = said.get("plus_minus_mm" if unit == "mm" else "plus_minus_percent")
            assumed = stated is None
            if unit == "mm":
                spread = self._assumed[basis].mm if stated is None else float(stated)
            else:
                percent = self._assumed[basis].percent if stated is None else float(stated)
                spread = abs(nominal) * percent / 100
            doubt = (spread, spread)
            assumed = assumed and spread > 0
        return Reading(
            nominal - doubt[0],
            nominal + doubt[1],
            nominal,
            basis,
            key,
            str(said.get("source", "")),
            str(said.get("locator", "")),
            str(said.get("date", "")),
            assumed,
        )

    def _doubt(self, unit: str) -> float:
        said = self._readings.get(self._unless_said, {})
        stated = said.get(f"plus_minus_{unit}")
        if stated is not None:
            return float(stated)
        return self._assumed[str(said.get("basis", "report"))].mm

    def _undeclared(self, name: str, path: Path) -> None:
        file, line, column = self._place(path)
        known = ", ".join(sorted(self._readings)) or "none"
        self.problems.append(
            Problem(
                file,
                line,
                column,
                "unknown-reading",
                f"reading '{name}' is not declared",
                f"declared: {known}",
                "declare it under readings, or name one that is there",
            )
        )

    def _at(self, path: Path) -> str:
        file, line, column = self._place(path)
        return f"{file}:{line}:{column}"


class _Field(NamedTuple):
    """A field of a class at its place in a record.

    `key` is its key in the file, `path` all keys that lead to it, `fact` the words that name it;
    `inner` tells of a mapping that is a class of its own.
    """

    name: str
    key: str
    path: tuple[str, ...]
    fact: str
    unit: str
    decode: Callable[[Decoder, _Field, Any, Mapping[str, Any]], Any]
    inner: _Plan | None


class _Plan(NamedTuple):
    """A class and its fields, but for what every record begins with."""

    cls: type[Any]
    fields: tuple[_Field, ...]


_DECODE: Mapping[Any, Callable[[Decoder, _Field, Any, Mapping[str, Any]], Any]] = {
    Value: Decoder._value,
    Word: Decoder._word,
    Number: Decoder._number,
    Numbers: Decoder._numbers,
    Words: Decoder._words,
    Points: Decoder._points,
    tuple[Value, ...]: Decoder._values,
}
"""How a field is decoded, by its type; any other type is a class of fields."""


@cache
def _plan(kind: str) -> _Plan:
    """How a record of a kind is decoded, worked out once."""
    return _plan_of(RECORDS[kind], kind, ())


def _plan_of(cls: type[Any], kind: str, path: tuple[str, ...]) -> _Plan:
    hints = typing.get_type_hints(cls)
    found: list[_Field] = []
    for name in (f.name for f in fields(cls)):
        if not path and name in _HEAD:
            continue
        key = name.rstrip("_")
        here, hint = (*path, key), hints[name]
        inner = None if hint in _DECODE else _plan_of(hint, kind, here)
        decode = _DECODE.get(hint, Decoder._inner)
        fact, unit = ".".join((kind, *here)), _unit(kind, here) if hint is Value else ""
        found.append(_Field(name, key, here, fact, unit, decode, inner))
    return _Plan(cls, tuple(found))


def _unit(kind: str, path: Path) -> str:
    return unit_of(kind, [str(key) for key in path])


def fact_paths(kind: str) -> tuple[str, ...]:
    """All fact paths of a kind (`disc.height_mm`, `knuckle.ear.spacing_mm`, ...)."""
    return tuple(_facts(_plan(kind)))


def _facts(plan: _Plan) -> Iterator[str]:
    for field in plan.fields:
        if field.inner is not None:
            yield from _facts(field.inner)
        elif field.decode is not Decoder._values:  # these are named in the file
            yield field.fact
