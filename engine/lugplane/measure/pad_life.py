"""How long pads last beside others: the lining there is to wear, over the work it does.

least lining | mm  | source
-------------|-----|---------------------------------------------------------------
roadworthy   | 1.5 | periodic roadworthiness tests, from a secondary source
replace      | 3.0 | workshop practice, from a secondary source
"""

from __future__ import annotations

from typing import Literal

from lugplane.measure.arguments import not_negative, positive

LEAST_LINING_MM: dict[Literal["roadworthy", "replace"], float] = {"roadworthy": 1.5, "replace": 3.0}


def wear_volume_mm3(area_mm2: float, lining_mm: float, least_mm: float) -> float:
    """Lining of one pad that may wear away, mm³: `area · (lining - least)`, never below 0.

    Geometry. Raises ValueError for an area or lining not above zero, or a negative least lining.
    """
    left = positive("lining_mm", lining_mm) - not_negative("least_mm", least_mm)
    return positive("area_mm2", area_mm2) * max(0.0, left)


def life_ratio(
    new_mm3: float, old_mm3: float, new_axle_share: float = 1.0, old_axle_share: float = 1.0
) -> float:
    """Life of the new pads over that of the old, 1 being the same.

    The volume worn is taken as proportional to the work done (Archard's wear law), alike for both
    compounds and temperatures: so `(V_new/V_old) / (φ_new/φ_old)`, with φ the axle's share of the
    braking. Compounds differ far more than this; it compares shapes. Raises ValueError for a
    negative new volume, an old one not above zero, or shares not above zero.
    """
    volumes = not_negative("new_mm3", new_mm3) / positive("old_mm3", old_mm3)
    work = positive("new_axle_share", new_axle_share) / positive("old_axle_share", old_axle_share)
    return volumes / work
