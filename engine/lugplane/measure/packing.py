"""What packing between the clamped parts takes from a bolt in shear and bearing."""

from lugplane.measure.arguments import not_negative, positive


def packing_factor(nominal_mm: float, packing_mm: float) -> float:
    """Factor β_p on shear resistance for packing of total thickness t (EN 1993-1-8 3.6.1 (12)).

    9 d / (8 d + 3 t) where t exceeds d/3, else 1. It holds for bolts in shear and bearing, not for
    joints that carry by friction. Raises ValueError for a diameter not above zero or a negative
    thickness.
    """
    positive("nominal_mm", nominal_mm)
    if not_negative("packing_mm", packing_mm) <= nominal_mm / 3.0:
        return 1.0
    return 9.0 * nominal_mm / (8.0 * nominal_mm + 3.0 * packing_mm)
