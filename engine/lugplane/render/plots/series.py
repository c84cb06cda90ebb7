"""A curve of an answer in a panel: its band, its line, its marks, its label."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from lugplane.answers.curves import Curve, Doubt
from lugplane.render.drawing.hatch import Point
from lugplane.render.drawing.marks import corners
from lugplane.render.drawing.pens import NARROW
from lugplane.render.drawing.scene import Dot, Group, Path, Shape
from lugplane.render.drawing.sketch import Callout
from lugplane.render.layout import clean
from lugplane.render.plots.panel import Panel
from lugplane.render.plots.pens import PENS

_MARK_MM = 0.9
KEY = (
    "Wide lines and grey: proposed. Narrow lines and hatching: stock. Broken: rear axle. A band "
    "spans all doubts of the facts; its line is the value as given."
)


def told(curves: Iterable[Curve]) -> list[Curve]:
    """Those that can be drawn, stock first: what is proposed lies above it."""
    found = [c for c in curves if c.samples]
    return sorted(found, key=lambda c: (c.setup != "stock", c.axle != "front"))


def bands(panel: Panel, curves: Sequence[Curve]) -> Group:
    """All bands, the grey ones below the hatched ones."""
    shapes: list[Shape] = []
    for curve in sorted(curves, key=lambda c: c.setup == "stock"):
        spans = [(s.at, s.span.lo, s.span.hi) for s in curve.samples]
        shapes += panel.band(spans, hatched=curve.setup == "stock")
    return Group(f"bands {panel.name}", tuple(shapes))


def lines(panel: Panel, curves: Sequence[Curve], *, marked: bool = False) -> tuple[Group, ...]:
    """The values as given; `marked` puts a spot (stock: an open square) on every sample."""
    found = []
    for curve in curves:
        points = [(s.at, s.span.nominal) for s in curve.samples]
        shapes = panel.line(points, PENS[curve.setup, curve.axle])
        if marked:
            shapes += [_mark(panel.at(*p), curve.setup) for p in points]
        found.append(Group(f"{curve.setup} {curve.axle} {panel.name}", tuple(shapes)))
    return tuple(found)


def _mark(at: Point, setup: str) -> Shape:
    if setup == "proposed":
        return Dot(at, _MARK_MM)
    (x, y), m = at, _MARK_MM * 0.9
    return Path(corners(x - m, y - m, x + m, y + m), NARROW, True, "#fff")


def label(panel: Panel, key: str, lines_: tuple[str, ...], points: Iterable[Point]) -> Callout:
    """A label for the end of a line: where it reaches the right edge, or leaves the panel."""
    runs = panel.cut(points)
    at = (runs[-1][-1],) if runs else ()
    return Callout(key, lines_, at)


def end_label(panel: Panel, curve: Curve, lines_: tuple[str, ...]) -> Callout:
    """The label of a curve."""
    points = [(s.at, s.span.nominal) for s in curve.samples]
    return label(panel, f"{curve.setup} {curve.axle} {panel.name}", lines_, points)


def left_out(curves: Iterable[Curve], where: str = "") -> tuple[str, ...]:
    """A note for each curve that cannot be told, alike ones together."""
    names: dict[str, list[str]] = {}
    for curve in curves:
        if not curve.samples:
            names.setdefault(doubt_words(curve.doubt), []).append(f"{curve.setup}, {curve.axle}")
    place = f" ({where})" if where else ""
    return tuple(f"Left out{place}: {'; '.join(n)}. Cannot tell: {w}." for w, n in names.items())


def doubt_words(doubt: Doubt | None) -> str:
    """Why something cannot be told, in few words."""
    if doubt is None:
        return "no reason given"
    facts = ", ".join(clean(f).replace(":", ": ") for f in doubt.facts)
    return clean(doubt.because) or (f"{facts} not known" if facts else "no reason given")
