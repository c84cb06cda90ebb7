"""Least-material sizes against the standard's formulas and against a library's table."""

from math import sqrt

import pytest
from screw_thread_lib.data import ASME_M_6g6H_dict

from lugplane.measure.tolerances import ToleranceError, basic_sizes, least_material_sizes

# Steps of diameter in ISO 965-1, mm, and the pitches of ISO 261 in each.
STEPS = {
    (2.8, 5.6): (5.0, (0.5, 0.75, 0.8)),
    (5.6, 11.2): (10.0, (0.75, 1.0, 1.25, 1.5)),
    (11.2, 22.4): (16.0, (1.0, 1.25, 1.5, 1.75, 2.0, 2.5)),
}
CASES = [(low, high, d, pitch) for (low, high), (d, pitches) in STEPS.items() for pitch in pitches]

# The tables are rounded in the R40 series, whose steps grow by 10^(1/40).
ONE_STEP = 10.0 ** (1.0 / 40.0) + 0.002


def within_a_step(table_um: float, formula_um: float) -> bool:
    return 1.0 / ONE_STEP < table_um / formula_um < ONE_STEP


# The formulas of ISO 965-1, µm; from memory.
@pytest.mark.parametrize(("low", "high", "d", "pitch"), CASES)
def test_tables_follow_the_formulas(low: float, high: float, d: float, pitch: float) -> None:
    basic, least = basic_sizes(d, pitch), least_material_sizes(d, pitch)
    deviation = 15.0 + 11.0 * pitch
    major = 180.0 * pitch ** (2.0 / 3.0) - 3.15 / sqrt(pitch)
    minor = 230.0 * pitch**0.7 if pitch >= 1.0 else 433.0 * pitch - 190.0 * pitch**1.22
    external_pitch = 90.0 * pitch**0.4 * sqrt(low * high) ** 0.1

    lost = 1000.0 * (d - least.external_major_mm)
    assert within_a_step(lost, deviation + major)
    lost = 1000.0 * (basic.external_pitch_mm - least.external_pitch_mm)
    assert within_a_step(lost, deviation + external_pitch)
    gained = 1000.0 * (least.internal_pitch_mm - basic.internal_pitch_mm)
    assert within_a_step(gained, 1.32 * external_pitch)
    gained = 1000.0 * (least.internal_minor_mm - basic.internal_minor_mm)
    assert within_a_step(gained, minor)


# ASME B1.13M, printed in inches to five places, as `screw-thread-lib` carries it. Left out: d2 min
# of M12x1.75, there 0.42023 in, 0.155 mm below d2 max where the tolerance is 0.150.
@pytest.mark.parametrize(
    ("key", "d", "pitch", "d2_too"),
    [("M8-1.25", 8.0, 1.25, True), ("M12-1.75", 12.0, 1.75, False), ("M20-2.5", 20.0, 2.5, True)],
)
def test_least_material_agrees_with_the_library(
    key: str, d: float, pitch: float, d2_too: bool
) -> None:
    theirs = {
        name: value * 25.4
        for name, value in ASME_M_6g6H_dict[key].items()
        if isinstance(value, float)
    }
    ours = least_material_sizes(d, pitch)
    assert ours.external_major_mm == pytest.approx(theirs["dmin"], abs=0.001)
    assert ours.internal_pitch_mm == pytest.approx(theirs["D2max"], abs=0.001)
    assert ours.internal_minor_mm == pytest.approx(theirs["D1max"], abs=0.001)
    if d2_too:
        assert ours.external_pitch_mm == pytest.approx(theirs["d2min"], abs=0.001)


# ISO 965-2, limits of coarse threads 6g and 6H, mm, in the order of ThreadSizes; from memory,
# but D2 max of M10, which a handbook's example prints.
@pytest.mark.parametrize(
    ("d", "pitch", "limits"),
    [
        (5.0, 0.8, (4.826, 4.361, 4.605, 4.334)),
        (6.0, 1.0, (5.794, 5.212, 5.500, 5.153)),
        (10.0, 1.5, (9.732, 8.862, 9.206, 8.676)),
        (16.0, 2.0, (15.682, 14.503, 14.913, 14.210)),
    ],
)
def test_limits_of_iso_965_2(
    d: float, pitch: float, limits: tuple[float, float, float, float]
) -> None:
    sizes = least_material_sizes(d, pitch)
    assert (
        sizes.external_major_mm,
        sizes.external_pitch_mm,
        sizes.internal_pitch_mm,
        sizes.internal_minor_mm,
    ) == pytest.approx(limits, abs=0.0006)


@pytest.mark.parametrize(("low", "high", "d", "pitch"), CASES)
def test_least_material_is_less_material(low: float, high: float, d: float, pitch: float) -> None:
    basic, least = basic_sizes(d, pitch), least_material_sizes(d, pitch)
    assert least.external_major_mm < basic.external_major_mm
    assert least.external_pitch_mm < basic.external_pitch_mm
    assert least.internal_pitch_mm > basic.internal_pitch_mm
    assert least.internal_minor_mm > basic.internal_minor_mm
    # The bolt's crests must still reach past the hole's pitch line, or little would hold.
    assert least.external_major_mm > least.internal_pitch_mm > least.internal_minor_mm


@pytest.mark.parametrize(
    ("d", "pitch"), [(24.0, 3.0), (2.8, 0.5), (12.0, 1.3), (12.0, 0.5), (float("nan"), 1.5)]
)
def test_unlisted_sizes_are_refused(d: float, pitch: float) -> None:
    with pytest.raises(ToleranceError):
        least_material_sizes(d, pitch)


def test_a_step_includes_its_upper_end_only() -> None:
    below, above = least_material_sizes(11.2, 1.5), least_material_sizes(11.3, 1.5)
    assert 11.2 - below.external_pitch_mm < 11.3 - above.external_pitch_mm
