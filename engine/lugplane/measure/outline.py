"""The outline of a pad's lining, in the pad's own coordinates.

`u` runs along the caliper's bolt line (tangential), `v` radially, outboard positive; `v = 0` is the
outer edge of the lining at mid-pad, `u = 0`. Every length is in mm, every area in mm².

The outline is kept as two boundaries, upper and lower, each a row of straight or circular pieces
that give `v` as a function of `u`. A shape that some column `u` meets in more than one interval
cannot be kept that way and is refused.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TypeAlias

Point: TypeAlias = tuple[float, float]

# Two pieces that share an end may seem to cross a rounding error inside it.
_END_SLACK_MM = 1e-7
# Curves that pass closer than this may touch.
_TOUCH_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Line:
    """Straight piece from (u0, v0) to (u1, v1) in mm, `u0 < u1`."""

    u0: float
    v0: float
    u1: float
    v1: float

    def at(self, u: float) -> float:
        """`v` in mm at `u`, for `u0 <= u <= u1`."""
        share = (u - self.u0) / (self.u1 - self.u0)
        return self.v0 * (1.0 - share) + self.v1 * share  # exact at both ends

    def at_each(self, columns: Sequence[float]) -> list[float]:
        """`at` of many columns."""
        u0, v0, v1, wide = self.u0, self.v0, self.v1, self.u1 - self.u0
        return [v0 * (1.0 - (s := (u - u0) / wide)) + v1 * s for u in columns]

    def area_under(self, u0: float, u1: float) -> float:
        """Integral of `v` from `u0` to `u1` within the piece, mm²."""
        return (u1 - u0) * (self.at(u0) + self.at(u1)) / 2.0

    def lifted(self, dv: float) -> Line:
        """The same piece `dv` mm further out."""
        return Line(self.u0, self.v0 + dv, self.u1, self.v1 + dv)


@dataclass(frozen=True, slots=True)
class Arc:
    """Circular piece over `u0 <= u <= u1`: the half of its circle above (`side` +1) or below (-1)
    the centre. All lengths in mm; the circle must span `u0..u1`."""

    u0: float
    u1: float
    centre_u: float
    centre_v: float
    radius: float
    side: int

    def at(self, u: float) -> float:
        """`v` in mm at `u`, for `u0 <= u <= u1`."""
        du = u - self.centre_u
        # The end of a full half circle may lie a rounding error outside the circle.
        return self.centre_v + self.side * math.sqrt(max(0.0, self.radius * self.radius - du * du))

    def at_each(self, columns: Sequence[float]) -> list[float]:
        """`at` of many columns."""
        centre_u, centre_v, side, root = self.centre_u, self.centre_v, self.side, math.sqrt
        square = self.radius * self.radius
        lefts = [square - (u - centre_u) * (u - centre_u) for u in columns]
        return [centre_v + side * root(left if left > 0.0 else 0.0) for left in lefts]

    def area_under(self, u0: float, u1: float) -> float:
        """Integral of `v` from `u0` to `u1` within the piece, mm²."""
        segment = self._half_circle(u1) - self._half_circle(u0)
        return (u1 - u0) * self.centre_v + self.side * segment

    def _half_circle(self, u: float) -> float:
        """Primitive of the height of the circle above its centre."""
        x = max(-1.0, min(1.0, (u - self.centre_u) / self.radius))
        return self.radius**2 / 2.0 * (x * math.sqrt(1.0 - x * x) + math.asin(x))

    def lifted(self, dv: float) -> Arc:
        """The same piece `dv` mm further out."""
        return Arc(self.u0, self.u1, self.centre_u, self.centre_v + dv, self.radius, self.side)

    def holds(self, u: float, v: float) -> bool:
        """Whether the point (u, v) of this arc's circle lies on this arc."""
        return self.u0 <= u <= self.u1 and self.side * (v - self.centre_v) >= 0.0


Piece: TypeAlias = Line | Arc


@dataclass(frozen=True, slots=True)
class Strip:
    """Columns `u0 <= u <= u1` over which one upper and one lower piece bound the lining."""

    u0: float
    u1: float
    upper: Piece
    lower: Piece


