"""All that a part's record leads to: itself, what it names, what that names, and so on.

Whatever is reckoned of some parts is reckoned from what they lead to, so that a digest of that
tells whether it would come out the same again. Where a text of a record is like an id, it is taken
to name it: too much is never wrong here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from lugplane.facts.base import Base
from lugplane.facts.fingerprint import digest
from lugplane.facts.parts import mark_of

APART = frozenset({"caliper", "disc", "pad", "wheel", "hose", "knuckle", "platform"})
"""Kinds of which a setup holds those only that its platform and parts lead to."""
UNREAD = frozenset({"offer", "source", "trial"})
"""Kinds that nothing is reckoned from on a sheet."""


class Reach:
    """What the parts of one base lead to."""

    def __init__(self, base: Base) -> None:
        self._base = base
        self._marks: dict[str, str] = {}
        self._near: dict[str, tuple[str, ...]] = {}
        self._digests: dict[str, str] = {}
        self._common = ""

    def digest(self, ids: Iterable[str]) -> str:
        """A digest of all that some parts lead to, and of what every setup may choose from.

        Raises `KeyError` where there is no such part.
        """
        return digest(" ".join([self.common, *(self._digest(id_) for id_ in ids)]).encode())

    @property
    def common(self) -> str:
        """The digest of the records of all other kinds: bolts, washers, carriers and so on."""
        if not self._common:
            others = sorted(set(self._base.kinds) - APART - UNREAD)
            self._common = digest(" ".join(self._base.mark_of(k) for k in others).encode())
        return self._common

    def ids(self, id_: str) -> frozenset[str]:
        """The ids of all that a part leads to, its own among them. Raises `KeyError`."""
        found = {id_}
        waiting = [id_]
        while waiting:
            for near in self._nearest(waiting.pop()):
                if near not in found:
                    found.add(near)
                    waiting.append(near)
        return frozenset(found)

    def _digest(self, id_: str) -> str:
        if id_ not in self._digests:
            marks = (f"{i} {self._mark(i)}" for i in sorted(self.ids(id_)))
            self._digests[id_] = digest(" ".join([id_, "", *marks]).encode())
        return self._digests[id_]

    def _mark(self, id_: str) -> str:
        if id_ not in self._marks:
            self._marks[id_] = mark_of(self._base.single(id_))
        return self._marks[id_]

    def _nearest(self, id_: str) -> tuple[str, ...]:
        if id_ not in self._near:
            base = self._base
            found: dict[str, None] = {}
            for text in _texts(self._base.single(id_).data):
                if base.kind_of(text) is not None:
                    found[text] = None
                found.update(dict.fromkeys(base.members(text)))
            self._near[id_] = tuple(found)
        return self._near[id_]


def _texts(data: Any) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for inner in data.values():
            yield from _texts(inner)
    elif isinstance(data, list):
        for inner in data:
            yield from _texts(inner)
