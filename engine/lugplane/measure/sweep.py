"""What room the turning wheel leaves round a caliper.

Everything is set in the section half-plane: `x` axial, outboard positive, `r` from the hub axis,
mm. The wheel turns, so a caliper point off the middle of the bolt line passes the wheel at the
radius `swept_radius` gives. Caliper and wheel must be given in the same `x` (a wheel measured from
its seat is moved to the seat's place first).

Convention of the signed gap
    *Barrel*: its inside surface as points along `x`, either way round. Free is what lies nearer the
    axis than the barrel at the same `x` (where it folds, than the surface met first from the axis).
    Past its outboard end (the one with the greater `x`) it counts as going on at that end's radius.
    Inboard of its other end, the lip, there is no barrel and everything is free; the lip's edge
    still counts by its distance.
    *Spoke back*: points along `r`, either way round. Free is what lies inboard of it at the same
    `r` (of the surface met first from inboard). From its inner end it is carried on at that end's
    `x` down to the axis: what was not measured there is not taken for room. Where it does not
    begin at the barrel's end, a straight line joins the two; a rounded inside corner lies behind
    that line. Both additions belong to the spoke back, and distances to them count.
    *Caliper*: its points and the straight lines between each and the next. Between two points of
    one straight edge the true swept radius is at most the line's, as hypot is convex, so the line
    is on the safe side towards the barrel; towards a spoke back that comes inboard near the hub it
    is as good as the points are close.
    *Gap*: least distance between caliper and wheel while the caliper is in the free room, 0 where
    they touch or cross. A point of the caliper beyond the wheel makes the gap negative: minus its
    distance from the surface it has passed, the deepest such point counting. The places of the
    caliper's lines nearest to a point of the wheel count as points, so that a hump which pokes
    through between two caliper points is seen.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from typing import Literal, TypeAlias, cast

Point: TypeAlias = tuple[float, float]
Side: TypeAlias = Literal["barrel", "spoke"]
Segment: TypeAlias = tuple[Point, Point]


_TOUCHING = 1e-9


@dataclass(frozen=True, slots=True)
class Gap:
    """Least room to one side of the wheel.

    `gap_mm` signed as the module says; `point_index` the caliper point nearest to the place;
    `side` which surface; `foot` the place on that surface, (x, r) in mm.
    """

    gap_mm: float
    point_index: int
    side: Side
    foot: Point


@dataclass(frozen=True, slots=True)
class WheelGaps:
    """Least room to the barrel and to the spoke back, each by itself."""

    barrel: Gap
    spoke: Gap


def swept_radius(bolt_line_radius: float, r: float, y_offset: float, y: float) -> float:
    """Hub radius in mm at which a caliper point passes the wheel.

    `r` radially from the bolt line, which is `bolt_line_radius` (with any radial spacer) from the
    hub axis; `y` along the bolt line from the caliper's middle, itself `y_offset` from the foot of
    the perpendicular from the axis. Pythagoras.
    """
    return math.hypot(bolt_line_radius + r, y_offset + y)


def signed_gap(points: Sequence[Point], barrel: Sequence[Point], spoke: Sequence[Point]) -> Gap:
    """The tighter of the two `wheel_gaps` (the barrel's when equal); same arguments and errors."""
    gaps = wheel_gaps(points, barrel, spoke)
    return gaps.barrel if gaps.barrel.gap_mm <= gaps.spoke.gap_mm else gaps.spoke


def wheel_gaps(
    points: Sequence[Point], barrel: Sequence[Point], spoke: Sequence[Point]
) -> WheelGaps:
    """Signed gaps between a caliper's outline and the two inside surfaces of a wheel.

    `points`: the caliper, (x, swept radius) in mm, in order along its outline; `barrel`, `spoke`:
    (x, r) in mm in the same `x`. Convention: see the module. ValueError if `points` is empty, a
    surface has fewer than two points, a number is not finite or a radius negative, the barrel's
    ends have the same `x` or the spoke back's the same `r`.
    """
    _check_points(points, "caliper outline", 1)
    _check_points(barrel, "barrel", 2)
    _check_points(spoke, "spoke back", 2)
    inboard_first, outer_first = _surfaces(barrel, spoke)
    return WheelGaps(
        barrel=_gap(points, inboard_first, "barrel"), spoke=_gap(points, outer_first, "spoke")
    )


def greatest_gaps(
    boxes: Sequence[Sequence[Point]], barrel: Sequence[Point], spoke: Sequence[Point]
) -> tuple[float, float]:
    """Bounds that the gaps to barrel and spoke back cannot exceed, wherever the caliper lies, mm.

    `boxes`: for each point of the caliper's outline (or of its lines) the corners of the rectangle,
    square to the axes, in which it may lie. A gap is no greater than any free point's distance from
    any wall, and that distance is greatest at a corner, since the distance from a straight line is
    convex. Of a point that is surely beyond a surface the gap is at most minus the least distance
    from its rectangle to that surface. Rectangles are cut where walls end: a part that one wall
    alone goes through is free on one side of it only. ValueError as `wheel_gaps`.
    """
    found: list[float] = []
    for side, surface in zip(("barrel", "spoke"), _surfaces(barrel, spoke), strict=True):
        walls = list(pairwise(surface))
        best = math.inf
        for corners in boxes:
            parts = _cut(corners, walls, cast(Side, side))
            best = min(best, max(_greatest_in(part, walls, cast(Side, side)) for part in parts))
        found.append(best)
    return found[0], found[1]


def _cut(corners: Sequence[Point], walls: Sequence[Segment], side: Side) -> list[list[Point]]:
    """A rectangle in parts within which, along the surface, no wall ends."""
    along, across = (0, 1) if side == "barrel" else (1, 0)
    low, high = min(c[along] for c in corners), max(c[along] for c in corners)
    ends = {e[along] for wall in walls for e in wall}
    marks = [low, *sorted(e for e in ends if low < e < high), high]
    sides = min(c[across] for c in corners), max(c[across] for c in corners)
    return [
        [_point(at, where, along) for at, where in product((a, z), sides)]
        for a, z in pairwise(marks)
    ]


def _greatest_in(corners: Sequence[Point], walls: Sequence[Segment], side: Side) -> float:
    """What the gap of a point in such a part cannot exceed."""
    if _surely_beyond(corners, walls, side):
        return -_least_apart(corners, walls)
    (x0, r0), (x1, r1) = map(min, *corners), map(max, *corners)
    across = ((x0, r0), (x1, r1))
    through = [
        w for w in walls if _apart(across, w) == 0.0 and _least_apart(corners, [w]) <= _TOUCHING
    ]
    best = math.inf
    for wall in walls:
        free = corners
        if through == [wall]:
            free = [c for c in corners if not _beyond(c, walls, side)]
        far = max((math.dist(_nearest_on(wall, at), at) for at in free), default=0.0)
        best = min(best, far)
    return best


def _surely_beyond(corners: Sequence[Point], walls: Sequence[Segment], side: Side) -> bool:
    """Whether all of a rectangle lies on the wheel's side of a surface.

    Between two neighbouring ends of walls the surface met first is nowhere further than the least
    of the walls' own furthest places there.
    """
    along, across = (0, 1) if side == "barrel" else (1, 0)
    nearest = min(c[across] for c in corners)
    low, high = min(c[along] for c in corners), max(c[along] for c in corners)
    if not all(_beyond(c, walls, side) for c in corners):
        return False
    ends = {e[along] for wall in walls for e in wall}
    marks = sorted({low, high, *(e for e in ends if low < e < high)})
    for a, b in pairwise(marks):
        over = [w for w in walls if min(w[0][along], w[1][along]) <= a < b <= _top(w, along)]
        if over:
            if min(max(_at(w, a, along, across), _at(w, b, along, across)) for w in over) > nearest:
                return False
        elif not _beyond(_point((a + b) / 2, nearest, along), walls, side):
            return False
    return True


def _top(wall: Segment, along: int) -> float:
    return max(wall[0][along], wall[1][along])


def _at(wall: Segment, where: float, along: int, across: int) -> float:
    """Coordinate `across` of a wall that is not square to `along`."""
    (a, b) = wall
    share = (where - a[along]) / (b[along] - a[along])
    return a[across] + share * (b[across] - a[across])


def _point(at: float, across: float, along: int) -> Point:
    return (at, across) if along == 0 else (across, at)


def _least_apart(corners: Sequence[Point], walls: Sequence[Segment]) -> float:
    """Least distance of a rectangle, all that is in it included, from a surface."""
    x0, x1 = min(c[0] for c in corners), max(c[0] for c in corners)
    r0, r1 = min(c[1] for c in corners), max(c[1] for c in corners)
    if any(x0 <= x <= x1 and r0 <= r <= r1 for wall in walls for x, r in wall):
        return 0.0
    ring: list[Point] = [(x0, r0), (x1, r0), (x1, r1), (x0, r1), (x0, r0)]
    return min(
        math.dist(on_edge, on_wall)
        for edge in pairwise(ring)
        for wall in walls
        for on_edge, on_wall in _nearest_pairs(edge, wall)
    )


def _surfaces(barrel: Sequence[Point], spoke: Sequence[Point]) -> tuple[list[Point], list[Point]]:
    """Barrel from its inboard end and spoke back from its outer end, joined, down to the axis."""
    if barrel[0][0] == barrel[-1][0]:
        raise ValueError("barrel: its two ends have the same x")
    if spoke[0][1] == spoke[-1][1]:
        raise ValueError("spoke back: its two ends have the same r")
    inboard_first = list(barrel) if barrel[0][0] < barrel[-1][0] else list(barrel)[::-1]
    outer_first = list(spoke) if spoke[0][1] > spoke[-1][1] else list(spoke)[::-1]
    if outer_first[0] != inboard_first[-1]:
        outer_first.insert(0, inboard_first[-1])
    if outer_first[-1][1] > 0.0:
        outer_first.append((outer_first[-1][0], 0.0))
    return inboard_first, outer_first


def _check_points(points: Sequence[Point], name: str, least: int) -> None:
    if len(points) < least:
        raise ValueError(f"{name}: {len(points)} points, at least {least} needed")
    for x, r in points:
        if not (math.isfinite(x) and math.isfinite(r) and r >= 0.0):
            raise ValueError(f"{name}: ({x:g}, {r:g}) is not a point of the section (x, r >= 0)")


def _gap(points: Sequence[Point], surface: Sequence[Point], side: Side) -> Gap:
    walls = list(pairwise(surface))
    across = 1 if side == "barrel" else 0
    nearest_wall = min(p[across] for p in surface)
    boxed = [(wall, *_box(wall)) for wall in walls]
    looked_at: set[Point] = set()
    best = math.inf
    place = foot = points[0]
    index = 0
    for number, edge in enumerate(pairwise(points) if len(points) > 1 else [(points[0],) * 2]):
        x0, x1, r0, r1 = _box(edge)
        for wall, wx0, wx1, wr0, wr1 in boxed:
            # Most pairs are plainly further apart than the best so far: so are the boxes around
            # them, and already in one direction.
            x = wx0 - x1 if wx0 > x1 else x0 - wx1
            r = wr0 - r1 if wr0 > r1 else r0 - wr1
            if x >= best or r >= best:
                continue
            if x > 0.0 and r > 0.0:
                if math.hypot(x, r) >= best:
                    continue
            elif best <= 0.0:
                continue  # none is less than nothing apart
            for on_edge, on_wall in _nearest_pairs(edge, wall):
                apart = math.dist(on_edge, on_wall)
                if apart < best:
                    best, place, foot, index = apart, on_edge, on_wall, number
        if max(edge[0][across], edge[1][across]) <= nearest_wall:
            continue  # nothing of it can lie beyond the surface
        for at in (*edge, *[_nearest_on(edge, corner) for corner in surface]):
            if at in looked_at:
                continue  # it was no nearer then
            looked_at.add(at)
            if _beyond(at, walls, side):
                passed = _nearest_of(walls, at)
                depth = -math.dist(at, passed)
                if depth < best:
                    best, place, foot, index = depth, at, passed, number
    last = min(index + 1, len(points) - 1)
    nearer = index if math.dist(points[index], place) <= math.dist(points[last], place) else last
    return Gap(best, nearer, side, foot)


def _apart(one: Segment, two: Segment) -> float:
    """A distance that two straight lines surely keep: that of the boxes around them."""
    (ax, ar), (bx, br) = one
    (cx, cr), (dx, dr) = two
    x = max(min(ax, bx) - max(cx, dx), min(cx, dx) - max(ax, bx), 0.0)
    r = max(min(ar, br) - max(cr, dr), min(cr, dr) - max(ar, br), 0.0)
    return math.hypot(x, r)


def _box(of: Segment) -> tuple[float, float, float, float]:
    """The box around a straight line: least and greatest x, least and greatest r."""
    (ax, ar), (bx, br) = of
    return (*((ax, bx) if ax < bx else (bx, ax)), *((ar, br) if ar < br else (br, ar)))


def _beyond(at: Point, walls: Sequence[Segment], side: Side) -> bool:
    """Whether a point lies on the wheel's side of a surface."""
    along, across = (0, 1) if side == "barrel" else (1, 0)
    level = _first_met(walls, at[along], along, across)
    if level is None:
        last = walls[-1][1] if side == "barrel" else max(walls, key=lambda w: w[0][1])[0]
        if at[along] < last[along]:
            return False  # inboard of the barrel's lip
        level = last[across]
    return at[across] > level


def _first_met(walls: Sequence[Segment], where: float, along: int, across: int) -> float | None:
    """Least coordinate `across` of the surface at `where` along it; None where it has none."""
    found = []
    for a, b in walls:
        low, high = (a, b) if a[along] <= b[along] else (b, a)
        if low[along] <= where <= high[along]:
            if low[along] == high[along]:
                found.append(min(a[across], b[across]))
            else:
                share = (where - low[along]) / (high[along] - low[along])
                found.append(low[across] + share * (high[across] - low[across]))
    return min(found, default=None)


def _nearest_pairs(one: Segment, two: Segment) -> list[tuple[Point, Point]]:
    """Pairs (on `one`, on `two`) among which is the closest pair of two straight lines."""
    (ax, ar), (bx, br) = a, b = one
    (cx, cr), (dx, dr) = c, d = two
    pairs = [
        (a, _nearest_on(two, a)),
        (b, _nearest_on(two, b)),
        (_nearest_on(one, c), c),
        (_nearest_on(one, d), d),
    ]
    ux, ur, wx, wr = bx - ax, br - ar, dx - cx, dr - cr
    cross = ux * wr - ur * wx
    if cross != 0.0:
        s = ((cx - ax) * wr - (cr - ar) * wx) / cross
        if 0.0 <= s <= 1.0 and 0.0 <= ((cx - ax) * ur - (cr - ar) * ux) / cross <= 1.0:
            crossing = (ax + s * ux, ar + s * ur)
            pairs.append((crossing, crossing))
    return pairs


def _nearest_of(walls: Sequence[Segment], at: Point) -> Point:
    """The point of a surface nearest to `at`."""
    return min((_nearest_on(wall, at) for wall in walls), key=lambda on: math.dist(on, at))


def _nearest_on(segment: Segment, at: Point) -> Point:
    """The point of a straight line nearest to `at`."""
    (ax, ar), (bx, br) = segment
    ux, ur = bx - ax, br - ar
    square = ux * ux + ur * ur
    if square == 0.0:
        return segment[0]
    share = ((at[0] - ax) * ux + (at[1] - ar) * ur) / square
    if share <= 0.0:
        return segment[0]
    if share >= 1.0:
        return segment[1]
    # From the nearer end, so that an end is met exactly.
    if share > 0.5:
        rest = 1.0 - share
        return (bx - rest * ux, br - rest * ur)
    return (ax + share * ux, ar + share * ur)