def circle_crossings(piece: Piece, centre_u: float, centre_v: float, radius: float) -> list[float]:
    """The `u` in mm of the points where `piece` meets a circle: none, one or two.

    Where the two pass within a millionth of a mm, whether they meet or not, the near point is among
    them: beside it, which of the two is the further out can be told in spite of rounding. A piece
    that runs along the circle itself gives none.
    """
    if isinstance(piece, Line):
        return _line_crossings(piece, centre_u, centre_v, radius)
    return _arc_crossings(piece, centre_u, centre_v, radius)


def _line_crossings(line: Line, centre_u: float, centre_v: float, radius: float) -> list[float]:
    du, dv = line.u1 - line.u0, line.v1 - line.v0
    fu, fv = line.u0 - centre_u, line.v0 - centre_v
    length = math.hypot(du, dv)
    # From the foot of the perpendicular: no cancellation however long the line is.
    along = -(fu * du + fv * dv) / length
    off = abs(fu * dv - fv * du) / length
    reach = math.sqrt(max(0.0, (radius - off) * (radius + off)))
    if abs(radius - off) <= _TOUCH_MM:
        shares = [along - reach, along, along + reach]
    elif off > radius:
        return []
    else:
        shares = [along - reach, along + reach]
    return [line.u0 + s / length * du for s in shares if 0.0 <= s <= length]


def _arc_crossings(arc: Arc, centre_u: float, centre_v: float, radius: float) -> list[float]:
    du, dv = centre_u - arc.centre_u, centre_v - arc.centre_v
    apart = math.hypot(du, dv)
    least, most = abs(arc.radius - radius), arc.radius + radius
    if apart == 0.0 or not least - _TOUCH_MM <= apart <= most + _TOUCH_MM:
        return []
    along = (apart + (arc.radius - radius) * (arc.radius + radius) / apart) / 2.0
    along = max(-arc.radius, min(arc.radius, along))
    reach = math.sqrt((arc.radius - along) * (arc.radius + along))
    ways = [(along, -reach), (along, reach)]
    if min(abs(apart - least), abs(apart - most)) <= _TOUCH_MM:
        ways.append((math.copysign(arc.radius, along), 0.0))
    found = []
    for forth, aside in ways:
        u = arc.centre_u + (forth * du - aside * dv) / apart
        v = arc.centre_v + (forth * dv + aside * du) / apart
        if arc.holds(u, v):
            found.append(u)
    return found


@dataclass(frozen=True, slots=True)
class Outline:
    """A lining's outline: upper and lower boundary over the same `u_min..u_max`.

    `upper`, `lower`: pieces in order of rising `u`, each beginning at the `u` where the one before
    ends; `v` may step there. The rest is worked out: `strips` (columns under one pair of pieces),
    `corners` (both ends of every piece, as (u, v)), `area_mm2`, `lowest_v` (least `v`, mm).

    Raises ValueError if a boundary is empty or has gaps, if the two span different columns, or if
    they cross, touch between their ends or enclose nothing.
    """

    upper: tuple[Piece, ...]
    lower: tuple[Piece, ...]
    strips: tuple[Strip, ...] = field(init=False, compare=False, repr=False)
    corners: tuple[Point, ...] = field(init=False, compare=False, repr=False)
    area_mm2: float = field(init=False, compare=False)
    lowest_v: float = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        _check_row(self.upper, "upper")
        _check_row(self.lower, "lower")
        if self.upper[0].u0 != self.lower[0].u0 or self.upper[-1].u1 != self.lower[-1].u1:
            raise ValueError("lining outline: upper and lower boundary span different columns")
        strips = tuple(_strips(self.upper, self.lower))
        _check_open(strips)
        corners = tuple(
            (u, piece.at(u)) for piece in (*self.upper, *self.lower) for u in (piece.u0, piece.u1)
        )
        area = math.fsum(piece.area_under(piece.u0, piece.u1) for piece in self.upper)
        area -= math.fsum(piece.area_under(piece.u0, piece.u1) for piece in self.lower)
        bottoms = [
            piece.centre_v - piece.radius
            for piece in self.lower
            if isinstance(piece, Arc) and piece.holds(piece.centre_u, piece.centre_v - piece.radius)
        ]
        lowest = min(bottoms + [v for _, v in corners])
        object.__setattr__(self, "strips", strips)
        object.__setattr__(self, "corners", corners)
        object.__setattr__(self, "area_mm2", area)
        object.__setattr__(self, "lowest_v", lowest)

    @property
    def u_min(self) -> float:
        """First column, mm."""
        return self.upper[0].u0

    @property
    def u_max(self) -> float:
        """Last column, mm."""
        return self.upper[-1].u1

    def upper_at(self, u: float) -> float:
        """Outermost `v` in mm of column `u`; ValueError outside `u_min..u_max`."""
        return max(piece.at(u) for piece in self._over(self.upper, u))

    def lower_at(self, u: float) -> float:
        """Innermost `v` in mm of column `u`; ValueError outside `u_min..u_max`."""
        return min(piece.at(u) for piece in self._over(self.lower, u))

    def offset_v(self, dv: float) -> Outline:
        """The same outline `dv` mm further out."""
        return Outline(
            tuple(piece.lifted(dv) for piece in self.upper),
            tuple(piece.lifted(dv) for piece in self.lower),
        )

    def _over(self, row: tuple[Piece, ...], u: float) -> list[Piece]:
        found = [piece for piece in row if piece.u0 <= u <= piece.u1]
        if not found:
            raise ValueError(f"lining outline: no column at u = {u:g} mm")
        return found


