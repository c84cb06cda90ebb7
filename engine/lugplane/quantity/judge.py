"""An interval against the bands of a limit: a band's name, or `cannot tell` and what settles it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from lugplane.quantity.form import Extent
from lugplane.quantity.states import CANNOT_TELL as CANNOT_TELL
from lugplane.quantity.states import FAILS as FAILS
from lugplane.quantity.states import GOOD as GOOD
from lugplane.quantity.states import SEVERITY as SEVERITY

# Sums of a few decimal fractions miss their edge by some 1e-14; a nanometre is no measurement.
_GRAIN = 1e-9


@dataclass(frozen=True, slots=True)
class Band:
    """A stretch of a limit, up to `to` (None: to infinity). `closed`: `to` itself belongs to it."""

    name: str
    state: str
    to: float | None
    closed: bool


@dataclass(frozen=True, slots=True)
class Limit:
    """The bands of one quantity, ascending, with the source they stand on.

    `close`: a fit that is close by design, so that a small margin says nothing while it holds.
    """

    id: str
    unit: str
    of: str
    source: str
    bands: tuple[Band, ...]
    close: bool = False

    def band_at(self, value: float) -> Band:
        """The band that a single value falls in."""
        return self.bands[self._index(value)]

    def touched(self, lo: float, hi: float) -> tuple[Band, ...]:
        """All bands that the closed interval reaches."""
        return self.bands[self._index(lo) : self._index(hi) + 1]

    def _index(self, value: float) -> int:
        for n, band in enumerate(self.bands):
            if band.to is None:
                return n
            if value < band.to - _GRAIN or (band.closed and value <= band.to + _GRAIN):
                return n
        return len(self.bands) - 1

    def edges(self) -> tuple[float, ...]:
        """Where a good band meets a failing one, ascending."""
        return tuple(
            a.to
            for a, b in pairwise(self.bands)
            if a.to is not None and (a.state == FAILS) != (b.state == FAILS)
        )


@dataclass(frozen=True, slots=True)
class Settler:
    """A fact whose measurement would settle a doubt.

    `needs` is the ± that settles it alone if it then reads as it does now; None where it cannot
    alone, or where the fact is not known at all (`now` is None then).
    """

    fact: str
    now: float | None
    needs: float | None


@dataclass(frozen=True, slots=True)
class Judgement:
    """The band's name and state; for `cannot tell` also which facts settle it, best first.

    `margin` is the least distance from the box to the nearest failing edge, negative on the wrong
    side; None where the limit has no failing edge or nothing is known.
    """

    band: str
    state: str
    margin: float | None = None
    settlers: tuple[Settler, ...] = ()


def judge(have: Extent, limit: Limit) -> Judgement:
    """Judge bounds against a limit.

    Only good bands: the worse of them. Only failing bands: the first of them that the nominal
    value names. Touching failing and good ones: `cannot tell`.
    """
    bands = limit.touched(have.lo, have.hi)
    bad = [b for b in bands if b.state == FAILS]
    margin = _margin(have, limit)
    if not bad:
        worst = max(bands, key=lambda b: SEVERITY[b.state])
        return Judgement(worst.name, worst.state, margin)
    if len(bad) == len(bands):
        return Judgement(limit.band_at(have.nominal).name, FAILS, margin)
    return Judgement(CANNOT_TELL, CANNOT_TELL, margin, settlers(have, limit))


def unknown(*facts: str) -> Judgement:
    """The judgement where facts are missing altogether."""
    return Judgement(
        CANNOT_TELL, CANNOT_TELL, None, tuple(Settler(fact, None, None) for fact in facts)
    )


def settlers(have: Extent, limit: Limit) -> tuple[Settler, ...]:
    """The uncertain inputs, best first, each with the ± that would settle the doubt alone."""
    edges = [e for e in limit.edges() if have.lo - _GRAIN <= e <= have.hi + _GRAIN]
    if not edges:
        return ()
    room = min(abs(have.nominal - e) for e in edges)
    total = sum(e.reach for e in have.effects.values())
    found: list[tuple[float, Settler]] = []
    for fact, effect in have.effects.items():
        if effect.reach <= _GRAIN or fact.startswith("("):
            continue
        left = room - (total - effect.reach)
        needs = left / abs(effect.slope) if left > _GRAIN else None
        found.append((-effect.reach, Settler(fact, effect.half, needs)))
    return tuple(s for _, s in sorted(found, key=lambda pair: (pair[0], pair[1].fact)))


def _margin(have: Extent, limit: Limit) -> float | None:
    """Least distance to a failing band; how far it is reached into, negative, where it is."""
    best: float | None = None
    low = -math.inf
    for band in limit.bands:
        high = math.inf if band.to is None else band.to
        if band.state == FAILS:
            room = max(have.lo - high, low - have.hi)
            best = room if best is None else min(best, room)
        low = high
    return best
