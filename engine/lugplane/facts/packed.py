"""A record and its places as one short text, and back.

Places go without their paths: they are in the order in which the data itself is walked.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path as FilePath
from typing import Any

from lugplane.facts.raw import Path, Place, Positions, Raw


def pack(raw: Raw) -> bytes:
    """A record, where its values stand, and not where its file lies."""
    places = [number for path in _paths(raw.data) for number in raw.positions.values[path]]
    plain = [raw.kind, raw.id, raw.data, places]
    return json.dumps(plain, ensure_ascii=False, separators=(",", ":")).encode()


def unpack(body: bytes, file: FilePath, shown: str) -> Raw:
    """The record again, now lying in `file`. The places of its keys are not kept."""
    kind, id_, data, places = json.loads(body)
    return Raw(kind, id_, data, _Positions(data, places), file, shown)


class _Positions(Positions):
    """Places whose paths are worked out when they are first asked for."""

    __slots__ = ("_data", "_numbers", "_values")
    _data: Any
    _numbers: list[int]
    _values: dict[Path, Place] | None

    def __init__(self, data: Any, numbers: list[int]) -> None:
        for name, value in (("_data", data), ("_numbers", numbers), ("_values", None)):
            object.__setattr__(self, name, value)

    @property
    def keys(self) -> dict[Path, Place]:
        return {}

    @property
    def values(self) -> dict[Path, Place]:
        found = self._values
        if found is None:
            numbers = iter(self._numbers)
            places = zip(numbers, numbers, strict=True)
            found = dict(zip(_paths(self._data), places, strict=True))
            object.__setattr__(self, "_values", found)
        return found

    def of_value(self, path: Path) -> Place:
        values = self.values
        while path and path not in values:
            path = path[:-1]
        return values.get(path, (1, 1))


def _paths(data: Any) -> list[Path]:
    """The paths of all values, each before those within it."""
    found: list[Path] = [()]
    _add_within(data, (), found)
    return found


def _add_within(value: Any, path: Path, found: list[Path]) -> None:
    within: Iterable[tuple[str | int, Any]] = ()
    if isinstance(value, dict):
        within = value.items()
    elif isinstance(value, list):
        within = enumerate(value)
    for key, held in within:
        here = (*path, key)
        found.append(here)
        if isinstance(held, dict | list):
            _add_within(held, here, found)
