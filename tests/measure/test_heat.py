"""One stop, repeated stops, a descent, a ring's mass: balance, limits and directions."""

from itertools import pairwise
from math import inf, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.measure.heat import (
    BrakedMass,
    Ring,
    descent_c,
    descent_power_w,
    repeated_limit_c,
    repeated_peak_c,
    repeated_peaks_c,
    ring_mass_kg,
    stop_energy_j,
    stop_rise_k,
)

CARS = st.builds(
    BrakedMass,
    st.floats(600.0, 4000.0),
    st.floats(0.1, 1.0),
    st.floats(0.5, 1.0),
    st.integers(1, 4),
)
RINGS = st.builds(Ring, st.floats(2.0, 15.0), st.floats(400.0, 600.0), st.floats(0.0, 120.0))
PERIODS, COUNTS, AIR = st.floats(1.0, 300.0), st.integers(1, 40), st.floats(-40.0, 50.0)
RISES = st.floats(0.0, 400.0)


@given(CARS, RINGS, st.floats(10.0, 70.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_two_brakings_are_one(
    car: BrakedMass, ring: Ring, speed: float, a: float, b: float
) -> None:
    """Energy from the first speed to the last is the sum over any speed between them."""
    low, mid = speed * a * b, speed * a
    whole = stop_energy_j(car, speed, low)
    assert stop_energy_j(car, speed, mid) + stop_energy_j(car, mid, low) == pytest.approx(
        whole, abs=1e-6
    )
    assert stop_rise_k(car, ring, speed, low) * ring.capacity_jk == pytest.approx(whole)


@given(st.floats(600.0, 4000.0), st.floats(0.01, 0.99), st.floats(5.0, 70.0))
def test_both_axles_take_all_the_energy(mass: float, share: float, speed: float) -> None:
    front, rear = BrakedMass(mass, share), BrakedMass(mass, 1.0 - share)
    taken = 2.0 * stop_energy_j(front, speed) + 2.0 * stop_energy_j(rear, speed)
    assert taken == pytest.approx(0.5 * mass * speed**2)


@given(CARS, RINGS, st.floats(10.0, 70.0), COUNTS, PERIODS, AIR, st.floats(0.1, 10.0))
def test_a_car_of_twice_the_scale_runs_as_hot(
    car: BrakedMass, ring: Ring, speed: float, count: int, period: float, air: float, k: float
) -> None:
    """Masses and cooling in any unit of mass: the temperature does not know."""
    heavy = BrakedMass(k * car.mass_kg, car.axle_share, car.disc_share, car.discs)
    broad = Ring(k * ring.mass_kg, ring.specific_heat_j_kgk, k * ring.cooling_wk)
    here = repeated_peak_c(count, stop_rise_k(car, ring, speed), ring, period, air)
    there = repeated_peak_c(count, stop_rise_k(heavy, broad, speed), broad, period, air)
    assert there == pytest.approx(here)


@given(RISES, RINGS, PERIODS, COUNTS, AIR)
def test_peaks_follow_from_one_another(
    rise: float, ring: Ring, period: float, count: int, air: float
) -> None:
    """Each is the one before, cooled for the period, and one rise more; below the limit."""
    peaks = repeated_peaks_c(count, rise, ring, period, air)
    assert len(peaks) == count
    assert peaks[0] == pytest.approx(air + rise)
    for before, after in pairwise(peaks):
        assert after == pytest.approx(air + (before - air) * ring.kept(period) + rise)
        assert after >= before - 1e-9
    assert peaks[-1] <= repeated_limit_c(rise, ring, period, air) * (1 + 1e-12) + 1e-9


@given(RISES, RINGS, PERIODS, AIR)
def test_the_limit_is_where_a_period_takes_what_a_stop_brings(
    rise: float, ring: Ring, period: float, air: float
) -> None:
    limit = repeated_limit_c(rise, ring, period, air)
    if ring.rate_per_s * period < 1e-9:
        assert limit > 1e6 or rise < 1e-3
        return
    assert air + (limit - air) * ring.kept(period) + rise == pytest.approx(limit, abs=1e-6)


def test_without_cooling_rises_add_up() -> None:
    ring = Ring(7.0, 500.0, 0.0)
    assert repeated_peaks_c(3, 50.0, ring, 45.0, 20.0) == (70.0, 120.0, 170.0)
    assert repeated_limit_c(50.0, ring, 45.0, 20.0) == inf
    assert repeated_limit_c(0.0, ring, 45.0, 20.0) == 20.0


@given(st.floats(1.0, 400.0), st.floats(1.0, 300.0), COUNTS, AIR)
def test_next_to_no_cooling_is_as_none(rise: float, period: float, count: int, air: float) -> None:
    """No digits lost where q is nearly 1."""
    got = repeated_peak_c(count, rise, Ring(7.0, 500.0, 1e-12), period, air)
    assert got == pytest.approx(air + count * rise, rel=1e-9)


@given(CARS, RINGS, st.floats(10.0, 70.0), COUNTS, PERIODS, AIR, st.floats(1.001, 3.0))
def test_a_heavier_ring_never_runs_hotter(
    car: BrakedMass,
    ring: Ring,
    speed: float,
    count: int,
    period: float,
    air: float,
    more: float,
) -> None:
    heavier = Ring(more * ring.mass_kg, ring.specific_heat_j_kgk, ring.cooling_wk)
    light = repeated_peak_c(count, stop_rise_k(car, ring, speed), ring, period, air)
    heavy = repeated_peak_c(count, stop_rise_k(car, heavier, speed), heavier, period, air)
    assert heavy <= light + 1e-9 * abs(light)


@given(st.floats(0.0, 30_000.0), st.floats(0.0, 3600.0), st.floats(0.0, 3600.0), RINGS, AIR, RISES)
def test_a_descent_can_be_cut_in_two(
    power: float, first: float, second: float, ring: Ring, air: float, hotter: float
) -> None:
    start = air + hotter
    half_way = descent_c(power, first, ring, air, start)
    whole = descent_c(power, first + second, ring, air, start)
    assert descent_c(power, second, ring, air, half_way) == pytest.approx(whole)
    if ring.cooling_wk > 0.0:
        steady = air + power / ring.cooling_wk
        assert whole <= max(start, steady) * (1 + 1e-9) + 1e-6


def test_descent_by_hand() -> None:
    """1500 kg down 6 % at 20 m/s: 14 710 N · 0.05989 · 20 = 17 621 W, 70 % on two discs: 6167 W;
    on 25 W/K that ends 246.7 K above the air; uncooled for a minute in 3500 J/K: 105.7 K."""
    car = BrakedMass(1500.0, 0.7)
    power = descent_power_w(car, 0.06, 20.0)
    assert power == pytest.approx(6167.4, abs=0.5)
    assert power == pytest.approx(0.35 * 1500.0 * 9.80665 * 0.06 / sqrt(1.0036) * 20.0, rel=1e-12)
    ring = Ring(7.0, 500.0, 25.0)
    assert descent_c(power, 1e5, ring, 20.0) == pytest.approx(20.0 + 246.7, abs=0.05)
    assert descent_c(power, 60.0, Ring(7.0, 500.0, 0.0), 20.0) == pytest.approx(125.7, abs=0.05)
    assert descent_c(power, 0.0, ring, 20.0, 90.0) == 90.0
    # What else holds the car back does not heat; more than the slope asks for heats nothing.
    assert descent_power_w(car, 0.06, 20.0, 440.5) == pytest.approx(power / 2.0, rel=1e-3)
    assert descent_power_w(car, 0.06, 20.0, 5000.0) == 0.0


def test_ring_mass_is_the_difference_of_two_cylinders() -> None:
    whole = pi * 165.0**2 * 28.0
    hole = pi * 100.0**2 * 28.0
    expected = (whole - hole) * 7200e-9
    assert ring_mass_kg(330.0, 200.0, 28.0, 7200.0) == pytest.approx(expected)
    assert ring_mass_kg(330.0, 200.0, 28.0, 7200.0, 0.65) == pytest.approx(0.65 * expected)


@pytest.mark.parametrize(
    "call",
    [
        lambda: Ring(0.0, 500.0, 25.0),
        lambda: Ring(7.0, 0.0, 25.0),
        lambda: Ring(7.0, 500.0, -1.0),
        lambda: Ring(7.0, 500.0, 25.0).kept(-1.0),
        lambda: BrakedMass(0.0, 0.7),
        lambda: BrakedMass(1500.0, 1.1),
        lambda: BrakedMass(1500.0, 0.7, float("nan")),
        lambda: BrakedMass(1500.0, 0.7, 1.0, 0),
        lambda: stop_energy_j(BrakedMass(1500.0, 0.7), 10.0, 20.0),
        lambda: repeated_peak_c(0, 50.0, Ring(7.0, 500.0, 25.0), 45.0, 20.0),
        lambda: repeated_peaks_c(0, 50.0, Ring(7.0, 500.0, 25.0), 45.0, 20.0),
        lambda: repeated_peak_c(1, -1.0, Ring(7.0, 500.0, 25.0), 45.0, 20.0),
        lambda: repeated_peak_c(1, 50.0, Ring(7.0, 500.0, 25.0), 0.0, 20.0),
        lambda: repeated_peak_c(1, 50.0, Ring(7.0, 500.0, 25.0), 45.0, inf),
        lambda: repeated_limit_c(50.0, Ring(7.0, 500.0, 25.0), -45.0, 20.0),
        lambda: descent_power_w(BrakedMass(1500.0, 0.7), -0.06, 20.0),
        lambda: descent_c(-1.0, 60.0, Ring(7.0, 500.0, 25.0), 20.0),
        lambda: descent_c(1.0, -60.0, Ring(7.0, 500.0, 25.0), 20.0),
        lambda: descent_c(1.0, 60.0, Ring(7.0, 500.0, 25.0), float("nan")),
        lambda: ring_mass_kg(190.0, 190.0, 22.0, 7200.0),
        lambda: ring_mass_kg(300.0, 190.0, 22.0, 7200.0, 0.0),
        lambda: ring_mass_kg(300.0, 190.0, 22.0, 7200.0, 1.1),
    ],
)
def test_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=r"."):
        call()
