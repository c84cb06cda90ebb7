"""Shares, adhesion used, crossings and the first axle to lock, with and without a valve."""

from itertools import pairwise
from math import inf

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from lugplane.measure.balance import (
    Brakes,
    adhesion_used,
    axle_force_n,
    equal_z,
    first_lock,
    front_share,
    front_share_at,
    pressure_for_z_bar,
)
from lugplane.measure.loads import Loading
from lugplane.measure.valve import Valve, load_sensing_valve

TORQUES = st.floats(3.0, 60.0)
RADII = st.floats(250.0, 380.0)
LOADINGS = st.builds(
    Loading,
    st.floats(700.0, 3500.0),
    st.floats(0.35, 0.7),
    st.floats(350.0, 900.0),
    st.floats(2000.0, 3500.0),
)
VALVES = st.none() | st.builds(Valve, st.floats(0.0, 90.0), st.floats(0.0, 1.0))
BRAKES = st.builds(Brakes, TORQUES, TORQUES, RADII, RADII, VALVES)
BARE = st.builds(Brakes, TORQUES, TORQUES, RADII, RADII)
FRICTIONS = st.floats(0.1, 1.2)
CAR = Loading(1500.0, 0.6, 550.0, 2600.0)


@given(TORQUES, TORQUES, RADII, RADII, st.floats(0.01, 100.0), st.floats(0.01, 100.0))
def test_shares_sum_to_one_in_any_unit(
    front: float, rear: float, front_radius: float, rear_radius: float, k: float, m: float
) -> None:
    share = front_share(front, rear, front_radius, rear_radius)
    assert share + front_share(rear, front, rear_radius, front_radius) == pytest.approx(1.0)
    other = front_share(k * front, k * rear, m * front_radius, m * rear_radius)
    assert other == pytest.approx(share, rel=1e-12)


@given(BRAKES, LOADINGS, st.floats(0.01, 1.2))
def test_pressure_share_and_force_agree(brakes: Brakes, car: Loading, z: float) -> None:
    """At the pressure for z, valve and all, the forces sum to the weight times z."""
    front_bar = pressure_for_z_bar(brakes, car, z)
    rear_bar = brakes.valve.rear_bar(front_bar) if brakes.valve else front_bar
    front = axle_force_n(brakes.front_torque_nm, brakes.front_radius_mm) * front_bar
    rear = axle_force_n(brakes.rear_torque_nm, brakes.rear_radius_mm) * rear_bar
    assert front + rear == pytest.approx(z * car.weight_n, rel=1e-9)
    assert front_share_at(brakes, car, z) == pytest.approx(front / (front + rear), rel=1e-9)


@given(BRAKES, LOADINGS)
def test_a_valve_only_moves_force_to_the_front(brakes: Brakes, car: Loading) -> None:
    bare = front_share(
        brakes.front_torque_nm,
        brakes.rear_torque_nm,
        brakes.front_radius_mm,
        brakes.rear_radius_mm,
    )
    shares = [front_share_at(brakes, car, z / 20.0) for z in range(25)]
    assert shares[0] >= bare * (1 - 1e-12)
    assert all(a <= b * (1 + 1e-12) for a, b in pairwise(shares))
    if brakes.valve is None:
        assert shares == pytest.approx([bare] * len(shares))


@given(BRAKES, LOADINGS, st.floats(0.01, 1.2))
def test_adhesion_used_carries_the_whole_braking(brakes: Brakes, car: Loading, z: float) -> None:
    assume(z < 0.999 * car.lift_z)
    used = adhesion_used(brakes, car, z)
    load = car.front_load_share(z)
    assert used.front * load + used.rear * (1.0 - load) == pytest.approx(z, rel=1e-9)


@given(BRAKES, LOADINGS)
@example(Brakes(20.0, 12.0, 300.0, 300.0, Valve(20.0, 0.3)), CAR)
def test_crossings_are_where_the_curves_change_order(brakes: Brakes, car: Loading) -> None:
    """At each the two curves meet at z itself; between two of them their order never changes."""
    found = equal_z(brakes, car)
    assert list(found) == sorted(found)
    for z in found:
        assert 0.0 < z < car.lift_z
        used = adhesion_used(brakes, car, z)
        assert used.front == pytest.approx(z, rel=1e-6)
        assert used.rear == pytest.approx(z, rel=1e-5, abs=1e-9)
    edges = [0.0, *found, 0.999 * car.lift_z]
    for low, high in pairwise(edges):
        signs = set()
        for part in range(1, 40):
            z = low + (high - low) * part / 40.0
            if z <= 0.0 or z >= car.lift_z:
                continue
            used = adhesion_used(brakes, car, z)
            if abs(used.front - used.rear) > 1e-7 * used.front:
                signs.add(used.front > used.rear)
        assert len(signs) <= 1


