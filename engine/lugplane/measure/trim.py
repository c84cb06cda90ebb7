"""What two circles about the hub axis leave of a lining, and what that does to its radius.

The outline (see `outline`) is placed so that `v = 0` lies at hub radius `top_radius` and `u = 0` at
the tangential offset `y_offset`: a point (u, v) lies at t = y_offset + u across and
z = top_radius + v outward from the hub axis. The lining must lie wholly on its own side of the
axis (z >= 0), or ValueError is raised. Lengths in mm, areas in mm².

Everything is summed over columns, between all places where what bounds a column changes. The area
is closed form throughout; means are closed form along the column and Gauss-Legendre across (good to
1e-6 mm for linings up to 120°, 1e-4 mm up to 180°).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise
from typing import TypeAlias

from lugplane.measure.outline import Arc, Outline, Piece, circle_crossings

Span: TypeAlias = tuple[float, float]

# Less than this is rounding: a sector that just fills the band does not reach past it, and the ends
# of a 180° sector lie on the axis' level.
_ROUNDING_MM = 1e-9

# One lining at one place is asked for by several checks, and again with each compound of a pad.
_KEPT = 512

# The widest part of an offset along the bolt line that is bounded from its middle.
_NARROW_MM = 0.5


@dataclass(frozen=True, slots=True)
class Clipped:
    """A lining clipped to a band, and how far it reached past the band's two circles.

    `share_lost` is the part of `area_mm2` outside the band, 0 to 1. Depths are measured along the
    local hub radius, 0 where the lining stays inside: at mid-pad (u = 0) and at the two ends
    (lower `u` first) of the inner and of the outer edge. An edge ends at the corner that stands
    furthest round and, at one for one, furthest in (inner edge) or out (outer edge). The deepest
    place need not be one of the three: `outermost_radius` and `innermost_radius` give that.

    `mean_radius_mm` is the mean of the hub radius over the area left: r_eff for uniform pressure.
    `centroid_radius_mm` is the distance of its centroid from the hub axis, which is less. Both are
    None when nothing is left.
    """

    area_mm2: float
    area_left_mm2: float
    share_lost: float
    inner_depth_mid_mm: float
    inner_depth_ends_mm: tuple[float, float]
    outer_depth_mid_mm: float
    outer_depth_ends_mm: tuple[float, float]
    mean_radius_mm: float | None
    centroid_radius_mm: float | None


@dataclass(frozen=True, slots=True)
class TrimBounds:
    """What is sure of a clipped lining whose placing and band are known as intervals.

    `share_lost` (least, greatest), 0 to 1. `mean_radius_mm` (least, greatest), or None where the
    intervals allow that nothing is left. `left_mm2` is the area left (least, greatest), None where
    it is not told apart from the share.
    """

    share_lost: Span
    mean_radius_mm: Span | None
    left_mm2: Span | None = None


def r_eff_uniform_pressure(ro: float, ri: float) -> float:
    """Effective radius in mm of a sector `ri..ro` mm under uniform pressure.

    `2/3 (ro³ - ri³) / (ro² - ri²)`: the mean of r over the sector's area, the ratio of the
    integrals of r² and of r from ri to ro; the angle drops out. Standard disc-brake theory (in
    mechanical engineering design books under annular-pad caliper brakes). ValueError unless
    `0 <= ri <= ro` and `ro > 0`.
    """
    _check_radii(ro, ri)
    # Divided through by ro - ri, so that a thin lining loses no digits.
    return 2.0 / 3.0 * (ro * ro + ro * ri + ri * ri) / (ro + ri)


def r_eff_uniform_wear(ro: float, ri: float) -> float:
    """Effective radius in mm of a sector `ri..ro` mm under uniform wear: `(ro + ri) / 2`.

    Pressure then falls as 1/r, so each ring of equal width bears alike; same theory and errors as
    `r_eff_uniform_pressure`.
    """
    _check_radii(ro, ri)
    return (ro + ri) / 2.0


def _check_radii(ro: float, ri: float) -> None:
    if not 0.0 <= ri <= ro < math.inf or ro == 0.0:
        raise ValueError(f"sector radii: need 0 <= ri <= ro, ro > 0, got ri {ri:g}, ro {ro:g}")


def outermost_radius(outline: Outline, top_radius: float, y_offset: float) -> float:
    """Largest hub radius in mm of any point of the lining (often a corner)."""
    reach = [math.hypot(y_offset + u, top_radius + v) for u, v in outline.corners]
    for piece in outline.upper:
        if isinstance(piece, Arc):
            t, z = y_offset + piece.centre_u, top_radius + piece.centre_v
            away = math.hypot(t, z)
            # The circle's furthest point lies straight on beyond its centre.
            scale = piece.radius / away if away else 0.0
            if piece.holds(piece.centre_u + t * scale, piece.centre_v + z * scale):
                reach.append(away + piece.radius)
    return max(reach)


def innermost_radius(outline: Outline, top_radius: float, y_offset: float) -> float:
    """Least hub radius in mm of any point of the lining."""
    _check_side(outline, top_radius)
    reach = [math.hypot(y_offset + u, top_radius + v) for u, v in outline.corners]
    for piece in outline.lower:
        if isinstance(piece, Arc):
            t, z = y_offset + piece.centre_u, top_radius + piece.centre_v
            away = math.hypot(t, z)
            scale = piece.radius / away if away else 0.0
            if piece.holds(piece.centre_u - t * scale, piece.centre_v - z * scale):
                reach.append(abs(away - piece.radius))
        else:
            du, dv = piece.u1 - piece.u0, piece.v1 - piece.v0
            t, z = y_offset + piece.u0, top_radius + piece.v0
            length = math.hypot(du, dv)
            if 0.0 < -(t * du + z * dv) < length * length:
                reach.append(abs(t * dv - z * du) / length)
    return min(reach)


@lru_cache(maxsize=_KEPT)
def clip(
    outline: Outline,
    top_radius: float,
    y_offset: float,
    inner_radius: float,
    outer_radius: float,
) -> Clipped:
    """The part of the lining within `inner_radius <= hub radius <= outer_radius` (all mm).

    ValueError unless `0 <= inner_radius < outer_radius`, or if the lining reaches across the level
    of the hub axis.
    """
    if not 0.0 <= inner_radius < outer_radius:
        raise ValueError(
            f"band: need 0 <= inner < outer radius, got {inner_radius:g}, {outer_radius:g}"
        )
    innermost = innermost_radius(outline, top_radius, y_offset)
    outermost = outermost_radius(outline, top_radius, y_offset)
    inside = not _past(inner_radius - innermost)
    outside = not _past(outermost - outer_radius)
    left = _sums(
        outline,
        top_radius,
        y_offset,
        0.0 if inside else inner_radius,
        math.inf if outside else outer_radius,
    )
    mean = centroid = None
    if left.area > 0.0:
        mean, centroid = left.mean_r, math.hypot(left.mean_t, left.mean_z)
    area = outline.area_mm2
    kept = area if inside and outside else min(left.area, area)
    level = (innermost + outermost) / 2.0
    inner_ends = _edge_ends(outline, top_radius, y_offset, level, -1.0)
    outer_ends = _edge_ends(outline, top_radius, y_offset, level, 1.0)
    low = math.hypot(y_offset, top_radius + outline.lower_at(0.0))
    high = math.hypot(y_offset, top_radius + outline.upper_at(0.0))
    return Clipped(
        area_mm2=area,
        area_left_mm2=kept,
        share_lost=1.0 - kept / area,
        inner_depth_mid_mm=_past(inner_radius - low),
        inner_depth_ends_mm=(
            _past(inner_radius - inner_ends[0]),
            _past(inner_radius - inner_ends[1]),
        ),
        outer_depth_mid_mm=_past(high - outer_radius),
        outer_depth_ends_mm=(
            _past(outer_ends[0] - outer_radius),
            _past(outer_ends[1] - outer_radius),
        ),
        mean_radius_mm=mean,
        centroid_radius_mm=centroid,
    )


@lru_cache(maxsize=_KEPT)
def share_lost_bounds(
    outline: Outline,
    top_radius: Span,
    y_offset: Span | float,
    inner_radius: Span,
    outer_radius: Span,
    parts: int = 4,
) -> TrimBounds:
    """Bounds that hold for every `clip` with each argument somewhere in its (least, greatest).

    Never narrower than the truth. With a single `y_offset` the share's are exact when only one of
    the two circles cuts anywhere in the intervals, and the mean radius' when M is found to rise
    (see 3; always so when nothing is cut). Otherwise `top_radius` and `y_offset` are divided into
    `parts` and each is bounded by itself: more parts, closer bounds. ValueError as in `clip`, for
    the worst case in the intervals, and if an interval is reversed or those of the two circles
    overlap.

    The argument:

    1. *Share.* Lost is what lies inside the inner circle plus what lies outside the outer one, two
       sets apart. Lifting the lining (z >= 0) raises the radius of every one of its points; so as
       `top_radius` rises the first set only shrinks and the second only grows, by the width across
       of its circle's arc inside the lining, and each circle moves its own set one way. So with one
       circle cutting the share is least, and greatest, at a known corner; with two, the rate at
       which their sum may change bounds it between the ends of each part.
    2. *Mean radius M, circles.* Raising the inner circle takes away the least radii of those left,
       raising the outer one adds greater ones: M rises with both.
    3. *M, lift.* M over an area A changes with the lift at the rate
       `mean(z/r) - ((M - inner) w_inner + (outer - M) w_outer) / A`, `w` being the width across of
       the circle's arc inside the lining. Where a lower bound of that is >= 0, M rises over the
       whole interval and its ends bound it.
    4. Where it is not: lifted from a by δ, each radius grows by 0 to δ. What is left then had, at
       a, radii of at most `outer`, and whatever of it was not left at a was below `inner`; so its
       mean at a was at most M(a), and M(a + δ) <= M(a) + δ. Likewise M(b - δ) >= M(b) - δ.
    5. *y_offset.* Moved along it, an area cut off changes at the rate `G`, the height (from end to
       end, signed) of its circle's arc inside the lining; M at the rate
       `mean(t/r) - ((M - inner) G_inner + (outer - M) G_outer) / A`. Within h of a middle value
       either differs from what it is there by no more than h times its greatest rate; of a lining
       set evenly about the middle that is next to nothing.
    """
    shares, means = [], []
    for box, share in _shares(outline, top_radius, y_offset, inner_radius, outer_radius, parts):
        shares.append(share)
        # Less is all lost but for rounding.
        if share[1] < 1.0 - 1e-9:
            left = outline.area_mm2 * (1.0 - share[1]), outline.area_mm2 * (1.0 - share[0])
            low, high = box.mean(left)
            means.append((max(box.inners[0], low), min(box.outers[1], high)))
    return TrimBounds(_hull(shares), _hull(means) if len(means) == len(shares) else None)


def share_bounds(
    outline: Outline,
    top_radius: Span,
    y_offset: Span,
    inner_radius: Span,
    outer_radius: Span,
    parts: int = 4,
) -> Span:
    """The share's bounds of `share_lost_bounds`; cheaper, without the mean radius."""
    boxes = _shares(outline, top_radius, y_offset, inner_radius, outer_radius, parts)
    return _hull([share for _, share in boxes])


