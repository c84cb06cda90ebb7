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
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from typing import Literal, TypeAlias

Point: TypeAlias = tuple[float, float]
Side: TypeAlias = Literal["barrel", "spoke"]
Segment: TypeAlias = tuple[Point, Point]
Around: TypeAlias = tuple[float, float, float, float]
"""A rectangle square to the axes: least and greatest x, least and greatest r."""


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
    return Inside.of(barrel, spoke).gaps(points)


def greatest_gaps(
    boxes: Sequence[Sequence[Point]], barrel: Sequence[Point], spoke: Sequence[Point]
) -> tuple[float, float]:
    """Bounds that the gaps to barrel and spoke back cannot exceed, wherever the caliper lies, mm.

    `boxes`: for each point of the caliper's outline (or of its lines) the corners of the rectangle,
    square to the axes, in which it may lie. ValueError as `wheel_gaps`; see `Inside.greatest`.
    """
    return Inside.of(barrel, spoke).greatest(_around(*corners) for corners in boxes)


@dataclass(frozen=True, slots=True)
class Wall:
    """A straight piece of a surface and the rectangle around it."""

    ends: Segment
    x0: float
    x1: float
    r0: float
    r1: float


@dataclass(frozen=True, slots=True)
class Surface:
    """One inside surface of a wheel, the barrel from its inboard end or the spoke back from its
    outer one, in straight walls.

    `along`, `across`: which coordinate runs along it, and which leads from the free room into it.
    `nearest` is its least coordinate `across`, `ends` are its walls' coordinates `along`, rising;
    `levels` are, of each wall, the least and greatest `along` and the least `across`; `last` is the
    end at whose level it goes on.
    """

    side: Side
    points: tuple[Point, ...]
    walls: tuple[Wall, ...]
    along: int
    across: int
    nearest: float
    ends: tuple[float, ...]
    levels: tuple[tuple[float, float, float], ...]
    last: Point

    @classmethod
    def of(cls, side: Side, points: Sequence[Point]) -> Surface:
        """From its points in that order."""
        along, across = (0, 1) if side == "barrel" else (1, 0)
        walls = tuple(Wall(ends, *_around(*ends)) for ends in pairwise(points))
        marks = sorted({p[along] for p in points})
        nearest = min(p[across] for p in points)
        levels = tuple(
            (w.x0, w.x1, w.r0) if side == "barrel" else (w.r0, w.r1, w.x0) for w in walls
        )
        last = points[-1] if side == "barrel" else max(points[:-1], key=lambda p: p[1])
        return cls(side, tuple(points), walls, along, across, nearest, tuple(marks), levels, last)

    def clear_of(self, box: Around) -> bool:
        """Whether nothing of a rectangle can be beyond: it does not reach the walls over it."""
        along, across = self.along, self.across
        low, high, top = box[2 * along], box[2 * along + 1], box[2 * across + 1]
        if top <= self.nearest:
            return True
        if high > self.ends[-1] and top > self.last[across]:
            return False
        return not any(
            level < top and least <= high and low <= most for least, most, level in self.levels
        )

    def beyond(self, at: Point) -> bool:
        """Whether a point lies on the wheel's side."""
        along, across = self.along, self.across
        if at[across] <= self.nearest:
            return False
        level = self._first_met(at[along])
        if level is None:
            if at[along] < self.last[along]:
                return False  # inboard of the barrel's lip
            level = self.last[across]
        return at[across] > level

    def _first_met(self, where: float) -> float | None:
        """Least coordinate `across` at `where` along it; None where it has none."""
        along, across = self.along, self.across
        found: float | None = None
        for wall in self.walls:
            a, b = wall.ends
            low, high = (a, b) if a[along] <= b[along] else (b, a)
            if low[along] <= where <= high[along]:
                if low[along] == high[along]:
                    level = min(a[across], b[across])
                else:
                    share = (where - low[along]) / (high[along] - low[along])
                    level = low[across] + share * (high[across] - low[across])
                if found is None or level < found:
                    found = level
        return found

    def nearest_to(self, at: Point) -> Point:
        """The point of the surface nearest to `at`."""
        feet = (_nearest_on(wall.ends, at) for wall in self.walls)
        return min(feet, key=lambda on: math.dist(on, at))


