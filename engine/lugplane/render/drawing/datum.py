"""What the drawing is measured from: hub axis, middle planes, and the great radii."""

from __future__ import annotations

from collections.abc import Collection

from lugplane.answers.sheet import Sheet
from lugplane.measure.bench import Bench
from lugplane.render.drawing.disc import ring
from lugplane.render.drawing.marks import between, extension
from lugplane.render.drawing.mounting import mount
from lugplane.render.drawing.pens import CENTRE
from lugplane.render.drawing.scene import path
from lugplane.render.drawing.sketch import Sketch
from lugplane.render.drawing.values import millimetres, row_of, state


def draw_datum(s: Sketch, b: Bench, sheet: Sheet, limiting: Collection[str]) -> None:
    """Axis, planes and radii round all that has been drawn before."""
    left, _, right, top = s.box()
    u = s.unit
    with s.part("disc mid-plane"):
        at = ring(b)
        low = min(at.inner_inboard or at.outer, at.outer) - 8.0 * u
        line = path([(at.middle, low), (at.middle, top + 5.0 * u)], CENTRE)
        s.add("disc mid-plane", [line], {"x0": at.middle})
    with s.part("caliper centre plane"):
        centre = b.centre.nominal
        line = path([(centre, b.lining_top.nominal), (centre, top + 5.0 * u)], CENTRE)
        s.add("caliper centre plane", [line], {"x0": centre})
    with s.part("error e"):
        _error(s, b, sheet, top + 3.0 * u, "centring" in limiting)
    with s.part("bolt line radius"):
        _radius(s, "R_b", _line_place(b), left - 5.0 * u, _line_words(b))
    with s.part("disc radius"):
        at = ring(b)
        words = f"D/2 = {millimetres(b.place.disc_radius)}"
        _radius(s, "D/2", (at.inboard, at.outer), left - 11.0 * u, words)
    axis = path([(left - 13.0 * u, 0.0), (right + 6.0 * u, 0.0)], CENTRE)
    s.add("hub axis", [axis], {"r0": 0.0}, under=True)
    s.call("axis", "hub axis, r = 0", at=[(right + 4.0 * u, 0.0)], end="arrow")


def _error(s: Sketch, b: Bench, sheet: Sheet, level: float, bold: bool) -> None:
    e, middle, centre = b.error, b.place.middle.nominal, b.centre.nominal
    row = row_of(sheet, "centring")
    words = f"error e = {millimetres(e)}{state(row) if row else ''}"
    if abs(centre - middle) < 0.005:
        words += ": caliper's centre on the disc's mid-plane"
        s.call("centring", words, at=[(middle, level)], end="arrow")
        s.spots["centring"] = (middle, level)
        return
    words += f": caliper's centre {'outboard' if centre > middle else 'inboard'} of the mid-plane"
    shapes, at = between((middle, level), (centre, level), s.unit, bold)
    s.add("dimension centring", shapes, {"x0": middle, "x1": centre})
    s.spots["centring"] = at[0]
    s.call("centring", words, at=at)


def _line_place(b: Bench) -> tuple[float, float]:
    m = mount(b)
    return (m.line, m.seat) if m.radial else (m.seat, m.line)


def _line_words(b: Bench) -> str:
    name = "seat radius R_b" if b.place.mount == "radial" else "bolt line R_b"
    return f"{name} = {millimetres(b.place.bolt_line_bare)}"


def _radius(s: Sketch, key: str, feature: tuple[float, float], x: float, words: str) -> None:
    """A radius from the hub axis; its extension line runs behind everything else."""
    level = feature[1]
    shapes, _ = between((x, 0.0), (x, level), s.unit)
    s.add(f"extension {key}", [extension(feature, (x, level), s.unit)], under=True)
    s.add(f"dimension {key}", shapes, {"r1": level})
    s.call(key, words, at=[(x, level * 0.62)])
