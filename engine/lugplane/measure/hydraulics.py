"""Pressure to clamp to torque (TRADE §4)."""

from __future__ import annotations

import math
from collections.abc import Sequence


def piston_area_mm2(bores_mm: Sequence[float], body: str) -> float:
    """`A`, the area that counts for the clamp force of one wheel, mm².

    `bores_mm` are the pistons of one side of a fixed caliper, or all of a floating one: the
    opposite side of a fixed caliper reacts and adds nothing (mechanics; CHECKS M12). A caller who
    has both sides of a fixed caliper halves them first. Raises `ValueError` for another body.
    """
    if body not in ("fixed", "floating"):
        raise ValueError(f"a caliper's body is fixed or floating, not {body}")
    return sum(math.pi / 4 * d * d for d in bores_mm)


def brake_torque_nm(
    pressure_mpa: float, area_mm2: float, friction: float, radius_mm: float
) -> float:
    """`2 μ p A r_eff` of one wheel, N·m: both faces of the disc are braked with the same clamp."""
    return 2 * friction * pressure_mpa * area_mm2 * radius_mm / 1000