def area_lost_bounds(
    outline: Outline,
    top_radius: Span,
    y_offset: Span,
    inner_radius: Span,
    outer_radius: Span,
    parts: int = 4,
) -> Span:
    """The same as an area in mm²."""
    low, high = share_bounds(outline, top_radius, y_offset, inner_radius, outer_radius, parts)
    return low * outline.area_mm2, high * outline.area_mm2


def _hull(spans: Sequence[Span]) -> Span:
    return min([low for low, _ in spans]), max([high for _, high in spans])


@lru_cache(maxsize=_KEPT)
def _shares(
    outline: Outline,
    top_radius: Span,
    y_offset: Span | float,
    inner_radius: Span,
    outer_radius: Span,
    parts: int,
) -> tuple[tuple[_Box, Span], ...]:
    """The intervals in parts along `y_offset`, and the share lost in each."""
    boxes = _boxes(outline, top_radius, y_offset, inner_radius, outer_radius, parts)
    return tuple((box, box.share()) for box in boxes)


def _boxes(
    outline: Outline,
    top_radius: Span,
    y_offset: Span | float,
    inner_radius: Span,
    outer_radius: Span,
    parts: int,
) -> Iterator[_Box]:
    """The intervals in `parts` along `y_offset`, checked."""
    tops = _interval(top_radius, "top radius")
    inners = _interval(inner_radius, "inner radius")
    outers = _interval(outer_radius, "outer radius")
    ys = _interval(
        y_offset if isinstance(y_offset, tuple) else (y_offset, y_offset), "tangential offset"
    )
    if parts < 1:
        raise ValueError("trim bounds: at least one part")
    if inners[0] < 0.0 or not inners[1] < outers[0]:
        raise ValueError("trim bounds: need 0 <= inner < outer radius all over the intervals")
    _check_side(outline, tops[0])
    # What a narrow part leaves in doubt falls with the square of its width.
    for y0, y1 in _parts(ys, min(parts, max(1, math.ceil((ys[1] - ys[0]) / _NARROW_MM)))):
        yield _Box(
            outline,
            tops,
            (y0 + y1) / 2.0,
            (y1 - y0) / 2.0,
            inners,
            outers,
            least=(inners[0], outers[0]),
            most=(inners[1], outers[1]),
            lean=_sines(outline, tops[0], y0, y1),
            parts=parts,
            reach=(
                innermost_radius(outline, tops[0], (y0 + y1) / 2.0) - (y1 - y0) / 2.0,
                outermost_radius(outline, tops[1], (y0 + y1) / 2.0) + (y1 - y0) / 2.0,
            ),
        )


