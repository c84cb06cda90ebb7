"""A pair held against its checks: the very rows that a sheet of the two would show."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass

from lugplane.answers.rows import Row
from lugplane.deduce.rulebook import Rulebook
from lugplane.errors import EngineError
from lugplane.facts.records import Record
from lugplane.facts.value import Word, Words
from lugplane.links.fact import fact_at, worths
from lugplane.links.partial import Some, pair_setup
from lugplane.links.relation import Relation
from lugplane.quantity.judge import FAILS, Limit
from lugplane.setup.parts import family


@dataclass(frozen=True, slots=True)
class Grade:
    """How a pair came out in one check: the row's state, band and margin (mm) to failing."""

    check: str
    state: str
    band: str
    margin: float | None = None


def failing(grades: Iterable[Grade]) -> str:
    """The check that turns a pair down: the first that fails; empty: none does."""
    return next((g.check for g in grades if g.state == FAILS), "")


class Judge:
    """Holds the pairs of one relation against its checks, with an adapter asked for or without."""

    def __init__(self, relation: Relation, rulebook: Rulebook, adapter: bool = False) -> None:
        self.relation = relation
        self.adapter = adapter
        self._all = Some(rulebook, relation.checks)
        self._grouped = Some(rulebook, relation.grouped)
        self._limits: Mapping[str, Limit] = rulebook.limits.limits
        self._known: dict[Hashable, tuple[Grade, ...]] = {}

    def rows(self, host: Record, guest: Record) -> tuple[Row, ...]:
        """The rows of all checks. Raises `EngineError` where a check reads any other fact."""
        return self._rows(self._all, host, guest, self.relation.guest_facts)

    def grades(self, host: Record, guest: Record) -> tuple[Grade, ...]:
        """The grades of all checks; pairs that are alike in every fact read are judged once."""
        key = self._key(host, guest)
        if key not in self._known:
            rows = self.rows(host, guest)
            self._known[key] = tuple(Grade(r.check, r.state, r.band, r.margin) for r in rows)
        return self._known[key]

    def _key(self, host: Record, guest: Record) -> Hashable:
        """Pairs of the same key come out alike in every check."""
        names = self.relation.names
        if not names:
            return self.worth(host), self.worth(guest)
        fact = fact_at(host, names)
        assert isinstance(fact, Word | Words)
        listed = fact.items if isinstance(fact, Words) else (fact.text,)
        named = guest.id in listed or family(guest.id) in listed
        return fact.known, named, worths(guest, self.relation.guest_facts)

    def worth(self, record: Record) -> Hashable:
        """What the checks see of a host or a guest; its id where names count."""
        relation = self.relation
        # Without a window the guest is one that the host names.
        if not (relation.windowed and relation.host_facts and relation.guest_facts):
            return record.id
        of_host = record.kind == relation.host
        return worths(record, relation.host_facts if of_host else relation.guest_facts)

    def failing(self, host: Record, guest: Record) -> str:
        """The check that turns a pair down: the first that fails; empty: none does."""
        return failing(self.grades(host, guest))

    def group_failing(self, host: Record, guest: Record) -> str:
        """The grouped check that turns down every guest like this one; empty: none does."""
        if not self.relation.grouped:
            return ""
        rows = self._rows(self._grouped, host, guest, self.relation.by)
        return next((r.check for r in rows if r.state == FAILS), "")

    def limits(self) -> tuple[Limit, ...]:
        """The limits that the windowed check may be held against."""
        words = {"adapter": "asked" if self.adapter else "no"}
        return tuple(
            self._limits[name] for name in self._all.limits_of(self.relation.windowed, words)
        )

    def _rows(
        self, some: Some, host: Record, guest: Record, guest_facts: Iterable[str]
    ) -> tuple[Row, ...]:
        rows = some.rows(pair_setup(host, guest, self.adapter))
        known = {f"{host.kind}.{p}" for p in self.relation.host_facts}
        known |= {f"{guest.kind}.{p}" for p in guest_facts}
        for row in rows:
            other = [f for f in row.facts if f not in known]
            if other:
                # Windows and folding rest on the facts that are declared.
                raise EngineError(
                    f"check {row.check} of {host.kind} and {guest.kind} reads "
                    f"{', '.join(other)}: no fact of this pair of parts"
                )
        return rows
