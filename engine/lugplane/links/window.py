"""Guests sorted by one fact, so that a host asks only those that may meet it."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Hashable, Iterable
from dataclasses import dataclass, field

from lugplane.facts.records import Record
from lugplane.facts.value import Value
from lugplane.links.fact import fact_at, worths
from lugplane.links.relation import EARS, Relation
from lugplane.quantity.judge import FAILS, Limit

GRAIN = 1e-6
"""Windows are this much wider (mm) than the limits ask, for the dust of sums of fractions."""


@dataclass(slots=True)
class Group:
    """Guests that are alike in the facts which the grouped checks see.

    `loose` are those without a fact that the window needs: they are never left out by it. Of a
    pair of lugs, `thread_mm` and `hole_mm` are the smallest thread and the widest plain hole.
    """

    loose: list[str] = field(default_factory=list)
    ids: list[str] = field(default_factory=list)
    lows: list[float] = field(default_factory=list)
    widest: float = 0.0
    thread_mm: float = float("inf")
    hole_mm: float = float("-inf")

    @property
    def size(self) -> int:
        return len(self.loose) + len(self.ids)

    @property
    def one(self) -> str:
        """Any of the guests."""
        return self.ids[0] if self.ids else self.loose[0]

    def touching(self, low: float, high: float) -> list[str]:
        """Every guest whose span may reach into `low..high`, and the loose ones."""
        first = bisect_left(self.lows, low - self.widest)
        last = bisect_right(self.lows, high)
        return [*self.loose, *self.ids[first:last]]


def grouped(relation: Relation, records: Iterable[Record]) -> dict[Hashable, Group]:
    """The guests of one kind, grouped and sorted."""
    groups: dict[Hashable, Group] = {}
    spans: dict[Hashable, list[tuple[float, str]]] = {}
    for record in records:
        key = worths(record, relation.by)
        group = groups.setdefault(key, Group())
        span = fact_at(record, relation.span)
        if not isinstance(span, Value) or not span.readings or not _usable(relation, record, group):
            group.loose.append(record.id)
            continue
        reading = span.readings[0]
        group.widest = max(group.widest, reading.hi - reading.lo)
        spans.setdefault(key, []).append((reading.lo, record.id))
    for key, found in spans.items():
        found.sort()
        groups[key].ids = [id_ for _, id_ in found]
        groups[key].lows = [low for low, _ in found]
    return groups


def _usable(relation: Relation, record: Record, group: Group) -> bool:
    """Note what else the window needs of a guest; whether it is known."""
    if relation is not EARS:
        return True
    if worths(record, ("lug.hole",)) == ("threaded",):
        nominal = thread_mm(record, "lug.thread")
        if nominal is not None:
            group.thread_mm = min(group.thread_mm, nominal)
        return nominal is not None
    hole = fact_at(record, "lug.hole_diameter_mm")
    if isinstance(hole, Value) and hole.readings:
        group.hole_mm = max(group.hole_mm, hole.readings[0].hi)
        return True
    return False


def thread_mm(record: Record, path: str) -> float | None:
    """Nominal diameter of a thread; None where it is not known or cannot be read."""
    from lugplane.measure.mount import read_thread

    word = worths(record, (path,))
    assert isinstance(word, tuple)
    try:
        return read_thread(word[0]).nominal_mm if word[0] is not None else None
    except ValueError:
        return None


def window(
    relation: Relation, host: Record, group: Group, hole: str | None, limits: Iterable[Limit]
) -> tuple[float, float] | None:
    """The stretch outside which a guest's span surely fails the windowed check; None: no such.

    All windowed checks judge how far two lengths lie apart, the lugs' less the clearance of the
    plain hole. `hole` is the guests' kind of hole where there is one.
    """
    span = fact_at(host, relation.host_span)
    far = farthest(limits)
    if far is None or not isinstance(span, Value) or not span.readings:
        return None
    clearance = 0.0
    if relation is EARS:
        found = _clearance(host, group, hole)
        if found is None:
            return None
        clearance = found
    reach = far + clearance + GRAIN
    reading = span.readings[0]
    return reading.lo - reach, reading.hi + reach


def farthest(limits: Iterable[Limit]) -> float | None:
    """The greatest value that does not fail each of the limits; None: there is no greatest."""
    tops: list[float] = []
    for limit in limits:
        good = [band.to for band in limit.bands if band.state != FAILS]
        if not good or good[-1] is None:
            return None
        tops.append(good[-1])
    return max(tops, default=None)


def never_fails(limits: Iterable[Limit]) -> bool:
    """Whether no value fails any of the limits."""
    return all(band.state != FAILS for limit in limits for band in limit.bands)


def nearest(limits: Iterable[Limit]) -> float | None:
    """The least value that does not fail each of the limits; None: there is no least."""
    bottoms: list[float] = []
    for limit in limits:
        below = next((n for n, b in enumerate(limit.bands) if b.state != FAILS), 0)
        bottom = limit.bands[below - 1].to if below else None
        if bottom is None:
            return None
        bottoms.append(bottom)
    return min(bottoms, default=None)


def _clearance(host: Record, group: Group, hole: str | None) -> float | None:
    """The most that the plain hole of any of these joints is wider than its bolt.

    Of two plain holes an end, both diameters together (see `lug_misfit`).
    """
    ear = worths(host, ("ear.hole",))
    if ear == ("plain",) and hole in ("threaded", "plain"):
        own = fact_at(host, "ear.hole_diameter_mm")
        if isinstance(own, Value) and own.readings:
            widest = own.readings[0].hi
            return widest - group.thread_mm if hole == "threaded" else widest + group.hole_mm
    if (ear, hole) == (("threaded",), "plain"):
        nominal = thread_mm(host, "ear.thread")
        if nominal is not None:
            return group.hole_mm - nominal
    return None