@dataclass(frozen=True, slots=True)
class _Box:
    """One `y_offset` and what lies within `half` of it, with intervals of the rest: `tops`; the
    circles `inners`, `outers`, both at their `least` and at their `most`; `lean`, bounds of t/r
    over the lining that include 0; `reach`, the least and the greatest hub radius of it. `known`,
    `areas` and `heights` keep what was already reckoned, since corners of the intervals recur."""

    outline: Outline
    tops: Span
    y: float
    half: float
    inners: Span
    outers: Span
    least: Span
    most: Span
    lean: Span
    parts: int
    reach: Span
    known: dict[tuple[float, float, float], _Sums] = field(default_factory=dict)
    areas: dict[tuple[float, float, float], float] = field(default_factory=dict)
    heights: dict[tuple[float, Span], _Height] = field(default_factory=dict)

    def share(self) -> Span:
        """Bounds of the share lost."""
        both = self._cuts(self.most[0]) and self._cuts(self.least[1])
        area = self.outline.area_mm2
        parts = self.parts if both else 0
        low = self._least_lost(self.tops, self.least[0], self.most[1], parts)
        high = -self._least_lost(self.tops, self.most[0], self.least[1], parts, -1.0)
        return max(0.0, low / area), min(1.0, high / area)

    def _cuts(self, radius: float) -> bool:
        """Whether a circle may cut the lining anywhere in the box."""
        nearest, furthest = self.reach
        return _past(radius - nearest) > 0.0 and _past(furthest - radius) > 0.0

    def _moved(self, tops: Span, inner: float, outer: float) -> float:
        """How far the area lost may be off for want of a single `y_offset`, mm²."""
        if not self.half:
            return 0.0
        one, two = self._height(inner, tops), self._height(outer, tops)
        return self.half * max(two.high - one.low, one.high - two.low)

    def _height(self, radius: float, tops: Span) -> _Height:
        if not self._cuts(radius):
            return _NO_ARC
        if (radius, tops) not in self.heights:
            found = _arc_height(self.outline, self.y, self.half, tops, radius)
            self.heights[radius, tops] = found
        return self.heights[radius, tops]

    def _least_lost(
        self, tops: Span, inner: float, outer: float, parts: int, way: float = 1.0
    ) -> float:
        """A bound of `way` times the area lost to two circles, never above its least over `tops`.

        Where only one of them can cut (no `parts`), the lesser of both ends, whatever the offset is
        within `half`. Where both do, the
        rate of change is `w_outer - w_inner`: unless that has one sign, each of the parts is
        looked at by itself; from each end of it the area falls no faster than at the least rate,
        and the two lines from the ends meet at the bound.
        """
        low, high = tops
        ends = [way * (self._inside(top, inner) + self._outside(top, outer)) for top in tops]
        if not parts or low == high:
            return min(
                end - self._moved((top, top), inner, outer)
                for end, top in zip(ends, tops, strict=True)
            )
        inners, outers = (
            [_arc_width(self.outline, self.y, tops, radius, sure) for sure in (True, False)]
            for radius in (inner, outer)
        )
        rates = sorted((way * (outers[0] - inners[1]), way * (outers[1] - inners[0])))
        if parts > 1:
            return min(self._least_lost(part, inner, outer, 1, way) for part in _parts(tops, parts))
        moved = self._moved(tops, inner, outer)
        if rates[0] >= 0.0 or rates[1] <= 0.0:
            return min(ends) - moved
        (falling, rising), across = rates, high - low
        at = (ends[0] - ends[1] + rising * across) / (rising - falling)
        return min(*ends, ends[0] + falling * min(max(at, 0.0), across)) - moved

    def mean(self, left: Span) -> Span:
        """Bounds of the mean radius, of which so many mm² (least, greatest) are left everywhere."""
        start, end = self.tops
        low = high = None
        if self._rises(self.least, left[0]):
            low = self._mean(start, self.least)
        if self._rises(self.most, left[0]):
            high = self._mean(end, self.most)
        parts = _parts(self.tops, self.parts)
        if low is None:
            low = min(self._least_mean(part, self.least, left) for part in parts)
        if high is None:
            high = -min(self._least_mean(part, self.most, left, -1.0) for part in parts)
        low = max(low, innermost_radius(self.outline, start, self.y))
        high = min(high, outermost_radius(self.outline, end, self.y))
        if not self.half:
            return low, high
        return (
            low - self._mean_moved(self.least, (low, high), left[0]),
            high + self._mean_moved(self.most, (low, high), left[0]),
        )

    def _mean_moved(self, circles: Span, means: Span, least_area: float) -> float:
        """How far the mean radius may be off for want of a single `y_offset`, mm.

        Its rate by 5 of `share_lost_bounds`. The mean of t/r itself changes with the place by less
        than 1/r at each point of the lining, and where a circle cuts by no more than the furthest
        of t/r from it, times the arc, over the area.
        """
        (low, high), (inner, outer) = self.tops, circles
        one, two = self._height(inner, self.tops), self._height(outer, self.tops)
        nearest = max(inner, self.reach[0])
        if nearest <= 0.0:
            return math.inf
        lift = (high - low) / 2.0
        arcs = self.half * (one.both + two.both) + lift * (one.wide + two.wide)
        rate = abs(self._sums_at((low + high) / 2.0, inner, outer).mean_lean)
        rate += (self.half + lift) / nearest + (self.lean[1] - self.lean[0]) * arcs / least_area
        reach = max(0.0, means[1] - inner), max(0.0, outer - means[0])
        rate += (reach[0] * one.most + reach[1] * two.most) / least_area
        # The mean is off by as much itself, and stands in its own rate.
        again = self.half * (one.most + two.most) / least_area
        return self.half * rate / (1.0 - again) if again < 1.0 else math.inf

    def _rises(self, circles: Span, least_area: float) -> bool:
        """Whether the mean radius is sure to rise with the lift all over `tops`."""
        (start, end), (inner, outer) = self.tops, circles
        at_start, at_end = self._mean(start, circles), self._mean(end, circles)
        spread = self.lean[1] - self.lean[0]
        width = self.outline.u_max - self.outline.u_min
        loss = 0.0
        if innermost_radius(self.outline, start, self.y) < inner:
            loss += (at_start + (end - start) - inner) * min(width, inner * spread)
        if outermost_radius(self.outline, end, self.y) > outer:
            loss += (outer - (at_end - (end - start))) * min(width, outer * spread)
        steepest = max(-self.lean[0], self.lean[1])
        return math.sqrt(max(0.0, 1.0 - steepest * steepest)) * least_area >= loss

    def _least_mean(self, tops: Span, circles: Span, left: Span, way: float = 1.0) -> float:
        """A bound of `way` times the mean radius, never above its least over `tops`.

        From either end it changes no faster than at the least and the greatest rate (see 3 of
        `share_lost_bounds`, and 4 for how far it can come at all); where that has not one sign, the
        two lines from the ends meet at the bound.
        """
        (low, high), (inner, outer) = tops, circles
        across = high - low
        ends = [self._mean(top, circles) for top in tops]
        if not across:
            return way * ends[0]
        between = max(inner, ends[1] - across), min(outer, ends[0] + across)
        rates = [math.sqrt(max(0.0, 1.0 - max(-self.lean[0], self.lean[1]) ** 2)), 1.0]
        for radius, reach in (
            (inner, (between[0] - inner, between[1] - inner)),
            (outer, (outer - between[1], outer - between[0])),
        ):
            sure, wide = (_arc_width(self.outline, self.y, tops, radius, s) for s in (True, False))
            rates[0] -= reach[1] * wide / left[0]
            rates[1] -= reach[0] * sure / left[1]
        slow, fast = sorted(way * rate for rate in rates)
        first, last = (way * end for end in ends)
        if slow >= 0.0 or fast <= 0.0:
            return min(first, last)
        at = min(max((first - last + fast * across) / (fast - slow), 0.0), across)
        return min(first, last, max(first + slow * at, last - fast * (across - at)))

    def _mean(self, top: float, circles: Span) -> float:
        return self._sums_at(top, *circles).mean_r

    def _inside(self, top: float, inner: float) -> float:
        """Area inside the inner circle, mm²; exactly 0 where it does not cut."""
        if not _past(inner - innermost_radius(self.outline, top, self.y)):
            return 0.0
        return self._less(top, inner, math.inf)

    def _outside(self, top: float, outer: float) -> float:
        """Area outside the outer circle, mm²; exactly 0 where it does not cut."""
        if not _past(outermost_radius(self.outline, top, self.y) - outer):
            return 0.0
        return self._less(top, 0.0, outer)

    def _less(self, top: float, inner: float, outer: float) -> float:
        """The lining's area less what lies between two circles, mm²."""
        key = (top, inner, outer)
        if key not in self.areas:
            left = math.fsum(
                roof.area_under(start, end) - floor.area_under(start, end)
                for start, end, roof, floor in _columns(self.outline, top, self.y, inner, outer)
            )
            self.areas[key] = max(0.0, self.outline.area_mm2 - left)
        return self.areas[key]

    def _sums_at(self, top: float, inner: float, outer: float) -> _Sums:
        key = (top, inner, outer)
        if key not in self.known:
            self.known[key] = _sums(self.outline, top, self.y, inner, outer)
        return self.known[key]


