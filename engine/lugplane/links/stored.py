"""The pair checks of a base as rows in the user's cache: made once, read by SQL.

The guests are sorted for their windows when the base is compiled; a host's rows are made when it is
first asked for, of the guests in its windows alone. What is kept rests on the records, the
rulebook and the program, and is believed only while all of these are the same. Pairs of a base that
has changed are judged again only where no pair with the same facts was judged before.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Collection, Hashable, Mapping, Sequence
from dataclasses import astuple
from functools import cached_property
from pathlib import Path
from typing import Any, Final, NamedTuple

from lugplane.facts.cache import Pack, cache_file, open_pack, write_pack
from lugplane.facts.fingerprint import Seen, Witness, digest
from lugplane.facts.program import all_rooms, program_digest, program_seen
from lugplane.facts.records import Record
from lugplane.links.links import ALONE, Links, Met
from lugplane.links.pair import Grade, failing
from lugplane.links.relation import EARS, RELATIONS, Relation
from lugplane.links.table import (
    HostRows,
    begin,
    carry_over,
    keep,
    kept,
    remember,
    remembered,
    there,
)
from lugplane.links.window import Group
from lugplane.workshop import Workshop

HEAD: Final = "head 2"
"""Name of the text that a store begins with; another form of it has another number."""


class Head(NamedTuple):
    """What a store of pair checks rests on.

    `by` is the digest of program and rulebook, `rules` that of the rulebook alone, `mark` the
    base's; `program` tells without reading them whether the program's files are what they were.
    """

    by: str
    rules: str
    mark: str
    program: Witness

    def text(self) -> bytes:
        """As it is kept."""
        return _text([self.by, self.rules, self.mark, self.program.plain()])

    @classmethod
    def of(cls, pack: Pack | None) -> Head | None:
        """That of an open store; None where there is none."""
        plain = None if pack is None else _plain(pack, HEAD, None)
        if plain is None:
            return None
        by, rules, mark, program = plain
        return cls(by, rules, mark, Witness.from_plain(program))

    def holds(self, rules: str, mark: str, program: Seen) -> bool:
        """Whether a store rests on this rulebook, this base and the program that was seen."""
        return (self.rules, self.mark) == (rules, mark) and self.program.holds(program)

    def same(self, other: Head | None) -> bool:
        """Whether two stores hold the same."""
        return other is not None and (self.by, self.mark) == (other.by, other.mark)


def open_links(workshop: Workshop) -> Links:
    """The pair checks of a workshop, from the user's cache where that can be used."""
    base, rulebook = workshop.base, workshop.rulebook
    links = Links(base, rulebook)
    file = cache_file("links", workshop.folders) if workshop.folders else None
    if file is None or not base.mark:
        return links
    # The rulebook's limits hold the ± that are assumed where a fact states none.
    rules = digest(repr(rulebook).encode())
    seen = program_seen(all_rooms())
    pack = open_pack(file)
    known = Head.of(pack)
    if pack is not None and known is not None and known.holds(rules, base.mark, seen):
        return StoredLinks(links, pack, known)
    program = program_digest(all_rooms())
    if not program:
        return links
    head = Head(digest(f"{program} {rules}".encode()), rules, base.mark, Witness.of(seen))
    if pack is not None and head.same(known):
        pack.renew({HEAD: head.text()})  # the program's files were touched, no more
        return StoredLinks(links, pack, head)
    before = pack if known is not None and known.by == head.by else None
    _make(file, links, head, before)
    pack = open_pack(file)
    return StoredLinks(links, pack, head) if pack and head.same(Head.of(pack)) else links


def keep_links(links: Links) -> None:
    """Keep what was reckoned of the pair checks, where they are kept at all."""
    if isinstance(links, StoredLinks):
        links.keep()


