"""Bounds at two corners of a box."""

from __future__ import annotations

import pytest

from lugplane.measure.corners import Span, corner_bounds


def test_corner_bounds_by_hand() -> None:
    def quotient(a: float, b: float) -> float:
        return a / b

    assert corner_bounds(quotient, rises={"a": (1.0, 2.0)}, falls={"b": (4.0, 8.0)}) == (
        0.125,
        0.5,
    )


@pytest.mark.parametrize("span", [(2.0, 1.0), (float("nan"), 1.0), (1.0, float("nan"))])
def test_a_span_turned_round_is_refused(span: Span) -> None:
    with pytest.raises(ValueError, match="a must be a least and a greatest"):
        corner_bounds(lambda a: a, rises={"a": span}, falls={})
    with pytest.raises(ValueError, match="a must be a least and a greatest"):
        corner_bounds(lambda a: a, rises={}, falls={"a": span})
