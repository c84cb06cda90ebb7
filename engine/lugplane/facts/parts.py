"""Where the base takes its parts from: any catalogue of them, each part by its id."""

from __future__ import annotations

import json
from abc import abstractmethod
from collections.abc import Collection, Iterable, Sequence
from typing import Protocol

from lugplane.facts.families import Single
from lugplane.facts.fingerprint import digest


class Parts(Protocol):
    """Parts by their ids, none of which is used twice."""

    @property
    @abstractmethod
    def mark(self) -> str:
        """A digest that is another one as soon as any record is; empty where it is not known."""

    @property
    @abstractmethod
    def kinds(self) -> Collection[str]:
        """The kinds of which there are parts."""

    @abstractmethod
    def ids(self, kind: str) -> Sequence[str]:
        """The ids of all parts of a kind, sorted."""

    @abstractmethod
    def mark_of(self, kind: str) -> str:
        """A digest that is another one as soon as any fact of any part of a kind is."""

    @abstractmethod
    def kind_of(self, id_: str) -> str | None:
        """The kind of a part; None: there is no such part."""

    @abstractmethod
    def members(self, family: str) -> Sequence[str]:
        """The ids of a family's members, in its own order; empty where it is none."""

    @abstractmethod
    def single(self, id_: str) -> Single:
        """A part. Raises `KeyError` where there is none."""


class Listed:
    """Parts that were all read."""

    def __init__(self, parts: Iterable[Single], mark: str = "") -> None:
        self._mark = mark
        self._singles = {s.id: s for s in parts}
        self._families: dict[str, list[str]] = {}
        kinds: dict[str, list[str]] = {}
        for single in self._singles.values():
            kinds.setdefault(single.kind, []).append(single.id)
            if single.family:
                self._families.setdefault(single.family, []).append(single.id)
        self._kinds = {kind: sorted(ids) for kind, ids in kinds.items()}

    @property
    def mark(self) -> str:
        return self._mark

    @property
    def kinds(self) -> Collection[str]:
        return self._kinds

    def ids(self, kind: str) -> Sequence[str]:
        return self._kinds.get(kind, ())

    def mark_of(self, kind: str) -> str:
        return mark_of_all(self._singles[id_] for id_ in self.ids(kind))

    def kind_of(self, id_: str) -> str | None:
        single = self._singles.get(id_)
        return None if single is None else single.kind

    def members(self, family: str) -> Sequence[str]:
        return self._families.get(family, ())

    def single(self, id_: str) -> Single:
        return self._singles[id_]


def mark_of(single: Single) -> str:
    """A digest that is another one as soon as any fact of a part is, wherever these stand."""
    told = json.dumps([single.kind, single.family, single.data], sort_keys=True)
    return digest(told.encode())


def mark_of_all(parts: Iterable[Single]) -> str:
    """A digest that is another one as soon as any fact of any of these parts is."""
    marks = sorted(f"{single.id} {mark_of(single)}" for single in parts)
    return digest(" ".join(marks).encode())