def _arc_width(outline: Outline, y: float, tops: Span, radius: float, sure: bool) -> float:
    """Width across of a circle's arc inside the lining: never above (`sure`) or below that anywhere
    in an interval of `top_radius`."""
    floor_at, roof_at = tops[::-1] if sure else tops
    width = 0.0
    for strip in outline.strips:
        cuts = {strip.u0, strip.u1, -y - radius, radius - y}
        cuts.update(circle_crossings(strip.lower, -y, -floor_at, radius))
        cuts.update(circle_crossings(strip.upper, -y, -roof_at, radius))
        for start, end in pairwise(sorted(u for u in cuts if strip.u0 <= u <= strip.u1)):
            u = (start + end) / 2.0
            square = radius * radius - (y + u) * (y + u)
            if square <= 0.0:
                continue
            z = math.sqrt(square)
            if strip.lower.at(u) + floor_at < z < strip.upper.at(u) + roof_at:
                width += end - start
    return max(0.0, width - _ROUNDING_MM) if sure else width + _ROUNDING_MM


@dataclass(frozen=True, slots=True)
class _Height:
    """A circle's arc inside a lining, wherever that may lie: bounds `low..high` of its height, and
    the most that it measures in all up and down (`both`) and across (`wide`), mm."""

    low: float
    high: float
    both: float
    wide: float

    @property
    def most(self) -> float:
        """The greatest height either way."""
        return max(-self.low, self.high)


