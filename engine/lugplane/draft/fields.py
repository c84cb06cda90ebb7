"""The facts of a kind as its schema lists them: titles, units, examples."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from lugplane.facts import schema_files
from lugplane.facts.hints import wanted_types
from lugplane.facts.schema_files import Node

_HEAD: Final = frozenset({"kind", "id", "title", "notes", "readings", "unless_said", "members"})


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a record.

    `unit` is empty for words; `words` are those allowed, `types` the JSON Schema types taken;
    `fields` are the keys within; `free`: a mapping whose keys are not fixed.
    """

    path: tuple[str, ...]
    title: str
    unit: str
    examples: tuple[Any, ...]
    words: tuple[str, ...]
    types: frozenset[str]
    required: bool
    fields: tuple[Field, ...]
    free: bool

    @property
    def key(self) -> str:
        return self.path[-1]

    @property
    def dotted(self) -> str:
        """The path as `--set` takes it."""
        return ".".join(self.path)


class Forms:
    """The fields of every kind, from a folder of schemas. Raises `LugplaneError` as `load` does."""

    def __init__(self, folder: Path) -> None:
        self._files = schema_files.load(folder)

    def title(self, kind: str) -> str:
        """What a kind is called (`a brake disc`). Raises `KeyError` for no kind."""
        return str(self._files[f"{kind}.json"].get("title", kind))

    def all(self, kind: str) -> tuple[Field, ...]:
        """Every key of a kind but `members`. Raises `KeyError` for no kind."""
        return tuple(f for f in self._fields(self._files[f"{kind}.json"], ()) if f.key != "members")

    def facts(self, kind: str) -> tuple[Field, ...]:
        """The keys of a kind that state facts. Raises `KeyError` for no kind."""
        return tuple(field for field in self.all(kind) if field.key not in _HEAD)

    def lookup(self, reference: str) -> Any:
        """What a reference leads to. Raises `KeyError`."""
        name, _, pointer = reference.removeprefix(schema_files.SCHEME).partition("#")
        node: Any = self._files[name]
        for step in pointer.split("/")[1:]:
            node = node[step]
        return node

    def _fields(self, node: Node, path: tuple[str, ...]) -> Iterator[Field]:
        required = node.get("required", ())
        for key, part in node.get("properties", {}).items():
            yield self._field(part, (*path, key), key in required)

    def _field(self, node: Node, path: tuple[str, ...], required: bool) -> Field:
        chain = [node]
        while "$ref" in chain[-1]:
            chain.append(self.lookup(chain[-1]["$ref"]))
        said = _merged(chain)
        words = said.get("enum", [said["const"]] if "const" in said else [])
        return Field(
            path,
            str(said.get("title", "")),
            str(said.get("x-unit", "")),
            tuple(said.get("examples", ())),
            tuple(str(word) for word in words),
            wanted_types(node if "$ref" not in node else chain[-1], self.lookup),
            required,
            tuple(self._fields(said, path)) if "properties" in said else (),
            "object" in wanted_types(chain[-1], self.lookup) and "properties" not in said,
        )


def leaves(fields: tuple[Field, ...]) -> Iterator[Field]:
    """The fields that hold values, in their order."""
    for field in fields:
        if field.fields:
            yield from leaves(field.fields)
        else:
            yield field


def _merged(chain: list[Node]) -> Node:
    """The words of schemas that speak of one value; the outermost counts."""
    said: dict[str, Any] = {}
    for node in reversed(chain):
        said.update(node)
    return said
