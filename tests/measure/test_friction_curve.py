"""Friction over temperature: straight between its points, nowhere beyond."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from lugplane.measure.bench import Undecided
from lugplane.measure.friction_curve import FrictionCurve

CURVE = FrictionCurve(((100.0, 0.38), (200.0, 0.42), (350.0, 0.40), (500.0, 0.33)), 0.02)


@pytest.mark.parametrize(
    ("low", "high", "least", "most"),
    [
        (100.0, 100.0, 0.36, 0.40),
        (150.0, 150.0, 0.38, 0.42),
        (150.0, 250.0, 0.38, 0.44),  # the peak at 200 °C lies between
        (210.0, 340.0, 0.40 + 0.02 * 10 / 150 - 0.02, 0.42 - 0.02 * 10 / 150 + 0.02),
        (300.0, 425.0, 0.345, 0.40 + 0.02 * 50 / 150 + 0.02),
        (100.0, 500.0, 0.31, 0.44),
    ],
)
def test_over(low: float, high: float, least: float, most: float) -> None:
    assert CURVE.over(low, high) == pytest.approx((least, most))


def test_a_dip_between_two_temperatures_is_not_missed() -> None:
    dip = FrictionCurve(((0.0, 0.4), (100.0, 0.3), (200.0, 0.4)), 0.0)
    assert dip.over(50.0, 150.0) == pytest.approx((0.3, 0.35))


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (99.9, 300.0, "not known below 100 °C"),
        (300.0, 500.1, "not known above 500 °C"),
        (0.0, 600.0, "not known above 500 °C"),
    ],
)
def test_it_is_never_extrapolated(low: float, high: float, said: str) -> None:
    with pytest.raises(Undecided, match=said):
        CURVE.over(low, high)


@pytest.mark.parametrize(
    "make",
    [
        lambda: FrictionCurve(((100.0, 0.4),), 0.0),
        lambda: FrictionCurve(((100.0, 0.4), (100.0, 0.3)), 0.0),
        lambda: FrictionCurve(((200.0, 0.4), (100.0, 0.3)), 0.0),
        lambda: FrictionCurve(((100.0, 0.4), (float("nan"), 0.3)), 0.0),
        lambda: FrictionCurve(((100.0, 0.4), (200.0, 0.3)), -0.01),
        lambda: CURVE.over(300.0, 200.0),
    ],
)
def test_refused(make: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=r"curve|number|temperatures"):
        make()
