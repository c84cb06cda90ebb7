"""A stop in distance and time, and the deceleration that a stopping test counts."""

from __future__ import annotations

from dataclasses import dataclass

from lugplane.measure.arguments import not_negative, positive

KMH_PER_MS = 3.6


@dataclass(frozen=True, slots=True)
class Stop:
    """Deceleration in m/s², distance in m, time in s."""

    deceleration_ms2: float
    distance_m: float
    time_s: float


def constant_force_stop(mass_kg: float, speed_ms: float, force_n: float) -> Stop:
    """A stop from `speed_ms` with one constant braking force (mechanics: Newton's second law).

    `a = F/m`, `s = v²/2a`, `t = v/a`. Raises ValueError unless mass and force are above zero and
    the speed is at least zero.
    """
    deceleration = positive("force_n", force_n) / positive("mass_kg", mass_kg)
    speed = not_negative("speed_ms", speed_ms)
    return Stop(deceleration, speed * speed / (2.0 * deceleration), speed / deceleration)


def mean_fully_developed_deceleration_ms2(
    high_kmh: float, low_kmh: float, distance_at_high_m: float, distance_at_low_m: float
) -> float:
    """`d_m = (v_b² - v_e²) / (25.92 (s_e - s_b))`, m/s²; 25.92 is 2 · 3.6² (UN R13, from memory).

    In a test `v_b` is 0.8 and `v_e` 0.1 of the speed the stop began with; the distances (m) are run
    from its beginning to those speeds (km/h). Raises ValueError unless the speed falls over some
    distance.
    """
    if not not_negative("low_kmh", low_kmh) < positive("high_kmh", high_kmh):
        raise ValueError(f"the speed does not fall from {high_kmh:g} to {low_kmh:g} km/h")
    run_m = distance_at_low_m - not_negative("distance_at_high_m", distance_at_high_m)
    return (high_kmh**2 - low_kmh**2) / (2.0 * KMH_PER_MS**2 * positive("the distance run", run_m))


@dataclass(frozen=True, slots=True)
class TypeZero:
    """A cold stop with the engine disconnected: the test's speed, the two factors of its longest
    distance `a v + b v²` (v in km/h, distance in m), the least mean deceleration.

    `a v` is the way run while the brakes come on, `b v²` the braking itself.
    """

    speed_kmh: float
    delay_m_per_kmh: float
    braking_m_per_kmh2: float
    deceleration_ms2: float

    def distance_m(self, speed_kmh: float) -> float:
        """Longest stopping distance from `speed_kmh`, m. ValueError for a negative speed."""
        speed = not_negative("speed_kmh", speed_kmh)
        return self.delay_m_per_kmh * speed + self.braking_m_per_kmh2 * speed**2


# UN R13-H, passenger cars. From memory.
TYPE_ZERO_CARS = TypeZero(100.0, 0.1, 0.0060, 6.43)
