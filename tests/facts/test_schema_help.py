"""What an editor shows of a fact: every key has a title, a unit and examples, in every schema."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from lugplane.facts import yaml12
from lugplane.facts.kinds import FOLDER_OF

ROOT = Path(__file__).parents[2]
SCHEMAS = {
    path.name: json.loads(path.read_text("utf-8")) for path in (ROOT / "schemas").glob("*.json")
}
UNITS = {
    "mm": "mm",
    "kg": "kg",
    "nm": "N·m",
    "n": "N",
    "mpa": "MPa",
    "bar": "bar",
    "in": "in",
    "kmh": "km/h",
    "wk": "W/K",
    "deg": "°",
    "hv": "HV",
    "percent": "%",
}
# Pieces that only give a unit: their title says nothing of the fact itself.
UNIT_PIECES = {"mm", "kg", "nm", "n", "mpa", "bar", "in", "kmh", "wk", "deg", "cm3", "ratio"}


def chain(node: dict[str, Any], file: str) -> Iterator[tuple[dict[str, Any], str]]:
    """A node and what its references lead to, each with the name of the piece."""
    name = ""
    while True:
        yield node, name
        if "$ref" not in node:
            return
        where, _, pointer = node["$ref"].partition("#")
        file = where or file
        node = SCHEMAS[file]
        for step in pointer.split("/")[1:]:
            node, name = node[step], step


def keys(node: dict[str, Any], file: str, path: str) -> Iterator[tuple[str, dict[str, Any], str]]:
    """Every key that a schema states: its path, its node and the file that it is in."""
    for key, part in node.get("properties", {}).items():
        yield f"{path}.{key}", part, file
        if key != "members":
            yield from keys(part, file, f"{path}.{key}")


def all_keys() -> list[tuple[str, dict[str, Any], str]]:
    found = []
    for file, schema in SCHEMAS.items():
        found += keys(schema, file, file.removesuffix(".json"))
        for name, piece in schema.get("$defs", {}).items():
            found += keys(piece, file, f"shared.{name}")
    return found


KEYS = all_keys()


def first(node: dict[str, Any], file: str, keyword: str, but: frozenset[str] = frozenset()) -> Any:
    return next(
        (n[keyword] for n, name in chain(node, file) if keyword in n and name not in but), None
    )


def numeric(node: dict[str, Any], file: str) -> bool:
    """Whether a key takes a number, or a list of numbers or points, that has a unit."""
    for part, name in chain(node, file):
        if name == "value" or part.get("type") == "number":
            return True
        inner = part.get("items", {})
        if part.get("type") == "array" and ("number" in json.dumps(inner)):
            return True
    return False


def test_there_are_many_keys() -> None:
    assert len(KEYS) > 250
    assert len(SCHEMAS) == len(FOLDER_OF) + 1


@pytest.mark.parametrize(("path", "node", "file"), KEYS, ids=[path for path, _, _ in KEYS])
def test_a_key_is_explained(path: str, node: dict[str, Any], file: str) -> None:
    title = first(node, file, "title", frozenset(UNIT_PIECES | {"value", "id", "text"}))
    assert isinstance(title, str)
    assert 2 < len(title) < 140
    assert title.isprintable()
    if numeric(node, file):
        unit = first(node, file, "x-unit")
        assert unit
        last = path.rsplit("_", 1)[-1]
        if "_" in path.rsplit(".", 1)[-1] and last in UNITS:
            assert unit == UNITS[last]
    types = {part.get("type") for part, _ in chain(node, file)}
    speaks_for_itself = types & {"object", "boolean"} or any(
        word in part for part, _ in chain(node, file) for word in ("enum", "const")
    )
    if not speaks_for_itself:
        examples = first(node, file, "examples")
        assert isinstance(examples, list)
        assert examples


def registry() -> Registry[Any]:
    pieces = [(name, Resource.from_contents(schema)) for name, schema in SCHEMAS.items()]
    return Registry().with_resources(pieces)


@pytest.mark.parametrize(("path", "node", "file"), KEYS, ids=[path for path, _, _ in KEYS])
def test_examples_are_what_the_schema_takes(path: str, node: dict[str, Any], file: str) -> None:
    whole = {"$schema": SCHEMAS[file]["$schema"], "$id": file, "$defs": {"it": node}}
    whole["$defs"].update(SCHEMAS[file].get("$defs", {}))
    whole["properties"] = SCHEMAS[file].get("properties", {})
    validator = Draft202012Validator(whole, registry=registry()).evolve(schema=node)
    for example in first(node, file, "examples") or []:
        assert list(validator.iter_errors(example)) == []


def editor_settings() -> dict[str, str]:
    """The setting that DEVELOPERS.md shows: schema file -> files that it is for."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    (block,) = re.findall(r"```json\n(\{\s*\"yaml\.schemas\".*?)```", text, re.DOTALL)
    settings = json.loads(block)["yaml.schemas"]
    assert isinstance(settings, dict)
    return settings


def test_the_editor_setting_leads_each_file_to_the_schema_of_its_kind() -> None:
    settings = editor_settings()
    assert len(settings) == len(FOLDER_OF)
    files = sorted((ROOT / "kb").glob("*/*.yaml"))
    assert files
    for file in files:
        shown = file.relative_to(ROOT).as_posix()
        meant = [schema for schema, glob in settings.items() if fnmatchcase(shown, glob)]
        document = yaml12.read(file.read_bytes(), shown)
        assert isinstance(document.data, dict)
        assert meant == [f"schemas/{document.data['kind']}.json"], shown
        assert (ROOT / meant[0]).is_file()


def test_any_validator_of_the_standard_takes_the_shipped_files() -> None:
    """Nothing but the files and the standard is needed: no code of ours."""
    everything = registry()
    for kind, folder in FOLDER_OF.items():
        validator = Draft202012Validator(SCHEMAS[f"{kind}.json"], registry=everything)
        for file in (ROOT / "kb" / folder).glob("*.yaml"):
            data = yaml12.read(file.read_bytes(), file.name).data
            assert [error.message for error in validator.iter_errors(data)] == [], file.name
            assert isinstance(data, dict)
            assert list(validator.iter_errors({**data, "colour": "red"})), file.name
