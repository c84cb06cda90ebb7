"""A lining's outline at its largest and at its smallest, as far as its ± goes.

Whatever the outline is in truth, it holds all of the smallest form and lies within the largest.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from lugplane.measure.outline import Outline, Point, polygon, sector

_PARALLEL = 1e-9
_HALVINGS = 12


@dataclass(frozen=True, slots=True)
class Forms:
    """The largest and the smallest form, and the most area between any two.

    `sector` where it is one: more can then be told of what its ± does.
    """

    large: Outline
    small: Outline
    between_mm2: float
    sector: SectorDoubt | None = None


@dataclass(frozen=True, slots=True)
class SectorDoubt:
    """A sector's radii with their ± in mm, and half its angle in radians."""

    inner: float
    outer: float
    half: float
    spread: float

    def lost(self, tops: Point, ys: Point, radius: float) -> Point:
        """That part of its inner edge which lies within a hub radius, whatever its ± and wherever
        in `top_radius` and `y_offset`: the angles (from, to) either way from mid-pad.

        All of the edge, or its ends, or its middle; (0, 0) where none surely does.
        """
        if self._reach(0.0, self.half, tops, ys) <= radius:
            return 0.0, self.half
        ends, middle = self.half, 0.0
        for n in range(1, _HALVINGS):
            step = self.half / 2**n
            if self._reach(ends - step, self.half, tops, ys) <= radius:
                ends -= step
            if self._reach(0.0, middle + step, tops, ys) <= radius:
                middle += step
        return (ends, self.half) if self.half - ends > middle else (0.0, middle)

    def _reach(self, start: float, end: float, tops: Point, ys: Point) -> float:
        """The greatest hub radius of the inner edge between two angles, either way from mid-pad.

        Every point of it stands further out the higher the lining is put, the greater the inner
        radius is and the less the outer one (which holds the centre down), and the further the
        centre lies towards its own side of the pad; and the nearer it is to straight on beyond the
        centre, as seen from the hub axis.
        """
        radius, up = self.inner + self.spread, tops[1] - (self.outer - self.spread)
        y = max(-ys[0], ys[1])  # of either side the same
        angle = min(max(math.atan2(y, up), start), end)
        return math.hypot(y + radius * math.sin(angle), up + radius * math.cos(angle))

    def rises_below(self, lost: Point) -> float:
        """The share lost below which it surely rises with the outline's size.

        A less inner radius adds its inner edge, and to what is lost that part of it which lies
        there. A greater outer radius moves the sector's centre hubward: the outline then grows by
        `2 half R_o` a millimetre in all, and `R_i (2 sin to - 2 sin from)` of that by its inner
        edge where it is lost. A share rises where what is added holds more of it than there is.
        """
        start, end = lost
        swept = (self.inner - self.spread) * (math.sin(end) - math.sin(start))
        return min((end - start) / self.half, swept / (self._outer_most * self.half))

    def mean_falls(self, tops: Point, ys: Point, least_mean: float, outermost: float) -> bool:
        """Whether the mean radius surely falls as the outline grows, none of its inner edge lost.

        Growth at a point of the edge draws the mean towards that point. A less inner radius adds
        points within the mean. A greater outer one adds the inner edge (`2 R_i sin half` a
        millimetre), the sides (`sin half` along each) and what the arc grows by at its ends
        (`2 R_o (half - sin half)`); of the last two no more than lies beyond the mean counts
        against the first.
        """
        within = least_mean - self._reach(0.0, self.half, tops, ys)
        beyond = max(outermost - least_mean, 0.0)
        sine = math.sin(self.half)
        inward = within * 2 * (self.inner - self.spread) * sine
        return inward >= beyond * beyond * sine + beyond * 2 * self._outer_most * (self.half - sine)

    def mean_bends(
        self, tops: Point, ys: Point, left: float, nearest: float, across: float, whole: bool
    ) -> float:
        """How far the mean radius may lie beyond those of the largest and the smallest outline, all
        of its inner edge lost: then the outer radius alone moves it.

        It does so at the rate `N / A`, `N` being `r - M` summed along what is left of the sides,
        times the sine of half the angle, and of the outer edge, times `1 - cos`. That rate changes
        by no more than this gives for a millimetre: no point moves by more than two, and the ends
        of what is left of a side by that over the cosine of its lean to the radius. Of an outer
        edge that is cut (not `whole`) any part may be left. `left` is the least area left, mm²,
        `nearest` the least hub radius there, `across` the most that one is off the mean.
        """
        sine, deep = math.sin(self.half), self.outer - self.inner
        off = max(abs(top - self.outer) for top in tops) + self.spread
        lean = math.hypot(off, max(abs(y) for y in ys)) / nearest
        if lean >= 1.0:
            return math.inf
        side = 2 * (deep + 2 * self.spread) * sine
        arc = 2 * self._outer_most * (self.half - sine)
        turn, way = across * (side + arc) / left, 2 * self.spread
        changes = (2 + turn) * way * (side + (arc if whole else 0.0))
        changes += 0.0 if whole else across * arc
        changes += 8 / math.sqrt(1 - lean * lean) * way * across * sine
        return self.spread * (changes + turn * (side + arc) * way) / left

    def between(self, lost: Point = (0.0, 0.0)) -> float:
        """The most area between any two of its forms, but for where the inner edge is lost."""
        start, end = lost
        edge = 2 * (self.half - (end - start)) * (self.inner + self.spread)
        whole = 2 * self.half * self._outer_most
        swept = 2 * (self.inner - self.spread) * (math.sin(end) - math.sin(start))
        return 2 * self.spread * (edge + whole - swept)

    @property
    def _outer_most(self) -> float:
        return self.outer + self.spread


