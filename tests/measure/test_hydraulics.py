"""Foot to pressure to clamp to torque: directions, units, the way back, and what is refused."""

from math import inf, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.measure.hydraulics import (
    boosted_force_n,
    brake_torque_nm,
    clamp_n,
    face_torque_nm,
    line_pressure_mpa,
    pedal_force_n,
    piston_area_mm2,
    pressure_for_torque_mpa,
    sector_clamp_n,
    torque_per_bar_nm,
)

BORES = st.lists(st.floats(20.0, 60.0), min_size=1, max_size=4)
AREAS = st.floats(500.0, 6000.0)
FRICTIONS = st.floats(0.1, 0.6)
RADII = st.floats(60.0, 180.0)
FEET = st.floats(0.0, 1000.0)
RATIOS = st.floats(2.0, 7.0)
MASTERS = st.floats(15.0, 32.0)
GAINS = st.floats(1.0, 12.0)
RUN_OUTS = st.floats(0.0, 4000.0) | st.just(inf)


@given(BORES, st.integers(0, 3), st.floats(0.01, 20.0), FRICTIONS, RADII)
def test_a_larger_piston_never_lowers_torque_per_bar(
    bores: list[float], which: int, more: float, friction: float, radius: float
) -> None:
    larger = list(bores)
    larger[which % len(bores)] += more
    for body in ("fixed", "floating"):
        before = torque_per_bar_nm(piston_area_mm2(bores, body), friction, radius)
        assert torque_per_bar_nm(piston_area_mm2(larger, body), friction, radius) > before


@given(AREAS, FRICTIONS, RADII, st.floats(0.1, 15.0))
def test_torque_and_back(area: float, friction: float, radius: float, pressure: float) -> None:
    torque = brake_torque_nm(pressure, area, friction, radius)
    assert pressure_for_torque_mpa(torque, area, friction, radius) == pytest.approx(pressure)
    face = face_torque_nm(clamp_n(pressure, area), friction, radius)
    assert torque == pytest.approx(2.0 * face)
    # One bar is a tenth of a MPa.
    per_bar = torque_per_bar_nm(area, friction, radius)
    assert torque == pytest.approx(per_bar * 10.0 * pressure)


def test_torque_by_hand() -> None:
    """8 MPa on 2000 mm² clamp with 16 kN; two faces at 0.4 and 0.12 m: 1536 N·m."""
    assert brake_torque_nm(8.0, 2000.0, 0.4, 120.0) == pytest.approx(1536.0, rel=1e-12)


@given(FEET, RATIOS, MASTERS, GAINS, RUN_OUTS)
def test_pedal_force_and_back(
    foot: float, ratio: float, bore: float, gain: float, run_out: float
) -> None:
    pressure = line_pressure_mpa(foot, ratio, bore, gain, run_out)
    assert pedal_force_n(pressure, ratio, bore, gain, run_out) == pytest.approx(
        foot, rel=1e-9, abs=1e-9
    )


def test_booster_up_to_run_out_and_beyond() -> None:
    """Gain 5, spent at 600 N: 400 N in give 2000, 600 give 3000, and 100 more only 100 more."""
    assert boosted_force_n(400.0, 5.0, 600.0) == 2000.0
    assert boosted_force_n(600.0, 5.0, 600.0) == 3000.0
    assert boosted_force_n(700.0, 5.0, 600.0) == 3100.0
    assert boosted_force_n(700.0, 1.0, inf) == 700.0
    assert boosted_force_n(700.0, 5.0, 0.0) == 700.0


@given(FEET, RATIOS, MASTERS, GAINS, RUN_OUTS, st.floats(0.3, 3.0))
def test_other_units_of_length_and_force_change_nothing(
    foot: float, ratio: float, bore: float, gain: float, run_out: float, k: float
) -> None:
    """In a unit of force k² times smaller and one of length k times smaller, pressure is alike."""
    here = line_pressure_mpa(foot, ratio, bore, gain, run_out)
    there = line_pressure_mpa(foot * k * k, ratio, bore * k, gain, run_out * k * k)
    assert there == pytest.approx(here, rel=1e-9)


def test_sector_clamp_is_the_integral_of_its_pressure() -> None:
    """Sum of p r dr dθ with p = peak · r_i / r, by the midpoint rule."""
    inner, outer, angle, steps = 90.0, 140.0, 70.0, 2000
    wide = (outer - inner) / steps
    total = 0.0
    for n in range(steps):
        r = inner + (n + 0.5) * wide
        total += (1.5 * inner / r) * r * wide * (angle * pi / 180.0)
    assert sector_clamp_n(1.5, inner, outer, angle) == pytest.approx(total, rel=1e-9)


@pytest.mark.parametrize(
    "call",
    [
        lambda: piston_area_mm2([40.0], "sliding"),
        lambda: piston_area_mm2([], "fixed"),
        lambda: piston_area_mm2([40.0, 0.0], "fixed"),
        lambda: boosted_force_n(-1.0, 4.0, 500.0),
        lambda: boosted_force_n(1.0, 0.5, 500.0),
        lambda: boosted_force_n(1.0, float("nan"), 500.0),
        lambda: boosted_force_n(1.0, 4.0, float("nan")),
        lambda: boosted_force_n(1.0, 4.0, -1.0),
        lambda: line_pressure_mpa(-1.0, 4.0, 22.0),
        lambda: line_pressure_mpa(100.0, 0.0, 22.0),
        lambda: line_pressure_mpa(100.0, 4.0, 0.0),
        lambda: pedal_force_n(-1.0, 4.0, 22.0),
        lambda: pedal_force_n(1.0, 4.0, 22.0, 0.9),
        lambda: clamp_n(-0.1, 2000.0),
        lambda: brake_torque_nm(1.0, 2000.0, -0.1, 120.0),
        lambda: brake_torque_nm(1.0, 2000.0, 0.4, 0.0),
        lambda: pressure_for_torque_mpa(100.0, 2000.0, 0.0, 120.0),
        lambda: sector_clamp_n(1.0, 140.0, 100.0, 60.0),
        lambda: sector_clamp_n(1.0, 100.0, 140.0, 0.0),
        lambda: sector_clamp_n(1.0, 100.0, 140.0, 361.0),
    ],
)
def test_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=r"."):
        call()