def sector(inner_mm: float, outer_mm: float, angle_deg: float) -> Outline:
    """Annular sector about the point (0, -outer): the top of its outer arc is at (0, 0).

    Radii in mm, whole angle in degrees. ValueError unless `0 < inner < outer` and
    `0 < angle <= 180` (beyond that, a column would meet the lining twice).
    """
    if not 0.0 < inner_mm < outer_mm < math.inf:
        raise ValueError(f"lining sector: need 0 < inner < outer, got {inner_mm:g}, {outer_mm:g}")
    if not 0.0 < angle_deg <= 180.0:
        raise ValueError(
            f"lining sector: angle {angle_deg:g}° is not above 0 and up to 180°: "
            "a column would meet the lining more than once"
        )
    half = math.radians(angle_deg) / 2.0
    sine, cosine = math.sin(half), math.cos(half)
    out_u, out_v = outer_mm * sine, outer_mm * (cosine - 1.0)
    in_u, in_v = inner_mm * sine, inner_mm * cosine - outer_mm
    return Outline(
        upper=(Arc(-out_u, out_u, 0.0, -outer_mm, outer_mm, 1),),
        lower=(
            Line(-out_u, out_v, -in_u, in_v),
            Arc(-in_u, in_u, 0.0, -outer_mm, inner_mm, 1),
            Line(in_u, in_v, out_u, out_v),
        ),
    )


def polygon(points: Iterable[Point]) -> Outline:
    """Straight-sided outline through `points`, (u, v) in mm, in either direction round.

    The last point is joined to the first (which may be repeated). ValueError if a number is not
    finite, if fewer than three different points are left, if the shape does not span mid-pad
    (`u = 0`), if it crosses or touches itself, or if some column meets it in more than one
    interval.
    """
    ring = _ring(points)
    turns = _turns(ring)
    if len(turns) != 2:
        raise ValueError(
            "lining polygon: not simple in v: some column u meets it in more than one interval"
            if turns
            else "lining polygon: it has no width along the bolt line"
        )
    first, second = turns
    one = _row([ring[i % len(ring)] for i in range(first, second + 1)])
    other = _row([ring[i % len(ring)] for i in range(second, first + len(ring) + 1)])
    if one[0].u0 >= 0.0 or one[-1].u1 <= 0.0:
        raise ValueError("lining polygon: it does not span mid-pad, u = 0")
    # Whichever lies higher over the first strip; Outline refuses them if that changes later.
    strip = next(iter(_strips(one, other)))
    middle = (strip.u0 + strip.u1) / 2.0
    if strip.upper.at(middle) < strip.lower.at(middle):
        one, other = other, one
    return Outline(upper=one, lower=other)


