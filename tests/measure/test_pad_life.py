"""Lining that may wear, and lives beside each other."""

import pytest

from lugplane.measure.pad_life import LEAST_LINING_MM, life_ratio, wear_volume_mm3


def test_volume() -> None:
    """5000 mm² from 11 to 3 mm: 40 000 mm³; worn through: nothing."""
    assert wear_volume_mm3(5000.0, 11.0, LEAST_LINING_MM["replace"]) == 40_000.0
    assert wear_volume_mm3(5000.0, 1.2, LEAST_LINING_MM["roadworthy"]) == 0.0


def test_life() -> None:
    """A fifth more lining for a tenth more of the work: 1.2/1.1."""
    assert life_ratio(48_000.0, 40_000.0, 0.77, 0.70) == pytest.approx(1.2 / 1.1)
    assert life_ratio(40_000.0, 40_000.0) == 1.0
    assert life_ratio(0.0, 40_000.0) == 0.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: wear_volume_mm3(0.0, 11.0, 3.0),
        lambda: wear_volume_mm3(5000.0, 11.0, -1.0),
        lambda: life_ratio(1.0, 0.0),
        lambda: life_ratio(1.0, 1.0, 0.0, 0.7),
    ],
)
def test_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match="must be a number"):
        call()