class StoredLinks(Links):
    """Pair checks whose rows are read; what is not there, or damaged, is reckoned, and kept."""

    def __init__(self, links: Links, pack: Pack, head: Head) -> None:
        super().__init__(links.base, links.rulebook)
        self._pack, self._head = pack, head
        self._read: dict[tuple[str, str], HostRows | None] = {}
        self._new: dict[tuple[str, str], HostRows] = {}

    @cached_property
    def _making(self) -> _Making:
        return _Making(self, lambda facts: remembered(self._pack.rows, facts))

    def alone(self) -> Collection[str]:
        if self._alone is None:
            self._alone = _plain(self._pack, "alone", None)
        return super().alone()

    def carried(self) -> Mapping[str, str | None]:
        if self._bodies is None:
            self._bodies = _plain(self._pack, "carried", None)
        return super().carried()

    def carriers(self) -> Mapping[str, Sequence[str]]:
        if self._carriers is None:
            self._carriers = _plain(self._pack, "carriers", None)
        return super().carriers()

    def graded(
        self, relation: Relation, host: Record, kind: str, id_: str, adapter: bool = False
    ) -> tuple[Grade, ...]:
        within = ALONE if relation is EARS and kind == "caliper" else kind
        rows = self._rows(relation, host, within, adapter)
        found = None if rows is None else rows.pairs.get(id_)
        return super().graded(relation, host, kind, id_, adapter) if found is None else found

    def not_failing(
        self, relation: Relation, host: Record, kind: str, adapter: bool = False
    ) -> Collection[str]:
        # Kept are the guests that speak for all that are alike; their grades are not asked for.
        groups = self.alike(relation, kind)
        key = f"{_key(relation, kind, adapter)}, alike", host.id
        rows = self._kept(*key)
        if rows is None:
            found = set(super().not_failing(relation, host, kind, adapter))
            whole = [ids for ids in groups if ids[0] in found]
            if sum(map(len, whole)) != len(found):
                return found  # told of every pair, and kept so
            rows = self._read[key] = self._new[key] = HostRows(*key, {}, {i[0]: () for i in whole})
        return [id_ for ids in groups if ids[0] in rows.pairs for id_ in ids]

    def keep(self) -> None:
        """Keep the rows that were reckoned. What cannot be kept is reckoned again."""
        if not self._new:
            return
        pack = open_pack(self._pack.file)  # perhaps another process has put something there
        if pack is None or not self._head.same(Head.of(pack)):
            return
        new = [r for r in self._new.values() if kept(pack.rows, r.relation, r.host) is None]
        self._new.clear()
        if any(there(pack.rows, r.relation, r.host) for r in new):
            pack.drop()  # these are not as they were written: the store is made again next time
            return
        used = self._making.used

        def add(connection: Any) -> None:
            keep(connection, new)
            remember(connection, used)

        if new:
            pack.renew({}, add)

    def _rows(self, relation: Relation, host: Record, kind: str, adapter: bool) -> HostRows | None:
        return self._kept(_key(relation, kind, adapter), host.id)

    def _kept(self, name: str, host: str) -> HostRows | None:
        key = name, host
        if key not in self._read:
            self._read[key] = kept(self._pack.rows, *key)
        return self._read[key]

    def _all_met(self, relation: Relation, host: Record, kind: str, adapter: bool) -> Met:
        rows = self._rows(relation, host, kind, adapter)
        if rows is None:
            rows = self._making.rows(relation, host, kind, adapter)
            key = rows.relation, rows.host
            self._read[key] = self._new[key] = rows
        found: list[str] = []
        down = Counter(rows.left_out)
        for guest in sorted(rows.pairs):
            check = failing(rows.pairs[guest])
            if check:
                down[check] += 1
            else:
                found.append(guest)
        return Met(tuple(found), dict(sorted(down.items())), sum(rows.left_out.values()))

    def alike(self, relation: Relation, kind: str) -> Sequence[Sequence[str]]:
        key = relation.name, kind
        if key not in self._alike:
            plain = _plain(self._pack, f"{_key(relation, kind, False)}, alike", None)
            if plain is None:
                return super().alike(relation, kind)
            self._alike[key] = plain
        return self._alike[key]

    def _grouped(self, relation: Relation, kind: str) -> Mapping[Hashable, Group]:
        key = relation.name, kind
        if key not in self._groups:
            plain = _plain(self._pack, _key(relation, kind, False), None)
            if plain is None:
                return super()._grouped(relation, kind)
            self._groups[key] = {tuple(words): Group(*rest) for words, *rest in plain}
        return self._groups[key]


