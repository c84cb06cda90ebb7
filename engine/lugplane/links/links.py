"""The pair checks of a whole base: which parts meet, and by what check the others do not.

Nothing is reckoned before it is asked for, and nothing twice. `rows` gives everything, for a store
or a map.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from lugplane.deduce.rulebook import Rulebook
from lugplane.facts.base import Base
from lugplane.facts.records import RECORDS, Caliper, Carrier, Record
from lugplane.links.fact import worths
from lugplane.links.pair import Grade, Judge
from lugplane.links.relation import CARRIED, RELATIONS, Relation
from lugplane.links.window import Group, grouped, never_fails, window
from lugplane.quantity.judge import FAILS
from lugplane.setup.parts import family

ALONE = "caliper alone"
"""Stands for the calipers that are bolted on by themselves, beside the kinds of guests."""


@dataclass(frozen=True, slots=True)
class Link:
    """One graded row: a pair of parts and how it came out in one check."""

    relation: str
    host: str
    guest: str
    check: str
    state: str
    band: str
    margin: float | None


@dataclass(frozen=True, slots=True)
class Met:
    """The guests of one kind that a host does not turn down, and how many it does by which check.

    A pair that *cannot tell* stays. `left_out` counts those that a window turned down.
    """

    kept: tuple[str, ...]
    turned_down: Mapping[str, int]
    left_out: int


class Links:
    """The pair checks over a base, by the limits of a rulebook."""

    def __init__(self, base: Base, rulebook: Rulebook) -> None:
        self.base = base
        self.rulebook = rulebook
        self._judges: dict[tuple[str, bool], Judge] = {}
        self._groups: dict[tuple[str, str], dict[Hashable, Group]] = {}
        self._names: dict[str, dict[str, list[str]]] = {}
        self._bodies: dict[str, str | None] | None = None
        self._alone: list[str] | None = None
        self._carriers: Mapping[str, Sequence[str]] | None = None
        self._alike: dict[tuple[str, str], Sequence[Sequence[str]]] = {}
        self._met: dict[tuple[str, str, str, bool], Met] = {}

    def judge(self, relation: Relation, adapter: bool = False) -> Judge:
        """What holds the pairs of a relation against its checks."""
        key = relation.name, adapter
        if key not in self._judges:
            self._judges[key] = Judge(relation, self.rulebook, adapter)
        return self._judges[key]

    def record(self, kind: str, id_: str) -> Record:
        """A part. Raises `BadInput`."""
        return self.base.get(Caliper if kind == ALONE else RECORDS[kind], id_)

    def alone(self) -> Collection[str]:
        """The calipers that may be bolted on by themselves, sorted: not known to float, and if
        that is open, not known to be taken by any carrier."""
        if self._alone is None:
            carriers = self.base.all(Carrier)
            taken = {i for c in carriers for i in c.calipers.items}
            self._alone = [
                c.id
                for c in self.base.all(Caliper)
                if c.body.text == "fixed"
                or (c.body.text is None and not {c.id, family(c.id)} & taken)
            ]
        return self._alone

    def failing(
        self, relation: Relation, host: Record, guest: Record, adapter: bool = False
    ) -> str:
        """The check that turns a pair down: the first that fails; empty: none does."""
        return self.judge(relation, adapter).failing(host, guest)

    def graded(
        self, relation: Relation, host: Record, kind: str, id_: str, adapter: bool = False
    ) -> tuple[Grade, ...]:
        """How a pair came out in each check. Raises `BadInput`."""
        return self.judge(relation, adapter).grades(host, self.record(kind, id_))

    def met(
        self,
        relation: Relation,
        host: Record,
        kind: str,
        adapter: bool = False,
        only: Collection[str] | None = None,
    ) -> Met:
        """The guests of a kind (or `ALONE`) that a host meets: of all, or of those in `only`."""
        if only is not None:
            asked = [i for i in sorted(only) if relation is not CARRIED or i in self.carried()]
            return self._met_of(relation, host, kind, adapter, asked, Counter())
        key = relation.name, host.id, kind, adapter
        if key not in self._met:
            self._met[key] = self._all_met(relation, host, kind, adapter)
        return self._met[key]

    def not_failing(
        self, relation: Relation, host: Record, kind: str, adapter: bool = False
    ) -> Collection[str]:
        """The guests of a kind that a host meets, in any order.

        Where the windowed check fails nobody, one guest speaks for all that are alike in every
        fact but the window's: a whole base is told by a few pairs, and nothing is kept of the rest.
        """
        judge = self.judge(relation, adapter)
        if not relation.windowed or not never_fails(judge.limits()):
            return self.met(relation, host, kind, adapter).kept
        found: list[str] = []
        for ids in self.alike(relation, kind):
            guest = self.record(kind, ids[0])
            rows = judge.rows(host, guest)
            span = f"{guest.kind}.{relation.span}"
            if any(span in r.facts for r in rows if r.check != relation.windowed):
                return self.met(relation, host, kind, adapter).kept
            if all(r.state != FAILS for r in rows):
                found += ids
        return found

    def alike(self, relation: Relation, kind: str) -> Sequence[Sequence[str]]:
        """The guests of a kind in groups that are alike in every fact but the window's."""
        key = relation.name, kind
        if key not in self._alike:
            facts = [path for path in relation.guest_facts if path != relation.span]
            groups: dict[Hashable, list[str]] = {}
            for record in self._guests(kind):
                groups.setdefault(worths(record, facts), []).append(record.id)
            self._alike[key] = list(groups.values())
        return self._alike[key]

    def carriers(self) -> Mapping[str, Sequence[str]]:
        """The calipers that each carrier may take, sorted: those that float and are not turned
        down by it, and of those that may be fixed as well the ones that it lists."""
        if self._carriers is None:
            bodies = self.carried()
            found: dict[str, Sequence[str]] = {}
            for carrier in self.base.all(Carrier):
                listed = carrier.calipers.items
                found[carrier.id] = tuple(
                    i
                    for i in self.met(CARRIED, carrier, "caliper").kept
                    if bodies[i] == "floating"
                    or (bodies[i] is None and (i in listed or family(i) in listed))
                )
            self._carriers = found
        return self._carriers

    def _all_met(self, relation: Relation, host: Record, kind: str, adapter: bool) -> Met:
        near, left_out = self.near(relation, host, kind, adapter)
        return self._met_of(relation, host, kind, adapter, near, left_out)

    def _met_of(
        self,
        relation: Relation,
        host: Record,
        kind: str,
        adapter: bool,
        near: Collection[str],
        left_out: Counter[str],
    ) -> Met:
        judge = self.judge(relation, adapter)
        kept: list[str] = []
        turned_down = Counter(left_out)
        for id_ in near:
            check = judge.failing(host, self.record(kind, id_))
            if check:
                turned_down[check] += 1
            else:
                kept.append(id_)
        return Met(tuple(sorted(kept)), dict(sorted(turned_down.items())), left_out.total())

    def near(
        self, relation: Relation, host: Record, kind: str, adapter: bool
    ) -> tuple[list[str], Counter[str]]:
        """The guests that no window leaves out, and how many are left out by which check."""
        if not relation.windowed:
            return self._named(relation, host, kind)
        judge = self.judge(relation, adapter)
        limits = judge.limits()
        near: list[str] = []
        left_out: Counter[str] = Counter()
        for key, group in self._grouped(relation, kind).items():
            check = judge.group_failing(host, self.record(kind, group.one))
            if check:
                left_out[check] += group.size
                continue
            hole = key[-1] if isinstance(key, tuple) and isinstance(key[-1], str) else None
            stretch = window(relation, host, group, hole, limits)
            found = group.touching(*stretch) if stretch else [*group.loose, *group.ids]
            if group.size > len(found):
                left_out[relation.windowed] += group.size - len(found)
            near += found
        return near, left_out

    def _named(self, relation: Relation, host: Record, kind: str) -> tuple[list[str], Counter[str]]:
        """The guests that a host may name; it fails to take any other, if it names some."""
        ids: Collection[str] = self.base.ids(kind)
        names: Collection[str] = ()
        if isinstance(host, Carrier) and relation is CARRIED:
            names, ids = host.calipers.items, self.carried()
        elif isinstance(host, Caliper | Carrier) and host.pad.text is not None:
            names = (host.pad.text,)
        if not names:
            return list(ids), Counter()
        families = self._families(kind)
        near = dict.fromkeys(i for name in names for i in families.get(family(name), ()))
        if relation is CARRIED:
            # Of a caliper that may be fixed as well it cannot be told.
            near |= {i: None for i, body in self.carried().items() if body is None}
            near = {i: None for i in near if i in self.carried()}
        left_out: Counter[str] = Counter()
        if len(ids) > len(near):
            left_out[relation.checks[0]] = len(ids) - len(near)
        return list(near), left_out

    def _families(self, kind: str) -> Mapping[str, list[str]]:
        if kind not in self._names:
            found: dict[str, list[str]] = {}
            for id_ in self.base.ids(kind):
                found.setdefault(family(id_), []).append(id_)
            self._names[kind] = found
        return self._names[kind]

    def carried(self) -> Mapping[str, str | None]:
        """The calipers that may float, and whether they are known to; a fixed one is no guest."""
        if self._bodies is None:
            bodies = ((c.id, c.body.text) for c in self.base.all(Caliper))
            self._bodies = {id_: body for id_, body in bodies if body != "fixed"}
        return self._bodies

    def sorted_guests(self, relation: Relation, kind: str) -> Mapping[Hashable, Group]:
        """The guests of a kind as a window is laid over them."""
        return self._grouped(relation, kind)

    def _grouped(self, relation: Relation, kind: str) -> Mapping[Hashable, Group]:
        key = relation.name, kind
        if key not in self._groups:
            self._groups[key] = grouped(relation, self._guests(kind))
        return self._groups[key]

    def _guests(self, kind: str) -> Iterable[Record]:
        if kind == ALONE:
            return (self.record(kind, i) for i in self.alone())
        return self.base.all(RECORDS[kind])

    # --- everything ----------------------------------------------------------------------------

    def rows(self, relation: Relation | None = None) -> Iterator[Link]:
        """Every graded row of the pairs that no window leaves out, host by host."""
        for each in RELATIONS if relation is None else (relation,):
            judge = self.judge(each)
            for host in self.base.all(RECORDS[each.host]):
                for kind in each.guests:
                    for id_ in sorted(self.near(each, host, kind, False)[0]):
                        for g in judge.grades(host, self.record(kind, id_)):
                            yield _link(each, host, id_, g)


def _link(relation: Relation, host: Record, guest: str, g: Grade) -> Link:
    return Link(relation.name, host.id, guest, g.check, g.state, g.band, g.margin)
