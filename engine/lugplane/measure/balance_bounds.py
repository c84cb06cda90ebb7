"""Bounds of balance and adhesion of a car without a rear valve, over a box of doubts.

Letters as in `balance`: φ the front axle's share of the braking force (`share`), s its share of the
weight at rest (`load_share`), η = h/L. A valve's knee spoils the directions shown here, so there is
no such bound with one.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from lugplane.measure.arguments import not_negative, positive
from lugplane.measure.balance import front_share
from lugplane.measure.corners import Span, corner_bounds


def front_share_bounds(
    front_torque_nm: Span, rear_torque_nm: Span, front_radius_mm: Span, rear_radius_mm: Span
) -> Span:
    """Bounds of `front_share` over the box of its arguments.

    `φ = 1 / (1 + (M_r/R_r) / (M_f/R_f))`: it rises with the front torque and the rear radius, and
    falls with the rear torque and the front radius. Errors as there.
    """
    return corner_bounds(
        front_share,
        rises={"front_torque_nm": front_torque_nm, "rear_radius_mm": rear_radius_mm},
        falls={"rear_torque_nm": rear_torque_nm, "front_radius_mm": front_radius_mm},
    )


def bare_adhesion_front(
    share: float, load_share: float, cog_height_mm: float, wheelbase_mm: float, z: float
) -> float:
    """`f1 = z φ / (s + z h/L)` of bare lines, φ being `share`, s `load_share`.

    Raises ValueError for `z` below or a length not above zero, and shares outside 0 to 1.
    """
    _check_shares(share, load_share)
    shift = not_negative("z", z) * _height_ratio(cog_height_mm, wheelbase_mm)
    return z * share / (load_share + shift)


def bare_adhesion_rear(
    share: float, load_share: float, cog_height_mm: float, wheelbase_mm: float, z: float
) -> float:
    """`f2 = z (1 - φ) / (1 - s - z h/L)` of bare lines; infinite where the rear axle lifts.

    Raises ValueError as `bare_adhesion_front` does.
    """
    _check_shares(share, load_share)
    shift = not_negative("z", z) * _height_ratio(cog_height_mm, wheelbase_mm)
    carried = 1.0 - load_share - shift
    return z * (1.0 - share) / carried if carried > 0.0 else inf


@dataclass(frozen=True, slots=True)
class AdhesionBounds:
    """Bounds of the adhesion used by each axle."""

    front: Span
    rear: Span


def bare_adhesion_bounds(
    share: Span, load_share: Span, cog_height_mm: Span, wheelbase_mm: Span, z: Span
) -> AdhesionBounds:
    """Bounds of `f1` and `f2` of bare lines over the box of their arguments.

    With η = h/L, `f1 = zφ/(s + zη)` rises with φ, falls with s and η, and rises with z, its
    derivative being `φ s/(s + zη)² >= 0`. `f2 = z(1-φ)/(1-s-zη)` falls with φ, and rises with s, η
    and z while the rear axle carries anything; from there on it is infinite. η rises with the
    height and falls with the wheelbase. Errors as there.
    """
    return AdhesionBounds(
        corner_bounds(
            bare_adhesion_front,
            rises={"share": share, "wheelbase_mm": wheelbase_mm, "z": z},
            falls={"load_share": load_share, "cog_height_mm": cog_height_mm},
        ),
        corner_bounds(
            bare_adhesion_rear,
            rises={"load_share": load_share, "cog_height_mm": cog_height_mm, "z": z},
            falls={"share": share, "wheelbase_mm": wheelbase_mm},
        ),
    )


def bare_front_first(
    share: float, load_share: float, cog_height_mm: float, wheelbase_mm: float, friction: float
) -> float:
    """`φ - s - μ h/L` of bare lines: above zero, the front axle locks first at tyre friction μ.

    Both lock together where `φ = s + zη`, and there z = μ; below that z the front uses more. It is
    also `front_above_rear` at z = μ. Raises ValueError as `bare_adhesion_front` does.
    """
    _check_shares(share, load_share)
    shift = not_negative("friction", friction) * _height_ratio(cog_height_mm, wheelbase_mm)
    return share - load_share - shift


def bare_front_first_bounds(
    share: Span, load_share: Span, cog_height_mm: Span, wheelbase_mm: Span, friction: Span
) -> Span:
    """Bounds of `bare_front_first`: it rises with φ and L, falls with s, h and μ. Errors as there.

    Both bounds above zero: the front axle locks first for certain; both below: the rear.
    """
    return corner_bounds(
        bare_front_first,
        rises={"share": share, "wheelbase_mm": wheelbase_mm},
        falls={"load_share": load_share, "cog_height_mm": cog_height_mm, "friction": friction},
    )


def bare_front_lock_z(
    share: float, load_share: float, cog_height_mm: float, wheelbase_mm: float, friction: float
) -> float:
    """`μ s / (φ - μ h/L)`, the deceleration in g at which the front axle of bare lines locks.

    Infinite where it never does. Raises ValueError as `bare_adhesion_front` does.
    """
    margin = bare_front_first(share, load_share, cog_height_mm, wheelbase_mm, friction)
    left = margin + load_share
    return friction * load_share / left if left > 0.0 else inf


def bare_rear_lock_z(
    share: float, load_share: float, cog_height_mm: float, wheelbase_mm: float, friction: float
) -> float:
    """`μ (1 - s) / (1 - φ + μ h/L)`, that at which the rear axle does. Errors as above."""
    margin = bare_front_first(share, load_share, cog_height_mm, wheelbase_mm, friction)
    # 1 - φ + μη; zero only with no rear brake and no friction.
    left = 1.0 - load_share - margin
    return friction * (1.0 - load_share) / left if left > 0.0 else inf


def bare_first_lock_bounds(
    share: Span, load_share: Span, cog_height_mm: Span, wheelbase_mm: Span, friction: Span
) -> Span:
    """Bounds of the deceleration in g at which the first axle locks, bare lines.

    In front `μ s/(φ - μη)` rises with s, μ and η = h/L and falls with φ. Behind
    `μ (1 - s)/(1 - φ + μη)` rises with φ, and with μ, its derivative being
    `(1 - s)(1 - φ)/(1 - φ + μη)² >= 0`; it falls with s and η. The lesser of the two lies between
    the lesser of their least values, which it reaches, and the lesser of their greatest, which it
    need not reach: the two are greatest at different corners. Errors as above.
    """
    front = corner_bounds(
        bare_front_lock_z,
        rises={"load_share": load_share, "cog_height_mm": cog_height_mm, "friction": friction},
        falls={"share": share, "wheelbase_mm": wheelbase_mm},
    )
    rear = corner_bounds(
        bare_rear_lock_z,
        rises={"share": share, "wheelbase_mm": wheelbase_mm, "friction": friction},
        falls={"load_share": load_share, "cog_height_mm": cog_height_mm},
    )
    return min(front[0], rear[0]), min(front[1], rear[1])


def _height_ratio(cog_height_mm: float, wheelbase_mm: float) -> float:
    return positive("cog_height_mm", cog_height_mm) / positive("wheelbase_mm", wheelbase_mm)


def _check_shares(share: float, load_share: float) -> None:
    if not 0.0 <= share <= 1.0:
        raise ValueError(f"share must lie between 0 and 1, not {share!r}")
    if not 0.0 < load_share < 1.0:
        raise ValueError(f"load_share must lie between 0 and 1, not {load_share!r}")
