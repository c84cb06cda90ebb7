"""What stands around the brake: the wheel's inside and the splash shield."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from lugplane.facts.records import Wheel
from lugplane.measure.bench import Bench
from lugplane.measure.sweep import Gap, WheelGaps, wheel_gaps
from lugplane.measure.wheel import seat
from lugplane.quantity.form import Missing
from lugplane.render.drawing.body import swept
from lugplane.render.drawing.hatch import STEEL, Point
from lugplane.render.drawing.marks import broken, corners
from lugplane.render.drawing.pens import HIDDEN, NARROW, PHANTOM
from lugplane.render.drawing.scene import Hatched, Shape, area, path
from lugplane.render.drawing.sketch import Sketch

_MM_PER_INCH = 25.4


def inside_of_wheel(b: Bench, wheel: Wheel) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """Barrel and spoke back in the section frame, as their points run. Raises `Missing`."""
    at = seat(b).nominal
    return (
        tuple((at + p[0], p[1]) for p in b.place.points(wheel.outline.barrel_x_r)),
        tuple((at + p[0], p[1]) for p in b.place.points(wheel.outline.spoke_x_r)),
    )


def gaps(b: Bench) -> WheelGaps | None:
    """The gaps to barrel and spokes at nominal place; None where they cannot be reckoned."""
    wheel = b.setup.wheel
    if wheel is None:
        return None
    try:
        barrel, spoke = inside_of_wheel(b, wheel)
        return wheel_gaps(swept(b), barrel, spoke)
    except (Missing, ValueError):
        return None


def tightest(b: Bench) -> tuple[Gap, Point] | None:
    """The tighter gap and the place on the caliper's outline that is nearest to its foot."""
    both = gaps(b)
    if both is None:
        return None
    gap = both.barrel if both.barrel.gap_mm <= both.spoke.gap_mm else both.spoke
    points = swept(b)
    if gap.gap_mm < 0:
        return gap, points[gap.point_index]
    return gap, min(
        (_nearest(a, z, gap.foot) for a, z in pairwise(points)),
        key=lambda on: math.dist(on, gap.foot),
        default=points[0],
    )


def _nearest(a: Point, z: Point, to: Point) -> Point:
    x, r = z[0] - a[0], z[1] - a[1]
    square = x * x + r * r
    share = 0.0 if square == 0 else ((to[0] - a[0]) * x + (to[1] - a[1]) * r) / square
    share = max(0.0, min(1.0, share))
    return (a[0] + share * x, a[1] + share * r)


def draw_wheel(s: Sketch, b: Bench) -> None:
    """Barrel and spokes of the named wheel; by rim size alone a rim line for reference."""
    wheel = b.setup.wheel
    if wheel is None:
        return
    with s.part("wheel spacer"):
        _draw_spacer(s, b)
    if wheel.outline.barrel_x_r.known and wheel.outline.spoke_x_r.known:
        with s.part("wheel"):
            _draw_inside(s, b, wheel)
        return
    s.left_out["inside of the wheel"] = "not recorded: wheel.outline"
    with s.part("rim"):
        _draw_rim(s, b, wheel)


def _draw_inside(s: Sketch, b: Bench, wheel: Wheel) -> None:
    barrel, spoke = inside_of_wheel(b, wheel)
    inboard_first = barrel if barrel[0][0] <= barrel[-1][0] else barrel[::-1]
    outer_first = spoke if spoke[0][1] >= spoke[-1][1] else spoke[::-1]
    shapes: list[Shape] = [path(inboard_first), path(outer_first)]
    if math.dist(inboard_first[-1], outer_first[0]) > 1e-6:
        # What the check puts between barrel and spokes where nothing was traced.
        shapes.append(path([inboard_first[-1], outer_first[0]], HIDDEN))
    shapes += _ticks(inboard_first, s.unit) + _ticks(outer_first, s.unit)
    xs = [x for x, _ in (*barrel, *spoke)]
    s.add("wheel", shapes, {"x0": min(xs), "x1": max(xs), "seat": seat(b).nominal})
    # A sloping stretch, if there is one, so that the leader does not run along the surface.
    steepest = max(pairwise(inboard_first), key=lambda e: abs(e[1][1] - e[0][1]))
    place = ((steepest[0][0] + steepest[1][0]) / 2, (steepest[0][1] + steepest[1][1]) / 2)
    s.call("wheel", f"wheel {wheel.id}, inside", at=[place], end="arrow")


