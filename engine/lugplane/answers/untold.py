"""Candidates of which nothing better than *cannot tell* can come, folded where there are many.

Where the pair check of a seat on its knuckle, or of a disc on its hub, cannot tell (a fact is not
known; ear and lug are both plain), no candidate with that seat or disc can be told, whatever the
other parts are. One of them then speaks for the rest, which are counted and not judged.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from lugplane.answers.fits_list import Untold as Untold
from lugplane.facts.records import Knuckle, Platform
from lugplane.links.candidates import Candidate
from lugplane.links.links import Links
from lugplane.links.relation import EARS, HUB, Relation
from lugplane.quantity.judge import CANNOT_TELL

FEW = 12
"""So many of one seat or disc are judged one by one all the same."""


@dataclass(frozen=True, slots=True)
class Group:
    """The candidates with one such seat or disc, those with the most stock parts first."""

    parts: tuple[str, ...]
    check: str
    items: tuple[Candidate, ...]

    def beyond(self, first: int) -> Untold:
        """All but so many of them, as not judged."""
        return Untold(self.parts, self.check, len(self.items) - first)


class Telling:
    """Tells what the pair checks leave open on one axle."""

    def __init__(self, links: Links, platform: str, axle: str) -> None:
        car = links.base.get(Platform, platform)
        fitted = car.rear if axle == "rear" else car.front
        stock = fitted.stock
        self._links = links
        self._knuckle = links.base.get(Knuckle, fitted.knuckle.word)
        self._stock = {stock.caliper.text, stock.carrier.text, stock.disc.text, stock.pad.text}
        self._open: dict[tuple[str, str, bool], str] = {}

    def split(self, items: Iterable[Candidate]) -> tuple[list[Candidate], list[Group]]:
        """Candidates that may be told, or are few; and groups of many that cannot."""
        told: list[Candidate] = []
        groups: dict[tuple[tuple[str, ...], str], list[Candidate]] = {}
        for c in items:
            seat = (c.caliper, c.carrier) if c.carrier else (c.caliper,)
            by_disc = self._check(HUB, "disc", c.disc, False)
            by_seat = (
                ""
                if by_disc
                else self._check(EARS, "carrier" if c.carrier else "caliper", seat[-1], c.adapter)
            )
            if not (by_disc or by_seat):
                told.append(c)
                continue
            key = ((c.disc,), by_disc) if by_disc else (seat, by_seat)
            groups.setdefault(key, []).append(c)
        for found in groups.values():
            if len(found) <= FEW:
                told += found
        many = [
            Group(parts, check, tuple(sorted(found, key=self._strange)))
            for (parts, check), found in groups.items()
            if len(found) > FEW
        ]
        return told, many

    def _strange(self, c: Candidate) -> tuple[int, tuple[str, ...]]:
        return sum(p.split("/")[0] not in self._stock and p not in self._stock for p in c.parts), (
            c.parts
        )

    def _check(self, relation: Relation, kind: str, id_: str, adapter: bool) -> str:
        """The first pair check that cannot tell; empty: all can."""
        key = relation.name, id_, adapter
        if key not in self._open:
            grades = self._links.graded(relation, self._knuckle, kind, id_, adapter)
            self._open[key] = next((g.check for g in grades if g.state == CANNOT_TELL), "")
        return self._open[key]


def counted(groups: Sequence[Group], judged: Mapping[tuple[str, ...], int]) -> tuple[Untold, ...]:
    """What was not judged of some groups, of which so many were."""
    found = (g.beyond(judged.get(g.parts, 0)) for g in groups)
    return tuple(sorted((u for u in found if u.count), key=lambda u: (-u.count, u.parts)))
