"""Inertia of a ring."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.measure.heat import ring_mass_kg
from lugplane.measure.rotating import ring_inertia_kgm2


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


@given(st.floats(1.0, 12.0), st.floats(200.0, 400.0), st.floats(0.0, 150.0), st.floats(0.1, 9.0))
def test_inertia_grows_with_the_square_of_the_size(
    mass: float, outer: float, inner: float, k: float
) -> None:
    here = ring_inertia_kgm2(mass, outer, inner)
    assert 0.0 < here < mass * (outer / 2000.0) ** 2
    assert ring_inertia_kgm2(mass, k * outer, k * inner) == pytest.approx(k**2 * here)


@pytest.mark.parametrize(
    "call",
    [
        lambda: ring_inertia_kgm2(5.0, 200.0, 200.0),
        lambda: ring_inertia_kgm2(-5.0, 300.0, 200.0),
    ],
)
def test_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=r"must|width"):
        call()
