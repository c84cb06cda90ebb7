"""What a ring adds to the turning mass."""

from __future__ import annotations

from lugplane.measure.arguments import not_negative, positive

_MM2_PER_M2 = 1e6


def ring_inertia_kgm2(mass_kg: float, outer_mm: float, inner_mm: float) -> float:
    """Moment of inertia of a ring about its axis, kg·m²: `m (D² + d²)/8` from its diameters.

    Mechanics of a hollow cylinder; the vanes of a vented ring spread its mass evenly enough. Raises
    ValueError for a negative mass, or no ring left between the diameters.
    """
    if not not_negative("inner_mm", inner_mm) < positive("outer_mm", outer_mm):
        raise ValueError(f"a ring from {inner_mm:g} to {outer_mm:g} mm has no width")
    return not_negative("mass_kg", mass_kg) * (outer_mm**2 + inner_mm**2) / 8.0 / _MM2_PER_M2