_NO_ARC = _Height(0.0, 0.0, 0.0, 0.0)


def _arc_height(outline: Outline, y: float, half: float, tops: Span, radius: float) -> _Height:
    """Height of a circle's arc inside the lining, `z` at its lower `t` less `z` at its higher one.

    It holds within `half` of `y` and in `tops`. Of a stretch of `u` the height is the sum of t/z,
    which rises with `y`. Moved along, the arc shifts against the lining by no more than `half`
    times its greatest t/z, the same as a lift of as much.
    """
    low = high = both = wide = 0.0
    ys = y - half, y + half
    square = radius * radius

    def heights(u: float) -> tuple[float, ...]:
        """`z` at a column, left and right of the arc's top, at both ends of the offset."""
        ts = [at + u for at in ys]
        sides = (min(ts[0], 0.0), min(ts[1], 0.0), max(ts[0], 0.0), max(ts[1], 0.0))
        return tuple([math.sqrt(max(0.0, square - t * t)) for t in sides])

    for strip in outline.strips:
        furthest = max(ys[1] + strip.u1, -ys[0] - strip.u0)
        cuts, least, most = {strip.u0, strip.u1}, -math.inf, math.inf
        if furthest < radius:
            shift = half * furthest / math.sqrt(square - furthest * furthest)
            least, most = tops[0] - shift, tops[1] + shift
            for piece in (strip.lower, strip.upper):
                for top in (least, most):
                    cuts.update(circle_crossings(piece, -y, -top, radius))
        for start, end in pairwise(sorted(u for u in cuts if strip.u0 <= u <= strip.u1)):
            u = (start + end) / 2.0
            z = math.sqrt(max(0.0, square - (y + u) * (y + u)))
            under, over = strip.lower.at(u), strip.upper.at(u)
            if not under + least < z < over + most:
                continue
            fallen = [a - b for a, b in zip(heights(start), heights(end), strict=True)]
            left, right = fallen[:2], fallen[2:]
            sure = under + most < z < over + least
            low += left[0] + (right[0] if sure else 0.0)
            high += right[1] + (left[1] if sure else 0.0)
            both += right[1] - left[0]
            wide += end - start
    return _Height(low, high, both, wide)


