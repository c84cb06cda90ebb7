"""The caliper's body: swept outline, bridge, slot, cheeks and pistons."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from lugplane.measure.bench import Bench
from lugplane.quantity.form import Missing
from lugplane.render.drawing.hatch import Point, of_material
from lugplane.render.drawing.marks import broken
from lugplane.render.drawing.pads import pad_places
from lugplane.render.drawing.pens import CENTRE, HIDDEN, WIDE
from lugplane.render.drawing.scene import Hatched, Shape, area, path
from lugplane.render.drawing.sketch import Sketch


@dataclass(frozen=True, slots=True)
class Slot:
    """The pads' room along x: inboard and outboard wall (piston faces home, or the finger)."""

    inboard: float
    outboard: float


def base_radius(b: Bench) -> float:
    """Hub radius from which the caliper's own radii count: bolt line and the carrier's lift."""
    return (b.bolt_line + b.place.lift).nominal


def swept(b: Bench) -> tuple[Point, ...]:
    """The outline as it passes the wheel, (x, swept radius), in the order of its points.

    The very points that `wheel_gap` judges: `hypot(R_b + lift + r, y_0 + y)`. Raises `Missing`.
    """
    points = b.place.points(b.setup.caliper.outline.points_x_r_y)
    centre, base = b.centre.nominal, base_radius(b)
    y0 = b.place.bolt_line_offset.nominal
    return tuple((centre + x, math.hypot(base + r, y0 + y)) for x, r, y in points)


def envelope(points: Sequence[Point]) -> tuple[Point, ...]:
    """What a row of points joined by straight lines shows from outside: the greatest r at each x.

    Empty where the points span no length along x.
    """
    edges = [(a, z) if a[0] <= z[0] else (z, a) for a, z in pairwise(points)]
    edges = [(a, z) for a, z in edges if z[0] - a[0] > 1e-9]
    if not edges:
        return ()
    marks = {x for edge in edges for x, _ in edge}
    for one, two in combinations(edges, 2):
        marks |= _crossing(one, two)
    found: list[Point] = []
    for x0, x1 in pairwise(sorted(marks)):
        over = [e for e in edges if e[0][0] <= x0 + 1e-9 and e[1][0] >= x1 - 1e-9]
        if not over:
            continue
        middle = (x0 + x1) / 2
        top = max(over, key=lambda e: _level(e, middle))
        for point in ((x0, _level(top, x0)), (x1, _level(top, x1))):
            if not found or math.dist(found[-1], point) > 1e-9:
                found.append(point)
    return tuple(found)


def _level(edge: tuple[Point, Point], x: float) -> float:
    """r of a straight edge at x; its ends are met exactly."""
    (ax, ar), (bx, br) = edge
    if x == bx:
        return br
    return ar + (br - ar) * (x - ax) / (bx - ax)


def _crossing(one: tuple[Point, Point], two: tuple[Point, Point]) -> set[float]:
    """x where two edges meet, if between their ends."""
    slope_1 = (one[1][1] - one[0][1]) / (one[1][0] - one[0][0])
    slope_2 = (two[1][1] - two[0][1]) / (two[1][0] - two[0][0])
    if abs(slope_1 - slope_2) < 1e-12:
        return set()
    x = (two[0][1] - one[0][1] + slope_1 * one[0][0] - slope_2 * two[0][0]) / (slope_1 - slope_2)
    inside = all(e[0][0] + 1e-9 < x < e[1][0] - 1e-9 for e in (one, two))
    return {x} if inside else set()


def slot(b: Bench) -> Slot:
    """Where the pads' room ends. A floating body lies with its finger on the outboard pad."""
    wide = b.place.q(b.setup.caliper.slot_mm).nominal
    if b.place.floating:
        finger = pad_places(b)[1].back
        return Slot(finger - wide, finger)
    centre = b.centre.nominal
    return Slot(centre - wide / 2, centre + wide / 2)


def draw_body(s: Sketch, b: Bench) -> None:
    """The body, painted white inside its known outline."""
    bridge: float | None = None
    room: Slot | None = None
    with s.part("inside of the bridge"):
        bridge = base_radius(b) + b.place.q(b.setup.caliper.line_to_bridge_mm).nominal
    with s.part("slot"):
        room = slot(b)
    with s.part("caliper outline"):
        _draw_outline(s, b, bridge, room)
    if bridge is not None and room is not None:
        inside = [path([(room.inboard, bridge), (room.outboard, bridge)])]
        data = {"x0": room.inboard, "x1": room.outboard, "r0": bridge}
        s.add("bridge", inside, data)
    with s.part("corner of the arched bridge"):
        _draw_corner(s, b, room)
    with s.part("cheeks"):
        _draw_cheeks(s, b, bridge)
    with s.part("pistons"):
        _draw_pistons(s, b, room)


