"""Braking as TRADE §4 states it, for one figure or for arrays. N, mm, MPa, kg, m/s."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi
from typing import TypeVar

import numpy as np

from .boxes import Span
from .geometry import Array

G = 9.80665  # m/s², standard gravity
F = TypeVar("F", float, Array)

# SAE J866: friction by letter, CHECKS P1. The last has no upper end, so nothing is made of it.
LETTERS: dict[str, Span] = {
    "C": (0.0, 0.15),
    "D": (0.15, 0.25),
    "E": (0.25, 0.35),
    "F": (0.35, 0.45),
    "G": (0.45, 0.55),
    "H": (0.55, float("inf")),
}


def letters_span(letters: str) -> Span | None:
    """Friction that a pair of letters (cold, hot) leaves open; None where it has no end."""
    spans = [LETTERS[letter] for letter in letters]
    low, high = min(s[0] for s in spans), max(s[1] for s in spans)
    return None if high == float("inf") else (low, high)


def piston_area(bores: Sequence[float]) -> float:
    """mm² of some pistons."""
    return float(sum(pi / 4 * d**2 for d in bores))


def clamp_force(pressure: F, area: float) -> F:
    """N on each face of the disc: one side's pistons (fixed) or all of them (floating)."""
    return pressure * area


def wheel_torque(friction: F, pressure: F, area: float, r_eff: F) -> F:
    """N·mm of one wheel: two faces (TRADE §4)."""
    return 2 * friction * pressure * area * r_eff


def line_pressure(pedal: F, ratio: F, gain: F, spent: F, bore: F) -> F:
    """MPa in the circuits; beyond what spends the booster (pushrod force `spent`) one for one."""
    rod = pedal * ratio
    out = np.minimum(rod * gain, np.maximum(spent, 0)) + np.maximum(rod - spent / gain, 0)
    return np.asarray(out) / (pi / 4 * bore**2)  # type: ignore[return-value]


def axle_shares(share: F, z: F, height: F, base: F) -> tuple[F, F]:
    """Front and rear axle load over the car's weight at deceleration z (g); static front share."""
    moved = z * height / base
    return share + moved, 1 - share - moved


def adhesion(front: F, share: F, z: F, height: F, base: F) -> tuple[F, F]:
    """Adhesion used at each axle (f1, f2); `front` the share of the braking force in front."""
    load_front, load_rear = axle_shares(share, z, height, base)
    return front * z / load_front, (1 - front) * z / load_rear


def equal_at(front: F, share: F, height: F, base: F) -> F:
    """Deceleration in g at which both axles use the same adhesion."""
    return (front - share) * base / height


def locks_at(front: F, share: F, mu: F, height: F, base: F) -> tuple[F, F]:
    """Deceleration in g at which each axle would lock on a road of friction `mu`.

    From ``front z = mu (share + z h/L)`` and ``(1 - front) z = mu (1 - share - z h/L)``.
    """
    chi = height / base
    with np.errstate(divide="ignore", invalid="ignore"):
        first = np.where(front > mu * chi, mu * share / (front - mu * chi), np.inf)
    return first, mu * (1 - share) / (1 - front + mu * chi)  # type: ignore[return-value]


def constant_stop(force: F, mass: F, speed: F) -> tuple[F, F, F]:
    """Deceleration m/s², distance m and time s of a stop with a constant force (N, kg, m/s)."""
    slowing = force / mass
    return slowing, speed**2 / (2 * slowing), speed / slowing


def type_0_distance(speed_kmh: float) -> float:
    """Longest distance in m of a stop from so many km/h: ``0.1 v + 0.006 v²`` (UN R13-H)."""
    return 0.1 * speed_kmh + 0.006 * speed_kmh**2
