"""An axis: which stretch of a quantity it shows, and where its ticks stand."""

from __future__ import annotations

import math
from dataclasses import dataclass

from lugplane.quantity.text import number

_STEPS = (1.0, 2.0, 5.0, 10.0)
_GRAIN = 1e-9


@dataclass(frozen=True, slots=True)
class Axis:
    """From `low` to `high` with a tick every `step` (0: none); `title` names quantity and unit."""

    title: str
    low: float
    high: float
    step: float

    @property
    def ticks(self) -> tuple[float, ...]:
        """Multiples of the step within the axis, rising."""
        if self.step == 0.0:
            return ()
        first = math.ceil(self.low / self.step - _GRAIN)
        last = math.floor(self.high / self.step + _GRAIN)
        return tuple(n * self.step for n in range(first, last + 1))

    def tick_words(self, tick: float) -> str:
        """A tick's number, with as many decimals as the step needs."""
        return number(tick, max(0, -math.floor(math.log10(self.step) + _GRAIN)))

    def share(self, value: float) -> float:
        """How far along the axis a value lies, 0 at its beginning and 1 at its end."""
        return (value - self.low) / (self.high - self.low)


def axis_over(title: str, low: float, high: float, most: int = 8) -> Axis:
    """An axis that covers `low` to `high` with whole steps of 1, 2 or 5, at most `most` of them.

    Raises ValueError for bounds that are no numbers or turned round.
    """
    if not (math.isfinite(low) and math.isfinite(high) and low <= high):
        raise ValueError(f"no axis runs from {low!r} to {high!r}")
    wide = max(high - low, abs(high) * 1e-6, 1e-6)
    ten: float = 10.0 ** math.floor(math.log10(wide / most))
    for step in (ten * s for s in _STEPS):
        first = math.floor(low / step + _GRAIN)
        last = max(math.ceil(high / step - _GRAIN), first + 1)
        if last - first <= most:
            return Axis(title, first * step, last * step, step)
    step = ten * 20.0
    first = math.floor(low / step + _GRAIN)
    return Axis(title, first * step, (first + most) * step, step)
