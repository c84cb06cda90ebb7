"""A family's file into its members: each member states what differs, the family the rest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from lugplane.facts.raw import Path, Raw


@dataclass(frozen=True, slots=True)
class Single:
    """One part: its merged data, and where each fact stands. `member` is empty outside families."""

    raw: Raw
    id: str
    member: str
    data: Mapping[str, Any]

    @property
    def kind(self) -> str:
        return self.raw.kind

    @property
    def family(self) -> str:
        """Id of the family; empty outside families."""
        return self.raw.id if self.member else ""

    def place(self, path: Path) -> tuple[str, int, int]:
        """File, line and column of a fact: the member's, else the family's, else the record's."""
        positions = self.raw.positions
        if self.member and ("members", self.member, *path) in positions.values:
            path = ("members", self.member, *path)
        line, column = positions.of_value(path)
        return self.raw.shown, line, column


def singles(raw: Raw) -> Iterator[Single]:
    """The parts of one file: the record itself, or each member of a family."""
    members = raw.data.get("members")
    if not isinstance(members, dict):
        yield Single(raw, raw.id, "", raw.data)
        return
    shared = {k: v for k, v in raw.data.items() if k != "members"}
    for name, stated in members.items():
        own = stated if isinstance(stated, dict) else {}
        merged = merge(shared, own)
        if "title" not in own:
            merged["title"] = f"{raw.data.get('title', raw.id)} {name}"
        yield Single(raw, f"{raw.id}/{name}", str(name), merged)


def merge(under: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """Mappings are merged key by key; anything else is replaced."""
    merged = dict(under)
    for key, value in over.items():
        below = merged.get(key)
        if isinstance(below, Mapping) and isinstance(value, Mapping):
            merged[key] = merge(below, value)
        else:
            merged[key] = value
    return merged
