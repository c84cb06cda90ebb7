"""Thread lengths, clearance holes and washers."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.hardware import (
    NoStandardSizeError,
    clearance_hole,
    thread_length_mm,
    washer_thickness_mm,
)

HOLE_SIZES = (5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0)


# ISO 888 forms. For M12: 30, 36 and 49 mm.
@pytest.mark.parametrize(
    ("length_mm", "expected"),
    [(60.0, 30.0), (125.0, 30.0), (126.0, 36.0), (200.0, 36.0), (201.0, 49.0), (30.0, 30.0)],
)
def test_thread_length_of_m12(length_mm: float, expected: float) -> None:
    assert thread_length_mm(12.0, length_mm) == expected


def test_a_short_bolt_is_threaded_all_along() -> None:
    assert thread_length_mm(12.0, 25.0) == 25.0


@settings(deadline=None)
@given(st.floats(5.0, 20.0), st.floats(1.0, 300.0), st.floats(0.0, 100.0))
def test_thread_length_grows_with_the_bolt(d: float, length: float, more: float) -> None:
    assert 0.0 < thread_length_mm(d, length) <= length
    assert thread_length_mm(d, length) <= thread_length_mm(d, length + more)


@pytest.mark.parametrize(("d", "length"), [(0.0, 40.0), (12.0, 0.0), (12.0, float("nan"))])
def test_sizes_that_are_none_are_refused(d: float, length: float) -> None:
    with pytest.raises(ValueError, match=r"nominal_mm|length_mm"):
        thread_length_mm(d, length)


def test_holes_are_ordered_and_clear_the_bolt() -> None:
    last = 0.0
    for d in HOLE_SIZES:
        hole = clearance_hole(d)
        assert d < hole.fine_mm < hole.medium_mm < hole.coarse_mm <= 1.25 * d
        assert hole.fine_mm > last
        last = hole.fine_mm


def test_washers_never_get_thinner_with_size() -> None:
    sizes = [d for d in HOLE_SIZES if d != 7.0]
    thicknesses = [washer_thickness_mm(d) for d in sizes]
    assert thicknesses == sorted(thicknesses)


@pytest.mark.parametrize("d", [9.0, 11.0, 12.5, 22.0, 0.0, float("nan")])
def test_unlisted_sizes_are_refused(d: float) -> None:
    with pytest.raises(NoStandardSizeError):
        clearance_hole(d)
    with pytest.raises(NoStandardSizeError):
        washer_thickness_mm(d)
