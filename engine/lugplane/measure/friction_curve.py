"""Friction of a compound as measured over temperature: straight between its points, nowhere beyond.

One figure of friction has to serve balance, pedal and torque, whatever the temperature; it is all
that the curve reaches over the temperatures of normal and hot friction. SAE J866 names those two;
their temperatures are constants of `rules/limits.yaml`. Pads of one compound are set beside each
other at like temperatures: what they have in common is one number, as it is of a ratio.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lugplane.measure.arguments import not_negative
from lugplane.measure.bench import Undecided
from lugplane.measure.corners import Span


@dataclass(frozen=True, slots=True)
class FrictionCurve:
    """Points (°C, friction), rising in temperature, and the ± of each friction.

    Raises ValueError for fewer than two points, temperatures that do not rise, a negative ±.
    """

    points: tuple[tuple[float, float], ...]
    plus_minus: float

    def __post_init__(self) -> None:
        not_negative("plus_minus", self.plus_minus)
        if len(self.points) < 2:
            raise ValueError(f"a friction curve of {len(self.points)} points")
        for (low, _), (high, _) in pairwise(self.points):
            if not low < high:
                raise ValueError(f"a friction curve goes from {low:g} to {high:g} °C")

    @property
    def covers(self) -> Span:
        """The temperatures over which it is measured, °C."""
        return self.points[0][0], self.points[-1][0]

    def over(self, low_c: float, high_c: float) -> Span:
        """Least and greatest friction from `low_c` to `high_c`, the ± included.

        Raises `Undecided` where it is not measured, ValueError for temperatures turned round.
        """
        if not low_c <= high_c:
            raise ValueError(f"temperatures from {low_c:g} to {high_c:g} °C")
        first, last = self.covers
        if high_c > last:
            raise Undecided(f"not known above {last:g} °C")
        if low_c < first:
            raise Undecided(f"not known below {first:g} °C")
        found = list(_between(self.points, low_c, high_c))
        return min(found) - self.plus_minus, max(found) + self.plus_minus


def _between(points: Sequence[tuple[float, float]], low_c: float, high_c: float) -> Iterator[float]:
    """Friction at both ends and at the points between them: a straight line has no others."""
    for (cold, one), (hot, two) in pairwise(points):
        for at in (low_c, high_c):
            if cold <= at <= hot:
                share = (at - cold) / (hot - cold)
                yield one * (1.0 - share) + two * share
    yield from (friction for at, friction in points if low_c <= at <= high_c)
