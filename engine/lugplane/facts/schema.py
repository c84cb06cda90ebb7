"""Records against their schemas: every fault, in our own words, at its place in the file."""

from __future__ import annotations

from collections.abc import Set
from pathlib import Path as FilePath
from typing import Any

from lugplane.errors import LugplaneError, Problem
from lugplane.facts import schema_files
from lugplane.facts.finder import Finder
from lugplane.facts.yaml12 import Path, Plain, Positions


class Schemas:
    """The schemas of one folder: `<kind>.json` and the pieces they share.

    Raises `LugplaneError` for files that are no schemas or use keywords that are not provided
    for. The validating library is imported, and a kind's validator built, when first needed.
    """

    def __init__(self, folder: FilePath) -> None:
        self._folder = folder
        self._files = schema_files.load(folder)
        self._finders: dict[str, Finder] = {}
        self._found: dict[str, Any] = {}

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds that there is a schema for."""
        return tuple(name.removesuffix(".json") for name in self._files if name != "shared.json")

    def verify(self) -> None:
        """Check the schemas themselves, by the standard's own. Raises `LugplaneError`."""
        from jsonschema import Draft202012Validator
        from jsonschema.exceptions import SchemaError

        for name, schema in self._files.items():
            try:
                Draft202012Validator.check_schema(schema)
            except SchemaError as error:
                raise LugplaneError(f"{name}: {error.json_path}: {error.message}") from error
            for node, where in schema_files.nodes(schema):
                if "$ref" in node and self._named(node["$ref"]) is None:
                    raise LugplaneError(f"{name}: {where}: nothing at {node['$ref']}")

    def check(
        self,
        kind: str,
        data: Plain,
        positions: Positions,
        file: str,
        holes: Set[Path] = frozenset(),
    ) -> list[Problem]:
        """All that the schema of `kind` finds wrong with a record, sorted.

        `holes`: paths that problems are known of already; nothing is said of them or of what is
        within them. Raises `LugplaneError` when there is no schema for `kind`.
        """
        problems = [
            Problem(
                file,
                *(positions.of_key(fault.path) if fault.at_key else positions.of_value(fault.path)),
                fault.code,
                fault.found,
                fault.allowed,
                fault.mend,
            )
            for fault in self._finder(kind).faults(data)
            if not any(fault.about[:length] in holes for length in range(len(fault.about) + 1))
        ]
        return sorted(set(problems))

    def _finder(self, kind: str) -> Finder:
        if kind not in self._finders:
            if f"{kind}.json" not in self._files:
                raise LugplaneError(f"{self._folder}: there is no schema for the kind {kind}")
            self._finders[kind] = Finder(self._files[f"{kind}.json"], self._files, self._lookup)
        return self._finders[kind]

    def _lookup(self, reference: str) -> Any:
        if reference not in self._found:
            node = self._named(reference)
            if node is None:
                raise LugplaneError(f"{self._folder}: nothing at {reference}")
            self._found[reference] = node
        return self._found[reference]

    def _named(self, reference: str) -> Any:
        """What a reference leads to: the very object, or None."""
        name, _, pointer = reference.removeprefix(schema_files.SCHEME).partition("#")
        node: Any = self._files.get(name)
        for step in pointer.split("/")[1:]:
            step = step.replace("~1", "/").replace("~0", "~")
            if isinstance(node, list) and step.isdecimal() and int(step) < len(node):
                node = node[int(step)]
            elif isinstance(node, dict):
                node = node.get(step)
            else:
                return None
        return node