def sector_forms(inner_mm: float, outer_mm: float, angle_deg: float, spread_mm: float) -> Forms:
    """A sector of radii within ± `spread_mm` whose outer edge at mid-pad stays where it is.

    A greater outer radius, like a less inner one, moves no part of the outline inward: so the two
    forms hold all between. ValueError as `sector`.
    """
    known = SectorDoubt(inner_mm, outer_mm, math.radians(angle_deg) / 2, spread_mm)
    return Forms(
        sector(inner_mm - spread_mm, outer_mm + spread_mm, angle_deg),
        sector(inner_mm + spread_mm, outer_mm - spread_mm, angle_deg),
        known.between(),
        known,
    )


def polygon_forms(points: Sequence[Point], spread_mm: float) -> Forms:
    """A polygon each coordinate of whose points lies within ± `spread_mm`.

    An edge with the normal (n_u, n_v) then stays within `spread (|n_u| + |n_v|)` of its line. Moved
    out by as much, all edges together enclose every such polygon; moved in, they lie in each, since
    no edge comes to pass over any point of what they enclose. ValueError where an edge is too short
    to be moved so, and as `polygon`.
    """
    ring = [a for a, b in zip(points, [*points[1:], points[0]], strict=True) if a != b]
    closed = [*ring, ring[0]]
    twice = sum(a[0] * b[1] - a[1] * b[0] for a, b in pairwise(closed))
    way = math.copysign(1.0, twice)
    outward, inward = (_moved(ring, way * spread_mm), _moved(ring, -way * spread_mm))
    large, small = polygon(outward), polygon(inward)
    return Forms(large, small, large.area_mm2 - small.area_mm2)


def _moved(ring: Sequence[Point], spread: float) -> list[Point]:
    """The ring with every edge moved to its right (anticlockwise: outward) and joined anew."""
    lines: list[tuple[Point, Point, float]] = []
    for (u0, v0), (u1, v1) in pairwise([*ring, ring[0]]):
        length = math.hypot(u1 - u0, v1 - v0)
        normal = (v1 - v0) / length, (u0 - u1) / length
        off = normal[0] * u0 + normal[1] * v0
        lines.append(((u0, v0), normal, off + spread * (abs(normal[0]) + abs(normal[1]))))
    corners: list[Point] = []
    for (_, one, c1), (at, two, c2) in zip([lines[-1], *lines[:-1]], lines, strict=True):
        cross = one[0] * two[1] - one[1] * two[0]
        if abs(cross) < _PARALLEL:
            gone = c2 - (two[0] * at[0] + two[1] * at[1])
            corners.append((at[0] + gone * two[0], at[1] + gone * two[1]))
        else:
            corners.append(
                ((c1 * two[1] - c2 * one[1]) / cross, (c2 * one[0] - c1 * two[0]) / cross)
            )
    for a, b, (u0, v0), (u1, v1) in zip(
        corners, [*corners[1:], corners[0]], ring, [*ring[1:], ring[0]], strict=True
    ):
        if (b[0] - a[0]) * (u1 - u0) + (b[1] - a[1]) * (v1 - v0) <= 0.0:
            raise ValueError("lining polygon: its ± is too great for so short an edge")
    # Rounding must not make an upright edge lean.
    return [(round(u, 9), round(v, 9)) for u, v in corners]


def strip_mm2(points: Sequence[Point], spread_mm: float) -> float:
    """Area of the strip about a polygon's edge that no point of the edge leaves under a ± of each
    coordinate; where its forms cannot be told, what lies there may be lining or not."""
    wide = spread_mm * math.sqrt(2)
    around = sum(math.dist(a, b) for a, b in pairwise([*points, points[0]]))
    return 2 * wide * around + math.pi * wide * wide
