"""Bands, edges, straddling, and what settles a doubt."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.quantity.form import Effect, Extent, Form, extent
from lugplane.quantity.judge import CANNOT_TELL, SEVERITY, Band, Limit, Settler, judge, unknown

OVERHANG = Limit(
    "overhang",
    "mm",
    "",
    "",
    (
        Band("far-over", "fails", -2.0, False),
        Band("over", "work", 0.0, False),
        Band("flush", "care", 0.5, False),
        Band("within", "holds", 2.0, True),
        Band("rim-unswept", "care", None, True),
    ),
)


def over(lo: float, hi: float) -> Extent:
    return extent(Form.of("pad.x", lo, hi) if lo < hi else Form(lo))


@pytest.mark.parametrize(
    ("value", "band"),
    [
        (-2.1, "far-over"),
        (-2.0, "over"),
        (-0.001, "over"),
        (0.0, "flush"),
        (0.5, "within"),
        (2.0, "within"),
        (2.001, "rim-unswept"),
    ],
)
def test_edges_belong_to_the_band_that_the_limit_says(value: float, band: str) -> None:
    assert judge(over(value, value), OVERHANG).band == band


def test_sums_of_decimals_do_not_miss_their_edge() -> None:
    assert judge(over(0.1 + 0.2 + 0.2, 0.1 + 0.2 + 0.2), OVERHANG).band == "within"
    assert judge(over(3 * 0.1 - 0.3, 3 * 0.1 - 0.3), OVERHANG).band == "flush"


def test_only_good_bands_take_the_worse() -> None:
    assert judge(over(0.2, 1.0), OVERHANG).state == "care"
    assert judge(over(-1.0, 1.0), OVERHANG).state == "work"


def test_touching_fails_is_cannot_tell_and_says_what_settles_it() -> None:
    got = judge(over(-2.4, -1.4), OVERHANG)
    assert got.state == CANNOT_TELL
    (settler,) = got.settlers
    assert settler == Settler("pad.x", pytest.approx(0.5), pytest.approx(0.1))
    assert got.margin == pytest.approx(-0.4)


def test_wholly_failing_fails() -> None:
    assert judge(over(-3.0, -2.5), OVERHANG).state == "fails"


def test_a_choice_of_ours_is_no_fact_to_measure() -> None:
    have = Extent(-2.1, -1.9, -2.0, {"(ring)": Effect(1.0, 0.05), "disc.x": Effect(2.0, 0.025)})
    assert [s.fact for s in judge(have, OVERHANG).settlers] == ["disc.x"]


def test_needs_are_in_the_units_of_the_fact() -> None:
    """At slope 2 a doubt of 0.05 settles what a doubt of 0.1 in the quantity would."""
    have = Extent(-2.3, -1.5, -1.9, {"disc.x": Effect(2.0, 0.2)})
    assert judge(have, OVERHANG).settlers[0].needs == pytest.approx(0.05)


def test_unknown_facts_are_settled_by_knowing_them() -> None:
    got = unknown("a", "b")
    assert got.state == CANNOT_TELL
    assert [s.fact for s in got.settlers] == ["a", "b"]


@given(st.floats(-4, 4), st.floats(0, 3), st.floats(0, 1))
def test_widening_never_betters(at: float, wide: float, more: float) -> None:
    """A wider interval is judged `cannot tell` or a worse good band, or as before."""
    narrow, broad = (
        judge(over(at, at + wide), OVERHANG),
        judge(over(at - more, at + wide + more), OVERHANG),
    )
    if broad.state == CANNOT_TELL:
        return
    assert narrow.state != CANNOT_TELL
    assert SEVERITY[broad.state] >= SEVERITY[narrow.state]


def test_a_doubt_that_is_measured_as_told_is_settled() -> None:
    have = over(-2.4, -1.4)
    needs = judge(have, OVERHANG).settlers[0].needs
    assert needs is not None
    assert judge(over(-1.9 - needs, -1.9 + needs), OVERHANG).state == "work"
