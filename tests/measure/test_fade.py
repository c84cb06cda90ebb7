"""The Type-I plan by class and top speed, lists of stops, heat at once and spread."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.fade import (
    OwnStop,
    Snubs,
    at_once,
    course,
    snub_peaks_c,
    spread,
    stop_list_c,
    type_one,
)
from lugplane.measure.heat import BrakedMass, Ring, stop_energy_j, stop_rise_k
from lugplane.measure.heat_course import Pulse, Spell

CARS = st.builds(BrakedMass, st.floats(600.0, 4000.0), st.floats(0.1, 1.0), st.floats(0.5, 1.0))
RINGS = st.builds(Ring, st.floats(2.0, 15.0), st.floats(400.0, 600.0), st.floats(0.0, 120.0))
AIR = st.floats(-40.0, 50.0)
OWN = st.lists(
    st.builds(
        lambda high, part, rest, slow: OwnStop(high, part * high, rest, slow),
        st.floats(20.0, 220.0),
        st.floats(0.0, 1.0),
        st.floats(0.0, 300.0),
        st.floats(0.5, 9.0),
    ),
    min_size=1,
    max_size=8,
)


def test_a_light_van_has_longer_to_cool() -> None:
    car, van = type_one("car", 160.0), type_one("light-van", 160.0)
    assert (car.period_s, van.period_s) == (45.0, 55.0)
    assert (van.from_kmh, van.to_kmh, van.count) == (120.0, 60.0, 15)
    braked, ring = BrakedMass(1600.0, 0.7), Ring(7.0, 500.0, 25.0)
    assert snub_peaks_c(van, braked, ring, 20.0)[-1] < snub_peaks_c(car, braked, ring, 20.0)[-1]


@settings(max_examples=40)
@given(CARS, RINGS, AIR, st.floats(60.0, 260.0), st.sampled_from(["car", "light-van"]))
def test_at_once_is_the_hotter_reckoning(
    car: BrakedMass, ring: Ring, air: float, top: float, which: str
) -> None:
    snubs = type_one(which, top)  # type: ignore[arg-type]
    closed = snub_peaks_c(snubs, car, ring, air)
    sudden = [r.peak_c for r in stop_list_c(at_once(snubs), car, ring, air)]
    gentle = [r.peak_c for r in stop_list_c(spread(snubs), car, ring, air)]
    assert sudden == pytest.approx(closed, rel=1e-9)
    assert all(g <= s + 1e-9 * (abs(s) + 1.0) for g, s in zip(gentle, sudden, strict=True))


@settings(max_examples=40)
@given(OWN, CARS, RINGS, AIR)
def test_own_list_at_once_is_no_cooler(
    stops: list[OwnStop], car: BrakedMass, ring: Ring, air: float
) -> None:
    sudden = [OwnStop(s.from_kmh, s.to_kmh, s.rest_s) for s in stops]
    for gentle, hot in zip(
        stop_list_c(stops, car, ring, air), stop_list_c(sudden, car, ring, air), strict=True
    ):
        assert gentle.peak_c <= hot.peak_c + 1e-9 * (abs(hot.peak_c) + 1.0)


@given(OWN, CARS)
def test_spread_heat_is_the_whole_heat(stops: list[OwnStop], car: BrakedMass) -> None:
    steps = course(stops, car)
    assert len(steps) == 2 * len(stops)
    for stop, braking, rest in zip(stops, steps[::2], steps[1::2], strict=True):
        assert isinstance(braking, Spell)
        energy = stop_energy_j(car, stop.from_kmh / 3.6, stop.to_kmh / 3.6)
        taken = (braking.first_w + braking.last_w) / 2.0 * braking.seconds
        assert taken == pytest.approx(energy, abs=1e-3)
        assert rest == Spell(stop.rest_s)


def test_own_list_by_hand() -> None:
    """Two stops from 100 km/h: the second begins where the first one's rest left it."""
    car, ring = BrakedMass(1600.0, 0.7), Ring(7.0, 500.0, 25.0)
    rise = stop_rise_k(car, ring, 100.0 / 3.6)
    first, second = stop_list_c([OwnStop(100, 0, 60), OwnStop(100, 0, 0)], car, ring, 20.0, 50.0)
    assert first.peak_c == pytest.approx(50.0 + rise)
    assert first.end_c == pytest.approx(20.0 + (30.0 + rise) * ring.kept(60.0))
    assert second.peak_c == pytest.approx(first.end_c + rise)
    assert second.end_c == second.peak_c
    assert course([OwnStop(100, 0, 60)], car)[0] == Pulse(stop_energy_j(car, 100.0 / 3.6))
    assert stop_list_c([], car, ring, 20.0) == ()


@pytest.mark.parametrize(
    "call",
    [
        lambda: type_one("bus", 100.0),  # type: ignore[arg-type]
        lambda: type_one("car", 0.0),
        lambda: Snubs(60.0, 60.0, 45.0, 15, 3.0),
        lambda: Snubs(60.0, -1.0, 45.0, 15, 3.0),
        lambda: Snubs(120.0, 60.0, 45.0, 0, 3.0),
        lambda: Snubs(120.0, 60.0, 5.0, 15, 3.0),
        lambda: Snubs(120.0, 60.0, 45.0, 15, 0.0),
        lambda: OwnStop(50.0, 60.0, 1.0),
        lambda: OwnStop(50.0, -1.0, 1.0),
        lambda: OwnStop(50.0, 0.0, -1.0),
        lambda: OwnStop(50.0, 0.0, 1.0, 0.0),
    ],
)
def test_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=r"."):
        call()
