"""Assembly preload and tightening torque of a bolt (VDI 2230 part 1, 2003 and later form).

Friction is always the caller's: the thread's `thread_friction` (μ_G) and the one under the head,
`head_friction` (μ_K). Tables of other editions, or for other friction, give other figures.
"""

from math import pi, sqrt

from lugplane.measure.arguments import not_negative, positive
from lugplane.measure.threads import pitch_diameter_mm, stress_area_mm2, stress_diameter_mm

_NM_PER_NMM = 1e-3


def bearing_diameter_mm(head_mm: float, hole_mm: float) -> float:
    """Effective friction diameter D_km under a head, mm: the mean of head face and hole (VDI 2230).

    `head_mm` is the outer diameter of the bearing face, `hole_mm` that of the hole below it.
    Raises ValueError unless the face is wider than the hole.
    """
    if positive("head_mm", head_mm) <= positive("hole_mm", hole_mm):
        raise ValueError(f"a head face of {head_mm:g} mm bears on nothing at a {hole_mm:g} mm hole")
    return (head_mm + hole_mm) / 2.0


def preload_n(
    nominal_mm: float,
    pitch_mm: float,
    yield_mpa: float,
    thread_friction: float,
    *,
    utilisation: float = 0.9,
) -> float:
    """Preload F_M at which tension and thread torsion together use `utilisation` of yield, N.

    F_M = ν Rp0.2 As / sqrt(1 + 3 (3/2 d2/d0 (P/(π d2) + 1.155 μ_G))²), with d0 = (d2 + d3)/2
    (VDI 2230, whose usual ν is 0.9). Raises ValueError for sizes or stress not above zero, negative
    friction, or a utilisation outside 0..1.
    """
    if not 0.0 < utilisation <= 1.0:
        raise ValueError(f"utilisation must be above 0 and at most 1, not {utilisation!r}")
    not_negative("thread_friction", thread_friction)
    d2 = pitch_diameter_mm(nominal_mm, pitch_mm)
    d0 = stress_diameter_mm(nominal_mm, pitch_mm)
    torsion = 1.5 * d2 / d0 * (pitch_mm / (pi * d2) + 1.155 * thread_friction)
    tension_mpa = utilisation * positive("yield_mpa", yield_mpa) / sqrt(1.0 + 3.0 * torsion**2)
    return tension_mpa * stress_area_mm2(nominal_mm, pitch_mm)


def tightening_torque_nm(
    preload_n: float,
    nominal_mm: float,
    pitch_mm: float,
    bearing_diameter_mm: float,
    thread_friction: float,
    head_friction: float,
) -> float:
    """Torque that brings the bolt to `preload_n`, N·m (VDI 2230).

    M_A = F_M (0.16 P + 0.58 d2 μ_G + D_km/2 μ_K). Raises ValueError for sizes not above zero or a
    negative preload or friction.
    """
    arm_mm = _torque_arm_mm(
        nominal_mm, pitch_mm, bearing_diameter_mm, thread_friction, head_friction
    )
    return not_negative("preload_n", preload_n) * arm_mm * _NM_PER_NMM


def preload_at_torque_n(
    torque_nm: float,
    nominal_mm: float,
    pitch_mm: float,
    bearing_diameter_mm: float,
    thread_friction: float,
    head_friction: float,
) -> float:
    """Preload that `torque_nm` gives, N: `tightening_torque_nm` turned round.

    The bolt's class does not enter: a stronger bolt at the same torque clamps no harder. Raises
    ValueError as `tightening_torque_nm` does.
    """
    arm_mm = _torque_arm_mm(
        nominal_mm, pitch_mm, bearing_diameter_mm, thread_friction, head_friction
    )
    return not_negative("torque_nm", torque_nm) / (arm_mm * _NM_PER_NMM)


def _torque_arm_mm(
    nominal_mm: float,
    pitch_mm: float,
    bearing_diameter_mm: float,
    thread_friction: float,
    head_friction: float,
) -> float:
    not_negative("thread_friction", thread_friction)
    not_negative("head_friction", head_friction)
    return (
        0.16 * pitch_mm
        + 0.58 * pitch_diameter_mm(nominal_mm, pitch_mm) * thread_friction
        + positive("bearing_diameter_mm", bearing_diameter_mm) / 2.0 * head_friction
    )
