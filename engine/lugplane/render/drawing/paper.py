"""The sheet: which size, where section, columns, notes and title block stand, check bars.

Sizes A4 to A0, landscape (ISO 216), with a filing margin of 20 mm and 10 mm elsewhere (ISO 5457).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lugplane.answers.sheet import Judged
from lugplane.render.drawing.block import (
    LINE_MM,
    WIDTH_MM,
    block,
    block_group,
    lines_of,
    notes,
    scale_words,
)
from lugplane.render.drawing.hatch import Point
from lugplane.render.drawing.margin import Margins, margin_groups
from lugplane.render.drawing.marks import corners
from lugplane.render.drawing.pens import WIDE
from lugplane.render.drawing.scene import Group, Scene, Shape, Text, path
from lugplane.render.drawing.sketch import Sketch

SIZES_MM = (
    ("A4", 297.0, 210.0),
    ("A3", 420.0, 297.0),
    ("A2", 594.0, 420.0),
    ("A1", 841.0, 594.0),
    ("A0", 1189.0, 841.0),
)
BAR_MM = 50.0
_FILING_MM, _EDGE_MM, _GAP_MM = 20.0, 10.0, 3.0
_LEAST_COLUMN_MM, _MOST_COLUMN_MM = 58.0, 110.0
_BESIDE_MM, _BELOW_MM, _ABOVE_MM = 7.0, 9.0, 3.0


@dataclass(frozen=True, slots=True)
class Size:
    """A sheet's name, width and height in mm."""

    name: str
    wide: float
    high: float


def compose(s: Sketch, judged: Judged, scale: float, date: str) -> Scene:
    """The smallest sheet that holds all of it; beyond A0 one made to measure."""
    for named in SIZES_MM:
        found = _on(Size(*named), s, judged, scale, date)
        if found is not None:
            return found
    wide, high = SIZES_MM[-1][1:]
    while True:
        wide, high = wide * 1.25, high * 1.25
        found = _on(Size(f"{wide:.0f} x {high:.0f}", wide, high), s, judged, scale, date)
        if found is not None:
            return found


def _on(size: Size, s: Sketch, judged: Judged, scale: float, date: str) -> Scene | None:
    unit = s.unit
    x0, r0, x1, r1 = s.box()
    inner = size.wide - _FILING_MM - _EDGE_MM
    made = block(judged, scale, size.name, date)
    side = notes(s, inner - WIDTH_MM - _GAP_MM)
    strip = max(made.height_mm, len(side) * LINE_MM + 2.0) + _GAP_MM
    zone = size.high - 2 * _EDGE_MM - strip
    section = ((x1 - x0) * scale, (r1 - r0) * scale)
    column = (inner - section[0] - 2 * _BESIDE_MM) / 2
    if column < _LEAST_COLUMN_MM or section[1] + _BELOW_MM + _ABOVE_MM > zone:
        return None
    # Spare height goes half below, half above; spare width to the columns.
    below = _BELOW_MM + (zone - section[1] - _BELOW_MM - _ABOVE_MM) / 2
    corner = (
        x0 - (_FILING_MM + column + _BESIDE_MM) * unit,
        r0 - (_EDGE_MM + strip + below) * unit,
    )

    def at(x_mm: float, r_mm: float) -> Point:
        return corner[0] + x_mm * unit, corner[1] + r_mm * unit

    margins = Margins(
        left=x0 - _BESIDE_MM * unit,
        right=x1 + _BESIDE_MM * unit,
        room=min(column - 10.0, _MOST_COLUMN_MM) * unit,
        low=at(0, _EDGE_MM + strip + 10.0)[1],
        high=at(0, size.high - _EDGE_MM - 2.0)[1],
        unit=unit,
    )
    texts = margin_groups(s.calls, margins)
    if texts is None:
        return None
    place = at(size.wide - _EDGE_MM - WIDTH_MM, _EDGE_MM)
    foot = Group(
        "notes", tuple(lines_of(side, at(_FILING_MM + 2.0, _EDGE_MM + strip - _GAP_MM), unit))
    )
    frame = path(
        corners(*at(_FILING_MM, _EDGE_MM), *at(size.wide - _EDGE_MM, size.high - _EDGE_MM)),
        WIDE,
        closed=True,
    )
    bars = _bars(at(_FILING_MM + 4.0, _EDGE_MM + strip + 3.0), scale, unit)
    groups = (*s.groups, *texts, *bars, foot, block_group(made, place, unit))
    return Scene(
        corner,
        (size.wide, size.high),
        scale,
        _title(judged, scale),
        _description(s, judged),
        (Group("frame", (frame,)), *groups),
    )


def _bars(corner: Point, scale: float, unit: float) -> tuple[Group, Group]:
    """Two bars to lay a rule against: a print that is not true to scale shows it."""
    x, r = corner
    long, tick = BAR_MM * unit, 1.5 * unit
    words = f"check bars {BAR_MM:g} mm"
    if scale != 1.0:
        words += f" on paper = {BAR_MM / scale:g} mm"
    along: list[Shape] = [
        path([(x, r), (x + long, r)], WIDE),
        path([(x + long, r - tick), (x + long, r + tick)]),
        Text((x + 3.0 * unit, r + 2.5 * unit), words),
    ]
    up: list[Shape] = [
        path([(x, r), (x, r + long)], WIDE),
        path([(x - tick, r + long), (x + tick, r + long)]),
    ]
    return Group("check bar x", tuple(along)), Group("check bar r", tuple(up))


def _title(judged: Judged, scale: float) -> str:
    sheet = judged.sheet
    return f"{sheet.platform_title}, {sheet.axle}: fit section {scale_words(scale)}"


def _description(s: Sketch, judged: Judged) -> str:
    sheet = judged.sheet
    verdicts = "; ".join(f"{v.name}: {v.verdict}" for v in sheet.scopes)
    parts = ", ".join(f"{p.kind} {p.id}" for p in sheet.parts)
    out: Sequence[str] = [f"{what} left out, {why}" for what, why in s.left_out.items()]
    values = "; ".join(line for call in s.calls for line in call.lines)
    told = [
        "Half section in the plane of hub axis and caliper, outboard to the right, radius upwards.",
        f"{parts}.",
        f"{verdicts}.",
        f"{values}.",
    ]
    return " ".join([*told, *(f"{o}." for o in out)])
