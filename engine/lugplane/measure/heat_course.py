"""A disc's temperature through any course of heat and rest, step by step.

The lump of `heat.Ring` obeys `m c T' = P(t) - hA (T - T_a)`. The course is a row of steps: heat all
at once, or over a time in which its power changes in a straight line. Each step is solved exactly,
so nothing depends on a step width.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, expm1, isfinite, log1p
from typing import TypeAlias

from lugplane.measure.arguments import not_negative
from lugplane.measure.heat import Ring

# Below this the second formula of `_ramp` loses digits and its series is exact to rounding.
_SMALL = 0.05


@dataclass(frozen=True, slots=True)
class Pulse:
    """Heat that one disc takes at once, J. Raises ValueError for less than none."""

    energy_j: float

    def __post_init__(self) -> None:
        not_negative("energy_j", self.energy_j)


@dataclass(frozen=True, slots=True)
class Spell:
    """A time in seconds in which the power into one disc goes straight from the first to the last
    of its two values, W; both 0 is rest. Raises ValueError for less than none.
    """

    seconds: float
    first_w: float = 0.0
    last_w: float = 0.0

    def __post_init__(self) -> None:
        not_negative("seconds", self.seconds)
        not_negative("first_w", self.first_w)
        not_negative("last_w", self.last_w)


Step: TypeAlias = Pulse | Spell


@dataclass(frozen=True, slots=True)
class Reached:
    """The hottest the disc was during a step, and how hot it was at its end, °C."""

    peak_c: float
    end_c: float


def follow(
    steps: Iterable[Step], ring: Ring, ambient_c: float, start_c: float | None = None
) -> tuple[Reached, ...]:
    """What is reached in each step of the course, begun at `start_c` (that of the air), °C.

    Solution of the law of cooling above. Raises ValueError for a temperature that is no number.
    """
    now_c = ambient_c if start_c is None else start_c
    if not (isfinite(ambient_c) and isfinite(now_c)):
        raise ValueError(f"temperatures must be numbers, not {ambient_c!r} and {now_c!r}")
    reached = []
    for step in steps:
        at = _reach(step, ring, ambient_c, now_c)
        reached.append(at)
        now_c = at.end_c
    return tuple(reached)


def hottest_c(
    steps: Sequence[Step], ring: Ring, ambient_c: float, start_c: float | None = None
) -> float:
    """The hottest of the whole course, its start with it, °C. Errors as `follow`."""
    start = ambient_c if start_c is None else start_c
    return max([start, *(at.peak_c for at in follow(steps, ring, ambient_c, start))])


def _reach(step: Step, ring: Ring, ambient_c: float, now_c: float) -> Reached:
    if isinstance(step, Pulse):
        end_c = now_c + step.energy_j / ring.capacity_jk
        return Reached(end_c, end_c)
    if step.seconds == 0.0:
        return Reached(now_c, now_c)
    end_c = _after(step, step.seconds, ring, ambient_c, now_c)
    top = _turn_s(step, ring, now_c - ambient_c)
    highest = max(now_c, end_c)
    if top is not None and 0.0 < top < step.seconds:
        highest = max(highest, _after(step, top, ring, ambient_c, now_c))
    return Reached(highest, end_c)


def _after(step: Spell, seconds: float, ring: Ring, ambient_c: float, now_c: float) -> float:
    """Temperature `seconds` into the spell: what is kept of the excess, and what the power adds."""
    x = ring.rate_per_s * seconds
    change_w = (step.last_w - step.first_w) * seconds / step.seconds
    added_j = seconds * (step.first_w * _flat(x) + change_w * _ramp(x))
    return ambient_c + (now_c - ambient_c) * exp(-x) + added_j / ring.capacity_jk


def _turn_s(step: Spell, ring: Ring, excess_k: float) -> float | None:
    """When within the spell the temperature turns from rising to falling, s; None if never.

    `T'` itself decays towards the power's slope over hA, so it passes zero once at most.
    """
    rise_ks = (step.first_w - ring.cooling_wk * excess_k) / ring.capacity_jk
    slope_ws = (step.last_w - step.first_w) / step.seconds
    if rise_ks <= 0.0 or slope_ws >= 0.0:
        return None
    uncooled_s = -rise_ks * ring.capacity_jk / slope_ws
    # Solves e^(λt) = 1 + λ · uncooled_s; written so that no λ is too small.
    x = -rise_ks * ring.cooling_wk / slope_ws
    return uncooled_s * log1p(x) / x if x > 0.0 else uncooled_s


def _flat(x: float) -> float:
    """`(1 - e^-x)/x`: what is kept at the end of heat that came evenly."""
    return -expm1(-x) / x if x > 0.0 else 1.0


def _ramp(x: float) -> float:
    """`(x - 1 + e^-x)/x²`: the same of heat whose power grew from nothing."""
    if x > _SMALL:
        return (x + expm1(-x)) / (x * x)
    # Σ (-x)^n / (n + 2)!, term by term.
    term = total = 0.5
    for n in range(1, 9):
        term *= -x / (n + 2)
        total += term
    return total