def _make(file: Path, links: Links, head: Head, before: Pack | None) -> None:
    """Sort the guests for their windows, and keep that, with empty tables for the rows.

    A host's pairs are judged when it is first asked for: there are many, and few are asked.
    """
    named = {
        HEAD: head.text(),
        "alone": _text(list(links.alone())),
        "carried": _text(dict(links.carried())),
        "carriers": _text(dict(links.carriers())),
    }
    for relation in RELATIONS:
        if relation.windowed:
            for kind in _kinds(relation):
                groups = links.sorted_guests(relation, kind)
                plain = [[list(key), *astuple(group)] for key, group in groups.items()]  # type: ignore[call-overload]
                named[_key(relation, kind, False)] = _text(plain)
    for kind in _kinds(EARS):
        # Only these are asked for where the window's check fails nobody (an adapter plate).
        named[f"{_key(EARS, kind, False)}, alike"] = _text(links.alike(EARS, kind))

    def tables(connection: Any) -> None:
        begin(connection)
        if before is not None:
            carry_over(connection, before.rows)

    write_pack(file, named, (), tables)


class _Making:
    """Rows of hosts.

    `known` tells what a pair came to by the digest of the facts read of it; all that are asked for
    are in `used`.
    """

    def __init__(self, links: Links, known: Callable[[str], tuple[Grade, ...] | None]) -> None:
        self._links, self._known = links, known
        self.used: dict[str, tuple[Grade, ...]] = {}
        self._grades: dict[tuple[str, Any], tuple[Grade, ...]] = {}
        self._worths: dict[tuple[str, str], Any] = {}

    def rows(self, relation: Relation, host: Record, kind: str, adapter: bool) -> HostRows:
        """The pairs of a host that no window leaves out."""
        near, left_out = self._links.near(relation, host, kind, adapter)
        pairs = {i: self._graded(relation, host, kind, i, adapter) for i in near}
        return HostRows(_key(relation, kind, adapter), host.id, dict(left_out), pairs)

    def _graded(
        self, relation: Relation, host: Record, kind: str, guest_id: str, adapter: bool
    ) -> tuple[Grade, ...]:
        judge = self._links.judge(relation, adapter)
        name = f"{relation.name} {adapter}"
        worths = []
        for id_, known in ((host.id, host), (guest_id, None)):
            worth = self._worths.get((name, id_))
            if worth is None:
                worth = judge.worth(known or self._links.record(kind, id_))
                self._worths[name, id_] = worth
            worths.append(worth)
        key = name, tuple(worths)
        if key not in self._grades:
            if not relation.windowed:  # told by names: quickly done, and different for each pair
                self._grades[key] = judge.grades(host, self._links.record(kind, guest_id))
                return self._grades[key]
            facts = digest(repr(key).encode())
            found = self._known(facts)
            if found is None:
                found = judge.grades(host, self._links.record(kind, guest_id))
            self.used[facts] = self._grades[key] = found
        return self._grades[key]


def _kinds(relation: Relation) -> tuple[str, ...]:
    """The kinds of guests that are asked for as a whole."""
    return tuple(ALONE if (relation, k) == (EARS, "caliper") else k for k in relation.guests)


def _key(relation: Relation, kind: str, adapter: bool) -> str:
    return f"{relation.name}, {kind}" + (", with a plate" if adapter else "")


def _plain(pack: Pack, name: str, otherwise: Any) -> Any:
    text = pack.named(name)
    return otherwise if text is None else json.loads(text)


def _text(data: Collection[Any]) -> bytes:
    return json.dumps(data, separators=(",", ":")).encode()