def _ticks(points: Sequence[Point], unit: float) -> list[Shape]:
    """Short strokes on the material's side of a surface of which only the surface is known."""
    ticks: list[Shape] = []
    for (ax, ar), (bx, br) in pairwise(points):
        long = math.dist((ax, ar), (bx, br))
        count = int(long / (3.0 * unit))
        if count == 0:
            continue
        # Both rows run so that the wheel's material lies on their left: outwards and outboard.
        ux, ur = (bx - ax) / long, (br - ar) / long
        for n in range(count):
            share = (n + 0.5) / count
            x, r = ax + (bx - ax) * share, ar + (br - ar) * share
            aside = (x - ur * 1.6 * unit + ux * 1.2 * unit, r + ux * 1.6 * unit + ur * 1.2 * unit)
            ticks.append(path([(x, r), aside], NARROW))
    return ticks


def _draw_rim(s: Sketch, b: Bench, wheel: Wheel) -> None:
    p = b.place
    radius = p.q(wheel.rim_in).nominal * _MM_PER_INCH / 2
    centre = seat(b).nominal - p.q(wheel.offset_mm).nominal
    half = p.q(wheel.width_in).nominal * _MM_PER_INCH / 2
    line = path([(centre - half, radius), (centre + half, radius)], PHANTOM)
    s.add("rim", [line], {"x0": centre - half, "x1": centre + half, "r0": radius})
    words = f"wheel {wheel.id}: nominal rim, its inside is not recorded"
    s.call("wheel", words, at=[(centre - half * 0.7, radius)], end="arrow")
    s.spot((centre, radius), "wheel-gap")


def _draw_spacer(s: Sketch, b: Bench) -> None:
    thick = b.setup.wheel_spacer_mm
    if thick <= 0:
        return
    p = b.place
    low = p.q(b.setup.knuckle.hub.spigot_mm).nominal / 2
    high = p.q(b.setup.knuckle.hub.flange_radius_mm).nominal
    x0 = p.plate.nominal
    box = corners(x0, low, x0 + thick, high)
    shapes: list[Shape] = [area(box, None), Hatched(box, STEEL), path(box, closed=True)]
    s.add("wheel spacer", shapes, {"x0": x0, "x1": x0 + thick})
    s.call("wheel spacer", f"wheel spacer {thick:g} mm", at=[(x0 + thick / 2, high)], end="arrow")


def draw_shield(s: Sketch, b: Bench) -> None:
    """Face and lip of the shield where it is not cut out for the caliper, so behind the plane."""
    shield = b.setup.knuckle.shield
    if shield.fitted.text == "false":
        return
    with s.part("splash shield"):
        b.place.word(shield.fitted)
        face = b.place.q(shield.face_mm).nominal
        lip = b.place.q(shield.lip_radius_mm).nominal
        low = b.place.q(b.setup.knuckle.hub.flange_radius_mm).nominal
        length = 6.0 * s.unit
        shapes: list[Shape] = [path([(face, low), (face, lip), (face + length, lip)], HIDDEN)]
        shapes.append(broken((face - 2.0 * s.unit, low), (face + 2.0 * s.unit, low), s.unit))
        s.add("shield", shapes, {"x0": face, "r1": lip})
        s.call(
            "shield",
            "splash shield, beside the caliper",
            at=[(face, low + (lip - low) * 0.1)],
            end="arrow",
        )
        s.spot((face + length / 2, lip), "shield-lip")
        s.spot((face, (low + lip) / 2), "shield-face")
