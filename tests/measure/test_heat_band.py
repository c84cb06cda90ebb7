"""Bounds of each stop of a list: nothing inside the box lies outside them, and they are tight."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.corners import corner_bounds
from lugplane.measure.fade import OwnStop, stop_list_c
from lugplane.measure.heat import BrakedMass, Ring
from lugplane.measure.heat_band import stop_peaks_bounds_c

STOPS = st.lists(
    st.builds(
        OwnStop,
        st.floats(60, 150),
        st.floats(0, 50),
        st.floats(0, 900),
        st.none() | st.floats(1, 8),
    ),
    min_size=1,
    max_size=6,
)
MASS, SHARE, DISC, RING, HEAT, COOLING, AIR = (
    (1580.0, 1620.0),
    (0.68, 0.74),
    (0.9, 1.0),
    (6.0, 6.6),
    (450.0, 545.0),
    (15.0, 40.0),
    (10.0, 30.0),
)
IN = st.floats(0, 1)


def within(span: tuple[float, float], share: float) -> float:
    return span[0] + (span[1] - span[0]) * share


@settings(max_examples=60)
@given(STOPS, IN, IN, IN, IN, IN, IN, IN)
def test_no_point_of_the_box_lies_outside(
    stops: list[OwnStop], a: float, b: float, c: float, d: float, e: float, f: float, g: float
) -> None:
    bounds = stop_peaks_bounds_c(stops, MASS, SHARE, DISC, RING, HEAT, COOLING, AIR)
    braked = BrakedMass(within(MASS, a), within(SHARE, b), within(DISC, c))
    ring = Ring(within(RING, d), within(HEAT, e), within(COOLING, f))
    reached = stop_list_c(stops, braked, ring, within(AIR, g))
    assert len(bounds) == len(reached) == len(stops)
    for (low, high), at in zip(bounds, reached, strict=True):
        assert low - 1e-9 <= at.peak_c <= high + 1e-9


def test_the_heavier_ring_may_be_the_hotter_one() -> None:
    """What makes corners too few: after a long rest the ring that kept its heat is hotter."""
    stops = [OwnStop(140.0, 0.0, 900.0), OwnStop(20.0, 0.0, 0.0)]
    light, heavy = (
        stop_list_c(stops, BrakedMass(1600.0, 0.7), Ring(kg, 500.0, 10.0), 20.0)[1].peak_c
        for kg in (6.0, 12.0)
    )
    assert heavy > light
    one = (1600.0, 1600.0), (0.7, 0.7), (1.0, 1.0)
    fixed = (500.0, 500.0), (10.0, 10.0), (20.0, 20.0)
    low, high = stop_peaks_bounds_c(stops, *one, (6.0, 12.0), *fixed)[1]
    assert low <= light < heavy <= high


def test_nothing_in_doubt_gives_the_course_itself() -> None:
    stops = [OwnStop(100.0, 20.0, 30.0, 4.0)] * 5
    exact = stop_list_c(stops, BrakedMass(1600.0, 0.7), Ring(7.0, 500.0, 25.0), 20.0)
    same = [(x, x) for x in (1600.0, 0.7, 1.0, 7.0, 500.0, 25.0, 20.0)]
    for (low, high), at in zip(stop_peaks_bounds_c(stops, *same), exact, strict=True):
        assert low == pytest.approx(at.peak_c)
        assert high == pytest.approx(at.peak_c)


def test_the_hottest_agrees_with_the_corners() -> None:
    """The hottest of all stops is greatest and least at corners; a stop's band may be wider."""
    stops = [OwnStop(120.0, 60.0, 45.0)] * 15

    def hottest(mass: float, axle: float, disc: float, ring: float, c: float, h: float, air: float):  # type: ignore[no-untyped-def]
        car = BrakedMass(mass, axle, disc)
        return max(stop.peak_c for stop in stop_list_c(stops, car, Ring(ring, c, h), air))

    low, high = corner_bounds(
        hottest,
        rises={"mass": MASS, "axle": SHARE, "disc": DISC, "air": AIR},
        falls={"ring": RING, "c": HEAT, "h": COOLING},
    )
    band = stop_peaks_bounds_c(stops, MASS, SHARE, DISC, RING, HEAT, COOLING, AIR)
    assert max(h for _, h in band) == pytest.approx(high, rel=6e-3)
    assert max(h for _, h in band) >= high - 1e-9
    assert max(lo for lo, _ in band) == pytest.approx(low, rel=6e-3)
    assert max(lo for lo, _ in band) <= low + 1e-9
