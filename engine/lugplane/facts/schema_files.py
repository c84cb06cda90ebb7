"""The schema files: JSON Schema 2020-12, read once, their references made absolute.

Only keywords that problems have words for are taken, and patterns are put into the dialect that
the standard means (ECMA-262: `$` is the very end, `\\d` an ASCII digit), which Python's is not.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from lugplane.errors import LugplaneError

Node = dict[str, Any]

SCHEME: Final = "schema:"
"""References become `schema:<file name>#/...`: names within a registry, never fetched."""

LONGEST_FORM: Final = 500
"""A text of more characters matches no pattern: values, ids and days are short, and the time that
a pattern takes may grow with the square of the length."""

_ONE: Final = frozenset(
    {"additionalProperties", "unevaluatedProperties", "propertyNames", "items"}
    | {"if", "then", "else", "not"}
)
_CLOSING: Final = frozenset({"additionalProperties", "unevaluatedProperties"})
_LIST: Final = frozenset({"allOf", "anyOf", "prefixItems"})
_NAMED: Final = frozenset({"properties", "patternProperties", "$defs"})
_PLAIN: Final = frozenset(
    {"type", "enum", "const", "required", "dependentRequired", "pattern", "uniqueItems"}
    | {"minLength", "maxLength", "minItems", "maxItems", "minProperties", "maxProperties"}
    | {"minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum", "multipleOf"}
    | {"$ref", "$id", "$schema", "$comment", "title", "description", "examples", "default"}
)
KEYWORDS: Final = _ONE | _LIST | _NAMED | _PLAIN
"""The keywords that a schema may use, besides our own notes `x-...`."""

_DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def load(folder: Path) -> dict[str, Node]:
    """File name -> schema, of every `*.json` in `folder`. Raises `LugplaneError`."""
    try:
        paths = sorted(folder.glob("*.json"))
        schemas = {path.name: _read(path) for path in paths}
    except OSError as error:
        raise LugplaneError(f"{folder}: cannot be read: {error.strerror}") from error
    if not schemas:
        raise LugplaneError(f"{folder}: no schemas here")
    for name, schema in schemas.items():
        for node, where in nodes(schema):
            _prepare(node, name, where)
    return schemas


def nodes(schema: Any, where: str = "#") -> Iterator[tuple[Node, str]]:
    """Every schema within a schema, with its pointer. Raises `LugplaneError` for a non-schema."""
    if isinstance(schema, bool):
        return
    if not isinstance(schema, dict):
        raise LugplaneError(f"{where}: a schema is an object, true or false")
    yield schema, where
    for keyword, value in schema.items():
        here = f"{where}/{keyword}"
        if keyword in _ONE:
            yield from nodes(value, here)
        elif keyword in _LIST:
            for index, part in enumerate(value):
                yield from nodes(part, f"{here}/{index}")
        elif keyword in _NAMED:
            for name, part in value.items():
                yield from nodes(part, f"{here}/{name}")


def shown_pattern(pattern: str) -> str:
    """A pattern as its file states it."""
    return pattern.removeprefix("(?a:").removesuffix(")").replace(r"\Z", "$")


def _read(path: Path) -> Node:
    try:
        schema = json.loads(path.read_text("utf-8"), object_pairs_hook=_each_once)
    except (UnicodeDecodeError, ValueError, RecursionError) as error:
        raise LugplaneError(f"{path}: not a schema: {error}") from error
    if not isinstance(schema, dict) or schema.get("$schema") != _DIALECT:
        raise LugplaneError(f"{path}: not a schema with $schema {_DIALECT}")
    # The file's name is its address; an `$id` would put another in its place.
    schema.pop("$id", None)
    return schema


def _each_once(pairs: list[tuple[str, Any]]) -> Node:
    node = dict(pairs)
    if len(node) < len(pairs):
        raise ValueError("a key stands twice in one object")
    return node


def _prepare(node: Node, name: str, where: str) -> None:
    for keyword in node:
        if keyword not in KEYWORDS and not keyword.startswith("x-"):
            raise LugplaneError(f"{name}: {where}: the keyword {keyword} is not provided for")
    _spell_out_false(node)
    if node.get("unevaluatedProperties", False) is not False:
        raise LugplaneError(f"{name}: {where}: unevaluatedProperties can only be false")
    if "$ref" in node:
        file, _, pointer = str(node["$ref"]).partition("#")
        node["$ref"] = f"{SCHEME}{file.rpartition('/')[2] or name}#{pointer}"
    if "pattern" in node:
        node["pattern"] = _pattern(node["pattern"], f"{name}: {where}")
    if "patternProperties" in node:
        node["patternProperties"] = {
            _pattern(pattern, f"{name}: {where}"): part
            for pattern, part in node["patternProperties"].items()
        }


def _spell_out_false(node: Node) -> None:
    """Write the schemas `false` within as `{"not": {}}`: an error of theirs then has a place."""
    for keyword, part in node.items():
        if keyword in _NAMED:
            node[keyword] = {name: _never(inner) for name, inner in part.items()}
        elif keyword in _LIST:
            node[keyword] = [_never(inner) for inner in part]
        elif keyword in _ONE and keyword not in _CLOSING:
            node[keyword] = _never(part)


def _never(schema: Any) -> Any:
    return {"not": {}} if schema is False else schema


def _pattern(pattern: str, where: str) -> str:
    bare = re.sub(r"\\.|\[(?:\\.|[^\]])*\]|(\$)", lambda m: r"\Z" if m[1] else m[0], pattern)
    dialect = f"(?a:{bare})"
    try:
        re.compile(dialect)
    except re.error as error:
        raise LugplaneError(f"{where}: the pattern {pattern} cannot be used: {error}") from error
    return dialect