def _interval(span: Span, name: str) -> Span:
    low, high = span
    if not -math.inf < low <= high < math.inf:
        raise ValueError(f"trim bounds: {name} ({low:g}, {high:g}) is not an interval")
    return span


def _parts(span: Span, count: int) -> list[Span]:
    """`span` divided into `count` equal parts; one if it has no length."""
    low, high = span
    if low == high:
        return [span]
    cuts = [low + (high - low) * (k / count) for k in range(count)] + [high]
    return list(pairwise(cuts))


def _sines(outline: Outline, top: float, y0: float, y1: float) -> Span:
    """Bounds, 0 included, of t/r over the lining at `top` or higher, anywhere in `y0..y1`.

    Moving by y turns every point the same way and lifting turns it towards upright, so both are
    met at `top`, one at each end. The direction from the axis has its extremes on the outline: at
    corners, or where a ray touches an arc.
    """
    return min(0.0, *_leans(outline, top, y0)), max(0.0, *_leans(outline, top, y1))


def _leans(outline: Outline, top: float, y: float) -> Iterator[float]:
    for u, v in outline.corners:
        t, z = y + u, top + v
        r = math.hypot(t, z)
        if r == 0.0:  # every direction meets the axis itself
            yield from (-1.0, 1.0)
        else:
            yield t / r
    for piece in (*outline.upper, *outline.lower):
        if isinstance(piece, Arc):
            t, z = y + piece.centre_u, top + piece.centre_v
            away = math.hypot(t, z)
            if away > piece.radius:
                # Foot of the touching ray: the centre turned by ±asin(radius / away), shortened.
                sine = piece.radius / away
                cosine = math.sqrt(1.0 - sine * sine)
                for turn in (-sine, sine):
                    foot_t = cosine * (t * cosine + z * turn)
                    foot_z = cosine * (z * cosine - t * turn)
                    if piece.holds(foot_t - y, foot_z - top):
                        yield foot_t / math.hypot(foot_t, foot_z)


