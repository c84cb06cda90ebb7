"""Adhesion used by both axles against deceleration, unladen and laden (71/320/EEC annex II)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lugplane.answers.curves import AdhesionCurves
from lugplane.render.drawing.hatch import Point
from lugplane.render.drawing.pens import NARROW
from lugplane.render.drawing.scene import Group, Shape, Text, path
from lugplane.render.drawing.sketch import Callout
from lugplane.render.layout import JOIN
from lugplane.render.plots.axis import Axis, axis_over
from lugplane.render.plots.page import Drawn, lay_out, page_svg
from lugplane.render.plots.panel import LETTER_MM, Panel
from lugplane.render.plots.pens import EQUAL, LIMIT
from lugplane.render.plots.series import KEY, bands, end_label, left_out, lines, told

_HIGH_MM = 76.0
_MOST_USED = 1.6
_ABOVE_MM = 3.8


@dataclass(frozen=True, slots=True)
class Bounds:
    """What the regulation holds the curves against (71/320/EEC annex II appendix 3.1.1).

    `slopes`: C of `z >= 0.1 + C (k - 0.2)` by the regulation it is taken from; over adhesions
    `adhesion`. The front's curve must lie above the rear's over decelerations `front_above`.
    """

    slopes: Mapping[str, float]
    adhesion: tuple[float, float]
    front_above: tuple[float, float]

    def limit(self, slope: float) -> list[Point]:
        """Both ends of a limit line, as (z, k)."""
        return [(0.1 + slope * (k - 0.2), k) for k in self.adhesion]


def adhesion_svg(
    title: str, loadings: Sequence[AdhesionCurves], bounds: Bounds, notes: Sequence[str] = ()
) -> str:
    """One panel a state of loading, as SVG."""
    slopes = ", ".join(f"C{JOIN}={JOIN}{c:g} in {name}" for name, c in bounds.slopes.items())
    low, high = bounds.adhesion
    said = [
        KEY,
        "Dash and dot: the most adhesion that may be used, z = 0.1 + C(k − 0.2) for k from "
        f"{low:g} to {high:g} (71/320/EEC annex II appendix 3; {slopes}, from memory). The front's "
        "line must lie above the rear's over the stretch marked along the axis. Dots: both axles "
        "use the same.",
        *notes,
        *(note for one in loadings for note in left_out(one.curves, one.loading)),
    ]
    layout = lay_out(title, [_HIGH_MM] * len(loadings), said)
    y = _used_axis(loadings)
    drawn = []
    for one, corner in zip(loadings, layout.corners, strict=True):
        panel = Panel(one.loading, one.loading, corner, (layout.wide, _HIGH_MM), _z(one), y)
        drawn.append(_panel(one, panel, bounds))
    return page_svg(layout, drawn, " ".join((title, *said)))


def _z(one: AdhesionCurves) -> Axis:
    last = max((s.at for c in one.curves for s in c.samples), default=0.9)
    return Axis("deceleration z, g", 0.0, last, 0.1)


def _used_axis(loadings: Sequence[AdhesionCurves]) -> Axis:
    """One scale for all panels: they are there to be compared."""
    ends = [c.samples[-1].span.nominal for one in loadings for c in told(one.curves)]
    return axis_over("adhesion used k", 0.0, min(max([1.0, *ends]), _MOST_USED))


def _panel(one: AdhesionCurves, panel: Panel, bounds: Bounds) -> Drawn:
    curves = told(one.curves)
    equal = [(0.0, 0.0), (panel.x.high, panel.x.high)]
    shapes: list[Shape] = [*panel.line(equal, EQUAL), *_limits(panel, bounds)]
    shapes += _stretch(panel, bounds.front_above)
    labels = [end_label(panel, c, (f"{c.axle}, {c.setup}",)) for c in curves]
    labels.append(Callout(f"equal {panel.name}", ("k = z",), (panel.at(*equal[-1]),)))
    groups = (
        bands(panel, curves),
        Group(f"limits {panel.name}", tuple(shapes)),
        *lines(panel, curves),
    )
    return Drawn(panel, groups, tuple(labels))


def _limits(panel: Panel, bounds: Bounds) -> list[Shape]:
    """The limit lines; the name of the steepest beside its end, those of others above theirs."""
    shapes: list[Shape] = []
    for n, (name, slope) in enumerate(sorted(bounds.slopes.items(), key=lambda pair: pair[1])):
        limit = bounds.limit(slope)
        shapes += panel.line(limit, LIMIT)
        x, y = panel.at(*limit[-1])
        if n == 0:
            shapes.append(Text((x - 1.0, y + 0.8), name, "end", LETTER_MM))
        else:
            level = y + n * _ABOVE_MM
            shapes.append(path([(x, y), (x, level)], NARROW))
            shapes.append(Text((x + 1.0, level + 0.6), name, "end", LETTER_MM))
    return shapes


def _stretch(panel: Panel, front_above: tuple[float, float]) -> list[Shape]:
    """The stretch over which the front's line must lie above, marked along the axis."""
    a, b = (panel.at(z, panel.y.low) for z in front_above)
    level, tick = a[1] + 2.0, 1.0
    return [
        path([(a[0], level), (b[0], level)], NARROW),
        path([(a[0], level - tick), (a[0], level + tick)], NARROW),
        path([(b[0], level - tick), (b[0], level + tick)], NARROW),
        Text(((a[0] + b[0]) / 2, level + 1.2), "front above rear", "middle", LETTER_MM),
    ]
