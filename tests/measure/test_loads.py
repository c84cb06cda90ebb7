"""Axle loads: balance of forces and moments, and the rear axle that lifts."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lugplane.measure.loads import STANDARD_GRAVITY, Loading, axle_loads_n

LOADINGS = st.builds(
    Loading,
    st.floats(700.0, 3500.0),
    st.floats(0.35, 0.7),
    st.floats(350.0, 900.0),
    st.floats(2000.0, 3500.0),
)


@given(LOADINGS, st.floats(0.0, 1.2))
def test_loads_balance_weight_and_moments(car: Loading, z: float) -> None:
    assume(z < car.lift_z)
    loads = axle_loads_n(car, z)
    assert loads.front_n + loads.rear_n == pytest.approx(car.mass_kg * STANDARD_GRAVITY)
    # About the front tyres' contact: rear load and the braked mass against the weight.
    behind_front_mm = (1.0 - car.front_share) * car.wheelbase_mm
    moment = loads.rear_n * car.wheelbase_mm + z * car.weight_n * car.cog_height_mm
    assert moment == pytest.approx(car.weight_n * behind_front_mm)


@given(LOADINGS)
def test_at_rest_and_at_the_lift(car: Loading) -> None:
    assert axle_loads_n(car).front_n == pytest.approx(car.front_share * car.weight_n)
    assert axle_loads_n(car, car.lift_z * (1 - 1e-12)).rear_n == pytest.approx(
        0.0, abs=1e-6 * car.weight_n
    )
    with pytest.raises(ValueError, match="rear axle lifts"):
        axle_loads_n(car, car.lift_z * 1.001)


@pytest.mark.parametrize(
    "values",
    [
        (0.0, 0.5, 500.0, 2600.0),
        (1500.0, 0.0, 500.0, 2600.0),
        (1500.0, 1.0, 500.0, 2600.0),
        (1500.0, float("nan"), 500.0, 2600.0),
        (1500.0, 0.5, -1.0, 2600.0),
        (1500.0, 0.5, 500.0, 0.0),
    ],
)
def test_refused(values: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="must"):
        Loading(*values)


def test_negative_braking_is_refused() -> None:
    with pytest.raises(ValueError, match="z must"):
        axle_loads_n(Loading(1500.0, 0.6, 550.0, 2600.0), -0.1)
