"""Disc temperatures over a course of stops, front and rear, stock against proposed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lugplane.answers.curves import Curve, HeatCurves
from lugplane.render.plots.axis import axis_over
from lugplane.render.plots.page import Drawn, lay_out, page_svg
from lugplane.render.plots.panel import Panel
from lugplane.render.plots.series import KEY, bands, end_label, left_out, lines, told

_HIGH_MM = 62.0
_LEAST_MIN = 1.0
_AXLES = ("front", "rear")


def heat_svg(title: str, course: HeatCurves, notes: Sequence[str] = ()) -> str:
    """One panel an axle, as SVG: the hottest of each stop against the time of its end."""
    said = [
        KEY,
        "A spot or square is the hottest of one stop; between two stops the disc cools and is "
        "heated again. One lump of iron for each disc: to compare with stock, no forecast.",
        *notes,
        *left_out(course.curves),
    ]
    layout = lay_out(title, [_HIGH_MM] * len(_AXLES), said)
    minutes = max((s.at for c in course.curves for s in c.samples), default=0.0) / 60.0
    x = axis_over("time, min", 0.0, max(minutes, _LEAST_MIN), 10)
    if minutes > _LEAST_MIN:
        x = replace(x, high=minutes)
    drawn = []
    for axle, corner in zip(_AXLES, layout.corners, strict=True):
        curves = [_in_minutes(c) for c in told(course.curves) if c.axle == axle]
        y = axis_over("disc above the air, K", 0.0, _hottest(curves))
        size = (layout.wide, _HIGH_MM)
        drawn.append(_panel(curves, Panel(axle, f"{axle} axle", corner, size, x, y)))
    return page_svg(layout, drawn, " ".join((title, *said)))


def _hottest(curves: Sequence[Curve]) -> float:
    return max((s.span.hi for c in curves for s in c.samples), default=100.0)


def _panel(curves: Sequence[Curve], panel: Panel) -> Drawn:
    groups = (bands(panel, curves), *lines(panel, curves, marked=True))
    labels = tuple(end_label(panel, c, (c.setup,)) for c in curves)
    return Drawn(panel, groups, labels)


def _in_minutes(curve: Curve) -> Curve:
    return replace(curve, samples=tuple(replace(s, at=s.at / 60.0) for s in curve.samples))
