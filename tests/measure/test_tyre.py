"""Tyre sizes: what is read, what is refused, and the rolling radius."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.measure.tyre import parse_tyre, rolling_radius_mm, tyre_diameter_mm


@pytest.mark.parametrize(
    ("text", "expected", "commercial"),
    [
        ("205/55R16", 406.4 + 225.5, False),
        (" 205/55 R 16 91V ", 406.4 + 225.5, False),
        ("225/40ZR18 92Y XL", 457.2 + 180.0, False),
        ("215/65R16C", 406.4 + 279.5, True),
        ("215/65 R16 C 109/107T", 406.4 + 279.5, True),
        ("225/70R15CP", 381.0 + 315.0, True),
        ("225/75r17.5", 444.5 + 337.5, False),
        ("195/75R16C 107/105R 8PR", 406.4 + 292.5, True),
    ],
)
def test_read(text: str, expected: float, commercial: bool) -> None:
    assert tyre_diameter_mm(text) == pytest.approx(expected, abs=1e-9)
    assert parse_tyre(text).commercial is commercial


@pytest.mark.parametrize(
    "text",
    [
        "",
        "205/55",
        "205R16",
        "195R14C",
        "205/55R61",
        "206/55R16",
        "205/54R16",
        "205/15R16",
        "55/205R16",
        "31x10.50R15",
        "220/55R390",
        "205/55R16XL",
        "２０５/55R16",
        "205/55R16 225/50 R16",
        "205/55R16 front, 225/50ZR16 rear",
    ],
)
def test_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"tyre|aspect"):
        parse_tyre(text)


def test_a_size_without_aspect_ratio_says_so() -> None:
    with pytest.raises(ValueError, match="aspect ratio"):
        parse_tyre("195R14C 106/104R")


@given(
    st.integers(12, 35),
    st.integers(5, 16),
    st.integers(10, 22),
    st.sampled_from(["R", "ZR", " R "]),
)
def test_taller_wider_larger_is_larger(width: int, aspect: int, rim: int, how: str) -> None:
    def size(w: int, a: int, r: int) -> float:
        return tyre_diameter_mm(f"{10 * w + 5}/{5 * a}{how}{r}")

    here = size(width, aspect, rim)
    assert size(width + 1, aspect, rim) > here
    assert size(width, aspect + 1, rim) > here
    assert size(width, aspect, rim + 1) == pytest.approx(here + 25.4)


def test_rolling_radius() -> None:
    """Factor 3.05 (from memory): one turn of a 632 mm tyre is 1927.6 mm of road, and the radius
    lies below half the diameter."""
    radius = rolling_radius_mm(632.0, 3.05)
    assert 2.0 * pi * radius == pytest.approx(1927.6)
    assert radius < 316.0
    with pytest.raises(ValueError, match="diameter_mm"):
        rolling_radius_mm(0.0, 3.05)
    with pytest.raises(ValueError, match="circumference_factor"):
        rolling_radius_mm(632.0, 0.0)