def _ring(points: Iterable[Point]) -> list[Point]:
    """The points without immediate repeats."""
    ring: list[Point] = []
    for u, v in points:
        if not (math.isfinite(u) and math.isfinite(v)):
            raise ValueError(f"lining polygon: ({u}, {v}) is not a point")
        if not ring or ring[-1] != (u, v):
            ring.append((float(u), float(v)))
    if len(ring) > 1 and ring[0] == ring[-1]:
        ring.pop()
    if len(ring) < 3:
        raise ValueError("lining polygon: fewer than three different points")
    for k, (_, v) in enumerate(ring):
        before, here, after = ring[k - 1], ring[k], ring[(k + 1) % len(ring)]
        if before[0] == here[0] == after[0] and (v - before[1]) * (after[1] - v) < 0.0:
            raise ValueError(f"lining polygon: it doubles back on itself at ({here[0]:g}, {v:g})")
    return ring


def _turns(ring: Sequence[Point]) -> list[int]:
    """Indices at which the run along `u` reverses: the last point of each one-way run."""
    count = len(ring)
    ways = [
        (ring[(k + 1) % count][0] > ring[k][0]) - (ring[(k + 1) % count][0] < ring[k][0])
        for k in range(count)
    ]
    sloped = [k for k in range(count) if ways[k] != 0]
    return sorted(
        (k + 1) % count
        for k, following in zip(sloped, sloped[1:] + sloped[:1], strict=True)
        if ways[k] != ways[following]
    )


def _row(chain: list[Point]) -> tuple[Piece, ...]:
    """One boundary from a one-way run of points; upright edges are steps and give no piece."""
    if chain[0][0] > chain[-1][0]:
        chain = chain[::-1]
    return tuple(Line(*a, *b) for a, b in pairwise(chain) if a[0] != b[0])


def _strips(upper: Sequence[Piece], lower: Sequence[Piece]) -> Iterable[Strip]:
    i = j = 0
    start = upper[0].u0
    while i < len(upper) and j < len(lower):
        end = min(upper[i].u1, lower[j].u1)
        yield Strip(start, end, upper[i], lower[j])
        i, j = i + (upper[i].u1 == end), j + (lower[j].u1 == end)
        start = end


def _check_row(row: Sequence[Piece], name: str) -> None:
    if not row:
        raise ValueError(f"lining outline: the {name} boundary has no piece")
    for piece in row:
        if not -math.inf < piece.u0 < piece.u1 < math.inf:
            raise ValueError(f"lining outline: a piece of the {name} boundary has no width")
        if isinstance(piece, Arc):
            if piece.side not in (-1, 1):
                raise ValueError("lining outline: an arc's side is +1 or -1")
            furthest = max(abs(piece.u0 - piece.centre_u), abs(piece.u1 - piece.centre_u))
            if not furthest <= piece.radius * (1.0 + 1e-12):
                raise ValueError("lining outline: an arc reaches beyond its circle")
    if any(before.u1 != after.u0 for before, after in pairwise(row)):
        raise ValueError(f"lining outline: the {name} boundary has a gap or an overlap")


def _check_open(strips: Sequence[Strip]) -> None:
    """Refuse boundaries that cross, touch between their ends, or enclose nothing."""
    for strip in strips:
        middle = (strip.u0 + strip.u1) / 2.0
        ends = [strip.upper.at(u) - strip.lower.at(u) for u in (strip.u0, strip.u1)]
        if min(ends) < -_END_SLACK_MM or not strip.upper.at(middle) > strip.lower.at(middle):
            raise ValueError(f"lining outline: it crosses itself near u = {middle:g} mm")
        meets: list[float] = []
        if isinstance(strip.lower, Arc):
            arc = strip.lower
            meets = circle_crossings(strip.upper, arc.centre_u, arc.centre_v, arc.radius)
            meets = [u for u in meets if arc.holds(u, strip.upper.at(u))]
        elif isinstance(strip.upper, Arc):
            arc = strip.upper
            meets = circle_crossings(strip.lower, arc.centre_u, arc.centre_v, arc.radius)
            meets = [u for u in meets if arc.holds(u, strip.lower.at(u))]
        if any(strip.u0 + _END_SLACK_MM < u < strip.u1 - _END_SLACK_MM for u in meets):
            raise ValueError(f"lining outline: its boundaries meet near u = {meets[0]:g} mm")
    for left, right in pairwise(strips):
        u = right.u0
        roof = min(left.upper.at(u), right.upper.at(u))
        if not roof > max(left.lower.at(u), right.lower.at(u)):
            raise ValueError(f"lining outline: it falls apart at u = {u:g} mm")