@dataclass(frozen=True, slots=True)
class Inside:
    """The inside of a wheel, prepared once for all that is held against it."""

    barrel: Surface
    spoke: Surface

    @classmethod
    def of(cls, barrel: Sequence[Point], spoke: Sequence[Point]) -> Inside:
        """From the points of barrel and spoke back. Both and the errors as in `wheel_gaps`."""
        _check_points(barrel, "barrel", 2)
        _check_points(spoke, "spoke back", 2)
        inboard_first, outer_first = _surfaces(barrel, spoke)
        return cls(Surface.of("barrel", inboard_first), Surface.of("spoke", outer_first))

    def gaps(self, points: Sequence[Point]) -> WheelGaps:
        """Signed gaps to an outline, as `wheel_gaps` has them."""
        around, found = _around(*points), []
        for surface in (self.barrel, self.spoke):
            foot = surface.points[0]
            first = Gap(math.dist(points[0], foot), 0, surface.side, foot)
            found.append(_closer(points, around, surface, first))
        return WheelGaps(*found)

    def least(self, outlines: Iterable[Sequence[Point]], known: WheelGaps) -> WheelGaps:
        """The least gaps of several outlines and of that whose gaps are known.

        An outline that is plainly further off than the least so far is not looked at closely.
        ValueError as `wheel_gaps`.
        """
        barrel, spoke = known.barrel, known.spoke
        for points in outlines:
            _check_points(points, "caliper outline", 1)
            around = _around(*points)
            barrel = _closer(points, around, self.barrel, barrel)
            spoke = _closer(points, around, self.spoke, spoke)
        return WheelGaps(barrel, spoke)

    def greatest(self, boxes: Iterable[Around]) -> tuple[float, float]:
        """Bounds that the gaps cannot exceed, where each point lies somewhere in its rectangle, mm.

        A gap is no greater than any free point's distance from any wall, and that distance is
        greatest at a corner, since the distance from a straight line is convex. Of a point that is
        surely beyond a surface the gap is at most minus the least distance from its rectangle to
        that surface. Rectangles are cut where walls end: a part that one wall alone goes through is
        free on one side of it only. The bound is the least that any rectangle gives: those in the
        tightest places are best named first, since others are then seen to give more.
        """
        some = list(boxes)
        return _greatest(some, self.barrel), _greatest(some, self.spoke)


def _around(*points: Point) -> Around:
    xs, rs = [p[0] for p in points], [p[1] for p in points]
    return min(xs), max(xs), min(rs), max(rs)


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
        if not (-math.inf < x < math.inf and 0.0 <= r < math.inf):
            raise ValueError(f"{name}: ({x:g}, {r:g}) is not a point of the section (x, r >= 0)")


# --- the least gap --------------------------------------------------------------------------------


def _closer(points: Sequence[Point], around: Around, surface: Surface, known: Gap) -> Gap:
    """The least gap of an outline, if it is less than a known one, and else that.

    `around` is the rectangle around the outline. Rectangles around two things are no further apart
    than these are: walls, and pairs of lines, that are so already are passed over.
    """
    best = known.gap_mm
    walls = [wall for wall in surface.walls if _apart(around, wall) < best]
    free = surface.clear_of(around)
    if not walls and free:
        return known
    looked_at: set[Point] = set()
    found: tuple[int, Point, Point] | None = None
    for number, edge in enumerate(_edges(points)):
        box = _box(edge)
        for wall in walls:
            if _apart(box, wall) < best:
                apart, on_edge, on_wall = _closest(edge, wall.ends)
                if apart < best:
                    best, found = apart, (number, on_edge, on_wall)
        if free or surface.clear_of(box):
            continue
        for at in (*edge, *[_nearest_on(edge, corner) for corner in surface.points]):
            if at in looked_at:
                continue  # it was no nearer then
            looked_at.add(at)
            if surface.beyond(at):
                passed = surface.nearest_to(at)
                depth = -math.dist(at, passed)
                if depth < best:
                    best, found = depth, (number, at, passed)
    if found is None:
        return known
    index, place, foot = found
    last = min(index + 1, len(points) - 1)
    nearer = index if math.dist(points[index], place) <= math.dist(points[last], place) else last
    return Gap(best, nearer, surface.side, foot)


def _edges(points: Sequence[Point]) -> Iterable[Segment]:
    """The lines of an outline; a single point is a line too."""
    return pairwise(points) if len(points) > 1 else [(points[0], points[0])]


def _box(of: Segment) -> Around:
    """The rectangle around a straight line."""
    (ax, ar), (bx, br) = of
    return (*((ax, bx) if ax < bx else (bx, ax)), *((ar, br) if ar < br else (br, ar)))


def _apart(box: Around, wall: Wall) -> float:
    """How far a rectangle and that around a wall are apart."""
    x0, x1, r0, r1 = box
    x = wall.x0 - x1 if wall.x0 > x1 else x0 - wall.x1
    r = wall.r0 - r1 if wall.r0 > r1 else r0 - wall.r1
    if x <= 0.0:
        return r if r > 0.0 else 0.0
    return math.hypot(x, r) if r > 0.0 else x


def _closest(one: Segment, two: Segment) -> tuple[float, Point, Point]:
    """How far two straight lines are apart, and the places on either where they are closest."""
    a, b = one
    c, d = two
    best, places = math.inf, (a, c)
    for end in one:
        foot = _nearest_on(two, end)
        apart = math.dist(end, foot)
        if apart < best:
            best, places = apart, (end, foot)
    for end in two:
        foot = _nearest_on(one, end)
        apart = math.dist(end, foot)
        if apart < best:
            best, places = apart, (foot, end)
    if best > 0.0 and (crossing := _crossing(a, b, c, d)) is not None:
        return 0.0, crossing, crossing
    return best, *places


