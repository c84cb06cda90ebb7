"""What a brake's parts add to the unsprung and to the turning mass."""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum

from lugplane.measure.arguments import not_negative, positive
from lugplane.measure.corners import Span, corner_bounds

_MM2_PER_M2 = 1e6


def mass_change_kg(new_kg: Sequence[float], old_kg: Sequence[float]) -> float:
    """Change of one wheel's unsprung mass, kg: all its new parts less all they replace.

    Disc, caliper with carrier, pads, spacers and bolts, each with the masses of both sides counted
    alike. Negative is lighter. Raises ValueError for a negative mass.
    """
    return fsum(
        [
            *(not_negative("new_kg", m) for m in new_kg),
            *(-not_negative("old_kg", m) for m in old_kg),
        ]
    )


def ring_inertia_kgm2(mass_kg: float, outer_mm: float, inner_mm: float) -> float:
    """Moment of inertia of a ring about its axis, kg·m²: `m (D² + d²)/8` from its diameters.

    Mechanics of a hollow cylinder; the vanes of a vented ring spread its mass evenly enough. Raises
    ValueError for a negative mass, or no ring left between the diameters.
    """
    if not not_negative("inner_mm", inner_mm) < positive("outer_mm", outer_mm):
        raise ValueError(f"a ring from {inner_mm:g} to {outer_mm:g} mm has no width")
    return not_negative("mass_kg", mass_kg) * (outer_mm**2 + inner_mm**2) / 8.0 / _MM2_PER_M2


def felt_mass_kg(inertia_kgm2: float, rolling_radius_mm: float) -> float:
    """Mass that would resist the car's acceleration as this inertia does, kg: `I/R²` (mechanics).

    It comes on top of the part's own mass. Negative for an inertia that was saved. Raises
    ValueError for a radius not above zero.
    """
    return inertia_kgm2 / positive("rolling_radius_mm", rolling_radius_mm) ** 2 * _MM2_PER_M2


def ring_inertia_bounds_kgm2(mass_kg: Span, outer_mm: Span, inner_mm: Span) -> Span:
    """Bounds of `ring_inertia_kgm2`: `m (D² + d²)/8` rises with each. Errors as there.

    The mass is one given, not one that follows from the diameters.
    """
    return corner_bounds(
        ring_inertia_kgm2,
        rises={"mass_kg": mass_kg, "outer_mm": outer_mm, "inner_mm": inner_mm},
        falls={},
    )
