"""Unsprung mass and inertia."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.measure.heat import ring_mass_kg
from lugplane.measure.rotating import felt_mass_kg, mass_change_kg, ring_inertia_kgm2

KILOS = st.lists(st.floats(0.1, 15.0), max_size=5)


@given(KILOS, KILOS)
def test_change_turns_round(new: list[float], old: list[float]) -> None:
    change = mass_change_kg(new, old)
    assert change == pytest.approx(sum(new) - sum(old), abs=1e-9)
    assert mass_change_kg(old, new) == -change
    assert mass_change_kg(new, new) == 0.0


def test_inertia_is_that_of_thin_hoops() -> None:
    """Sum of r² dm over 4000 hoops of a 330/200x28 ring."""
    outer, inner, thickness, steps = 330.0, 200.0, 28.0, 4000
    wide = (outer - inner) / 2.0 / steps
    total = 0.0
    for n in range(steps):
        r = inner / 2.0 + (n + 0.5) * wide
        total += (r / 1000.0) ** 2 * 2.0 * pi * r * wide * thickness * 7200e-9
    mass = ring_mass_kg(outer, inner, thickness, 7200.0)
    assert ring_inertia_kgm2(mass, outer, inner) == pytest.approx(total, rel=1e-6)


def test_felt_mass() -> None:
    """0.1 kg·m² on a 316 mm radius resists as 1.0014 kg do; a saved one is negative."""
    assert felt_mass_kg(0.1, 316.0) == pytest.approx(1.00144, abs=1e-5)
    assert felt_mass_kg(-0.1, 316.0) == -felt_mass_kg(0.1, 316.0)


@given(st.floats(1.0, 12.0), st.floats(200.0, 400.0), st.floats(0.0, 150.0), st.floats(0.1, 9.0))
def test_units_of_length_cancel_in_the_felt_mass(
    mass: float, outer: float, inner: float, k: float
) -> None:
    here = felt_mass_kg(ring_inertia_kgm2(mass, outer, inner), 310.0)
    assert 0.0 < here < mass
    there = felt_mass_kg(ring_inertia_kgm2(mass, k * outer, k * inner), k * 310.0)
    assert there == pytest.approx(here)


@pytest.mark.parametrize(
    "call",
    [
        lambda: mass_change_kg([-1.0], []),
        lambda: mass_change_kg([], [float("nan")]),
        lambda: ring_inertia_kgm2(5.0, 200.0, 200.0),
        lambda: ring_inertia_kgm2(-5.0, 300.0, 200.0),
        lambda: felt_mass_kg(0.1, 0.0),
    ],
)
def test_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=r"must|width"):
        call()
