"""Which words a fact may take, by its schema: for words that are typed, not read from a file."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from functools import cache
from typing import Any

from lugplane.data import data_folder

_YES_NO = {"yes": "true", "true": "true", "no": "false", "false": "false"}


@dataclass(frozen=True, slots=True)
class Allowed:
    """The words of a fact: a list, a pattern, or yes and no; all empty: any text."""

    words: tuple[str, ...] = ()
    pattern: str = ""
    yes_no: bool = False

    def take(self, text: str) -> str | None:
        """The word as facts have it (`yes` is `true`); None where the fact does not take it."""
        if self.yes_no:
            return _YES_NO.get(text.lower())
        if self.words:
            return text if text in self.words else None
        return text if not self.pattern or re.search(self.pattern, text) else None

    def __str__(self) -> str:
        if self.yes_no:
            return "yes or no"
        return ", ".join(self.words) if self.words else f"text of the form {self.pattern}"


def allowed(path: str) -> Allowed:
    """What the fact at `<kind>.<key>[.<key>]` may be. Raises `KeyError` for no such fact."""
    kind, *keys = path.split(".")
    node = _schema(kind)
    for key in keys:
        node = _resolved(_resolved(node)["properties"][key])
    node = _resolved(node)
    if "enum" in node:
        return Allowed(tuple(str(w) for w in node["enum"]))
    return Allowed((), str(node.get("pattern", "")), node.get("type") == "boolean")


def _resolved(node: Any) -> Any:
    while "$ref" in node:
        node = _schema("shared")["$defs"][node["$ref"].rsplit("/", 1)[-1]]
    return node


@cache
def _schema(name: str) -> Any:
    return json.loads((data_folder() / "schemas" / f"{name}.json").read_text(encoding="utf-8"))
