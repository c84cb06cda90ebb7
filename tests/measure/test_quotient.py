"""A quotient of two forms over the facts that both hang on."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.quotient import greatest_quotient, least_quotient
from lugplane.quantity.form import Form, within


def test_what_both_share_is_counted_once() -> None:
    line = within("R_b", 99.0, 101.0)
    over, under = line + 21.0, line + within("a", 19.0, 21.0)
    assert greatest_quotient(over, under) == pytest.approx(120.0 / 118.0)  # by hand, at R_b 99
    assert least_quotient(over, under) == pytest.approx(1.0)  # a 21, wherever the line lies
    assert greatest_quotient(line, line) == 1.0


def test_a_form_over_what_may_be_nought_is_no_quotient() -> None:
    with pytest.raises(ValueError, match="nought"):
        greatest_quotient(Form(1.0), within("x", 0.0, 1.0))
    with pytest.raises(ValueError, match="nought"):
        least_quotient(within("x", -1.0, 1.0), Form(1.0))


SLOPES = st.lists(st.floats(-2.0, 2.0), min_size=3, max_size=3)


@settings(max_examples=60, deadline=None)
@given(SLOPES, SLOPES, st.lists(st.floats(0.0, 3.0), min_size=3, max_size=3))
def test_no_place_in_the_box_passes_the_bounds(
    top: list[float], bottom: list[float], wide: list[float]
) -> None:
    facts = [within(f"fact {n}", -w, w) for n, w in enumerate(wide)]
    over = Form(30.0) + sum((f * k for f, k in zip(facts, top, strict=True)), Form())
    under = Form(25.0) + sum((f * k for f, k in zip(facts, bottom, strict=True)), Form())
    found = [
        (30.0 + sum(k * x for k, x in zip(top, at, strict=True)))
        / (25.0 + sum(k * x for k, x in zip(bottom, at, strict=True)))
        for at in product(*((-w, -w / 3, w / 2, w) for w in wide))
    ]
    assert least_quotient(over, under) == pytest.approx(min(found), rel=1e-9)
    assert greatest_quotient(over, under) == pytest.approx(max(found), rel=1e-9)
