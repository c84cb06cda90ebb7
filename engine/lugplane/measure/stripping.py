"""Length of engagement at which a bolt breaks before its threads strip (ISO/TR 16224).

The form is E. M. Alexander's, as ISO/TR 16224 gives it: shear strength 0.6 of tensile strength,
shear areas per unit of engagement, and three factors, C1 for a part that widens, C2 and C3 for
bolt and hole threads that bend. C2 and C3 are charted over the strength ratio
`Rs = Rm_hole A_hole / (Rm_bolt A_bolt)` between 0.4 and 2.2; outside nothing is extrapolated.
The length is of full threads: chamfer, countersink and the bolt's point come on top.
"""

from dataclasses import dataclass
from math import pi, sqrt

from lugplane.measure.arguments import positive
from lugplane.measure.tolerances import ThreadSizes

SHEAR_PER_TENSILE = 0.6
"""Shear strength over tensile strength, as ISO/TR 16224 takes it."""

LEAST_CHART_FACTOR = 0.897
"""The smallest value C2 and C3 take anywhere on their charts (both, at Rs = 1).

A caller may pass it as the conservative constant where the ratio is off the chart; that step is
ours, not the standard's, and the answer says so.
"""


class OffChartError(ValueError):
    """A ratio outside the range for which a factor is charted; `ratio` holds it."""

    def __init__(self, message: str, ratio: float) -> None:
        super().__init__(message)
        self.ratio = ratio


@dataclass(frozen=True, slots=True)
class Engagement:
    """The needed length of full threads, mm.

    `charted` is False when the caller's constant stood in for a factor the standard does not give.
    """

    length_mm: float
    strength_ratio: float
    charted: bool


def hole_shear_area_mm2_per_mm(sizes: ThreadSizes) -> float:
    """Shear area of the hole's threads a mm of engagement: A = π/P d (P/2 + (d - D2)/√3).

    (ISO/TR 16224 4.2.3; the same form in FED-STD-H28/2B and the handbooks.)
    """
    d = sizes.external_major_mm
    return _ring_mm2_per_mm(sizes.pitch_mm, d, d - sizes.internal_pitch_mm)


def bolt_shear_area_mm2_per_mm(sizes: ThreadSizes) -> float:
    """Shear area of the bolt's threads a mm of engagement (ISO/TR 16224 4.2.3).

    A = π/P x (P/2 + (d2 - x)/√3), 60 % of the length at x = D1 and 40 % at x = 1.026 D1: the form
    allows for a minor diameter that opens towards the face.
    """
    narrow = sizes.internal_minor_mm
    wide = 1.026 * narrow
    d2 = sizes.external_pitch_mm
    return 0.6 * _ring_mm2_per_mm(sizes.pitch_mm, narrow, d2 - narrow) + 0.4 * _ring_mm2_per_mm(
        sizes.pitch_mm, wide, d2 - wide
    )


def strength_ratio(sizes: ThreadSizes, bolt_tensile_mpa: float, hole_tensile_mpa: float) -> float:
    """Rs = Rm_hole A_hole / (Rm_bolt A_bolt), without unit (ISO/TR 16224)."""
    hole = positive("hole_tensile_mpa", hole_tensile_mpa) * hole_shear_area_mm2_per_mm(sizes)
    bolt = positive("bolt_tensile_mpa", bolt_tensile_mpa) * bolt_shear_area_mm2_per_mm(sizes)
    return hole / bolt


def dilation_factor(width_over_nominal: float) -> float:
    """C1 for a part of width s round a thread of diameter D (ISO/TR 16224, VDI 2230).

    -(s/D)² + 3.8 s/D - 2.61 from 1.4 up to 1.9, then 1. The constant and the upper end are from
    memory (a form with -2.6 and 1 from 1.8 is about; this one is the lower, by at most 0.01).
    Raises OffChartError below 1.4.
    """
    if not width_over_nominal >= 1.4:
        raise OffChartError(
            f"C1 is given from s/D = 1.4, not {width_over_nominal:.3g}", width_over_nominal
        )
    if width_over_nominal >= 1.9:
        return 1.0
    return -(width_over_nominal**2) + 3.8 * width_over_nominal - 2.61


