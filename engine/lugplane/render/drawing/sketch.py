"""What is drawn so far: groups, callouts, and what had to be left out and why."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Literal, TypeAlias

from lugplane.measure.bench import DoesNotApply, Undecided
from lugplane.quantity.form import Missing
from lugplane.render.drawing.hatch import Point
from lugplane.render.drawing.scene import Dot, Group, Hatched, Path, Shape, Text
from lugplane.render.drawing.values import lacking

End: TypeAlias = Literal["dot", "arrow", "plain"]
FARTHEST_MM = 1500.0
"""No brake part of a car lies further from the hub's middle; what does is a mistyped fact."""


@dataclass(frozen=True, slots=True)
class Callout:
    """A text for the margin and the places that its leader may go to (none: no leader).

    `key` is the check it tells of, or a name of its own; `bold` marks the limiting gap.
    """

    key: str
    lines: tuple[str, ...]
    at: tuple[Point, ...] = ()
    end: End = "plain"
    bold: bool = False


class Sketch:
    """A drawing being made.

    `unit` is the length of a paper millimetre in the section frame; `known` tells of a fact's path
    whether it is recorded.
    """

    def __init__(self, unit: float, known: Callable[[str], bool] = lambda fact: False) -> None:
        self.unit = unit
        self.known = known
        self.groups: list[Group] = []
        self.calls: list[Callout] = []
        self.spots: dict[str, Point] = {}
        self.notes: list[str] = []
        self.left_out: dict[str, str] = {}

    @contextmanager
    def part(self, what: str) -> Iterator[None]:
        """Draw a part inside; where a fact is missing it is left out and said so."""
        try:
            yield
        except Missing as missing:
            self.left_out[what] = lacking(missing.facts, self.known)
        except (DoesNotApply, Undecided) as reason:
            self.left_out[what] = str(reason)
        except (KeyError, IndexError):
            raise
        except LookupError:
            # The bench has no such choice: a rule before it lacked a premise.
            self.left_out[what] = "it was not chosen, see the checks"

    def add(
        self,
        part: str,
        shapes: Sequence[Shape],
        data: Mapping[str, float] | None = None,
        under: bool = False,
    ) -> None:
        """Add a group on top of what is there, or under all of it.

        What lies nowhere near a brake is left out, and said so.
        """
        given = dict(data or {})
        far = [v for p in shapes for point in points_of(p) for v in point]
        far += given.values()
        if not all(math.isfinite(v) and abs(v) <= FARTHEST_MM for v in far):
            self.left_out[part] = f"it lies further than {FARTHEST_MM:g} mm from the hub"
            return
        self.groups.insert(0 if under else len(self.groups), Group(part, tuple(shapes), given))

    def call(self, key: str, *lines: str, at: Sequence[Point] = (), end: End = "plain") -> None:
        """Add a text for the margin."""
        near = [p for p in at if all(math.isfinite(v) and abs(v) <= FARTHEST_MM for v in p)]
        self.calls.append(Callout(key, tuple(lines), tuple(near), end))

    def spot(self, place: Point, *checks: str) -> None:
        """The place that checks speak of."""
        for check in checks:
            self.spots.setdefault(check, place)

    def note(self, text: str) -> None:
        """Add a note, once."""
        if text not in self.notes:
            self.notes.append(text)

    def box(self) -> tuple[float, float, float, float]:
        """Least x, least r, greatest x, greatest r of all drawn; (0, 0, 1, 1) if nothing is."""
        points = [p for g in self.groups for s in g.shapes for p in points_of(s)]
        if not points:
            return (0.0, 0.0, 1.0, 1.0)
        xs, rs = [p[0] for p in points], [p[1] for p in points]
        return (min(xs), min(rs), max(xs), max(rs))


def points_of(shape: Shape) -> tuple[Point, ...]:
    """The points that a shape is made of."""
    if isinstance(shape, Path | Hatched):
        return shape.points
    if isinstance(shape, Dot | Text):
        return (shape.at,)
    raise TypeError(shape)
