"""How far the ± of a lining's outline moves the share that two circles cut off.

Over an outline of area A let `F = lost - c A`: the sum of a weight that is `1 - c` where lining is
lost and `-c` where it is left. The share is at most `c` where F is at most nought. As the outline
changes, F changes by its edge alone, by the weight along it times how far it moves outward; so that
a ± which moves lost and left lining alike moves the share by little. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lugplane.measure.grown import SectorDoubt
from lugplane.measure.trim import Span

Point = tuple[float, float]
Edge = Callable[[float], Point]
Weight = Callable[[float, float], float]

_SHORT_MM = 0.1
_ROUNDS = 4


@dataclass(frozen=True, slots=True)
class Parts:
    """Of a weight summed along an edge: how much is surely lost, surely left, or either."""

    lost: float
    left: float
    either: float

    def span(self, share: float) -> Span:
        """Bounds of the sum of weight times `1 - share` where lost and `-share` where left."""
        sure = (1.0 - share) * self.lost - share * self.left
        return sure - share * self.either, sure + (1.0 - share) * self.either


Move = Sequence[tuple[float, Parts]]
"""What one ± does: by how much the sums of some edges count, for each mm of it."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """All that the ± of an outline, `spread`, does; `rest` bounds what is not straight of it."""

    moves: tuple[Move, ...]
    spread: float
    rest: float

    def most(self, share: float) -> float:
        """The most that `lost - share · area` may change, mm²."""
        total = self.rest
        for move in self.moves:
            low = high = 0.0
            for factor, parts in move:
                ends = [factor * x for x in parts.span(share)]
                low, high = low + min(ends), high + max(ends)
            total += self.spread * max(-low, high)
        return total

    def widened(self, lost: Span, area: float) -> Span:
        """Bounds of the share lost, of the outline as stated `lost` mm² (least, greatest)."""
        found: list[float] = []
        for way, mm2 in ((-1.0, lost[0]), (1.0, lost[1])):
            share = mm2 / area
            for _ in range(_ROUNDS):
                share = max(0.0, min(1.0, (mm2 + way * self.most(share)) / area))
            # As it stands at that share itself: else what is not settled yet is given up.
            settled = way * (share * area - mm2) >= self.most(share) - 1e-6
            found.append(share if settled else (1.0 + way) / 2.0)
        return max(0.0, found[0] - 1e-9), min(1.0, found[1] + 1e-9)


@dataclass(frozen=True, slots=True)
class Between:
    """Two circles and the place of a lining between them, each somewhere within its bounds."""

    y: Span
    top: Span
    inner: Span
    outer: Span

    def told(self, at: Point, off: float) -> bool | None:
        """Whether a point of the outline, itself within `off` of where it is said to be, is lost;
        None where it may be or not."""
        along, up = (self.y[1] - self.y[0]) / 2.0, (self.top[1] - self.top[0]) / 2.0
        t, z = (self.y[0] + self.y[1]) / 2.0 + at[0], (self.top[0] + self.top[1]) / 2.0 + at[1]
        radius = math.hypot(t, z)
        # Moved along, a radius grows by t/r, and t/r itself by no more than all that is moved.
        if (near := radius - along - up) > 0.0:
            along *= min(1.0, (abs(t) + along + up) / near)
        off += along + up
        if radius + off < self.inner[0] or radius - off > self.outer[1]:
            return True
        return False if self.inner[1] < radius - off and radius + off < self.outer[0] else None

    def parts(self, edge: Edge, length: float, off: float, weight: Weight) -> Parts:
        """Sums along an edge, a point of it for each part 0 to 1 of its length; `weight(from, to)`
        is what a stretch of it weighs. Each point may lie off by so much."""
        sums = {True: 0.0, False: 0.0, None: 0.0}
        for start, end, lost in self._stretches(edge, length, off, 0.0, 1.0):
            sums[lost] += weight(start, end)
        return Parts(sums[True], sums[False], sums[None])

    def _stretches(
        self, edge: Edge, length: float, off: float, start: float, end: float
    ) -> Iterator[tuple[float, float, bool | None]]:
        middle, half = (start + end) / 2.0, (end - start) / 2.0 * length
        lost = self.told(edge(middle), off + half)
        if lost is not None or half < _SHORT_MM:
            yield start, end, lost
            return
        yield from self._stretches(edge, length, off, start, middle)
        yield from self._stretches(edge, length, off, middle, end)


def of_polygon(points: Sequence[Point], spread: float, between: Between) -> Doubt:
    """A polygon each coordinate of whose points has a ± of its own.

    An edge moves by its one end's way at that end and by its other's at the other, in between by
    parts of both. Its normal turns with it, by no more than twice the ± in each coordinate.
    """
    ring = [a for a, b in zip(points, [*points[1:], points[0]], strict=True) if a != b]
    moves: list[list[tuple[float, Parts]]] = [[] for _ in range(2 * len(ring))]
    off = spread * math.sqrt(2)
    twice = sum(a[0] * b[1] - a[1] * b[0] for a, b in pairwise([*ring, ring[0]]))
    for n, (a, b) in enumerate(pairwise([*ring, ring[0]])):
        du, dv = b[0] - a[0], b[1] - a[1]
        outward = math.copysign(1.0, twice) * dv, -math.copysign(1.0, twice) * du

        def along(x: float, a: Point = a, du: float = du, dv: float = dv) -> Point:
            return a[0] + x * du, a[1] + x * dv

        for end, weight in ((n, _falling), ((n + 1) % len(ring), _rising)):
            parts = between.parts(along, math.hypot(du, dv), off, weight)
            for coordinate in (0, 1):
                moves[2 * end + coordinate].append((outward[coordinate], parts))
    return Doubt(tuple(moves), spread, 4.0 * len(ring) * spread * spread)


def _falling(start: float, end: float) -> float:
    """Sum of `1 - x` from start to end."""
    return (end - start) * (1.0 - (start + end) / 2.0)


def _rising(start: float, end: float) -> float:
    """Sum of `x` from start to end."""
    return (end - start) * (start + end) / 2.0


def of_sector(known: SectorDoubt, between: Between) -> Doubt:
    """A sector each of whose radii has a ± and whose outer edge at mid-pad stays where it is.

    A greater inner radius moves the inner edge in upon the lining. A greater outer one moves the
    centre hubward: the outer edge goes out by `1 - cos`, the inner one by `cos` of the angle from
    mid-pad, the sides by the sine of half the sector's. No point moves by more than twice the ±,
    and no edge grows by more than it times the angle, a side by twice.
    """
    half, outer, inner, spread = known.half, known.outer, known.inner, known.spread
    off = 2.0 * spread

    def arc(radius: float) -> Edge:
        def at(x: float) -> Point:
            angle = half * (2.0 * x - 1.0)
            return radius * math.sin(angle), radius * math.cos(angle) - outer

        return at

    def side(way: float) -> Edge:
        def at(x: float) -> Point:
            radius = inner + x * (outer - inner)
            return way * radius * math.sin(half), radius * math.cos(half) - outer

        return at

    def angles(radius: float) -> Weight:
        return lambda start, end: radius * 2.0 * half * (end - start)

    def cosines(radius: float) -> Weight:
        def weight(start: float, end: float) -> float:
            ends = (math.sin(half * (2.0 * x - 1.0)) for x in (start, end))
            first, last = ends
            return radius * (last - first)

        return weight

    def rests(start: float, end: float) -> float:
        return angles(outer)(start, end) - cosines(outer)(start, end)

    long, deep = 2.0 * half, outer - inner
    sides = [
        between.parts(side(way), deep, off, lambda start, end: deep * (end - start))
        for way in (-1.0, 1.0)
    ]
    greater = [
        (1.0, between.parts(arc(outer), outer * long, off, rests)),
        (1.0, between.parts(arc(inner), inner * long, off, cosines(inner))),
        *((math.sin(half), parts) for parts in sides),
    ]
    less = [(1.0, between.parts(arc(inner), inner * long, off, angles(inner)))]
    return Doubt((greater, less), spread, spread * spread * (6.0 * half + 4.0))
