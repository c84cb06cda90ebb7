"""The pair checks of a base as rows in the user's cache: made once, read by SQL.

The guests are sorted for their windows when the base is compiled; a host's rows are made when it is
first asked for, of the guests in its windows alone. What is kept rests on the records, the
rulebook and the program, and is believed only while all of these are the same. Pairs of a base that
has changed are judged again only where no pair with the same facts was judged before.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Collection, Hashable, Mapping, Sequence
from dataclasses import astuple
from functools import cached_property
from pathlib import Path
from typing import Any, Final

from lugplane.facts.cache import Pack, cache_file, open_pack, write_pack
from lugplane.facts.fingerprint import digest
from lugplane.facts.program import all_rooms, program_digest
from lugplane.facts.records import Record
from lugplane.links.links import ALONE, Links, Met
from lugplane.links.pair import Grade, failing
from lugplane.links.relation import EARS, RELATIONS, Relation
from lugplane.links.table import HostRows, begin, keep, kept
from lugplane.links.window import Group
from lugplane.workshop import Workshop

MOST: Final = 100_000
"""So many pairs are remembered by their facts, to be found again when the base has changed."""


def open_links(workshop: Workshop) -> Links:
    """The pair checks of a workshop, from the user's cache where that can be used."""
    base, rulebook = workshop.base, workshop.rulebook
    links = Links(base, rulebook)
    file = cache_file("links", workshop.folders) if workshop.folders else None
    program = program_digest(all_rooms())
    if file is None or not program or not base.mark:
        return links
    # The rulebook's limits hold the ± that are assumed where a fact states none.
    by = digest(f"{program} {rulebook!r}".encode())
    head = f"{by} {base.mark}".encode()
    pack = open_pack(file)
    if pack is None or pack.named("head") != head:
        _make(file, links, by, head, pack)
        pack = open_pack(file)
    if pack is None or pack.named("head") != head:
        return links  # they cannot be kept
    return StoredLinks(links, pack, by)


def keep_links(links: Links) -> None:
    """Keep what was reckoned of the pair checks, where they are kept at all."""
    if isinstance(links, StoredLinks):
        links.keep()


class StoredLinks(Links):
    """Pair checks whose rows are read; what is not there, or damaged, is reckoned, and kept."""

    def __init__(self, links: Links, pack: Pack, by: str) -> None:
        super().__init__(links.base, links.rulebook)
        self._pack, self._by = pack, by
        self._read: dict[tuple[str, str], HostRows | None] = {}
        self._new: dict[tuple[str, str], HostRows] = {}
        self._bodies = _plain(pack, "carried", None)
        self._alone = _plain(pack, "alone", None)
        self._carriers = _plain(pack, "carriers", None)

    @cached_property
    def _making(self) -> _Making:
        return _Making(self, _plain(self._pack, f"known {self._by}", {}))

    def graded(
        self, relation: Relation, host: Record, kind: str, id_: str, adapter: bool = False
    ) -> tuple[Grade, ...]:
        within = ALONE if relation is EARS and kind == "caliper" else kind
        rows = self._rows(relation, host, within, adapter)
        found = None if rows is None else rows.pairs.get(id_)
        return super().graded(relation, host, kind, id_, adapter) if found is None else found

    def keep(self) -> None:
        """Keep the rows that were reckoned. What cannot be kept is reckoned again."""
        if not self._new:
            return
        pack = open_pack(self._pack.file)  # perhaps another process has put something there
        head = self._pack.named("head")
        if pack is None or head is None or pack.named("head") != head:
            return
        new = [r for r in self._new.values() if kept(pack.rows, r.relation, r.host) is None]
        known = {**_plain(pack, f"known {self._by}", {}), **self._making.used}
        text = {f"known {self._by}": _text(_latest(known))}
        if new:
            pack.renew(text, lambda connection: keep(connection, new))
        self._new.clear()

    def _rows(self, relation: Relation, host: Record, kind: str, adapter: bool) -> HostRows | None:
        key = _key(relation, kind, adapter), host.id
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


def _make(file: Path, links: Links, by: str, head: bytes, before: Pack | None) -> None:
    """Sort the guests for their windows, and keep that, with empty tables for the rows.

    A host's pairs are judged when it is first asked for: there are many, and few are asked.
    """
    known = _plain(before, f"known {by}", {}) if before is not None else {}
    named = {
        "head": head,
        "alone": _text(list(links.alone())),
        "carried": _text(dict(links.carried())),
        "carriers": _text(dict(links.carriers())),
        f"known {by}": _text(known),
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
    write_pack(file, named, (), begin)


class _Making:
    """Rows of hosts. `known` and `used`: what pairs came to, by the digest of the facts read."""

    def __init__(self, links: Links, known: Mapping[str, Any]) -> None:
        self._links, self._before = links, known
        self.used: dict[str, Any] = {}
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
            short = digest(repr(key).encode())
            told = self._before.get(short)
            if told is None:
                grades = judge.grades(host, self._links.record(kind, guest_id))
                told = [[g.check, g.state, g.band, g.margin] for g in grades]
            self.used[short] = told
            self._grades[key] = tuple(Grade(*g) for g in told)
        return self._grades[key]


def _kinds(relation: Relation) -> tuple[str, ...]:
    """The kinds of guests that are asked for as a whole."""
    return tuple(ALONE if (relation, k) == (EARS, "caliper") else k for k in relation.guests)


def _latest(known: Mapping[str, Any]) -> Mapping[str, Any]:
    return dict(list(known.items())[-MOST:])


def _key(relation: Relation, kind: str, adapter: bool) -> str:
    return f"{relation.name}, {kind}" + (", with a plate" if adapter else "")


def _plain(pack: Pack, name: str, otherwise: Any) -> Any:
    text = pack.named(name)
    return otherwise if text is None else json.loads(text)


def _text(data: Collection[Any]) -> bytes:
    return json.dumps(data, separators=(",", ":")).encode()
