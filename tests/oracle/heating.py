"""Heat as TRADE §5 states it: the ring as one body of one temperature, by integration.

kg, J/kgK, W/K, m/s, s, °C. The closed forms stand beside it in the tests.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np
from scipy.integrate import solve_ivp

from .braking import F

DENSITY = 7200.0  # kg/m³, grey iron, TRADE §5
IRON = (450.0, 545.0)  # J/kgK of grey iron, TRADE §5


def one_stop(share: float, part: float, mass: float, speed: float, rings: float, c: float) -> float:
    """Warming in K: ``share φ ½ m v² / (n m_ring c)``; `rings` their mass together in kg."""
    return share * part * 0.5 * mass * speed**2 / (rings * c)


def ring_mass(outer_mm: float, inner_mm: float, thick_mm: float) -> float:
    """kg of a solid ring from its diameters and thickness."""
    return DENSITY * pi / 4 * (outer_mm**2 - inner_mm**2) * thick_mm * 1e-9


@dataclass(frozen=True)
class Type1:
    """UN R13 Type-I, CHECKS H3: from 80 % of the top speed, at most a cap, to half of it."""

    count: int = 15
    every_s: float = 45.0
    cap_kmh: float = 120.0
    part: float = 0.8
    slowing: float = 3.0

    def speeds(self, top_kmh: float) -> tuple[float, float]:
        """m/s from and to."""
        first = min(self.part * top_kmh, self.cap_kmh) / 3.6
        return first, first / 2


def snub_peaks(
    rise: float, capacity: float, cooling: float, ambient: float, every: float, count: int
) -> list[float]:
    """°C after each of `count` quick snubs, the ring cooling between them by `solve_ivp`.

    `rise` K a snub, `capacity` J/K and `cooling` W/K of one ring.
    """
    now, peaks = ambient, list[float]()
    for n in range(count):
        if n:
            done = solve_ivp(
                lambda _, t: -cooling / capacity * (t - ambient),
                (0.0, every),
                np.array([now]),
                rtol=1e-10,
                atol=1e-10,
            )
            now = float(done.y[0, -1])
        now += rise
        peaks.append(now)
    return peaks


def held_at(power: float, capacity: float, cooling: float, ambient: float, seconds: float) -> float:
    """°C after so long at a constant power into the ring, from ambient (`solve_ivp`)."""
    done = solve_ivp(
        lambda _, t: (power - cooling * (t - ambient)) / capacity,
        (0.0, seconds),
        np.array([ambient]),
        rtol=1e-10,
        atol=1e-10,
    )
    return float(done.y[0, -1])


def snubs_over_one(q: F, count: int) -> F:
    """Warming after so many equal snubs over that of one, ``q`` what is left of it in between."""
    return sum(q**k for k in range(count))  # type: ignore[return-value]
