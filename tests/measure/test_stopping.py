"""Stops: energy, the mean deceleration of a constant one, and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.measure.stopping import (
    TYPE_ZERO_CARS,
    constant_force_stop,
    mean_fully_developed_deceleration_ms2,
)

MASSES, SPEEDS, FORCES = st.floats(500.0, 4000.0), st.floats(1.0, 70.0), st.floats(500.0, 40_000.0)


@given(MASSES, SPEEDS, FORCES)
def test_force_times_distance_is_the_energy(mass: float, speed: float, force: float) -> None:
    stop = constant_force_stop(mass, speed, force)
    assert force * stop.distance_m == pytest.approx(0.5 * mass * speed**2)
    assert force * stop.time_s == pytest.approx(mass * speed)


@given(MASSES, SPEEDS, FORCES, st.floats(0.1, 10.0))
def test_other_units_of_mass_change_nothing(
    mass: float, speed: float, force: float, k: float
) -> None:
    here, there = (
        constant_force_stop(mass, speed, force),
        constant_force_stop(k * mass, speed, k * force),
    )
    assert there.distance_m == pytest.approx(here.distance_m)
    assert there.time_s == pytest.approx(here.time_s)


@given(SPEEDS, st.floats(1.0, 12.0), st.floats(0.0, 20.0))
def test_mean_deceleration_of_a_constant_one_is_itself(
    speed: float, deceleration: float, way: float
) -> None:
    """Whatever was run before the brakes were on."""
    high, low = 0.8 * speed, 0.1 * speed
    at_high = way + (speed**2 - high**2) / (2.0 * deceleration)
    at_low = way + (speed**2 - low**2) / (2.0 * deceleration)
    got = mean_fully_developed_deceleration_ms2(high * 3.6, low * 3.6, at_high, at_low)
    assert got == pytest.approx(deceleration, rel=1e-6)


def test_the_formula_as_printed() -> None:
    """80² - 10² over 25.92 · 40 m: 6300 / 1036.8."""
    got = mean_fully_developed_deceleration_ms2(80.0, 10.0, 12.0, 52.0)
    assert got == pytest.approx(6300.0 / 1036.8)


@pytest.mark.parametrize(
    "call",
    [
        lambda: constant_force_stop(0.0, 10.0, 100.0),
        lambda: constant_force_stop(1000.0, -1.0, 100.0),
        lambda: constant_force_stop(1000.0, 10.0, 0.0),
        lambda: mean_fully_developed_deceleration_ms2(10.0, 80.0, 1.0, 2.0),
        lambda: mean_fully_developed_deceleration_ms2(80.0, 10.0, 2.0, 2.0),
        lambda: mean_fully_developed_deceleration_ms2(80.0, 10.0, -1.0, 2.0),
        lambda: TYPE_ZERO_CARS.distance_m(-1.0),
    ],
)
def test_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=r"."):
        call()
