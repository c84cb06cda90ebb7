"""Bounds under a tie, held against scipy's linear programming and against worked figures."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from lugplane.measure.tied import highest, lowest
from lugplane.quantity.form import Form

X, Y = Form.of("x", 0.0, 10.0), Form.of("y", -1.0, 1.0)


def test_a_form_that_is_the_tie_itself() -> None:
    assert lowest(X, X, 3.0, 4.0) == 3.0
    assert highest(X, X, 3.0, 4.0) == 4.0
    assert highest(X - X, X, 3.0, 4.0) == 0.0


def test_what_the_tie_leaves_free_counts_in_full() -> None:
    """x + y is between 3 and 4, y between -1 and 1, so x between 2 and 5."""
    assert lowest(X, X + Y, 3.0, 4.0) == pytest.approx(2.0)
    assert highest(X, X + Y, 3.0, 4.0) == pytest.approx(5.0)
    assert lowest(Y, X, 3.0, 4.0) == -1.0


def test_where_the_tie_cannot_lie_there_is_nothing() -> None:
    assert lowest(X, X, 11.0, 12.0) == math.inf
    assert highest(X, X, 11.0, 12.0) == -math.inf
    assert lowest(X, X, -2.0, -1.0) == math.inf


SLOPES = st.lists(st.integers(-3, 3), min_size=4, max_size=4)


@settings(max_examples=300, deadline=None)
@given(SLOPES, SLOPES, st.lists(st.integers(0, 4), min_size=4, max_size=4), st.data())
def test_bounds_are_those_of_a_linear_programme(
    slopes: list[int], ties: list[int], widths: list[int], data: st.DataObject
) -> None:
    inputs = [Form.of(f"x{n}", -w / 2, w + n) for n, w in enumerate(widths)]
    form, tie = Form(1.0), Form(-2.0)
    for i, a, c in zip(inputs, slopes, ties, strict=True):
        form, tie = form + i * float(a), tie + i * float(c)
    low = data.draw(st.integers(-12, 12)) / 2
    high = low + data.draw(st.integers(0, 6)) / 2
    found = linprog(
        slopes,
        A_ub=[ties, [-c for c in ties]],
        b_ub=[high + 2.0, -low - 2.0],
        bounds=[(i.lo, i.hi) for i in inputs],
    )
    got = lowest(form, tie, low, high)
    if found.status == 2:
        assert got == math.inf
    else:
        assert got == pytest.approx(found.fun + 1.0, abs=1e-7)
