"""The knowledge base: every record by its id, each decoded when it is first asked for."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar, cast

from lugplane.errors import BadFacts, BadInput
from lugplane.facts.parts import Parts
from lugplane.facts.store import stored_parts

if TYPE_CHECKING:
    from lugplane.facts.families import Single
    from lugplane.facts.records import Record
    from lugplane.quantity.limits import Assumed

R = TypeVar("R", bound="Record")

_NAMED = 30
"""So many ids are named at the most where none is close to what was asked for."""


class Base:
    """Records by id. An id names one record whatever its kind: a part is asked for by id.

    `kept` is for what others make of the records and use again, each under a key of its own.
    """

    def __init__(self, parts: Parts, assumed: Mapping[str, Assumed]) -> None:
        self.kept: dict[object, object] = {}
        self._assumed = assumed
        self._parts = parts
        self._records: dict[str, Record] = {}

    @property
    def assumed_measured(self) -> Assumed:
        """The ± of a measurement that states none."""
        return self._assumed["measured"]

    @property
    def mark(self) -> str:
        """A digest that is another one as soon as any record is; empty where it is not known."""
        return self._parts.mark

    @property
    def kinds(self) -> Collection[str]:
        """The kinds of which there are records."""
        return self._parts.kinds

    def mark_of(self, kind: str) -> str:
        """A digest that is another one as soon as any fact of any record of a kind is."""
        return self._parts.mark_of(kind)

    def ids(self, kind: str | None = None) -> Sequence[str]:
        """All ids, or those of one kind, sorted."""
        if kind is not None:
            return self._parts.ids(kind)
        return sorted(id_ for each in self.kinds for id_ in self._parts.ids(each))

    def kind_of(self, id_: str) -> str | None:
        """The kind of the record with this id; None: there is none."""
        return self._parts.kind_of(id_)

    def members(self, family: str) -> Sequence[str]:
        """Ids of a family's members, in its own order; empty where it is none."""
        return self._parts.members(family)

    def single(self, id_: str) -> Single:
        """A record as it was read, with its family's facts. Raises `KeyError`."""
        return self._parts.single(id_)

    def all(self, cls: type[R]) -> list[R]:
        """All records of a class, in the order of their ids."""
        return [cast("R", self._decode(i)) for i in self.ids(_kind(cls))]

    def get(self, cls: type[R], id_: str) -> R:
        """The record of a class with this id; a retired id leads to its successor.

        Raises `BadInput` with close matches where there is none, or another kind has the id.
        """
        known = self._records.get(id_)
        if type(known) is cls and known.kind != "moved":
            return known
        kind = _kind(cls)
        found = self.find(id_, (kind,))
        other = self.kind_of(found)
        if other != kind:
            raise BadInput(f"'{id_}' is a {other}, not a {kind}")
        return cast("R", self._decode(found))

    def find(self, id_: str, kinds: Sequence[str] = ()) -> str:
        """The id of the record that is meant: itself, or what a retired one moved to.

        Raises `BadInput`, with close matches of the kinds asked for.
        """
        seen: set[str] = set()
        while self.kind_of(id_) == "moved":
            if id_ in seen:
                raise BadInput(f"'{id_}' moved in a circle")
            seen.add(id_)
            id_ = str(self._parts.single(id_).data["to"])
        if self.kind_of(id_) is not None:
            return id_
        members = self.members(id_)
        if len(members) == 1:
            return members[0]
        if members:
            raise BadInput(f"'{id_}' is a family: name one of {', '.join(sorted(members))}")
        import difflib

        from lugplane.facts.show import plain

        pool = self.ids() if not kinds else sorted(i for kind in kinds for i in self.ids(kind))
        near = difflib.get_close_matches(id_, pool, n=3, cutoff=0.5)
        what = kinds[0] if len(kinds) == 1 else "part"
        if near:
            hint = f"; close to it: {', '.join(near)}"
        elif 0 < len(pool) <= _NAMED:
            hint = f"; there are {', '.join(pool)}"
        else:
            words = ("lugplane facts show", *(kinds if len(kinds) == 1 else ()))
            hint = f"; `{' '.join(words)}` lists what there is"
        raise BadInput(f"no {what} is called '{plain(id_)}'{hint}")

    def _decode(self, id_: str) -> Record:
        if id_ not in self._records:
            from lugplane.facts.decode import Decoder

            single = self._parts.single(id_)
            decoder = Decoder(self._assumed, single.place)
            self._records[id_] = decoder.record(single.kind, single.id, single.data)
            if decoder.problems:
                raise BadFacts(tuple(decoder.problems))
        return self._records[id_]


def _kind(cls: type[Record]) -> str:
    from lugplane.facts.records import RECORDS

    return next(k for k, c in RECORDS.items() if c is cls)


def load(folders: Sequence[Path], assumed: Mapping[str, Assumed]) -> Base:
    """Read, check and join folders of facts; later folders replace records of earlier ones.

    What was read and checked before is taken from the user's cache. Raises `BadFacts` with every
    problem of every file: no answer comes from a broken base.
    """
    return Base(stored_parts(folders, assumed), assumed)
