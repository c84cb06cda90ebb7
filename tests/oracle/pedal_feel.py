"""The pedal as TRADE §4 states it: fluid, stroke at the master, travel at the foot. mm, mm³."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

from .braking import piston_area


def fluid(bores: Sequence[float], gap: float, fixed: bool) -> float:
    """mm³ that one caliper takes to close `gap` mm a pad.

    Fixed: pistons of both sides by the gap. Floating: its piston closes the gap of both pads.
    """
    return 2 * piston_area(bores) * gap


def stroke(volume: float, bore: float) -> float:
    """mm at the master for so many mm³."""
    return volume / (pi / 4 * bore**2)