def _draw_outline(s: Sketch, b: Bench, bridge: float | None, room: Slot | None) -> None:
    points = swept(b)
    shown = envelope(points)
    if not shown:
        raise Missing("caliper.outline with a length along the axle")
    left, right = _foot(points, shown[0]), _foot(points, shown[-1])
    top = max(shown, key=lambda p: p[1])
    edge = _joined((left, *shown, right))
    shapes: list[Shape] = []
    if bridge is not None and room is not None:
        x0, x1 = max(room.inboard, left[0]), min(room.outboard, right[0])
        low_0, low_1 = min(left[1], bridge), min(right[1], bridge)
        inner = ((x1, low_1), (x1, bridge), (x0, bridge), (x0, low_0))
        body = (*edge, *inner)
        shapes += [area(body, None), Hatched(body, of_material(None))]
        shapes += [broken(right, inner[0], s.unit), broken(inner[-1], left, s.unit)]
        shapes += [path(pair) for pair in (inner[:2], inner[2:]) if pair[0] != pair[1]]
    shapes.append(path(edge))
    data = {"x0": edge[0][0], "x1": edge[-1][0], "r1": top[1]}
    s.add("body", shapes, data)
    words = f"caliper {b.setup.caliper.id}"
    if bridge is not None and room is not None and top[1] > bridge:
        x = room.inboard + (room.outboard - room.inboard) * 0.7
        s.call("caliper", words, at=[(x, bridge + (top[1] - bridge) * 0.3)], end="dot")
    else:
        s.call("caliper", words, at=[shown[len(shown) // 2]], end="arrow")
    s.spot(top, "slide-new", "slide-worn", "hand", "hose-thread", "hose-seat", "parking-brake")


def _joined(points: Sequence[Point]) -> tuple[Point, ...]:
    kept: list[Point] = []
    for point in points:
        if not kept or math.dist(kept[-1], point) > 1e-9:
            kept.append(point)
    return tuple(kept)


def _foot(points: Sequence[Point], end: Point) -> Point:
    """Lowest outline point straight below an end of the envelope, or that end."""
    return (end[0], min([r for x, r in points if abs(x - end[0]) < 1e-6] + [end[1]]))


def _draw_corner(s: Sketch, b: Bench, room: Slot | None) -> None:
    caliper = b.setup.caliper
    if caliper.bridge_form.text != "arched" or room is None:
        return
    p = b.place
    corner = base_radius(b) + p.q(caliper.line_to_bridge_corner_mm).nominal
    reach = p.q(caliper.bridge_half_width_mm).nominal - abs(p.bolt_line_offset.nominal)
    level = math.hypot(corner, max(reach, 0.0))
    line = path([(room.inboard, level), (room.outboard, level)], HIDDEN)
    s.add("bridge corner", [line], {"r0": level})


def _draw_cheeks(s: Sketch, b: Bench, bridge: float | None) -> None:
    opening = b.place.q(b.setup.mounted.opening_mm).nominal
    centre = b.centre.nominal
    low = b.lining_top.nominal - 12.0 * s.unit
    high = bridge if bridge is not None else b.lining_top.nominal + 3.0 * s.unit
    lines = [
        path([(centre + w * opening / 2, low), (centre + w * opening / 2, high)], HIDDEN)
        for w in (-1, 1)
    ]
    s.add("cheeks", lines, {"x0": centre - opening / 2, "x1": centre + opening / 2})
    s.spot((centre + opening / 2, high - 2.0 * s.unit), "cheek")


def _draw_pistons(s: Sketch, b: Bench, room: Slot | None) -> None:
    if room is None:
        return
    p, caliper = b.place, b.setup.caliper
    middle = base_radius(b) + p.q(caliper.line_to_piston_mm).nominal
    radius = max(p.numbers(caliper.pistons.bores_mm)) / 2
    shown = caliper.pistons.length_mm
    long = shown.form.nominal if shown.known else 8.0 * s.unit
    over = 3.0 * s.unit
    sides = [(room.inboard, -1)] + ([] if p.floating else [(room.outboard, 1)])
    for face, way in sides:
        back = face + way * long
        shapes: list[Shape] = [
            path([(face, r), (back, r)], HIDDEN) for r in (middle - radius, middle + radius)
        ]
        shapes.append(path([(face, middle - radius), (face, middle + radius)], WIDE))
        shapes.append(path([(face - way * over, middle), (back + way * over, middle)], CENTRE))
        s.add("piston", shapes, {"x0": face, "r0": middle - radius, "r1": middle + radius})