def _past(reach: float) -> float:
    """How far past a circle, mm; 0 where it is not, or only by rounding."""
    return reach if reach > _ROUNDING_MM else 0.0


def _check_side(outline: Outline, top_radius: float) -> None:
    if not top_radius + outline.lowest_v >= -_ROUNDING_MM:
        raise ValueError(
            f"lining placed at {top_radius:g} mm reaches across the level of the hub axis"
        )


def _edge_ends(
    outline: Outline, top_radius: float, y_offset: float, level: float, way: float
) -> Span:
    """Hub radii of the corners that end the inner (`way` -1) or outer (+1) edge, lower `u` first.

    A corner ends an edge when none stands further round and further that way, the turn counted as
    the arc it makes at hub radius `level`.
    """
    polar = [
        (math.atan2(y_offset + u, top_radius + v) * level, math.hypot(y_offset + u, top_radius + v))
        for u, v in outline.corners
    ]
    return (
        max(polar, key=lambda corner: way * corner[1] - corner[0])[1],
        max(polar, key=lambda corner: way * corner[1] + corner[0])[1],
    )


@dataclass(frozen=True, slots=True)
class _Sums:
    """Area in mm², mean radius and centroid (across, outward) in mm, and the mean of t/r; those are
    0 if the area is."""

    area: float
    mean_r: float
    mean_t: float
    mean_z: float
    mean_lean: float


def _sums(
    outline: Outline, top: float, y: float, inner: float = 0.0, outer: float = math.inf
) -> _Sums:
    """Sums over the lining within `inner <= r <= outer`."""
    area = weight = of_r = of_t = of_z = of_lean = 0.0
    for start, end, roof, floor in _columns(outline, top, y, inner, outer):
        area += roof.area_under(start, end) - floor.area_under(start, end)
        half, middle = (end - start) / 2.0, (end + start) / 2.0
        columns = [middle + half * node for node in _NODES]
        highs, lows = roof.at_each(columns), floor.at_each(columns)
        for (_, share), u, over, under in zip(_RULE, columns, highs, lows, strict=True):
            high, low = top + over, top + under
            if low < 0.0:
                low = 0.0
            t = y + u
            tt = t * t
            r_high, r_low = math.sqrt(tt + high * high), math.sqrt(tt + low * low)
            # Primitive of sqrt(t² + z²) in z: (z r + t² ln(z + r)) / 2; of t/r: t ln(z + r).
            twice = high * r_high - low * r_low
            part = half * share
            if tt > 0.0:
                turned = t * math.log((high + r_high) / (low + r_low))
                twice += t * turned
                of_lean += part * turned
            column = part * (high - low)
            weight += column
            of_r += part * twice
            of_t += column * t
            of_z += column * (high + low)
    if weight <= 0.0:
        return _Sums(0.0, 0.0, 0.0, 0.0, 0.0)
    # Means over the columns' own sum: the rule's error then cancels all but a trace.
    return _Sums(area, of_r / weight / 2.0, of_t / weight, of_z / weight / 2.0, of_lean / weight)