def _crossing(a: Point, b: Point, c: Point, d: Point) -> Point | None:
    """Where two straight lines, from `a` to `b` and from `c` to `d`, cross."""
    ux, ur, wx, wr = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    cross = ux * wr - ur * wx
    if cross == 0.0:
        return None
    vx, vr = c[0] - a[0], c[1] - a[1]
    s = (vx * wr - vr * wx) / cross
    if 0.0 <= s <= 1.0 and 0.0 <= (vx * ur - vr * ux) / cross <= 1.0:
        return a[0] + s * ux, a[1] + s * ur
    return None


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


# --- what a gap cannot exceed ---------------------------------------------------------------------


def _greatest(boxes: Sequence[Around], surface: Surface) -> float:
    """The least that any rectangle gives, which is the most that `_greatest_in` gives of a part."""
    best = math.inf
    for box in boxes:
        parts, clear = _cut(box, surface), surface.clear_of(box)
        if not (clear and any(_all_far(part, surface.walls, best) for part in parts)):
            best = min(best, max(_greatest_in(part, surface, clear) for part in parts))
    return best


def _all_far(box: Around, walls: Sequence[Wall], least: float) -> bool:
    """Whether a corner of a rectangle is surely so far off each of some walls."""
    return all(_far(box, wall) >= least for wall in walls)


def _far(box: Around, wall: Wall) -> float:
    """No more than what the furthest corner of a rectangle is off a wall: what it is off the
    rectangle around that."""
    x0, x1, r0, r1 = box
    x, left = x1 - wall.x1, wall.x0 - x0
    r, under = r1 - wall.r1, wall.r0 - r0
    x, r = x if x > left else left, r if r > under else under
    return math.hypot(x if x > 0.0 else 0.0, r if r > 0.0 else 0.0)


def _cut(box: Around, surface: Surface) -> list[Around]:
    """A rectangle in parts within which, along the surface, no wall ends."""
    x0, x1, r0, r1 = box
    low, high = box[2 * surface.along : 2 * surface.along + 2]
    inside = [e for e in surface.ends if low < e < high]
    if not inside:
        return [box]
    marks = pairwise([low, *inside, high])
    if surface.along == 0:
        return [(a, z, r0, r1) for a, z in marks]
    return [(x0, x1, a, z) for a, z in marks]


def _corners(box: Around) -> list[Point]:
    return list(product(box[:2], box[2:]))


def _greatest_in(box: Around, surface: Surface, clear: bool) -> float:
    """What the gap of a point in such a part cannot exceed; `clear`: none of it can be beyond."""
    corners, walls = _corners(box), surface.walls
    alone, free = None, corners
    if not clear:
        if _surely_beyond(box, surface):
            return -_least_apart(box, walls)
        through = [w for w in walls if not _apart(box, w) and _least_apart(box, [w]) <= _TOUCHING]
        if len(through) == 1:
            alone, free = through[0], [c for c in corners if not surface.beyond(c)]
    best = math.inf
    for wall in walls:
        if wall is not alone and _far(box, wall) >= best:
            continue
        far = 0.0
        for at in free if wall is alone else corners:
            far = max(far, math.dist(_nearest_on(wall.ends, at), at))
            if far >= best:
                break
        best = min(best, far)
    return best


def _surely_beyond(box: Around, surface: Surface) -> bool:
    """Whether all of a rectangle lies on the wheel's side of a surface.

    Between two neighbouring ends of walls the surface met first is nowhere further than the least
    of the walls' own furthest places there.
    """
    if not all(surface.beyond(c) for c in _corners(box)):
        return False
    along, across = surface.along, surface.across
    nearest, low, high = box[2 * across], box[2 * along], box[2 * along + 1]
    marks = sorted({low, high, *(e for e in surface.ends if low < e < high)})
    for a, b in pairwise(marks):
        over = [
            wall.ends
            for wall, (least, most, _) in zip(surface.walls, surface.levels, strict=True)
            if least <= a < b <= most
        ]
        if over:
            if min(max(_at(w, a, along, across), _at(w, b, along, across)) for w in over) > nearest:
                return False
        elif not surface.beyond(_point((a + b) / 2, nearest, along)):
            return False
    return True


def _at(wall: Segment, where: float, along: int, across: int) -> float:
    """Coordinate `across` of a wall that is not square to `along`."""
    (a, b) = wall
    share = (where - a[along]) / (b[along] - a[along])
    return a[across] + share * (b[across] - a[across])


def _point(at: float, across: float, along: int) -> Point:
    return (at, across) if along == 0 else (across, at)


def _least_apart(box: Around, walls: Sequence[Wall]) -> float:
    """Least distance of a rectangle, all that is in it included, from a surface."""
    x0, x1, r0, r1 = box
    if any(x0 <= x <= x1 and r0 <= r <= r1 for wall in walls for x, r in wall.ends):
        return 0.0
    ring: list[Point] = [(x0, r0), (x1, r0), (x1, r1), (x0, r1), (x0, r0)]
    return min(_closest(edge, wall.ends)[0] for edge in pairwise(ring) for wall in walls)
