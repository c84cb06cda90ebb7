"""Where the base takes its parts from: any catalogue of them, each part by its id."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterable, Sequence
from typing import NamedTuple, Protocol

from lugplane.facts.families import Single


class Entry(NamedTuple):
    """A part by its id; `family` is empty outside families."""

    id: str
    kind: str
    family: str


class Parts(Protocol):
    """Parts by their ids, none of which is used twice."""

    @property
    @abstractmethod
    def mark(self) -> str:
        """A digest that is another one as soon as any record is; empty where it is not known."""

    @property
    @abstractmethod
    def entries(self) -> Sequence[Entry]:
        """All parts, the members of a family in its own order."""

    @abstractmethod
    def single(self, id_: str) -> Single:
        """A part. Raises `KeyError` where there is none."""


class Listed:
    """Parts that were all read."""

    def __init__(self, parts: Iterable[Single], mark: str = "") -> None:
        self._mark = mark
        self._singles = {s.id: s for s in parts}

    @property
    def mark(self) -> str:
        return self._mark

    @property
    def entries(self) -> Sequence[Entry]:
        return [Entry(s.id, s.kind, s.family) for s in self._singles.values()]

    def single(self, id_: str) -> Single:
        return self._singles[id_]
