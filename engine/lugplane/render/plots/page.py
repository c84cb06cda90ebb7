"""A plot's page: title, panels above one another with their labels, notes at the foot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lugplane.render.drawing.hatch import Point
from lugplane.render.drawing.lettering import SPACING, wrap
from lugplane.render.drawing.margin import Margins, margin_groups
from lugplane.render.drawing.scene import Group, Scene, Shape, Text, svg
from lugplane.render.drawing.sketch import Callout
from lugplane.render.plots.panel import ABOVE_MM, BELOW_MM, LEFT_MM, LETTER_MM, LINE_MM, Panel

WIDE_MM = 170.0
"""The width between the margins of an A4 page upright (ISO 216) with 20 mm each side."""
LABELS_MM = 46.0
"""Room for the labels to the right of a frame."""
_TITLE_MM, _EDGE_MM, _APART_MM = 3.5, 2.0, 5.0
_FAR = 1e4


@dataclass(frozen=True, slots=True)
class Drawn:
    """A panel, what is drawn in it, and its labels with the places that they belong to."""

    panel: Panel
    groups: tuple[Group, ...]
    labels: tuple[Callout, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """Where panels of given heights stand on a page, the first on top, and the page's height."""

    corners: tuple[Point, ...]
    wide: float
    title: tuple[str, ...]
    notes: tuple[str, ...]
    high: float


def lay_out(title: str, heights: Sequence[float], notes: Sequence[str]) -> Layout:
    """Places for panels of these heights (mm) between a title and notes."""
    room = WIDE_MM - 2 * _EDGE_MM
    heads = wrap(title, room, _TITLE_MM, True, 3)
    feet = tuple(line for note in notes for line in _hanging(note, room))
    y = _EDGE_MM + len(feet) * LINE_MM
    corners: list[Point] = []
    for high in reversed(heights):
        y += _APART_MM + BELOW_MM
        corners.append((_EDGE_MM + LEFT_MM, y))
        y += high + ABOVE_MM
    y += len(heads) * _TITLE_MM * SPACING + _EDGE_MM
    wide = WIDE_MM - 2 * _EDGE_MM - LEFT_MM - LABELS_MM
    return Layout(tuple(reversed(corners)), wide, heads, feet, y)


def _hanging(note: str, room: float) -> tuple[str, ...]:
    return wrap(note, room, LETTER_MM, False, 6)


def page_svg(layout: Layout, drawn: Sequence[Drawn], description: str) -> str:
    """The page as SVG: the same text each time."""
    groups: list[Group] = []
    heads: list[Shape] = []
    base = layout.high - _EDGE_MM - _TITLE_MM
    for n, line in enumerate(layout.title):
        heads.append(
            Text((_EDGE_MM, base - n * _TITLE_MM * SPACING), line, "start", _TITLE_MM, True)
        )
    groups.append(Group("title", tuple(heads)))
    for one in drawn:
        groups += [*one.groups, one.panel.frame(), *_labels(one)]
    feet: list[Shape] = []
    top = _EDGE_MM + (len(layout.notes) - 1) * LINE_MM + (LINE_MM - LETTER_MM) / 2
    for n, line in enumerate(layout.notes):
        feet.append(Text((_EDGE_MM, top - n * LINE_MM), line))
    groups.append(Group("notes", tuple(feet)))
    scene = Scene(
        (0.0, 0.0), (WIDE_MM, layout.high), 1.0, " ".join(layout.title), description, tuple(groups)
    )
    return svg(scene)


def _labels(one: Drawn) -> tuple[Group, ...]:
    panel = one.panel
    margins = Margins(
        left=-_FAR,  # all of them to the right
        right=panel.right + 6.0,
        room=LABELS_MM - 8.0,
        low=panel.corner[1] - BELOW_MM,
        high=panel.top + ABOVE_MM - LETTER_MM * 2,
        unit=1.0,
    )
    return margin_groups(one.labels, margins) or ()
