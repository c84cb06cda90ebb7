"""Lines of a width: nothing wider, nothing lost, nothing parted that belongs together."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.render.layout import JOIN, beside, clean, columns, fit, wrap


@pytest.mark.parametrize(
    ("text", "wide"), [("abc", 3), ("Ø 300 ±0.1", 10), ("碟式", 4), ("e\u0301", 1), ("", 0)]
)
def test_columns_counts_what_a_terminal_shows(text: str, wide: int) -> None:
    assert columns(text) == wide


def test_clean_leaves_one_line_with_nothing_invisible() -> None:
    assert clean("  a\n\tb \x1b[31mc\u202ed ") == "a b \\x1b[31mc\\u202ed"


def test_wrap_indents_what_follows_the_first_line() -> None:
    assert wrap("one two three four", 10, "- ") == ["- one two", "  three", "  four"]


def test_wrap_keeps_joined_words_on_one_line() -> None:
    assert wrap(f"at least 12{JOIN}mm", 11) == ["at least", "12 mm"]


def test_wrap_parts_joined_words_that_no_line_can_hold() -> None:
    assert wrap(f"needs{JOIN}at{JOIN}least", 6) == ["needs", "at", "least"]


def test_wrap_breaks_a_long_word_after_a_sign() -> None:
    assert wrap("knuckle.ear.hole_1_radius_mm", 20) == ["knuckle.ear.hole_1_", "radius_mm"]


def test_wrap_of_nothing_is_one_empty_line() -> None:
    assert wrap("", 10) == [""]


@given(st.text(max_size=120).map(clean), st.integers(5, 60), st.sampled_from(["", "  - ", "  "]))
def test_wrap_stays_within_its_width_and_loses_nothing(text: str, width: int, first: str) -> None:
    lines = wrap(text, width, first)
    assert all(columns(line) <= max(width, len(first) + 2) for line in lines)
    joined = "".join("".join(lines).split())
    assert joined == "".join((first + text).split())


def test_fit_takes_from_the_widest() -> None:
    assert fit([30, 5, 10], [10, 5, 5], 30) == [15, 5, 10]
    assert fit([5, 5], [5, 5], 40) == [5, 5]


def test_fit_goes_below_the_least_only_where_it_must() -> None:
    assert sum(fit([30, 30], [20, 20], 10)) == 10


def test_beside_sets_cells_side_by_side() -> None:
    assert beside(("one two", "x"), (4, 3)) == ["one   x", "two"]
