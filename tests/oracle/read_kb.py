"""Reads a folder of facts with plain YAML, straight from DESIGN §3 and the JSON schemas.

Nothing is checked here beyond what the arithmetic needs: a file that is wrong is somebody else's
to report. Values become affine forms (one `Var` a fact), words and lists stay as they are.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from .boxes import Aff, known

ROOT = Path(__file__).resolve().parents[2]
_NUM = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_READING = re.compile(r"^(?P<body>.*?)\s*(?:\(\s*(?P<reading>[^)]*?)\s*\))?\s*$", re.S)
_RANGE = re.compile(rf"^({_NUM})\s*\.\.\s*({_NUM})$")
_BOTH = re.compile(rf"^({_NUM})\s*(?:±|\+-|\+/-)\s*({_NUM})$")
_SIDES = re.compile(rf"^({_NUM})\s*\+\s*({_NUM})\s*/\s*-\s*({_NUM})$")
_ALONE = re.compile(rf"^({_NUM})$")
_ENVELOPE = {"kind", "id", "title", "notes", "readings", "unless_said", "members"}


@dataclass(frozen=True)
class Part:
    """One record (or one member of a family) with its facts by dotted path."""

    kind: str
    id: str
    family: str
    raw: Mapping[str, Any]
    values: Mapping[str, Aff]
    cache: dict[str, Any] = field(default_factory=dict, compare=False)

    def num(self, path: str) -> Aff | None:
        """A value with its doubt; None when unknown."""
        return self.values.get(path)

    def get(self, path: str) -> Any:
        """A word, flag, count or list; None when unknown."""
        here: Any = self.raw
        for step in path.split("."):
            if not isinstance(here, Mapping) or step not in here:
                return None
            here = here[step]
        return here


EMPTY = Part("none", "", "", {}, {})


@dataclass(frozen=True)
class Kb:
    """All parts by (kind, id); families with members stand in `bases` only."""

    parts: Mapping[tuple[str, str], Part]
    bases: Mapping[tuple[str, str], Part]
    value_paths: Mapping[str, frozenset[str]]
    assumed: Mapping[str, Mapping[str, float]]
    cache: dict[Any, Any] = field(default_factory=dict, compare=False)

    def find(self, kind: str, ident: str | None) -> Part | None:
        """A part, or a family's shared facts when a family is named."""
        if ident is None:
            return None
        return self.parts.get((kind, ident)) or self.bases.get((kind, ident))

    def need(self, kind: str, ident: str) -> Part:
        """A part that must be there. Raises KeyError."""
        return self.parts[kind, ident]

    def of(self, kind: str) -> list[Part]:
        """All parts of a kind, by id."""
        if kind not in self.cache:
            found = (p for (k, _), p in self.parts.items() if k == kind)
            self.cache[kind] = sorted(found, key=lambda p: p.id)
        return list(self.cache[kind])

    def changed(self, part: Part, new: Mapping[str, Any]) -> Part:
        """The part with bench values by dotted path in place of its own."""
        raw = json.loads(json.dumps(part.raw))
        values = dict(part.values)
        if part.kind == "pad" and new.get("friction_ratio") is not None:
            raw.pop("friction_curve", None)  # what was measured of this pad stands above it
        for path, value in new.items():
            *steps, last = path.split(".")
            here = raw
            for step in steps:
                here = here.setdefault(step, {})
            here[last] = value
            values.pop(path, None)
            if path in self.value_paths.get(part.kind, frozenset()) and value is not None:
                form = self.bench(f"{part.id}:{path}", value, path)
                if form is not None:
                    values[path] = form
        return Part(part.kind, part.id, part.family, raw, values)

    def bench(self, name: str, value: Any, path: str) -> Aff | None:
        """A value given beside the facts; without a ± it is taken as measured."""
        found = interval(value, path, {}, None, self.assumed, "measured")
        return None if found is None else known(name, *found)


