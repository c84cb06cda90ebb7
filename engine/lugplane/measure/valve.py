"""The rear line's pressure valve, fixed or load-sensing."""

from __future__ import annotations

from dataclasses import dataclass

from lugplane.measure.arguments import not_negative, positive


@dataclass(frozen=True, slots=True)
class Valve:
    """A rear pressure valve: from `knee_bar` in the front line on, the rear line rises by only
    `slope` (0 to 1) of what the front does. Slope 0 limits, 1 does nothing.

    Raises ValueError for a negative knee or a slope outside 0 to 1.
    """

    knee_bar: float
    slope: float

    def __post_init__(self) -> None:
        not_negative("knee_bar", self.knee_bar)
        if not 0.0 <= self.slope <= 1.0:
            raise ValueError(f"slope must lie between 0 and 1, not {self.slope!r}")

    def rear_bar(self, front_bar: float) -> float:
        """Pressure in the rear line, bar."""
        over = max(0.0, not_negative("front_bar", front_bar) - self.knee_bar)
        return front_bar - (1.0 - self.slope) * over


def load_sensing_valve(
    rear_load_n: float,
    slope: float,
    *,
    unladen_n: float,
    unladen_knee_bar: float,
    laden_n: float,
    laden_knee_bar: float,
) -> Valve:
    """The valve that a load-sensing one is at the rear axle's load at rest `rear_load_n`.

    Its knee moves in proportion to the spring's travel, so in a straight line between the two
    settings (mechanics of a linear spring), and stays at them outside. Raises ValueError unless
    `unladen_n < laden_n`, and as `Valve` does.
    """
    if not not_negative("unladen_n", unladen_n) < positive("laden_n", laden_n):
        raise ValueError(f"unladen_n {unladen_n:g} is not below laden_n {laden_n:g}")
    part = (not_negative("rear_load_n", rear_load_n) - unladen_n) / (laden_n - unladen_n)
    part = min(1.0, max(0.0, part))
    return Valve(unladen_knee_bar + part * (laden_knee_bar - unladen_knee_bar), slope)
