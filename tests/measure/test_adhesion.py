"""The margins of the two adhesion conditions, against a fine search along the curves."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.adhesion import ADHESION_SLOPES, braking_for_adhesion, front_above_rear
from lugplane.measure.balance import Brakes, adhesion_used, first_lock
from lugplane.measure.loads import Loading
from lugplane.measure.valve import Valve

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


@given(BRAKES, LOADINGS)
def test_front_above_rear_says_what_the_curves_say(brakes: Brakes, car: Loading) -> None:
    """Above zero: the front's curve is the upper one everywhere. Below: the rear's, at that z."""
    least = front_above_rear(brakes, car, 0.15, 0.80)
    for step in range(66):
        z = 0.15 + step / 100.0
        if z >= car.lift_z:
            assert least.value < 0.0
            continue
        used = adhesion_used(brakes, car, z)
        load = car.front_load_share(z)
        assert least.value <= used.front * load / z - load + 1e-9
        if least.value > 1e-9:
            assert used.front > used.rear
    if least.value < -1e-9 and least.at < car.lift_z:
        used = adhesion_used(brakes, car, least.at)
        assert used.front < used.rear
    # The margin is what the front share may lose: tell it by the curves' own definition.
    if least.at < car.lift_z:
        used = adhesion_used(brakes, car, least.at)
        load = car.front_load_share(least.at)
        share = used.front * load / least.at
        assert least.value == pytest.approx(share - load, abs=1e-9)


@settings(max_examples=60)
@given(BRAKES, LOADINGS, st.sampled_from(sorted(ADHESION_SLOPES.values())))
def test_braking_for_adhesion_is_the_least_along_the_curve(
    brakes: Brakes, car: Loading, slope: float
) -> None:
    """No k of a fine row is nearer to the limit, and the k named is as near as said."""
    least = braking_for_adhesion(brakes, car, slope)

    def margin(k: float) -> float:
        return first_lock(brakes, car, k).z - (0.1 + slope * (k - 0.2))

    assert 0.2 <= least.at <= 0.8
    assert margin(least.at) == pytest.approx(least.value, abs=1e-12)
    row = [margin(0.2 + 0.6 * n / 600.0) for n in range(601)]
    assert min(row) >= least.value - 1e-12
    # Between two of the row the margin cannot have dipped by more than it can bend.
    assert min(row) <= least.value + 0.01


def test_least_may_lie_between_the_ends() -> None:
    """Front-heavy brakes: z(k) = k s/(φ - kη) bends upward, its flattest spot at dz/dk = C."""
    brakes, car = Brakes(40.0, 8.0, 300.0, 300.0), Loading(1500.0, 0.52, 600.0, 2400.0)
    least = braking_for_adhesion(brakes, car, 0.85)
    share, eta = 40.0 / 48.0, 0.25
    assert least.at == pytest.approx((share - (0.52 * share / 0.85) ** 0.5) / eta, rel=1e-12)
    assert 0.2 < least.at < 0.8


def test_least_may_lie_at_the_knee() -> None:
    """The rear is ahead when the valve shuts it off at z 0.6798 and lets the front catch up."""
    brakes = Brakes(25.0, 10.0, 300.0, 300.0, Valve(40.0, 0.0))
    car = Loading(1400.0, 0.6, 500.0, 2500.0)
    knee = 40.0 * 2.0 * 35_000.0 / 300.0 / car.weight_n
    least = front_above_rear(brakes, car, 0.15, 0.80)
    assert least.at == pytest.approx(knee, rel=1e-12)
    assert least.value == pytest.approx(5.0 / 7.0 - 0.6 - 0.2 * knee, abs=1e-12)
    # There the rear uses 2/7 of the force on what is left of its load.
    used = 2.0 / 7.0 * knee / (0.4 - 0.2 * knee)
    flattest = braking_for_adhesion(brakes, car, 0.85, 0.6, 0.8)
    assert flattest.at == pytest.approx(used, rel=1e-12)
    assert flattest.value == pytest.approx(knee - (0.1 + 0.85 * (used - 0.2)), abs=1e-12)


def test_the_stricter_slope_leaves_less() -> None:
    """Above k 0.2; at 0.2 itself C does not matter."""
    brakes, car = Brakes(60.0, 40.0, 300.0, 300.0), Loading(2000.0, 0.56, 500.0, 2800.0)
    strict, lax = (
        braking_for_adhesion(brakes, car, ADHESION_SLOPES[name], 0.3).value
        for name in ("UN R13", "UN R13-H")
    )
    assert strict < lax
    at_low = [braking_for_adhesion(brakes, car, c, 0.2, 0.2).value for c in (0.85, 0.7)]
    assert at_low[0] == at_low[1]


@pytest.mark.parametrize(("low", "high"), [(0.0, 0.8), (0.8, 0.15), (0.15, float("nan"))])
def test_refused_stretch(low: float, high: float) -> None:
    brakes, car = Brakes(30.0, 12.0, 300.0, 300.0), Loading(1500.0, 0.6, 550.0, 2600.0)
    with pytest.raises(ValueError, match=r"stretch|must"):
        front_above_rear(brakes, car, low, high)
    with pytest.raises(ValueError, match=r"stretch|must"):
        braking_for_adhesion(brakes, car, 0.7, low, high)
    with pytest.raises(ValueError, match="slope"):
        braking_for_adhesion(brakes, car, -0.1)
