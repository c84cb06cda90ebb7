"""Plain data of one record into its class: every field there, the unknown ones saying so."""

from __future__ import annotations

import types
import typing
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

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
        return typing.cast(Record, self._object(RECORDS[kind], data, (), head))

    def _object(
        self, cls: type[Any], data: Mapping[str, Any], path: Path, head: Mapping[str, Any]
    ) -> Any:
        made: dict[str, Any] = dict(head)
        for name, hint in _plan(cls):
            if name in made:
                continue
            key = name.rstrip("_")
            here = (*path, key)
            made[name] = self._field(hint, data.get(key), here, data)
        return cls(**made)

    def _field(self, hint: Any, raw: Any, path: Path, owner: Mapping[str, Any]) -> Any:
        name = f"{self._kind}.{'.'.join(str(p) for p in path)}"
        if hint is Value:
            return self._value(name, raw, path)
        if hint is Word:
            said = None if raw is None else str(raw).lower() if isinstance(raw, bool) else str(raw)
            return Word(name, said, self._at(path) if raw is not None else "")
        if hint is Number:
            return Number(name, None if raw is None else float(raw), self._at(path))
        if hint is Numbers:
            return Numbers(name, tuple(float(x) for x in raw or ()), self._at(path))
        if hint is Words:
            return Words(name, tuple(str(x) for x in raw or ()), self._at(path))
        if hint is Points:
            unit = name.rsplit("_", 1)[-1] if name.endswith("_ratio") else "mm"
            doubt = owner.get(f"plus_minus_{unit}")
            if doubt is None and unit != "mm":
                return Points(name)  # its ± is never assumed, and the schema asks for it
            spread = self._doubt("mm") if doubt is None else float(doubt)
            points = tuple(tuple(float(v) for v in p) for p in raw or ())
            return Points(name, points, spread, self._at(path))
        if hint == tuple[Value, ...]:
            named = raw or {}
            return tuple(self._value(k, named[k], (*path, k)) for k in sorted(named))
        if is_dataclass(hint):
            return self._object(typing.cast(type[Any], hint), raw or {}, path, {})
        raise TypeError(f"{name}: no way to decode {hint}")

    def _value(self, name: str, raw: Any, path: Path) -> Value:
        unit = unit_of(self._kind, [str(key) for key in path])
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


_PLANS: dict[type[Any], tuple[tuple[str, Any], ...]] = {}


def _plan(cls: type[Any]) -> tuple[tuple[str, Any], ...]:
    """Names and types of a class's fields, looked up once."""
    if cls not in _PLANS:
        hints = typing.get_type_hints(cls)
        _PLANS[cls] = tuple((f.name, hints[f.name]) for f in fields(cls))
    return _PLANS[cls]


def fact_paths(kind: str) -> tuple[str, ...]:
    """All fact paths of a kind (`disc.height_mm`, `knuckle.ear.spacing_mm`, ...)."""
    return tuple(f"{kind}.{p}" for p in _paths(RECORDS[kind]))


def _paths(cls: type[Any]) -> tuple[str, ...]:
    found: list[str] = []
    for name, hint in _plan(cls):
        key = name.rstrip("_")
        if key in _HEAD:
            continue
        if isinstance(hint, types.GenericAlias):
            continue
        if hint in (Value, Word, Number, Numbers, Words, Points):
            found.append(key)
        else:
            found.extend(f"{key}.{p}" for p in _paths(hint))
    return tuple(found)