def test_a_valve_can_bring_three_crossings() -> None:
    """Front first, then the rear overtakes, the valve puts the front ahead, the load shift ends
    that. Share 5/7, η 0.2, knee at z 0.6798; beyond it the rear keeps the 2/7 of the knee, so that
    0.2 z² - 0.4 z + 2/7 · 0.6798 = 0."""
    brakes = Brakes(25.0, 10.0, 300.0, 300.0, Valve(40.0, 0.0))
    car = Loading(1400.0, 0.6, 500.0, 2500.0)
    knee = 40.0 * 2.0 * 35_000.0 / 300.0 / car.weight_n
    root = (0.16 - 0.8 * 2.0 / 7.0 * knee) ** 0.5
    expected = [(5.0 / 7.0 - 0.6) / 0.2, (0.4 - root) / 0.4, (0.4 + root) / 0.4]
    assert equal_z(brakes, car) == pytest.approx(expected, rel=1e-9)


@given(BRAKES, LOADINGS, FRICTIONS)
def test_first_lock_is_the_first_time_an_axle_needs_the_friction(
    brakes: Brakes, car: Loading, friction: float
) -> None:
    """By search from outside: just below its z neither axle uses the friction, at it one does."""
    lock = first_lock(brakes, car, friction)
    assert 0.0 < lock.z <= min(friction * (1 + 1e-9), car.lift_z)
    for part in range(1, 20):
        used = adhesion_used(brakes, car, lock.z * part / 20.0)
        assert max(used.front, used.rear) < friction
    used = adhesion_used(brakes, car, lock.z * (1 - 1e-9))
    at = {"front": used.front, "rear": used.rear, "both": used.front}[lock.axle]
    assert at == pytest.approx(friction, rel=1e-5)


def test_both_lock_together_where_the_curves_cross() -> None:
    """φ 0.75, s 0.5, η 0.25: equal at z 1, exact in binary."""
    brakes = Brakes(30.0, 10.0, 320.0, 320.0)
    car = Loading(1500.0, 0.5, 500.0, 2000.0)
    assert equal_z(brakes, car) == (1.0,)
    lock = first_lock(brakes, car, 1.0)
    assert (lock.axle, lock.z) == ("both", 1.0)
    assert first_lock(brakes, car, 0.99).axle == "front"
    assert first_lock(brakes, car, 1.01).axle == "rear"


def test_no_crossing_where_the_rear_uses_more_from_the_start() -> None:
    assert equal_z(Brakes(10.0, 10.0, 300.0, 300.0), CAR) == ()


@given(BARE, LOADINGS, FRICTIONS, st.floats(1.01, 2.0))
def test_more_rear_torque_never_delays_the_rear(
    brakes: Brakes, car: Loading, friction: float, more: float
) -> None:
    stronger = Brakes(
        brakes.front_torque_nm,
        brakes.rear_torque_nm * more,
        brakes.front_radius_mm,
        brakes.rear_radius_mm,
    )
    if first_lock(brakes, car, friction).axle == "rear":
        lock = first_lock(stronger, car, friction)
        assert lock.axle == "rear"
        assert lock.z < first_lock(brakes, car, friction).z


def test_valve_pressure() -> None:
    valve = Valve(30.0, 0.4)
    assert [valve.rear_bar(p) for p in (0.0, 30.0, 50.0)] == [0.0, 30.0, 38.0]
    assert Valve(0.0, 1.0).rear_bar(70.0) == 70.0
    assert Valve(25.0, 0.0).rear_bar(70.0) == 25.0


def test_load_sensing_knee_between_its_settings() -> None:
    def knee(load: float) -> float:
        return load_sensing_valve(
            load,
            0.3,
            unladen_n=4000.0,
            unladen_knee_bar=20.0,
            laden_n=8000.0,
            laden_knee_bar=60.0,
        ).knee_bar

    assert [knee(n) for n in (3000.0, 4000.0, 5000.0, 8000.0, 9000.0)] == [20, 20, 30, 60, 60]


@pytest.mark.parametrize(
    "call",
    [
        lambda: Valve(-1.0, 0.5),
        lambda: Valve(10.0, 1.1),
        lambda: Valve(inf, 0.5),
        lambda: Valve(10.0, float("nan")),
        lambda: Valve(10.0, 0.5).rear_bar(-1.0),
        lambda: Brakes(0.0, 10.0, 300.0, 300.0),
        lambda: Brakes(10.0, 10.0, 300.0, 0.0),
        lambda: front_share(0.0, 0.0, 300.0, 300.0),
        lambda: front_share(-1.0, 2.0, 300.0, 300.0),
        lambda: adhesion_used(Brakes(10.0, 10.0, 300.0, 300.0), CAR, CAR.lift_z),
        lambda: first_lock(Brakes(10.0, 10.0, 300.0, 300.0), CAR, 0.0),
        lambda: pressure_for_z_bar(Brakes(10.0, 10.0, 300.0, 300.0), CAR, -0.1),
        lambda: load_sensing_valve(
            1.0, 0.3, unladen_n=5.0, unladen_knee_bar=1.0, laden_n=5.0, laden_knee_bar=2.0
        ),
    ],
)
def test_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=r"."):
        call()
