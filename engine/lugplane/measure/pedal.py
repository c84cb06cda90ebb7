"""The fluid that new calipers take up, and what that does to the pedal (TRADE §4).

Only what closes the running gaps is reckoned here; what hoses, seals, pads and calipers swallow
under pressure is a volume the caller may add. Lengths in mm, volumes in mm³.
"""

from __future__ import annotations

from collections.abc import Sequence

from lugplane.measure.arguments import not_negative, positive
from lugplane.measure.hydraulics import circle_area_mm2


def gap_volume_mm3(area_mm2: float, both_gaps_mm: float) -> float:
    """Fluid that one caliper takes until both pads touch, mm³: `A` times both gaps together.

    `A` is the area that counts for the clamp (`hydraulics.piston_area_mm2`). Of a fixed caliper
    the pistons of either side, `A` each, go one gap; the pistons of a floating one, `A` in all, go
    both: the same volume (mechanics). Raises ValueError for an area not above zero or a negative
    gap.
    """
    return positive("area_mm2", area_mm2) * not_negative("both_gaps_mm", both_gaps_mm)


def master_stroke_mm(volumes_mm3: Sequence[float], master_bore_mm: float) -> float:
    """Travel of the master cylinder's push rod for the volumes of all calipers it feeds, mm.

    Their sum over the bore's area. It holds of a tandem cylinder of one bore however its circuits
    are split: what each piston pushes out adds to the way of the rod (mechanics). Raises ValueError
    for a negative volume or a bore not above zero.
    """
    fluid_mm3 = sum(not_negative("volumes_mm3", v) for v in volumes_mm3)
    return fluid_mm3 / circle_area_mm2(master_bore_mm)


def foot_travel_mm(stroke_mm: float, pedal_ratio: float) -> float:
    """Travel at the foot for a stroke of the master cylinder, mm: stroke times ratio (mechanics).

    A negative stroke, one that was saved, gives a negative travel. Raises ValueError for a ratio
    not above zero.
    """
    return stroke_mm * positive("pedal_ratio", pedal_ratio)


def added_stroke_mm(
    new_area_mm2: float, old_area_mm2: float, both_gaps_mm: float, master_bore_mm: float
) -> float:
    """What a changed pair of calipers adds to the master cylinder's stroke, mm; negative: saves.

    Both calipers of the axle: `2 (A_new - A_old) · gaps` over the master's area. Raises ValueError
    for an area or bore not above zero, or a negative gap.
    """
    new = gap_volume_mm3(new_area_mm2, both_gaps_mm)
    old = gap_volume_mm3(old_area_mm2, both_gaps_mm)
    return 2.0 * (new - old) / circle_area_mm2(master_bore_mm)


def available_stroke_mm(
    master_stroke_mm: float, pedal_travel_mm: float, pedal_ratio: float
) -> float:
    """Stroke that is there to be used, mm: the lesser of the cylinder's own, of both circuits, and
    the pedal's travel over its ratio. Raises ValueError unless all are above zero.
    """
    by_pedal = positive("pedal_travel_mm", pedal_travel_mm) / positive("pedal_ratio", pedal_ratio)
    return min(positive("master_stroke_mm", master_stroke_mm), by_pedal)


def reserve(used_mm: float, available_mm: float) -> float:
    """Share of the available stroke or travel that is left, `1 - used/available`.

    Below zero where more is used than there is: the pedal would reach its stop. Raises ValueError
    for a negative use, or nothing available.
    """
    return 1.0 - not_negative("used_mm", used_mm) / positive("available_mm", available_mm)


def gap_stroke_mm(area_mm2: float, both_gaps_mm: float, master_bore_mm: float) -> float:
    """Stroke of the master cylinder that one caliper's gaps take, mm. Errors as above."""
    return master_stroke_mm([gap_volume_mm3(area_mm2, both_gaps_mm)], master_bore_mm)
