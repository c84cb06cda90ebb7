"""A record and its places as one short text, and back.

Places go without their paths: they are in the order in which the data itself is walked.
"""

from __future__ import annotations

import json
from pathlib import Path as FilePath
from typing import Any

from lugplane.facts.raw import Path, Positions, Raw


def pack(raw: Raw) -> bytes:
    """A record, where its values stand, and not where its file lies."""
    places = [number for path in _paths(raw.data) for number in raw.positions.values[path]]
    plain = [raw.kind, raw.id, raw.data, places]
    return json.dumps(plain, ensure_ascii=False, separators=(",", ":")).encode()


def unpack(body: bytes, file: FilePath, shown: str) -> Raw:
    """The record again, now lying in `file`. The places of its keys are not kept."""
    kind, id_, data, places = json.loads(body)
    numbers = iter(places)
    values = dict(zip(_paths(data), zip(numbers, numbers, strict=True), strict=True))
    return Raw(kind, id_, data, Positions({}, values), file, shown)


def _paths(data: Any) -> list[Path]:
    """The paths of all values, each before those within it."""
    found: list[Path] = []

    def walk(value: Any, path: Path) -> None:
        found.append(path)
        if isinstance(value, dict):
            for key, inner in value.items():
                walk(inner, (*path, key))
        elif isinstance(value, list):
            for index, inner in enumerate(value):
                walk(inner, (*path, index))

    walk(data, ())
    return found
