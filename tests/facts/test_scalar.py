"""Plain scalars: YAML 1.2's core schema, none of YAML 1.1's surprises."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.facts.scalar import LARGEST_INT, Refused, resolve


@pytest.mark.parametrize("text", ["", "~", "null", "Null", "NULL"])
def test_nothing(text: str) -> None:
    assert resolve(text) is None


@pytest.mark.parametrize(
    ("text", "value"),
    [("true", True), ("True", True), ("TRUE", True), ("false", False), ("FALSE", False)],
)
def test_truth(text: str, value: bool) -> None:
    assert resolve(text) is value


@pytest.mark.parametrize(
    "text",
    [
        *("yes", "no", "on", "off", "Y", "n", "tRUE", "1:30", "190:20:30.5", "2026-03-14", "1_000"),
        *("0b11", "12,5", "+", "-", ".", "..", "1.2.3", "1e", "e3", "inf", "nan", "- 5", "0o8"),
        *("24.6 ±0.15", "24.4..24.8", "M12x1.5", "=", "+0x1F", "٣", "1e3.5", "--1", "nULL", "0xg"),
    ],
)
def test_text(text: str) -> None:
    assert resolve(text) == text


@pytest.mark.parametrize(
    ("text", "value"),
    [("0", 0), ("-0", 0), ("+17", 17), ("-8", -8), (str(LARGEST_INT), LARGEST_INT)],
)
def test_whole_numbers(text: str, value: int) -> None:
    found = resolve(text)
    assert isinstance(found, int)
    assert found == value


@pytest.mark.parametrize(
    ("text", "value"),
    [("1e3", 1000.0), ("1.", 1.0), (".5", 0.5), ("-1.5E-2", -0.015), ("+0.1", 0.1), ("0e0", 0.0)],
)
def test_decimal_numbers(text: str, value: float) -> None:
    found = resolve(text)
    assert isinstance(found, float)
    assert found == value


@pytest.mark.parametrize(
    "text", ["010", "-010", "00", "08", "007.5", "0x1F", "0o17", str(LARGEST_INT + 1), "9" * 5000]
)
def test_spellings_that_readers_disagree_about(text: str) -> None:
    found = resolve(text)
    assert isinstance(found, Refused)
    assert found.code == "odd-number"


@pytest.mark.parametrize("text", [".inf", "-.INF", "+.Inf", ".nan", ".NAN", "1e999", "-1e400"])
def test_not_finite(text: str) -> None:
    found = resolve(text)
    assert isinstance(found, Refused)
    assert found.code == "not-finite"


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_every_float_as_python_writes_it(number: float) -> None:
    found = resolve(repr(number))
    assert found == number
    assert isinstance(found, float)


@given(st.integers(min_value=-LARGEST_INT, max_value=LARGEST_INT))
def test_every_whole_number(number: int) -> None:
    assert resolve(str(number)) == number


@given(st.text(alphabet="0123456789+-.eExob_:aNfi ", max_size=12))
def test_a_number_is_what_python_takes_for_it_or_it_is_text(text: str) -> None:
    found = resolve(text)
    if isinstance(found, int | float):
        assert math.isfinite(found)
        assert float(text) == found