@dataclass(frozen=True, slots=True)
class MeanRadius:
    """The mean hub radius of a whole lining in mm, and what it gains for each mm that the lining is
    lifted (the mean of z/r) and moved along `y_offset` (that of t/r)."""

    radius: float
    by_lift: float
    by_offset: float


def whole_mean(outline: Outline, top_radius: float, y_offset: float) -> MeanRadius:
    """The mean hub radius of a lining of which nothing is cut off. ValueError as in `clip`.

    A mean of distances: it is convex in the place, and bends nowhere more than by 1/r of the
    lining's nearest point.
    """
    _check_side(outline, top_radius)
    weight = of_r = by_lift = by_offset = 0.0
    for start, end, roof, floor in _columns(outline, top_radius, y_offset, 0.0, math.inf):
        half, middle = (end - start) / 2.0, (end + start) / 2.0
        for node, share in _RULE:
            u = middle + half * node
            high, low = top_radius + roof.at(u), max(0.0, top_radius + floor.at(u))
            t, part = y_offset + u, half * share
            r_high, r_low = math.hypot(t, high), math.hypot(t, low)
            turned = t * math.log((high + r_high) / (low + r_low)) if t else 0.0
            weight += part * (high - low)
            # Primitives in z of r, of z/r and of t/r.
            of_r += part * (high * r_high - low * r_low + t * turned) / 2.0
            by_lift += part * (r_high - r_low)
            by_offset += part * turned
    return MeanRadius(of_r / weight, by_lift / weight, by_offset / weight)


def _columns(
    outline: Outline, top: float, y: float, inner: float, outer: float
) -> Iterator[tuple[float, float, Piece, Piece]]:
    """Runs of columns (from u, to u, roof, floor) over each of which one piece or circle bounds
    what is left above, and one below."""
    # Upper halves only, the lining lying above the axis. They come down to its level where they
    # stand upright, so that they pass the lining's own pieces, and are cut there, before that.
    inner_ring, outer_ring = (
        Arc(-y - radius, radius - y, -y, -top, radius, 1) for radius in (inner, outer)
    )
    for strip in outline.strips:
        cuts = {strip.u0, strip.u1}
        for radius in (inner, outer):
            if 0.0 < radius < math.inf:
                cuts.update(circle_crossings(strip.upper, -y, -top, radius))
                cuts.update(circle_crossings(strip.lower, -y, -top, radius))
        for start, end in pairwise(sorted(u for u in cuts if strip.u0 <= u <= strip.u1)):
            u = (start + end) / 2.0
            roof, floor = strip.upper, strip.lower
            # Aside of a circle its arc counts as lying on the axis' level, below any lining.
            if outer < math.inf and outer_ring.at(u) < roof.at(u):
                roof = outer_ring
            if inner > 0.0 and inner_ring.at(u) > floor.at(u):
                floor = inner_ring
            if roof.at(u) > floor.at(u):
                yield start, end, roof, floor


def _rule(count: int) -> tuple[tuple[float, float], ...]:
    """Nodes and weights on -1..1 of the `count`-point Gauss-Legendre rule in θ, x = sin θ.

    Column heights begin like a square root where a circle stands upright; in θ they are smooth.
    Roots of the Legendre polynomial by Newton from its recurrence.
    """
    rule = []
    for k in range(count):
        x = math.cos(math.pi * (k + 0.75) / (count + 0.5))
        for _ in range(20):
            before, value = 1.0, x
            for n in range(2, count + 1):
                before, value = value, ((2 * n - 1) * x * value - (n - 1) * before) / n
            slope = count * (x * value - before) / (x * x - 1.0)
            x -= value / slope
        angle = math.pi / 2.0 * x
        weight = 2.0 / ((1.0 - x * x) * slope * slope)
        rule.append((math.sin(angle), weight * math.pi / 2.0 * math.cos(angle)))
    return tuple(rule)


_RULE = _rule(16)
_NODES = tuple(node for node, _ in _RULE)
