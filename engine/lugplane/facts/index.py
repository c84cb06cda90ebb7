"""The index of the parts of a store, in pieces that are read when they are asked for.

Its lines stand in the order of their ids and are cut into leaves. The directory knows the id that
each leaf begins with, the mark of each kind, and the digest of each piece: whatever is told comes
from a piece that is as it was written, and that there is no such part is as sure as that there is.
"""

from __future__ import annotations

import json
from bisect import bisect_right
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from typing import Any, Final, NamedTuple

from lugplane.facts.fingerprint import digest

LEAF: Final = 16
"""So many records are in a leaf."""

Piece = tuple[int, str]
"""The number of a text, and its digest."""


class Line(NamedTuple):
    """A record of the index of parts.

    `folder` is the number of its folder, `content` the digest of what its file held, `number` and
    `body` are those of its text, `members` its family's, or None.
    """

    kind: str
    id: str
    folder: int
    content: str
    number: int
    body: str
    members: Sequence[str] | None

    @property
    def ids(self) -> list[str]:
        """The ids of its parts."""
        if self.members is None:
            return [self.id]
        return [f"{self.id}/{member}" for member in self.members]


class Index:
    """An index by the text of its directory; `piece` gives a text by its number and digest."""

    def __init__(self, directory: bytes, piece: Callable[[int, str], bytes]) -> None:
        self.mark: Final = digest(directory)
        starts, leaves, kinds, marks = json.loads(directory)
        self._starts: Sequence[str] = starts
        self._leaves: Sequence[Piece] = leaves
        self._kinds: Mapping[str, Piece] = kinds
        self._marks: Mapping[str, str] = marks
        self._piece = piece
        self._lines: list[Mapping[str, Line] | None] = [None] * len(leaves)
        self._ids: dict[str, Sequence[str]] = {}

    @property
    def kinds(self) -> Collection[str]:
        """The kinds of which there are parts."""
        return self._kinds

    def ids(self, kind: str) -> Sequence[str]:
        """The ids of the parts of a kind, sorted."""
        if kind not in self._ids:
            piece = self._kinds.get(kind)
            self._ids[kind] = () if piece is None else tuple(json.loads(self._piece(*piece)))
        return self._ids[kind]

    def mark_of(self, kind: str) -> str | None:
        """The mark of a kind; None: there are no parts of it."""
        return self._marks.get(kind)

    def line(self, record: str) -> Line | None:
        """The line of a record; None: there is no such record."""
        n = bisect_right(self._starts, record) - 1
        if n < 0:
            return None
        lines = self._lines[n]
        if lines is None:
            told = [Line(*line) for line in json.loads(self._piece(*self._leaves[n]))]
            lines = self._lines[n] = {line.id: line for line in told}
        return lines.get(record)

    def line_of(self, part: str) -> Line | None:
        """The line of the record that a part is in; None: there is no such part."""
        record, slash, member = part.partition("/")
        line = self.line(record)
        if line is None or (line.members is None) is bool(slash):
            return None
        return line if line.members is None or member in line.members else None


def index_of(
    lines: Iterable[Line], marks: Mapping[str, str], first: int
) -> tuple[bytes, list[bytes]]:
    """The directory and the pieces of an index.

    `marks` are those of the kinds, `first` is the number of the first piece.
    """
    pieces: list[bytes] = []

    def added(told: Sequence[Any]) -> Piece:
        pieces.append(plain(told))
        return first + len(pieces) - 1, digest(pieces[-1])

    in_order = sorted(lines, key=lambda line: line.id)
    begins = range(0, len(in_order), LEAF)
    leaves = [added(in_order[n : n + LEAF]) for n in begins]
    ids: dict[str, list[str]] = {}
    for line in in_order:
        ids.setdefault(line.kind, []).extend(line.ids)
    kinds = {kind: added(sorted(found)) for kind, found in sorted(ids.items())}
    return plain(
        [[in_order[n].id for n in begins], leaves, kinds, dict(sorted(marks.items()))]
    ), pieces


def plain(data: Any) -> bytes:
    """Data as a short text."""
    return json.dumps(data, separators=(",", ":")).encode()
