"""The knowledge base: every record by its id, each decoded when it is first asked for."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TypeVar, cast

from lugplane.data import data_folder
from lugplane.errors import BadFacts, BadInput, Problem
from lugplane.facts.decode import Decoder
from lugplane.facts.families import Single, singles
from lugplane.facts.records import RECORDS, Record
from lugplane.facts.references import reference_problems
from lugplane.facts.scan import survey
from lugplane.facts.schema import Schemas
from lugplane.quantity.limits import Assumed

R = TypeVar("R", bound=Record)


class Base:
    """Records by id. An id names one record whatever its kind, so that a part is asked for by id."""

    def __init__(self, parts: Iterable[Single], assumed: Mapping[str, Assumed]) -> None:
        self._assumed = assumed
        self._singles = {s.id: s for s in parts}
        self._records: dict[str, Record] = {}
        self._by_kind: dict[str, list[str]] = {}
        self._families: dict[str, list[str]] = {}
        for s in self._singles.values():
            self._by_kind.setdefault(s.kind, []).append(s.id)
            if s.member:
                self._families.setdefault(s.raw.id, []).append(s.id)

    def ids(self, kind: str | None = None) -> Sequence[str]:
        """All ids, or those of one kind, sorted."""
        return sorted(self._singles if kind is None else self._by_kind.get(kind, []))

    def kind_of(self, id_: str) -> str | None:
        """The kind of the record with this id; None: there is none."""
        found = self._singles.get(id_)
        return None if found is None else found.kind

    def members(self, family: str) -> Sequence[str]:
        """Ids of a family's members; empty where it is none."""
        return self._families.get(family, [])

    def all(self, cls: type[R]) -> list[R]:
        """All records of a class, in the order of their ids."""
        kind = next(k for k, c in RECORDS.items() if c is cls)
        return [cast(R, self._decode(i)) for i in self.ids(kind)]

    def get(self, cls: type[R], id_: str) -> R:
        """The record of a class with this id; a retired id leads to its successor.

        Raises `BadInput` with close matches where there is none, or another kind has the id.
        """
        kind = next(k for k, c in RECORDS.items() if c is cls)
        found = self.find(id_, (kind,))
        if self._singles[found].kind != kind:
            raise BadInput(f"'{id_}' is a {self._singles[found].kind}, not a {kind}")
        return cast(R, self._decode(found))

    def find(self, id_: str, kinds: Sequence[str] = ()) -> str:
        """The id of the record that is meant: itself, or what a retired one moved to.

        Raises `BadInput`, with close matches of the kinds asked for.
        """
        seen: set[str] = set()
        while (single := self._singles.get(id_)) is not None and single.kind == "moved":
            if id_ in seen:
                raise BadInput(f"'{id_}' moved in a circle")
            seen.add(id_)
            id_ = str(single.data["to"])
        if id_ in self._singles:
            return id_
        members = self.members(id_)
        if len(members) == 1:
            return members[0]
        if members:
            raise BadInput(f"'{id_}' is a family: name one of {', '.join(sorted(members))}")
        pool = [i for i in self.ids() if not kinds or self._singles[i].kind in kinds]
        near = difflib.get_close_matches(id_, pool, n=3, cutoff=0.5)
        what = kinds[0] if len(kinds) == 1 else "part"
        hint = f"; close to it: {', '.join(near)}" if near else ""
        raise BadInput(f"no {what} is called '{id_}'{hint}")

    def _decode(self, id_: str) -> Record:
        if id_ not in self._records:
            single = self._singles[id_]
            decoder = Decoder(self._assumed, single.place)
            self._records[id_] = decoder.record(single.kind, single.id, single.data)
            if decoder.problems:
                raise BadFacts(tuple(decoder.problems))
        return self._records[id_]


def load(folders: Sequence[Path], assumed: Mapping[str, Assumed]) -> Base:
    """Read, check and join folders of facts; later folders replace records of earlier ones.

    Raises `BadFacts` with every problem of every file: no answer comes from a broken base.
    """
    schemas = Schemas(data_folder() / "schemas")
    found = survey(folders, schemas)
    problems: list[Problem] = list(found.problems)
    parts = [s for raw in found.records for s in singles(raw)]
    for s in parts:
        decoder = Decoder(assumed, s.place)
        decoder.record(s.kind, s.id, s.data)
        problems.extend(decoder.problems)
    problems.extend(reference_problems(parts, found.broken))
    if problems:
        raise BadFacts(tuple(dict.fromkeys(problems)))
    return Base(parts, assumed)