def bolt_bending_factor(ratio: float) -> float:
    """C2, on the bolt's threads, over the strength ratio (ISO/TR 16224).

    0.897 up to 1, then a quartic below 2.2. Raises OffChartError from 2.2.
    """
    if not ratio < 2.2:
        raise OffChartError(f"C2 is given below Rs = 2.2, not {ratio:.3g}", ratio)
    if ratio <= 1.0:
        return LEAST_CHART_FACTOR
    return 5.594 - 13.682 * ratio + 14.107 * ratio**2 - 6.057 * ratio**3 + 0.9353 * ratio**4


def hole_bending_factor(ratio: float) -> float:
    """C3, on the hole's threads, over the strength ratio (ISO/TR 16224).

    A cubic above 0.4, then 0.897 from 1. Raises OffChartError at 0.4 and below.
    """
    if not ratio > 0.4:
        raise OffChartError(f"C3 is given above Rs = 0.4, not {ratio:.3g}", ratio)
    if ratio >= 1.0:
        return LEAST_CHART_FACTOR
    return 0.728 + 1.769 * ratio - 2.896 * ratio**2 + 1.296 * ratio**3


def needed_engagement(
    sizes: ThreadSizes,
    stress_area_mm2: float,
    bolt_tensile_mpa: float,
    hole_tensile_mpa: float,
    *,
    dilation: float = 1.0,
    off_chart_factor: float | None = None,
) -> Engagement:
    """Least engagement at which the bolt breaks first, the longer of its two threads' needs.

    bolt: As / (0.6 A_bolt C1 C2); hole: As Rm_bolt / (0.6 Rm_hole A_hole C1 C3) (ISO/TR 16224).
    `bolt_tensile_mpa` is the strongest the bolt may be: a bolt above its class's least strength
    needs more. `dilation` is C1, 1 for a thick wall. Off the chart of C2 or C3 raises
    OffChartError, unless `off_chart_factor` is given to stand in (see LEAST_CHART_FACTOR). Over
    ranges of both strengths the greatest length is at a corner, to 0.2 %: the published quartic
    of C2 sags by that much about Rs = 2. Raises ValueError for values not above zero.
    """
    ratio = strength_ratio(sizes, bolt_tensile_mpa, hole_tensile_mpa)
    charted = True
    try:
        c2, c3 = bolt_bending_factor(ratio), hole_bending_factor(ratio)
    except OffChartError:
        if off_chart_factor is None:
            raise
        charted = False
        c2 = c3 = positive("off_chart_factor", off_chart_factor)
    breaking_n = positive("stress_area_mm2", stress_area_mm2) * bolt_tensile_mpa
    c1 = positive("dilation", dilation)
    shear_bolt_mpa = SHEAR_PER_TENSILE * bolt_tensile_mpa * c1 * c2
    shear_hole_mpa = SHEAR_PER_TENSILE * hole_tensile_mpa * c1 * c3
    return Engagement(
        max(
            engagement_for_load_mm(breaking_n, shear_bolt_mpa, bolt_shear_area_mm2_per_mm(sizes)),
            engagement_for_load_mm(breaking_n, shear_hole_mpa, hole_shear_area_mm2_per_mm(sizes)),
        ),
        ratio,
        charted,
    )


def engagement_for_load_mm(
    load_n: float, shear_strength_mpa: float, shear_area_mm2_per_mm: float
) -> float:
    """Engagement, mm, that carries `load_n` at a plain shear strength: F / (τ A a mm).

    The handbooks' form, without the factors C1 to C3.
    """
    strength = positive("shear_strength_mpa", shear_strength_mpa)
    area = positive("shear_area_mm2_per_mm", shear_area_mm2_per_mm)
    return positive("load_n", load_n) / (strength * area)


def _ring_mm2_per_mm(pitch_mm: float, diameter_mm: float, overlap_mm: float) -> float:
    """π/P x (P/2 + overlap/√3): thread thickness at diameter x, times its circumference, a mm."""
    positive("pitch_mm", pitch_mm)
    thickness = pitch_mm / 2.0 + overlap_mm / sqrt(3.0)
    if not thickness > 0.0:
        raise ValueError("the two threads do not overlap at these sizes")
    return pi / pitch_mm * positive("diameter_mm", diameter_mm) * thickness
