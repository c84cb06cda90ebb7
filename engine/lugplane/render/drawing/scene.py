"""Our own scene: shapes in mm of the section, and the one place that writes SVG.

Coordinates are the section frame's: `x` axial, outboard positive, to the right; `r` from the hub
axis, upwards. One unit of the picture is one millimetre of the parts; `width` and `height` in the
file are paper millimetres, so a print at full size is true to scale. Line widths, lettering and
hatch distances are given in paper millimetres and converted here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeAlias
from xml.sax.saxutils import escape, quoteattr

from lugplane.render.drawing.hatch import Hatch, Point, Segment, rows
from lugplane.render.drawing.lettering import CAPITAL_EM, clean
from lugplane.render.drawing.pens import HIDDEN, NARROW, WIDE, Pen

Anchor: TypeAlias = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Path:
    """A line through points; `closed` joins the last to the first, `fill` paints the inside."""

    points: tuple[Point, ...]
    pen: Pen | None = WIDE
    closed: bool = False
    fill: str = "none"


@dataclass(frozen=True, slots=True)
class Hatched:
    """Hatching inside a polygon, without its outline."""

    points: tuple[Point, ...]
    hatch: Hatch


@dataclass(frozen=True, slots=True)
class Text:
    """One line of lettering; `at` is its baseline's start, middle or end."""

    at: Point
    text: str
    anchor: Anchor = "start"
    height_mm: float = 2.5
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Dot:
    """A filled spot, the end of a leader that stands on a part; radius in paper mm."""

    at: Point
    radius_mm: float = 0.6


Shape: TypeAlias = Path | Hatched | Text | Dot


@dataclass(frozen=True, slots=True)
class Group:
    """What belongs together under a name; `data` are numbers that a reader may take from it."""

    part: str
    shapes: tuple[Shape, ...]
    data: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Scene:
    """A whole sheet: its lower left corner in the section frame and its size on paper in mm.

    `scale` is paper over parts: 0.5 for 1:2.
    """

    corner: Point
    paper_mm: Point
    scale: float
    title: str
    description: str
    groups: tuple[Group, ...]


def path(points: Iterable[Point], pen: Pen | None = WIDE, closed: bool = False) -> Path:
    """A line or outline."""
    return Path(tuple(points), pen, closed)


def area(points: Iterable[Point], pen: Pen | None = WIDE) -> Path:
    """An outline painted white inside: it hides what was drawn before."""
    return Path(tuple(points), pen, True, "#fff")


def svg(scene: Scene) -> str:
    """The scene as SVG 1.1: no scripts, no styles, no fonts of its own, same text each time."""
    unit = 1.0 / scene.scale
    wide, high = scene.paper_mm
    left, bottom = scene.corner
    view = (left, -(bottom + high * unit), wide * unit, high * unit)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" role="img" '
        f'width="{_number(wide)}mm" height="{_number(high)}mm" '
        f'viewBox="{" ".join(_number(v) for v in view)}" font-family="sans-serif" '
        f'fill="none" stroke="#000" stroke-linecap="butt" stroke-linejoin="round">'
    )
    out = ['<?xml version="1.0" encoding="UTF-8"?>', head]
    out.append(f"<title>{escape(clean(scene.title))}</title>")
    out.append(f"<desc>{escape(clean(scene.description))}</desc>")
    x, y, w, h = (_number(v) for v in view)
    out.append(f'<rect x="{x}" y="{y}" width="{w}" height="{h}" fill="#fff" stroke="none"/>')
    for group in scene.groups:
        data = "".join(f' data-{k}="{_number(v)}"' for k, v in group.data.items())
        out.append(f"<g data-part={quoteattr(clean(group.part))}{data}>")
        for shape in group.shapes:
            out.extend(_shape(shape, unit))
        out.append("</g>")
    out.append("</svg>")
    return "\n".join(out) + "\n"


def _shape(shape: Shape, unit: float) -> list[str]:
    if isinstance(shape, Path):
        return [_path([shape.points], shape.pen, unit, shape.closed, shape.fill)]
    if isinstance(shape, Hatched):
        solid, dashed = rows(shape.hatch, shape.points, unit)
        return _segments(solid, NARROW, unit) + _segments(dashed, HIDDEN, unit)
    if isinstance(shape, Dot):
        x, y, radius = shape.at[0], -shape.at[1], shape.radius_mm * unit
        return [
            f'<circle cx="{_number(x)}" cy="{_number(y)}" r="{_number(radius)}" '
            'fill="#000" stroke="none"/>'
        ]
    size = shape.height_mm / CAPITAL_EM * unit
    anchor = "" if shape.anchor == "start" else f' text-anchor="{shape.anchor}"'
    weight = ' font-weight="bold"' if shape.bold else ""
    return [
        f'<text x="{_number(shape.at[0])}" y="{_number(-shape.at[1])}" '
        f'font-size="{_number(size)}"{anchor}{weight} fill="#000" stroke="none">'
        f"{escape(clean(shape.text))}</text>"
    ]


def _segments(segments: Sequence[Segment], pen: Pen, unit: float) -> list[str]:
    return [_path(segments, pen, unit, False, "none")] if segments else []


def _path(
    runs: Sequence[Sequence[Point]], pen: Pen | None, unit: float, closed: bool, fill: str
) -> str:
    steps = []
    for run in runs:
        steps.append("M" + "L".join(f"{_number(x)} {_number(-r)}" for x, r in run))
    d = "".join(steps) + ("Z" if closed else "")
    stroke = ' stroke="none"'
    if pen is not None:
        stroke = f' stroke-width="{_number(pen.width_mm * unit)}"'
        if pen.dashes_mm:
            lengths = " ".join(_number(n * unit) for n in pen.dashes_mm)
            stroke += f' stroke-dasharray="{lengths}"'
    filled = "" if fill == "none" else f' fill="{fill}"'
    return f'<path d="{d}"{stroke}{filled}/>'


def _number(value: float) -> str:
    said = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if said == "-0" else said
