"""Preload and torque: how they grow, and the way back."""

from math import pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.preload import (
    bearing_diameter_mm,
    preload_at_torque_n,
    preload_n,
    tightening_torque_nm,
)
from lugplane.measure.strength import CLASS_NAMES, property_class
from lugplane.measure.threads import pitch_diameter_mm, stress_area_mm2, stress_diameter_mm

RELAXED = settings(deadline=None, max_examples=100)
NOMINALS = st.floats(5.0, 20.0)
PITCHES = st.floats(0.5, 2.5)
FRICTIONS = st.floats(0.04, 0.3)


@RELAXED
@given(NOMINALS, PITCHES, FRICTIONS, st.floats(0.01, 2.0))
def test_preload_grows_with_class_and_size(
    d: float, pitch: float, friction: float, more: float
) -> None:
    yields = [property_class(name, d).yield_mpa for name in CLASS_NAMES]
    forces = [preload_n(d, pitch, value, friction) for value in yields]
    assert forces == sorted(set(forces))
    torques = [tightening_torque_nm(f, d, pitch, 1.3 * d, friction, friction) for f in forces]
    assert torques == sorted(set(torques))
    assert preload_n(d + more, pitch, 640.0, friction) > preload_n(d, pitch, 640.0, friction)


@RELAXED
@given(NOMINALS, PITCHES, FRICTIONS, st.floats(0.001, 0.1))
def test_more_thread_friction_leaves_less_preload(
    d: float, pitch: float, friction: float, more: float
) -> None:
    assert preload_n(d, pitch, 940.0, friction + more) < preload_n(d, pitch, 940.0, friction)


@RELAXED
@given(NOMINALS, PITCHES, FRICTIONS, st.floats(100.0, 1200.0), st.floats(0.1, 1.0))
def test_bolt_is_stressed_to_the_utilisation(
    d: float, pitch: float, friction: float, yield_mpa: float, utilisation: float
) -> None:
    """Put back into von Mises' equivalent stress, the preload gives the share of yield again."""
    force = preload_n(d, pitch, yield_mpa, friction, utilisation=utilisation)
    d2, d0 = pitch_diameter_mm(d, pitch), stress_diameter_mm(d, pitch)
    thread_torque_nmm = force * d2 / 2.0 * (pitch / (pi * d2) + 1.155 * friction)
    # VDI 2230 takes the fully plastic section modulus, π d³ / 12.
    torsion_mpa = thread_torque_nmm / (pi * d0**3 / 12.0)
    tension_mpa = force / stress_area_mm2(d, pitch)
    assert sqrt(tension_mpa**2 + 3.0 * torsion_mpa**2) == pytest.approx(utilisation * yield_mpa)


@RELAXED
@given(NOMINALS, PITCHES, FRICTIONS, FRICTIONS, st.floats(1.0, 200_000.0))
def test_torque_round_trip(
    d: float, pitch: float, thread: float, head: float, force: float
) -> None:
    torque = tightening_torque_nm(force, d, pitch, 1.3 * d, thread, head)
    assert preload_at_torque_n(torque, d, pitch, 1.3 * d, thread, head) == pytest.approx(force)
    assert tightening_torque_nm(force, d, pitch, 1.3 * d, thread, head + 0.01) > torque
    assert tightening_torque_nm(force, d, pitch, 1.3 * d, thread + 0.01, head) > torque
    assert tightening_torque_nm(force, d, pitch, 1.4 * d, thread, head) > torque


@RELAXED
@given(NOMINALS, PITCHES, st.floats(1.0, 200_000.0))
def test_without_friction_the_torque_is_the_work_of_the_helix(
    d: float, pitch: float, force: float
) -> None:
    torque = tightening_torque_nm(force, d, pitch, 1.3 * d, 0.0, 0.0)
    assert torque == pytest.approx(force * pitch / (2.0 * pi) / 1000.0, rel=0.01)


def test_the_whole_of_yield_may_be_used() -> None:
    whole = preload_n(12.0, 1.5, 640.0, 0.12, utilisation=1.0)
    assert preload_n(12.0, 1.5, 640.0, 0.12) == pytest.approx(0.9 * whole)


def test_bearing_diameter_is_the_mean() -> None:
    assert bearing_diameter_mm(16.6, 13.5) == pytest.approx(15.05)


@pytest.mark.parametrize(("head", "hole"), [(13.0, 13.5), (13.5, 13.5), (0.0, 5.0), (16.0, 0.0)])
def test_a_head_that_falls_through_is_refused(head: float, hole: float) -> None:
    with pytest.raises(ValueError, match=r"head_mm|hole_mm|bears on nothing"):
        bearing_diameter_mm(head, hole)


@pytest.mark.parametrize("friction", [-0.01, float("nan"), float("inf")])
def test_friction_that_is_none_is_refused(friction: float) -> None:
    with pytest.raises(ValueError, match="friction"):
        preload_n(12.0, 1.5, 640.0, friction)
    with pytest.raises(ValueError, match="thread_friction"):
        tightening_torque_nm(1.0, 12.0, 1.5, 15.0, friction, 0.1)
    with pytest.raises(ValueError, match="head_friction"):
        preload_at_torque_n(1.0, 12.0, 1.5, 15.0, 0.1, friction)


@pytest.mark.parametrize("utilisation", [0.0, -0.9, 1.01, float("nan")])
def test_utilisation_outside_its_span_is_refused(utilisation: float) -> None:
    with pytest.raises(ValueError, match="utilisation"):
        preload_n(12.0, 1.5, 640.0, 0.12, utilisation=utilisation)


def test_a_negative_preload_torque_or_yield_is_refused() -> None:
    with pytest.raises(ValueError, match="preload_n"):
        tightening_torque_nm(-1.0, 12.0, 1.5, 15.0, 0.1, 0.1)
    with pytest.raises(ValueError, match="torque_nm"):
        preload_at_torque_n(-1.0, 12.0, 1.5, 15.0, 0.1, 0.1)
    with pytest.raises(ValueError, match="yield_mpa"):
        preload_n(12.0, 1.5, 0.0, 0.12)
    with pytest.raises(ValueError, match="bearing_diameter_mm"):
        tightening_torque_nm(1.0, 12.0, 1.5, 0.0, 0.1, 0.1)
