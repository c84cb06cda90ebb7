"""The record classes and the schemas name the same facts, with the same kinds of value."""

from __future__ import annotations

import dataclasses
import json
import typing
from typing import Any

import pytest

from lugplane.data import data_folder
from lugplane.facts.decode import fact_paths
from lugplane.facts.records import RECORDS
from lugplane.facts.value import Number, Numbers, Points, Value, Word, Words

SCHEMAS = data_folder() / "schemas"
SHARED = json.loads((SCHEMAS / "shared.json").read_text(encoding="utf-8"))["$defs"]
HEAD = {"kind", "id", "title", "readings", "unless_said", "members"}
# Notes are kept where trials are told apart by them; of other kinds they are only shown.
WITH_NOTES = {"trial"}
# The ± of points is part of the points; that of a lining is a fact of its own.
WITH_POINTS = {"plus_minus_mm"}


def resolved(node: dict[str, Any]) -> dict[str, Any]:
    while "$ref" in node:
        node = SHARED[node["$ref"].rsplit("/", 1)[-1]]
    return node


def agree(cls: type[Any], node: dict[str, Any], where: str) -> list[str]:
    hints = typing.get_type_hints(cls)
    wanted = {f.name.rstrip("_"): hints[f.name] for f in dataclasses.fields(cls)}
    for name in ("kind", "id", "title", "at"):
        wanted.pop(name, None)
    properties = {k: v for k, v in resolved(node)["properties"].items() if k not in HEAD}
    if where not in WITH_NOTES:
        properties.pop("notes", None)
    if "plus_minus_mm" not in wanted:
        properties = {k: v for k, v in properties.items() if k not in WITH_POINTS}
    wrong = [f"{where}.{k}" for k in wanted.keys() ^ properties.keys()]
    for name in wanted.keys() & properties.keys():
        hint, said = wanted[name], properties[name]
        reference = str(said.get("$ref", "")).rsplit("/", 1)[-1]
        inner = resolved(said)
        path = f"{where}.{name}"
        if hint is Value:
            jotted = reference in {
                "mm",
                "kg",
                "nm",
                "mpa",
                "deg",
                "in",
                "kmh",
                "n",
                "ratio",
                "wk",
                "cm3",
                "price",
                "value",
            }
            if not (jotted or "anyOf" in inner):
                wrong.append(f"{path}: no jotted value")
        elif hint is Word:
            if not (
                {"enum", "pattern", "const"} & inner.keys()
                or inner.get("type") in ("boolean", "string")
            ):
                wrong.append(f"{path}: no word")
        elif hint is Number:
            if inner.get("type") not in ("number", "integer"):
                wrong.append(f"{path}: no plain number")
        elif hint in (Numbers, Words, Points):
            if inner.get("type") != "array":
                wrong.append(f"{path}: no list")
        elif hint == tuple[Value, ...]:
            if "additionalProperties" not in inner:
                wrong.append(f"{path}: no mapping of values")
        else:
            wrong += agree(hint, inner, path)
    return wrong


@pytest.mark.parametrize("kind", sorted(RECORDS))
def test_classes_and_schemas_name_the_same_facts(kind: str) -> None:
    schema = json.loads((SCHEMAS / f"{kind}.json").read_text(encoding="utf-8"))
    assert agree(RECORDS[kind], schema, kind) == []


def test_every_kind_has_a_schema_and_a_class() -> None:
    kinds = {p.stem for p in SCHEMAS.glob("*.json")} - {"shared"}
    assert kinds == set(RECORDS)


def test_fact_paths_are_what_set_takes() -> None:
    assert "disc.height_mm" in fact_paths("disc")
    assert "knuckle.ear.spacing_mm" in fact_paths("knuckle")
    assert "knuckle.bolt.class" in fact_paths("knuckle")
    assert all(p.startswith("pad.") for p in fact_paths("pad"))