def interval(
    value: Any,
    path: str,
    readings: Mapping[str, Mapping[str, Any]],
    unless_said: str | None,
    assumed: Mapping[str, Mapping[str, float]],
    no_reading: str = "report",
) -> tuple[float, float] | None:
    """Least and greatest value of what is jotted down; None for words such as `through`."""
    if isinstance(value, list):
        value = value[0] if value else None
    if value is None or isinstance(value, bool):
        return None
    name = unless_said
    if isinstance(value, str):
        match = _READING.match(value)
        assert match is not None
        body, name = match["body"].strip(), match["reading"] or unless_said
        if m := _RANGE.match(body):
            return float(m[1]), float(m[2])
        if m := _BOTH.match(body):
            return float(m[1]) - float(m[2]), float(m[1]) + float(m[2])
        if m := _SIDES.match(body):
            return float(m[1]) - float(m[3]), float(m[1]) + float(m[2])
        if not (m := _ALONE.match(body)):
            return None
        value = float(m[1])
    reading = readings.get(name, {}) if name is not None else {}
    rule = assumed[reading.get("basis", no_reading)]
    if path.endswith("_mm"):
        pm = float(reading.get("plus_minus_mm", rule["mm"]))
    else:
        pm = abs(value) * float(reading.get("plus_minus_percent", rule["percent"])) / 100
    return value - pm, value + pm


def _value_paths(schema: Mapping[str, Any], defs: Mapping[str, Any]) -> Iterator[str]:
    """Dotted paths of a schema whose facts are values with doubt."""

    def deref(node: Mapping[str, Any]) -> tuple[Mapping[str, Any], bool]:
        while "$ref" in node:
            name = node["$ref"].rsplit("/", 1)[-1]
            if name == "value":
                return node, True
            node = defs[name]
        return node, any(deref(option)[1] for option in node.get("anyOf", ()))

    def walk(node: Mapping[str, Any], path: str) -> Iterator[str]:
        node, is_value = deref(node)
        if is_value:
            yield path
        for name, child in node.get("properties", {}).items():
            if path or name not in _ENVELOPE:
                yield from walk(child, f"{path}.{name}" if path else name)

    yield from walk(schema, "")


def _merged(base: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    out = dict(base)
    for key, value in over.items():
        old = out.get(key)
        if isinstance(old, Mapping) and isinstance(value, Mapping):
            out[key] = _merged(old, value)
        else:
            out[key] = value
    return out


def _leaves(raw: Mapping[str, Any], prefix: str = "") -> Iterator[tuple[str, Any]]:
    for key, value in raw.items():
        if not prefix and key in _ENVELOPE:
            continue
        if isinstance(value, Mapping):
            yield from _leaves(value, f"{prefix}{key}.")
        else:
            yield f"{prefix}{key}", value


def read(file: Path) -> Any:
    """What a file of YAML says, by the loader that is fast."""
    return yaml.load(file.read_text("utf-8"), Loader=yaml.CSafeLoader)


def load(folder: Path) -> Kb:
    """All records under ``folder/<plural kind>/*.yaml``."""
    schemas = ROOT / "schemas"
    defs = json.loads((schemas / "shared.json").read_text("utf-8"))["$defs"]
    limits = read(ROOT / "rules" / "limits.yaml")
    assumed = limits["assumed"]
    paths: dict[str, frozenset[str]] = {}
    for file in schemas.glob("*.json"):
        schema = json.loads(file.read_text("utf-8"))
        paths[file.stem] = frozenset(_value_paths(schema, defs))
    parts: dict[tuple[str, str], Part] = {}
    bases: dict[tuple[str, str], Part] = {}

    def build(raw: Mapping[str, Any], ident: str, family: Part | str) -> Part:
        """A part; what a member inherits stays the family's fact, not another one like it."""
        whole = family if isinstance(family, Part) else None
        kind, values = raw["kind"], dict[str, Aff]()
        for path, value in _leaves(raw):
            if path not in paths.get(kind, frozenset()):
                continue
            if whole is not None and path in whole.values and whole.get(path) == value:
                values[path] = whole.values[path]
                continue
            found = interval(value, path, raw.get("readings", {}), raw.get("unless_said"), assumed)
            if found is not None:
                values[path] = known(f"{ident}:{path}", *found)
        return Part(kind, ident, whole.id if whole else str(family), raw, values)

    for file in sorted(folder.glob("*/*.yaml")):
        raw = read(file)
        if not isinstance(raw, Mapping) or "kind" not in raw:
            continue
        kind, ident = raw["kind"], str(raw["id"])
        members = raw.get("members")
        shared = {key: value for key, value in raw.items() if key != "members"}
        if not members:
            parts[kind, ident] = build(shared, ident, ident)
            continue
        bases[kind, ident] = build(shared, ident, ident)
        for name, over in members.items():
            full = f"{ident}/{name}"
            parts[kind, full] = build(_merged(shared, over or {}), full, bases[kind, ident])
    return Kb(parts, bases, paths, assumed)
