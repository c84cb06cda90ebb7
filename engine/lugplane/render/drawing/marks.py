"""Small pieces of drafting: arrows, dimension lines, broken edges, boxes."""

from __future__ import annotations

import math

from lugplane.render.drawing.hatch import Point
from lugplane.render.drawing.pens import NARROW, WIDE, Pen
from lugplane.render.drawing.scene import Path, Shape, path

ARROW_MM, BOLD_ARROW_MM, TAIL_MM = 2.5, 4.0, 2.0
_HALF_ANGLE, _BOLD_HALF_ANGLE = math.radians(9.0), math.radians(15.0)
"""Arrowheads of 15° to 30° (ISO 129-1, dimensioning)."""


def corners(x0: float, r0: float, x1: float, r1: float) -> tuple[Point, ...]:
    """The four corners of an upright rectangle."""
    return ((x0, r0), (x1, r0), (x1, r1), (x0, r1))


def arrow(tip: Point, away: Point, unit: float, size_mm: float = ARROW_MM) -> Path:
    """A filled arrowhead with its point on `tip`, its shaft coming from `away`."""
    x, r = _direction(tip, away)
    angle = _HALF_ANGLE if size_mm <= ARROW_MM else _BOLD_HALF_ANGLE
    long, half = size_mm * unit, size_mm * unit * math.tan(angle)
    back = (tip[0] + x * long, tip[1] + r * long)
    wings = ((back[0] - r * half, back[1] + x * half), (back[0] + r * half, back[1] - x * half))
    return Path((tip, *wings), None, True, "#000")


def between(
    a: Point, b: Point, unit: float, bold: bool = False
) -> tuple[tuple[Shape, ...], tuple[Point, ...]]:
    """A dimension line from `a` to `b`, and the places a leader may take hold of.

    Arrows stand inside where there is room, else outside pointing inwards (ISO 129-1). A gap of
    nothing has no direction and is taken as lying along x.
    """
    pen, size = (WIDE, BOLD_ARROW_MM) if bold else (NARROW, ARROW_MM)
    x, r = _direction(a, b)
    if math.dist(a, b) >= (2 * size + 2.0) * unit:
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        inner_a, inner_b = _moved(a, x, r, size * unit / 2), _moved(b, x, r, -size * unit / 2)
        line = path([inner_a, inner_b], pen)
        return (line, arrow(a, b, unit, size), arrow(b, a, unit, size)), (middle, a, b)
    tail = (size + TAIL_MM) * unit
    end_a, end_b = _moved(a, x, r, -tail), _moved(b, x, r, tail)
    shapes = (
        path([end_a, _moved(a, x, r, -size * unit / 2)], pen),
        path([_moved(b, x, r, size * unit / 2), end_b], pen),
        path([a, b], NARROW),
        arrow(a, end_a, unit, size),
        arrow(b, end_b, unit, size),
    )
    return shapes, (end_a, end_b)


def broken(a: Point, b: Point, unit: float) -> Path:
    """A limit of what is shown: narrow line with zigzag (ISO 128-2, type 01.1)."""
    x, r = _direction(a, b)
    long = math.dist(a, b)
    step = min(0.9 * unit, long / 6)
    middle = _moved(a, x, r, long / 2)

    def off(along: float, aside: float) -> Point:
        return (middle[0] + x * along - r * aside, middle[1] + r * along + x * aside)

    return path(
        [a, off(-step, 0), off(-step / 2, 1.6 * step), off(step / 2, -1.6 * step), off(step, 0), b],
        NARROW,
    )


def extension(feature: Point, beyond: Point, unit: float, pen: Pen = NARROW) -> Path:
    """An extension line from a feature to 1.2 mm past the dimension line at `beyond`."""
    x, r = _direction(feature, beyond)
    return path([feature, _moved(beyond, x, r, 1.2 * unit)], pen)


def _direction(a: Point, b: Point) -> Point:
    long = math.dist(a, b)
    return ((b[0] - a[0]) / long, (b[1] - a[1]) / long) if long > 1e-9 else (1.0, 0.0)


def _moved(at: Point, x: float, r: float, by: float) -> Point:
    return (at[0] + x * by, at[1] + r * by)
