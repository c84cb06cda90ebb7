"""A record as it stands in its file, with the place of every key and value."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path as FilePath
from typing import Any, TypeAlias

Path: TypeAlias = tuple[str | int, ...]
Place: TypeAlias = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Positions:
    """Where keys and values stand: path -> (line, column), both from 1.

    A path is the keys and list indices from the root; the root's own path is `()`. As a table,
    `positions[path]` is the place of a value.
    """

    keys: dict[Path, Place] = field(default_factory=dict)
    values: dict[Path, Place] = field(default_factory=dict)

    def __contains__(self, path: Path) -> bool:
        return path in self.values

    def __getitem__(self, path: Path) -> Place:
        return self.values[path]

    def of_value(self, path: Path) -> Place:
        """The place of a value, or of the nearest thing around it that has one."""
        while path not in self.values and path:
            path = path[:-1]
        return self.values.get(path, (1, 1))

    def of_key(self, path: Path) -> Place:
        """The place of the key that leads to `path`; of the value where there is no key."""
        return self.keys[path] if path in self.keys else self.of_value(path)


@dataclass(frozen=True, slots=True)
class Raw:
    """A record as it stands in its file: sound by its schema, references not yet looked at.

    `file` is the file itself, `shown` its name in problems and proofs.
    """

    kind: str
    id: str
    data: dict[str, Any]
    positions: Positions
    file: FilePath
    shown: str
