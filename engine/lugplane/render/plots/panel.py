"""A panel of a plot: a frame on paper with its two axes; values to places, lines cut at its edge.

Paper coordinates are mm, r upwards, as in the scene at 1:1.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lugplane.render.drawing.hatch import Point
from lugplane.render.drawing.lettering import SPACING
from lugplane.render.drawing.marks import corners
from lugplane.render.drawing.pens import NARROW, Pen
from lugplane.render.drawing.scene import Group, Hatched, Path, Shape, Text, path
from lugplane.render.plots.axis import Axis
from lugplane.render.plots.pens import EDGE, GREY, GRID, HATCH

LETTER_MM = 2.5
LINE_MM = LETTER_MM * SPACING
ABOVE_MM, BELOW_MM, LEFT_MM = 8.0, 11.0, 13.0
"""Room that titles and numbers of the axes take beside the frame."""
_TICK_MM, _GAP_MM = 1.5, 1.5

Span3 = tuple[float, float, float]
"""A place along x, and the least and greatest value there."""


@dataclass(frozen=True, slots=True)
class Panel:
    """The frame's lower left corner and size, mm; the axes; a name, and a title above it."""

    name: str
    title: str
    corner: Point
    size: Point
    x: Axis
    y: Axis

    @property
    def right(self) -> float:
        """The frame's right edge, mm."""
        return self.corner[0] + self.size[0]

    @property
    def top(self) -> float:
        """The frame's upper edge, mm."""
        return self.corner[1] + self.size[1]

    def at(self, x: float, y: float) -> Point:
        """The place of a value, mm."""
        return (
            self.corner[0] + self.size[0] * self.x.share(x),
            self.corner[1] + self.size[1] * self.y.share(y),
        )

    def cut(self, points: Iterable[Point]) -> list[list[Point]]:
        """A line through values as runs on paper that stay within the frame's height.

        Where the line leaves it is cut at the edge; a value without end counts as far outside.
        """
        runs: list[list[Point]] = []
        run: list[Point] = []
        placed = [self.at(x, min(max(y, -1e9), 1e9)) for x, y in points]
        for a, b in pairwise(placed):
            kept = self._kept(a, b)
            if kept is None:
                continue
            if run and math.dist(run[-1], kept[0]) < 1e-6:
                run.append(kept[1])
            else:
                run = list(kept)
                runs.append(run)
        return runs

    def _kept(self, a: Point, b: Point) -> tuple[Point, Point] | None:
        """The part of a straight piece between the lower and the upper edge."""
        low, high = self.corner[1], self.top
        first, last = 0.0, 1.0
        rise = b[1] - a[1]
        if rise == 0.0:
            return (a, b) if low <= a[1] <= high else None
        one, two = sorted(((low - a[1]) / rise, (high - a[1]) / rise))
        first, last = max(first, one), min(last, two)
        if first >= last:
            return None

        def on(share: float) -> Point:
            return (a[0] + (b[0] - a[0]) * share, a[1] + rise * share)

        return on(first), on(last)

    def line(self, points: Iterable[Point], pen: Pen) -> list[Shape]:
        """A line through values, cut at the frame."""
        return [path(run, pen) for run in self.cut(points)]

    def band(self, spans: Sequence[Span3], *, hatched: bool) -> list[Shape]:
        """The area between the least and the greatest values, hatched or grey, its edges fine."""
        if not any(high > low for _, low, high in spans):
            return []
        edge = [self._held(x, high) for x, _, high in spans]
        edge += [self._held(x, low) for x, low, _ in reversed(spans)]
        low_line = self.line(((x, low) for x, low, _ in spans), EDGE)
        high_line = self.line(((x, high) for x, _, high in spans), EDGE)
        area: Shape = (
            Hatched(tuple(edge), HATCH) if hatched else Path(tuple(edge), None, True, GREY)
        )
        return [area, *low_line, *high_line]

    def _held(self, x: float, y: float) -> Point:
        """The place of a value, or of the frame's edge above or below it."""
        return self.at(x, min(max(y, self.y.low), self.y.high))

    def frame(self) -> Group:
        """Frame, ticks with their numbers, a fine grid, the axes' titles and the panel's own."""
        left, low = self.corner
        shapes: list[Shape] = []
        for tick in self.x.ticks:
            x = self.at(tick, self.y.low)[0]
            if left < x < self.right:
                shapes.append(path([(x, low), (x, self.top)], GRID))
            shapes.append(path([(x, low), (x, low - _TICK_MM)], NARROW))
            words = self.x.tick_words(tick)
            shapes.append(Text((x, low - _TICK_MM - _GAP_MM - LETTER_MM), words, "middle"))
        for tick in self.y.ticks:
            y = self.at(self.x.low, tick)[1]
            if low < y < self.top:
                shapes.append(path([(left, y), (self.right, y)], GRID))
            shapes.append(path([(left, y), (left - _TICK_MM, y)], NARROW))
            beside = (left - _TICK_MM - _GAP_MM, y - LETTER_MM / 2)
            shapes.append(Text(beside, self.y.tick_words(tick), "end"))
        shapes.append(path(corners(left, low, self.right, self.top), NARROW, closed=True))
        shapes.append(Text((self.right, low - BELOW_MM), self.x.title, "end"))
        above = self.top + _GAP_MM + LETTER_MM / 2
        shapes.append(Text((left - LEFT_MM + 1.0, above), self.y.title))
        if self.title:
            shapes.append(Text((self.right, above), self.title, "end", LETTER_MM, True))
        return Group(f"axes {self.name}", tuple(shapes))
