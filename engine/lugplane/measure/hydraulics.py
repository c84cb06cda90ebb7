"""Foot to line pressure to clamp to torque (TRADE §4).

Losses of pedal, booster and master cylinder (a few percent) and the pressure at which pistons
begin to move are left out, as in the usual worked examples. Pressures in MPa (0.1 MPa is 1 bar),
lengths in mm, forces in N.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from lugplane.measure.arguments import not_negative, positive

MPA_PER_BAR = 0.1


def circle_area_mm2(bore_mm: float) -> float:
    """Area of a bore, mm²: `π/4 d²`. Raises ValueError unless the bore is above zero."""
    return math.pi / 4 * positive("bore_mm", bore_mm) ** 2


def piston_area_mm2(bores_mm: Sequence[float], body: str) -> float:
    """`A`, the area that counts for the clamp force of one wheel, mm².

    `bores_mm` are the pistons of one side of a fixed caliper, or all of a floating one: the
    opposite side of a fixed caliper reacts and adds nothing (mechanics; CHECKS M12). A caller who
    has both sides of a fixed caliper halves them first. Raises `ValueError` for another body, no
    piston at all, or a bore not above zero.
    """
    if body not in ("fixed", "floating"):
        raise ValueError(f"a caliper's body is fixed or floating, not {body}")
    if not bores_mm:
        raise ValueError("a caliper has at least one piston")
    return sum(circle_area_mm2(d) for d in bores_mm)


def boosted_force_n(input_n: float, gain: float, run_out_n: float) -> float:
    """Force on the master cylinder for `input_n` on the booster's input rod, N.

    `gain` times the input up to the input `run_out_n` at which the booster is spent; beyond it
    each newton more adds one newton (mechanics: the assist stays what it was). Written as
    `F + (gain - 1) min(F, run-out)`. A pedal without booster has gain 1; `run_out_n` may be
    infinite. The small jump-in at first touch is left out. Raises ValueError for a negative force
    or a gain below 1.
    """
    if not (math.isfinite(gain) and gain >= 1.0):
        raise ValueError(f"gain must be a number of at least one, not {gain!r}")
    if math.isnan(run_out_n) or run_out_n < 0.0:
        raise ValueError(f"run_out_n must be at least zero, not {run_out_n!r}")
    return not_negative("input_n", input_n) + (gain - 1.0) * min(input_n, run_out_n)


def line_pressure_mpa(
    pedal_n: float,
    pedal_ratio: float,
    master_bore_mm: float,
    gain: float = 1.0,
    run_out_n: float = math.inf,
) -> float:
    """Line pressure from the force of the foot, MPa.

    `pedal_n · pedal_ratio` on the booster's input rod, boosted, over the area of the master
    cylinder's bore; both circuits of a tandem cylinder carry this pressure (mechanics). Raises
    ValueError for a negative force, or a ratio or bore not above zero, and as `boosted_force_n`.
    """
    rod_n = not_negative("pedal_n", pedal_n) * positive("pedal_ratio", pedal_ratio)
    return boosted_force_n(rod_n, gain, run_out_n) / circle_area_mm2(master_bore_mm)


def pedal_force_n(
    pressure_mpa: float,
    pedal_ratio: float,
    master_bore_mm: float,
    gain: float = 1.0,
    run_out_n: float = math.inf,
) -> float:
    """Force of the foot that brings `pressure_mpa`, N: `line_pressure_mpa` turned round.

    Raises ValueError for a negative pressure, and as `line_pressure_mpa` does.
    """
    needed_n = not_negative("pressure_mpa", pressure_mpa) * circle_area_mm2(master_bore_mm)
    # Checks gain and run-out; the input rod never needs more than without any assist.
    boosted_force_n(0.0, gain, run_out_n)
    rod_n = max(needed_n / gain, needed_n - (gain - 1.0) * run_out_n) if gain > 1.0 else needed_n
    return rod_n / positive("pedal_ratio", pedal_ratio)


def clamp_n(pressure_mpa: float, area_mm2: float) -> float:
    """`N = p A`, force of one pad on its face, N, with `A` as in `piston_area_mm2` (mechanics).

    Raises ValueError for a negative pressure or an area not above zero.
    """
    return not_negative("pressure_mpa", pressure_mpa) * positive("area_mm2", area_mm2)


def face_torque_nm(normal_n: float, friction: float, radius_mm: float) -> float:
    """`μ N r_eff` of one face of the disc under the clamp `normal_n`, N·m (mechanics).

    Raises ValueError for a negative clamp or friction, or a radius not above zero.
    """
    force_n = not_negative("friction", friction) * not_negative("normal_n", normal_n)
    return force_n * positive("radius_mm", radius_mm) / 1000


def brake_torque_nm(
    pressure_mpa: float, area_mm2: float, friction: float, radius_mm: float
) -> float:
    """`2 μ p A r_eff` of one wheel, N·m: both faces of the disc are braked with the same clamp.

    Raises ValueError for a negative pressure or friction, or an area or radius not above zero.
    """
    return 2 * face_torque_nm(clamp_n(pressure_mpa, area_mm2), friction, radius_mm)


def torque_per_bar_nm(area_mm2: float, friction: float, radius_mm: float) -> float:
    """Braking torque of one wheel for each bar of line pressure, N·m. Errors as above."""
    return brake_torque_nm(MPA_PER_BAR, area_mm2, friction, radius_mm)


def pressure_for_torque_mpa(
    torque_nm: float, area_mm2: float, friction: float, radius_mm: float
) -> float:
    """Line pressure at which one wheel is braked with `torque_nm`, MPa.

    `brake_torque_nm` turned round. Raises ValueError for a negative torque, or an area, friction or
    radius not above zero.
    """
    positive("friction", friction)
    return not_negative("torque_nm", torque_nm) / brake_torque_nm(
        1.0, area_mm2, friction, radius_mm
    )


def sector_clamp_n(peak_mpa: float, inner_mm: float, outer_mm: float, angle_deg: float) -> float:
    """Clamp of a sector lining under uniform wear whose greatest pressure is `peak_mpa`, N.

    Under uniform wear the pressure is `peak · r_i / r`, so the clamp is
    `peak · θ · r_i (r_o - r_i)` (standard disc-brake theory, design books on machine elements).
    Raises ValueError unless `0 < inner < outer`, `0 < angle <= 360` and the pressure is at least 0.
    """
    if not positive("inner_mm", inner_mm) < positive("outer_mm", outer_mm):
        raise ValueError(f"a lining from {inner_mm:g} to {outer_mm:g} mm has no width")
    if not 0.0 < angle_deg <= 360.0:
        raise ValueError(f"angle_deg must be above 0 and at most 360, not {angle_deg!r}")
    width_mm = outer_mm - inner_mm
    return not_negative("peak_mpa", peak_mpa) * math.radians(angle_deg) * inner_mm * width_mm
