"""Values as jotted down, and printed back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.quantity.text import NotAQuantity, number, parse, span


@pytest.mark.parametrize(
    ("text", "nominal", "doubt", "reading"),
    [
        ("24.6 ±0.15 (bench)", 24.6, (0.15, 0.15), "bench"),
        ("24.6 +-0.15", 24.6, (0.15, 0.15), None),
        ("24.6+/-0.15(cat)", 24.6, (0.15, 0.15), "cat"),
        ("30 +0/-0.2", 30.0, (0.2, 0.0), None),
        ("-80", -80.0, None, None),
        ("18", 18.0, None, None),
        (18, 18.0, None, None),
        (0.5, 0.5, None, None),
        ("1e2", 100.0, None, None),
    ],
)
def test_reads(
    text: str | float, nominal: float, doubt: tuple[float, float] | None, reading: str | None
) -> None:
    got = parse(text)
    assert got.nominal == nominal
    assert got.reading == reading
    assert got.doubt == (pytest.approx(doubt) if doubt else None)


def test_a_range_is_its_middle_and_what_is_left_either_way() -> None:
    got = parse("24.4..24.8")
    assert got.nominal == pytest.approx(24.6)
    assert got.doubt == pytest.approx((0.2, 0.2))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "abc",
        "24,6",
        "24.6 ±",
        "24.8..24.4",
        "24.6 ±-0.1",
        "1 2",
        "24.6 (Bench)",
        "nan",
        "inf",
        "0x10",
        "24.6 ±0.1 ±0.2",
        "(bench)",
        "--3",
    ],
)
def test_refuses(text: str) -> None:
    with pytest.raises(NotAQuantity):
        parse(text)


def test_yes_and_no_are_not_numbers() -> None:
    with pytest.raises(NotAQuantity):
        parse(True)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (5.0, "5"),
        (5.1, "5.1"),
        (-2.0, "−2"),
        (-0.001, "0"),
        (0.0, "0"),
        (-0.0, "0"),
        (12.345, "12.35"),
    ],
)
def test_numbers_are_printed_plainly(value: float, said: str) -> None:
    assert number(value) == said


@pytest.mark.parametrize(
    ("bounds", "said"),
    [
        ((4.9, 5.1, 5.0), "5 ±0.1"),
        ((3.0, 3.0, 3.0), "3"),
        ((0.0, 0.2, 0.0), "0..0.2"),
        ((4.9, 5.3, 5.0), "4.9..5.3"),
    ],
)
def test_intervals_are_printed_plainly(bounds: tuple[float, float, float], said: str) -> None:
    assert span(*bounds) == said


@given(st.floats(-500, 500), st.floats(0, 9), st.floats(0, 9))
def test_what_is_printed_covers_what_was_meant(at: float, down: float, up: float) -> None:
    """Bounds are rounded outward: a printed interval never hides a part of the doubt."""
    said = span(at - down, at + up, at).replace("−", "-")
    got = parse(said)
    spread = got.doubt or (0.005, 0.005)
    assert got.nominal - spread[0] <= at - down + 5e-3
    assert got.nominal + spread[1] >= at + up - 5e-3
