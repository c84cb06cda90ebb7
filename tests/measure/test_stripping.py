"""Stripping length: against a library, at the edges of the charts, and how it grows."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from screw_thread_lib.threads import C1_ISO, C2_ISO, C3_ISO, Assembly

from lugplane.measure.stripping import (
    LEAST_CHART_FACTOR,
    OffChartError,
    bolt_bending_factor,
    bolt_shear_area_mm2_per_mm,
    dilation_factor,
    engagement_for_load_mm,
    hole_bending_factor,
    hole_shear_area_mm2_per_mm,
    needed_engagement,
    strength_ratio,
)
from lugplane.measure.threads import stress_area_mm2
from lugplane.measure.tolerances import ThreadSizes, basic_sizes, least_material_sizes

RELAXED = settings(deadline=None, max_examples=100)
THREADS = st.sampled_from(
    [
        (8.0, 1.25),
        (10.0, 1.0),
        (10.0, 1.25),
        (10.0, 1.5),
        (12.0, 1.25),
        (12.0, 1.5),
        (12.0, 1.75),
        (14.0, 1.5),
        (14.0, 2.0),
        (16.0, 2.0),
    ]
)
BOLTS = st.floats(500.0, 1250.0)
HOLES = st.floats(150.0, 1200.0)


def library(d: float, pitch: float, bolt: float, hole: float, least: ThreadSizes) -> Assembly:
    return Assembly(
        {
            "n": 1.0 / pitch,
            "dbsc": d,
            "dmin": least.external_major_mm,
            "d2min": least.external_pitch_mm,
            "D1max": least.internal_minor_mm,
            "D2max": least.internal_pitch_mm,
        },
        UTSs=bolt,
        UTSn=hole,
    )


@RELAXED
@given(THREADS, BOLTS, HOLES, st.booleans())
def test_agrees_with_the_library_and_refuses_where_it_does(
    thread: tuple[float, float], bolt: float, hole: float, at_least: bool
) -> None:
    d, pitch = thread
    least = least_material_sizes(d, pitch)
    theirs = library(d, pitch, bolt, hole, least)
    theirs.dims_ISO = "min" if at_least else "basic"
    sizes = least if at_least else basic_sizes(d, pitch)
    area = stress_area_mm2(d, pitch)
    assert hole_shear_area_mm2_per_mm(sizes) == pytest.approx(theirs.ASn_ISO(), rel=1e-9)
    assert bolt_shear_area_mm2_per_mm(sizes) == pytest.approx(theirs.ASb_ISO(), rel=1e-9)
    try:
        expected = theirs.LEr_ISO(3.0 * d)
    except ValueError:
        with pytest.raises(OffChartError):
            needed_engagement(sizes, area, bolt, hole)
    else:
        ours = needed_engagement(sizes, area, bolt, hole)
        assert ours.charted
        assert ours.length_mm == pytest.approx(expected, rel=1e-9)


@RELAXED
@given(st.floats(0.41, 2.19))
def test_bending_factors_agree_with_the_library(ratio: float) -> None:
    assert bolt_bending_factor(ratio) == pytest.approx(C2_ISO(ratio), rel=1e-12)
    assert hole_bending_factor(ratio) == pytest.approx(C3_ISO(ratio), rel=1e-12)
    assert bolt_bending_factor(ratio) >= LEAST_CHART_FACTOR - 1e-12
    assert hole_bending_factor(ratio) >= LEAST_CHART_FACTOR - 1e-12


@RELAXED
@given(st.floats(1.4, 5.0))
def test_dilation_is_never_above_the_librarys_and_near_it(width: float) -> None:
    """The two carry different constants: -2.61 to 1.9 here, -2.6 to 1.8 there."""
    ours = dilation_factor(width)
    assert C1_ISO(width) - 0.0101 <= ours <= C1_ISO(width) + 1e-12


def test_dilation_has_no_step_at_its_upper_end() -> None:
    assert dilation_factor(1.9 - 1e-9) == pytest.approx(1.0, abs=1e-6)
    assert dilation_factor(1.9) == 1.0
    assert dilation_factor(1.4) == pytest.approx(0.75, abs=1e-9)


@pytest.mark.parametrize("width", [1.399, 1.0, 0.0, -1.0, float("nan")])
def test_a_thin_wall_is_off_the_chart(width: float) -> None:
    with pytest.raises(OffChartError):
        dilation_factor(width)


@pytest.mark.parametrize("ratio", [0.4, 0.39, 0.0, -1.0, float("nan")])
def test_a_weak_hole_is_off_the_chart(ratio: float) -> None:
    with pytest.raises(OffChartError):
        hole_bending_factor(ratio)


@pytest.mark.parametrize("ratio", [2.2, 3.0, float("inf"), float("nan")])
def test_a_weak_bolt_is_off_the_chart(ratio: float) -> None:
    with pytest.raises(OffChartError):
        bolt_bending_factor(ratio)


def test_off_the_chart_says_the_ratio_or_takes_the_callers_constant() -> None:
    sizes, area = basic_sizes(12.0, 1.5), stress_area_mm2(12.0, 1.5)
    with pytest.raises(OffChartError) as caught:
        needed_engagement(sizes, area, 1220.0, 310.0)
    assert caught.value.ratio == pytest.approx(0.3595, abs=1e-4)
    stood_in = needed_engagement(sizes, area, 1220.0, 310.0, off_chart_factor=LEAST_CHART_FACTOR)
    assert not stood_in.charted
    assert stood_in.strength_ratio == caught.value.ratio
    charted = needed_engagement(sizes, area, 1040.0, 310.0, off_chart_factor=LEAST_CHART_FACTOR)
    assert charted.charted
    plain = engagement_for_load_mm(1220.0 * area, 0.6 * 310.0, hole_shear_area_mm2_per_mm(sizes))
    assert stood_in.length_mm == pytest.approx(plain / LEAST_CHART_FACTOR)


# A worked setup by hand: M12x1.5 of 10.9 (least tensile strength 1040 MPa) in aluminium of Rm 310,
# basic sizes, thick wall: 14.1 mm.
def test_worked_setup_in_aluminium() -> None:
    need = needed_engagement(basic_sizes(12.0, 1.5), stress_area_mm2(12.0, 1.5), 1040.0, 310.0)
    assert need.length_mm == pytest.approx(14.1, abs=0.05)
    assert need.charted


@RELAXED
@given(THREADS, BOLTS, HOLES, st.floats(1.0, 200.0), st.booleans())
def test_a_stronger_bolt_or_a_weaker_hole_needs_more(
    thread: tuple[float, float], bolt: float, hole: float, more: float, at_least: bool
) -> None:
    sizes = (least_material_sizes if at_least else basic_sizes)(*thread)
    area = stress_area_mm2(*thread)
    # From 1.85 the published quartic of C2 sags by 0.2 %: no strict order there.
    assume(strength_ratio(sizes, bolt, hole) < 1.85)

    def length(bolt_mpa: float, hole_mpa: float) -> float:
        return needed_engagement(
            sizes, area, bolt_mpa, hole_mpa, off_chart_factor=LEAST_CHART_FACTOR
        ).length_mm

    assert length(bolt + more, hole) >= length(bolt, hole) * (1.0 - 1e-12)
    assert length(bolt, hole - more / 2.0) >= length(bolt, hole) * (1.0 - 1e-12)
    if strength_ratio(sizes, bolt, hole) < 0.95:
        assert length(bolt + more, hole) > length(bolt, hole)


@RELAXED
@given(THREADS, BOLTS, HOLES, st.floats(0.0, 200.0), st.floats(0.0, 200.0), st.data())
def test_the_greatest_length_of_a_box_is_at_a_corner(
    thread: tuple[float, float],
    bolt: float,
    hole: float,
    bolt_more: float,
    hole_more: float,
    data: st.DataObject,
) -> None:
    sizes, area = basic_sizes(*thread), stress_area_mm2(*thread)

    def length(bolt_mpa: float, hole_mpa: float) -> float:
        return needed_engagement(
            sizes, area, bolt_mpa, hole_mpa, off_chart_factor=LEAST_CHART_FACTOR
        ).length_mm

    corners = [length(b, h) for b in (bolt, bolt + bolt_more) for h in (hole, hole + hole_more)]
    inside = length(
        bolt + data.draw(st.floats(0.0, 1.0)) * bolt_more,
        hole + data.draw(st.floats(0.0, 1.0)) * hole_more,
    )
    # 0.2 %: the sag of the published quartic of C2 about Rs = 2.
    assert inside <= max(corners) * 1.002


@RELAXED
@given(THREADS, BOLTS, HOLES)
def test_least_material_needs_more_where_the_hole_strips(
    thread: tuple[float, float], bolt: float, hole: float
) -> None:
    area = stress_area_mm2(*thread)
    basic, least = basic_sizes(*thread), least_material_sizes(*thread)
    assume(0.4 < strength_ratio(basic, bolt, hole) < 0.9)
    assume(0.4 < strength_ratio(least, bolt, hole) < 0.9)
    longer = needed_engagement(least, area, bolt, hole).length_mm
    assert longer > needed_engagement(basic, area, bolt, hole).length_mm


@RELAXED
@given(THREADS, st.floats(0.7, 0.99))
def test_a_widening_part_needs_more(thread: tuple[float, float], dilation: float) -> None:
    sizes, area = basic_sizes(*thread), stress_area_mm2(*thread)
    plain = needed_engagement(sizes, area, 800.0, 400.0)
    widened = needed_engagement(sizes, area, 800.0, 400.0, dilation=dilation)
    assert widened.length_mm == pytest.approx(plain.length_mm / dilation)


@pytest.mark.parametrize("value", [0.0, -1.0, float("nan"), float("inf")])
def test_values_not_above_zero_are_refused(value: float) -> None:
    sizes = basic_sizes(12.0, 1.5)
    with pytest.raises(ValueError, match="bolt_tensile_mpa"):
        needed_engagement(sizes, 88.0, value, 400.0)
    with pytest.raises(ValueError, match="hole_tensile_mpa"):
        needed_engagement(sizes, 88.0, 1040.0, value)
    with pytest.raises(ValueError, match="stress_area_mm2"):
        needed_engagement(sizes, value, 1040.0, 400.0)
    with pytest.raises(ValueError, match="dilation"):
        needed_engagement(sizes, 88.0, 1040.0, 400.0, dilation=value)
    with pytest.raises(ValueError, match="off_chart_factor"):
        needed_engagement(sizes, 88.0, 1220.0, 300.0, off_chart_factor=value)


def test_threads_that_miss_each_other_are_refused() -> None:
    sizes = ThreadSizes(1.0, 8.0, 7.4, 9.4, 8.9)
    with pytest.raises(ValueError, match="do not overlap"):
        needed_engagement(sizes, 50.0, 800.0, 400.0)
