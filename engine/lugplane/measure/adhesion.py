"""How far a car keeps the two conditions on the adhesion its axles use (TRADE §4).

Letters as in `balance`. No verdict: the margins only, with where they are least.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from lugplane.measure.arguments import not_negative, positive
from lugplane.measure.balance import (
    Brakes,
    ForceLines,
    force_lines,
    front_locks_z,
    rear_locks_z,
)
from lugplane.measure.loads import Loading

# The slope C of the second limit `z >= 0.1 + C (k - 0.2)`, by regulation. Both from memory.
ADHESION_SLOPES: dict[str, float] = {"UN R13": 0.85, "UN R13-H": 0.7}


@dataclass(frozen=True, slots=True)
class Least:
    """The least of a margin over a stretch, and where it is."""

    value: float
    at: float


def front_above_rear(brakes: Brakes, loading: Loading, z_low: float, z_high: float) -> Least:
    """Least of `φ - (s + z η)` over `z_low <= z <= z_high`, and the `z` it is at.

    It is above zero just where the front's curve of adhesion used lies above the rear's, since
    `φ/(s + zη) > (1 - φ)/(1 - s - zη)` says the same as `φ > s + zη`; its size is the front share
    to spare. 71/320/EEC annex II appendix 3.1.1 asks for it from z 0.15 to 0.80 in every state of
    loading. (Beyond `lift_z` it is below zero.) It falls up to the valve's knee and is concave
    beyond it, so its least is at an end or at the knee. Raises ValueError unless
    `0 < z_low <= z_high`.
    """
    return lines_above_rear(force_lines(brakes, loading), loading, z_low, z_high)


def lines_above_rear(lines: ForceLines, loading: Loading, z_low: float, z_high: float) -> Least:
    """`front_above_rear` of lines that are known."""
    if not positive("z_low", z_low) <= positive("z_high", z_high):
        raise ValueError(f"no stretch from {z_low:g} to {z_high:g} g")
    places = {z_low, z_high}
    if z_low < lines.knee_z < z_high:
        places.add(lines.knee_z)
    s, eta = loading.front_share, loading.height_ratio
    return Least(*min((lines.front(z) / z - (s + z * eta), z) for z in places))


def braking_for_adhesion(
    brakes: Brakes,
    loading: Loading,
    slope: float,
    friction_low: float = 0.2,
    friction_high: float = 0.8,
) -> Least:
    """Least of `z(k) - (0.1 + C (k - 0.2))` for adhesions `k` from 0.2 to 0.8, and the `k`.

    `z(k)` is the braking reached when the first axle uses `k`, `slope` is C: see
    `ADHESION_SLOPES`. The form `z >= 0.1 + C (k - 0.2)` is that of 71/320/EEC annex II appendix
    3.1.1 and of UN R13 annex 10. Raises ValueError unless `0 < friction_low <= friction_high`, and
    for a negative slope.

    Each axle's `z(k)` is a fraction of straight lines in `k`. Behind it is concave on either side
    of the knee, least at an end; in front convex, so that its flattest spot counts, where
    `dz/dk = C`.
    """
    lines = force_lines(brakes, loading)
    return lines_for_adhesion(lines, loading, slope, friction_low, friction_high)


def lines_for_adhesion(
    lines: ForceLines, loading: Loading, slope: float, friction_low: float, friction_high: float
) -> Least:
    """`braking_for_adhesion` of lines that are known."""
    if not positive("friction_low", friction_low) <= positive("friction_high", friction_high):
        raise ValueError(f"no stretch from {friction_low:g} to {friction_high:g}")
    not_negative("slope", slope)
    s, eta = loading.front_share, loading.height_ratio
    ahead, behind = {friction_low, friction_high}, {friction_low, friction_high}
    if lines.knee_z < loading.lift_z:
        front = lines.front(lines.knee_z)
        load = loading.front_load_share(lines.knee_z)
        ahead.add(front / load)
        behind.add((lines.knee_z - front) / (1.0 - load))
    if slope > 0.0:
        for share, drop in ((lines.share, 0.0), (lines.over, lines.drop)):
            # z = (k s + drop) / (share - k η), so dz/dk = (s share + η drop) / (share - k η)².
            ahead.add((share - sqrt((s * share + eta * drop) / slope)) / eta)
    found = [
        (lock(lines, loading, k) - (0.1 + slope * (k - 0.2)), k)
        for lock, places in ((front_locks_z, ahead), (rear_locks_z, behind))
        for k in places
        if friction_low <= k <= friction_high
    ]
    return Least(*min(found))
