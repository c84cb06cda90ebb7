"""Fluid, strokes and reserve."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.measure.hydraulics import piston_area_mm2
from lugplane.measure.pedal import (
    added_stroke_mm,
    available_stroke_mm,
    foot_travel_mm,
    gap_stroke_mm,
    gap_volume_mm3,
    master_stroke_mm,
    reserve,
)

AREAS, GAPS = st.floats(500.0, 6000.0), st.floats(0.05, 1.0)
MASTERS, RATIOS = st.floats(15.0, 32.0), st.floats(2.0, 7.0)


@given(st.lists(st.floats(20.0, 60.0), min_size=1, max_size=3), GAPS)
def test_either_body_by_what_its_pistons_sweep(bores: list[float], gaps: float) -> None:
    swept = sum(pi / 4.0 * d * d for d in bores)
    # Fixed: both sides' pistons, half the gaps each.
    assert gap_volume_mm3(piston_area_mm2(bores, "fixed"), gaps) == pytest.approx(
        2.0 * swept * gaps / 2.0
    )
    # Floating: one side's pistons go both gaps.
    assert gap_volume_mm3(piston_area_mm2(bores, "floating"), gaps) == pytest.approx(swept * gaps)


@given(AREAS, AREAS, GAPS, MASTERS)
def test_added_is_the_new_axle_less_the_old(
    new: float, old: float, gaps: float, bore: float
) -> None:
    with_new = master_stroke_mm([gap_volume_mm3(new, gaps)] * 2, bore)
    with_old = master_stroke_mm([gap_volume_mm3(old, gaps)] * 2, bore)
    added = added_stroke_mm(new, old, gaps, bore)
    assert added == pytest.approx(with_new - with_old, abs=1e-9)
    assert added_stroke_mm(old, new, gaps, bore) == pytest.approx(-added)


@given(AREAS, GAPS, MASTERS, RATIOS, st.floats(0.2, 5.0))
def test_other_units_of_length_change_nothing(
    area: float, gaps: float, bore: float, ratio: float, k: float
) -> None:
    here = foot_travel_mm(gap_stroke_mm(area, gaps, bore), ratio)
    there = foot_travel_mm(gap_stroke_mm(k * k * area, k * gaps, k * bore), ratio)
    assert there == pytest.approx(k * here)


def test_by_hand() -> None:
    """Two calipers take 2 · 3000 · 0.3 = 1800 mm³ of a 20 mm bore's 314.16 mm²: 5.73 mm, at 4:1
    22.9 mm; of 30 mm of stroke, or 100 mm of pedal, which is 25 mm of stroke, 0.771 is left."""
    stroke = master_stroke_mm([900.0, 900.0], 20.0)
    assert stroke == pytest.approx(5.7296, abs=1e-4)
    assert foot_travel_mm(stroke, 4.0) == pytest.approx(22.918, abs=1e-3)
    there = available_stroke_mm(30.0, 100.0, 4.0)
    assert there == 25.0
    assert reserve(stroke, there) == pytest.approx(0.7708, abs=1e-4)
    assert available_stroke_mm(20.0, 100.0, 4.0) == 20.0


def test_nothing_left_is_below_zero() -> None:
    assert reserve(25.0, 20.0) == pytest.approx(-0.25)
    assert foot_travel_mm(-2.0, 4.0) == -8.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: gap_volume_mm3(0.0, 0.3),
        lambda: gap_volume_mm3(2000.0, -0.1),
        lambda: master_stroke_mm([100.0, -1.0], 20.0),
        lambda: master_stroke_mm([100.0], 0.0),
        lambda: foot_travel_mm(1.0, 0.0),
        lambda: available_stroke_mm(0.0, 100.0, 4.0),
        lambda: available_stroke_mm(30.0, 0.0, 4.0),
        lambda: reserve(-1.0, 20.0),
        lambda: reserve(1.0, 0.0),
    ],
)
def test_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match="must be a number"):
        call()
