"""Ready and own trials of a disc's heat: the Type-I test, and a list of stops.

A stop's heat comes at once unless its deceleration is given, which spreads it over the time that
the braking takes. At once is the hotter reckoning: at no moment of a spread course is a bit of heat
younger than its counterpart is just after a stop at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from lugplane.measure.arguments import not_negative, positive
from lugplane.measure.heat import (
    BrakedMass,
    Ring,
    repeated_peaks_c,
    stop_energy_j,
    stop_rise_k,
)
from lugplane.measure.heat_course import Pulse, Reached, Spell, Step, follow
from lugplane.measure.stopping import KMH_PER_MS

VehicleClass = Literal["car", "light-van"]


@dataclass(frozen=True, slots=True)
class TypeOne:
    """How a class of vehicle is put to the Type-I test: the first speed as a share of the top
    speed and at most `most_kmh`, the second as a share of the first, the time from the beginning of
    one braking to that of the next, how many, and the deceleration.
    """

    top_share: float
    most_kmh: float
    end_share: float
    period_s: float
    count: int
    deceleration_ms2: float


# 71/320/EEC annex II 1.3.1 and UN R13: categories M1 and N1.
TYPE_ONE: dict[VehicleClass, TypeOne] = {
    "car": TypeOne(0.8, 120.0, 0.5, 45.0, 15, 3.0),
    "light-van": TypeOne(0.8, 120.0, 0.5, 55.0, 15, 3.0),
}


@dataclass(frozen=True, slots=True)
class Snubs:
    """Equal brakings one after the other: speeds in km/h, the time from the beginning of one to
    that of the next in s, how many, the deceleration in m/s².

    Raises ValueError unless the speed falls, and the braking is over within the period.
    """

    from_kmh: float
    to_kmh: float
    period_s: float
    count: int
    deceleration_ms2: float

    def __post_init__(self) -> None:
        if not not_negative("to_kmh", self.to_kmh) < positive("from_kmh", self.from_kmh):
            raise ValueError(f"no braking from {self.from_kmh:g} to {self.to_kmh:g} km/h")
        if self.count < 1:
            raise ValueError(f"at least one braking, not {self.count!r}")
        positive("deceleration_ms2", self.deceleration_ms2)
        if not self.braking_s <= positive("period_s", self.period_s):
            raise ValueError(f"braking takes {self.braking_s:g} s of {self.period_s:g}")

    @property
    def braking_s(self) -> float:
        """How long one braking takes, s."""
        return (self.from_kmh - self.to_kmh) / KMH_PER_MS / self.deceleration_ms2


def type_one(vehicle_class: VehicleClass, top_speed_kmh: float) -> Snubs:
    """The Type-I test of a vehicle of this top speed (71/320/EEC annex II 1.3.1, UN R13).

    Raises ValueError for another class or a speed not above zero.
    """
    plan = TYPE_ONE.get(vehicle_class)
    if plan is None:
        raise ValueError(f"no Type-I plan for the class {vehicle_class!r}: {', '.join(TYPE_ONE)}")
    first = min(plan.top_share * positive("top_speed_kmh", top_speed_kmh), plan.most_kmh)
    return Snubs(first, plan.end_share * first, plan.period_s, plan.count, plan.deceleration_ms2)


def snub_peaks_c(
    snubs: Snubs, braked: BrakedMass, ring: Ring, ambient_c: float
) -> tuple[float, ...]:
    """Temperatures just after each of the snubs, heat at once, begun at that of the air, °C.

    Closed form, `heat.repeated_peaks_c`; the last is the hottest. Errors as there.
    """
    rise_k = stop_rise_k(braked, ring, snubs.from_kmh / KMH_PER_MS, snubs.to_kmh / KMH_PER_MS)
    return repeated_peaks_c(snubs.count, rise_k, ring, snubs.period_s, ambient_c)


@dataclass(frozen=True, slots=True)
class OwnStop:
    """One entry of a list of stops: speeds in km/h, the time in s from its end (heat at once: from
    the stop) to the next one, and its deceleration in m/s² where its heat is to be spread.

    Raises ValueError for a speed that rises, a negative one, or a negative rest.
    """

    from_kmh: float
    to_kmh: float
    rest_s: float
    deceleration_ms2: float | None = None

    def __post_init__(self) -> None:
        if not not_negative("to_kmh", self.to_kmh) <= not_negative("from_kmh", self.from_kmh):
            raise ValueError(f"no braking from {self.from_kmh:g} to {self.to_kmh:g} km/h")
        not_negative("rest_s", self.rest_s)
        if self.deceleration_ms2 is not None:
            positive("deceleration_ms2", self.deceleration_ms2)


def spread(snubs: Snubs) -> tuple[OwnStop, ...]:
    """The same snubs as a list of stops, their heat spread over each braking."""
    rest_s = snubs.period_s - snubs.braking_s
    one = OwnStop(snubs.from_kmh, snubs.to_kmh, rest_s, snubs.deceleration_ms2)
    return (one,) * snubs.count


def at_once(snubs: Snubs) -> tuple[OwnStop, ...]:
    """The same snubs as a list of stops, their heat at once."""
    return (OwnStop(snubs.from_kmh, snubs.to_kmh, snubs.period_s),) * snubs.count


def course(stops: Iterable[OwnStop], braked: BrakedMass) -> tuple[Step, ...]:
    """The stops as heat in one disc, two steps each: the braking, then the rest.

    Spread over a braking at the constant deceleration `a` the power is `share φ m a v / n`, which
    falls in a straight line as the speed does (mechanics).
    """
    steps: list[Step] = []
    for stop in stops:
        high, low = stop.from_kmh / KMH_PER_MS, stop.to_kmh / KMH_PER_MS
        if stop.deceleration_ms2 is None:
            steps.append(Pulse(stop_energy_j(braked, high, low)))
        else:
            force_n = braked.share_kg * stop.deceleration_ms2
            took_s = (high - low) / stop.deceleration_ms2
            steps.append(Spell(took_s, force_n * high, force_n * low))
        steps.append(Spell(stop.rest_s))
    return tuple(steps)


def stop_list_c(
    stops: Sequence[OwnStop],
    braked: BrakedMass,
    ring: Ring,
    ambient_c: float,
    start_c: float | None = None,
) -> tuple[Reached, ...]:
    """For each stop of a list, the hottest the disc was, and how hot it still was after the rest.

    In °C, begun at `start_c` (that of the air). Reckoned step by step. Errors as
    `heat_course.follow`.
    """
    reached = follow(course(stops, braked), ring, ambient_c, start_c)
    return tuple(
        Reached(braking.peak_c, rest.end_c)
        for braking, rest in zip(reached[::2], reached[1::2], strict=True)
    )
