"""A disc's ring as one lump of iron: what a stop, repeated stops and a descent heat it to.

The whole ring has one temperature; it takes a stop's heat at once and gives it off at `hA` watts
for each kelvin above the air (Newton's law of cooling). Heat that goes on into hat and hub, drag,
engine braking, and the turning parts' own energy (a few percent) are left out. That is enough to
set a disc beside the stock one, and not to foretell an absolute temperature. Temperatures in °C,
differences in K.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, expm1, inf, isfinite, pi, sqrt

from lugplane.measure.arguments import not_negative, positive
from lugplane.measure.corners import Span
from lugplane.measure.loads import STANDARD_GRAVITY

# Grey iron, handbook values: density in kg/m³, and a band of specific heats in J/kgK, since the
# handbooks differ by grade and by temperature.
GREY_IRON_DENSITY_KG_M3 = 7200.0
GREY_IRON_SPECIFIC_HEAT_J_KGK: Span = (450.0, 545.0)

_MM3_PER_M3 = 1e9


@dataclass(frozen=True, slots=True)
class Ring:
    """The friction ring of one disc: mass in kg, specific heat in J/kgK, cooling `hA` in W/K.

    Raises ValueError for a mass or specific heat not above zero, or a negative cooling.
    """

    mass_kg: float
    specific_heat_j_kgk: float
    cooling_wk: float

    def __post_init__(self) -> None:
        positive("mass_kg", self.mass_kg)
        positive("specific_heat_j_kgk", self.specific_heat_j_kgk)
        not_negative("cooling_wk", self.cooling_wk)

    @property
    def capacity_jk(self) -> float:
        """Heat for each kelvin, J/K: `m c`."""
        return self.mass_kg * self.specific_heat_j_kgk

    @property
    def rate_per_s(self) -> float:
        """`hA/(m c)`, the share of its excess over the air lost each second at first, 1/s."""
        return self.cooling_wk / self.capacity_jk

    def kept(self, seconds: float) -> float:
        """`q = exp(-hA t/(m c))`, the share of the excess over the air left after `seconds`.

        Raises ValueError for a negative time.
        """
        return exp(-self.rate_per_s * not_negative("seconds", seconds))


@dataclass(frozen=True, slots=True)
class BrakedMass:
    """The car as one of its discs sees it: mass in kg, the axle's share `φ` of the braking, the
    share of the heat that enters the discs (the rest stays in the pads), and the discs that bear
    the axle's share (two).

    Raises ValueError for a mass not above zero, shares outside 0 to 1, or no disc.
    """

    mass_kg: float
    axle_share: float
    disc_share: float = 1.0
    discs: int = 2

    def __post_init__(self) -> None:
        positive("mass_kg", self.mass_kg)
        for name, value in (("axle_share", self.axle_share), ("disc_share", self.disc_share)):
            if not 0.0 <= value <= 1.0:
                raise ValueError(f"{name} must lie between 0 and 1, not {value!r}")
        if self.discs < 1:
            raise ValueError(f"at least one disc, not {self.discs!r}")

    @property
    def share_kg(self) -> float:
        """The mass that one disc has to brake, kg: `share φ m / n`."""
        return self.disc_share * self.axle_share * self.mass_kg / self.discs


def ring_mass_kg(
    outer_mm: float,
    inner_mm: float,
    thickness_mm: float,
    density_kg_m3: float,
    solid_share: float = 1.0,
) -> float:
    """Mass of a ring from its diameters and thickness, kg: `π/4 (D² - d²) T ρ` (geometry).

    `solid_share` is the part of it that is metal: below 1 for a vented ring, whose maker's mass is
    the better source. Raises ValueError for sizes or density not above zero, no ring left between
    the diameters, or a share outside 0 to 1.
    """
    if not positive("inner_mm", inner_mm) < positive("outer_mm", outer_mm):
        raise ValueError(f"a ring from {inner_mm:g} to {outer_mm:g} mm has no width")
    if not 0.0 < solid_share <= 1.0:
        raise ValueError(f"solid_share must be above 0 and at most 1, not {solid_share!r}")
    face_mm2 = pi / 4.0 * (outer_mm - inner_mm) * (outer_mm + inner_mm)
    solid_mm3 = face_mm2 * positive("thickness_mm", thickness_mm) * solid_share
    return solid_mm3 * positive("density_kg_m3", density_kg_m3) / _MM3_PER_M3


def stop_energy_j(braked: BrakedMass, from_ms: float, to_ms: float = 0.0) -> float:
    """Heat that one disc takes from braking between two speeds, J: `share φ ½ m (v² - w²)/n`.

    Mechanics, energy conserved. Raises ValueError unless `from_ms >= to_ms >= 0`.
    """
    if not not_negative("from_ms", from_ms) >= not_negative("to_ms", to_ms):
        raise ValueError(f"braking does not lead from {from_ms:g} to {to_ms:g} m/s")
    return braked.share_kg / 2.0 * (from_ms - to_ms) * (from_ms + to_ms)


def stop_rise_k(braked: BrakedMass, ring: Ring, from_ms: float, to_ms: float = 0.0) -> float:
    """Rise in temperature by one stop, K: its energy over `m c`, no cooling meanwhile (TRADE §5).

    Raises ValueError as `stop_energy_j` does.
    """
    return stop_energy_j(braked, from_ms, to_ms) / ring.capacity_jk


def repeated_peak_c(
    count: int, rise_k: float, ring: Ring, period_s: float, ambient_c: float
) -> float:
    """Temperature just after the last of `count` equal stops, begun at that of the air, °C.

    `T_k = T_a + ΔT (1 - q^k)/(1 - q)`, `q = exp(-hA Δt/(m c))`: a geometric sum, since each stop
    adds `rise_k` and the period between two stops leaves `q` of the excess (TRADE §5). It is the
    hottest of them. Without cooling it is `T_a + k ΔT`. Raises ValueError for no stop at all, a
    negative rise, or a period not above zero.
    """
    if count < 1:
        raise ValueError(f"at least one stop, not {count!r}")
    x = ring.rate_per_s * positive("period_s", period_s)
    many = expm1(-count * x) / expm1(-x) if x > 0.0 else float(count)
    return _air(ambient_c) + not_negative("rise_k", rise_k) * many


def repeated_peaks_c(
    count: int, rise_k: float, ring: Ring, period_s: float, ambient_c: float
) -> tuple[float, ...]:
    """Temperatures just after each of `count` equal stops, °C. As `repeated_peak_c`."""
    if count < 1:
        raise ValueError(f"at least one stop, not {count!r}")
    return tuple(repeated_peak_c(k, rise_k, ring, period_s, ambient_c) for k in range(1, count + 1))


def repeated_limit_c(rise_k: float, ring: Ring, period_s: float, ambient_c: float) -> float:
    """What the peaks of ever more stops draw near to, °C: `T_a + ΔT/(1 - q)`.

    Infinite without cooling. Raises ValueError as `repeated_peak_c` does.
    """
    x = ring.rate_per_s * positive("period_s", period_s)
    if not_negative("rise_k", rise_k) == 0.0:
        return _air(ambient_c)
    return _air(ambient_c) - rise_k / expm1(-x) if x > 0.0 else inf


def descent_power_w(
    braked: BrakedMass, grade: float, speed_ms: float, other_force_n: float = 0.0
) -> float:
    """Heat that one disc takes each second on the way down at a constant speed, W.

    `share φ (m g sin α - F) v / n`: the slope's pull on the car less `other_force_n`, all that
    holds it back besides the brakes (engine, rolling, drag), 0 being the worst; `grade` is fall
    over level distance (0.06 for 6 %). Mechanics, energy conserved. Nothing where the other force
    suffices. Raises ValueError for a negative grade, speed or force.
    """
    sine = not_negative("grade", grade) / sqrt(1.0 + grade * grade)
    pull_n = braked.mass_kg * STANDARD_GRAVITY * sine
    held_n = max(0.0, pull_n - not_negative("other_force_n", other_force_n))
    return held_n * not_negative("speed_ms", speed_ms) * braked.share_kg / braked.mass_kg


def descent_c(
    power_w: float, seconds: float, ring: Ring, ambient_c: float, start_c: float | None = None
) -> float:
    """Temperature after `seconds` of constant heating, begun at `start_c` (that of the air), °C.

    `T = T_a + (T_0 - T_a) q + P/hA (1 - q)`, the solution of `m c T' = P - hA (T - T_a)`. Without
    cooling `T_0 + P t/(m c)`. Raises ValueError for a negative power or time.
    """
    x = ring.rate_per_s * not_negative("seconds", seconds)
    start = _air(ambient_c) if start_c is None else _air(start_c)
    # (1 - q)/x goes to 1 as the cooling goes to nothing.
    mean = -expm1(-x) / x if x > 0.0 else 1.0
    added_k = not_negative("power_w", power_w) * seconds / ring.capacity_jk * mean
    return ambient_c + (start - ambient_c) * exp(-x) + added_k


def _air(value_c: float) -> float:
    if not isfinite(value_c):
        raise ValueError(f"a temperature must be a number, not {value_c!r}")
    return value_c
