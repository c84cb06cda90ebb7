"""Stretches of equal answers, found from slopes and by halving."""

from __future__ import annotations

from collections.abc import Sequence
from operator import eq

import pytest

from lugplane.answers.ask_ranges import Crossing, stretches

GRAIN = 0.001


def band(low: float, high: float, half: float, *, told: bool) -> object:
    """A quantity that is the reading ± `half`, held against two edges."""

    def at(v: float) -> tuple[str, Sequence[Crossing]]:
        edges = (low, high)
        bounds = [Crossing(v + s, 1.0, edges) for s in (-half, half)] if told else []
        if any(v - half <= e <= v + half for e in edges):
            return "cannot tell", bounds
        return ("holds" if low < v < high else "fails"), bounds

    return at


@pytest.mark.parametrize("told", [True, False])
def test_stretches_end_where_the_answers_change(told: bool) -> None:
    found = stretches(0.0, 10.0, band(3.0, 6.5, 0.25, told=told), GRAIN, 2.0, eq)  # type: ignore[arg-type]
    assert [s.label for s in found] == ["fails", "cannot tell", "holds", "cannot tell", "fails"]
    ends = [s.high for s in found]
    assert ends == pytest.approx([2.75, 3.25, 6.25, 6.75, 10.0], abs=0.006)
    assert [s.low for s in found] == [0.0, *ends[:-1]]


def test_a_narrow_stretch_is_found_by_its_slope_alone() -> None:
    narrow = stretches(0.0, 10.0, band(5.0, 20.0, 0.02, told=True), GRAIN, 5.0, eq)  # type: ignore[arg-type]
    assert [s.label for s in narrow] == ["fails", "cannot tell", "holds"]
    assert narrow[1].high - narrow[1].low == pytest.approx(0.04, abs=0.005)


def test_one_answer_is_one_stretch() -> None:
    (only,) = stretches(1.0, 2.0, lambda v: ("holds", ()), GRAIN, 0.5, eq)
    assert (only.low, only.high, only.label) == (1.0, 2.0, "holds")


def test_answers_that_are_alike_are_not_told_apart() -> None:
    def at(v: float) -> tuple[str, Sequence[Crossing]]:
        return ("fails by a" if v < 4 else "fails by b"), ()

    same = stretches(0.0, 8.0, at, GRAIN, 4.0, lambda a, b: a[:5] == b[:5])
    assert len(same) == 1
