"""Words of the car answer: amounts, doubts, what settles them."""

from __future__ import annotations

from math import inf

import pytest

from lugplane.answers.car import CarCheck, Standing
from lugplane.answers.car_figures import Amount, CarFigure
from lugplane.answers.curves import Doubt
from lugplane.answers.rows import Settles, Span
from lugplane.render.car_words import (
    Notes,
    amount_words,
    beside_stock,
    check_name,
    fact_named,
    fact_words,
    facts_words,
    settling,
    span_words,
    standing_words,
)

UNSETTLED = Standing(
    "cannot tell",
    "cannot tell",
    Span(0.2, 0.4, 0.3),
    settles=(
        Settles("front:pad.friction_ratio", 0.05, 0.0234),
        Settles("platform.gross_kg", 40.0, None),
    ),
)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("span", "unit", "signed", "said"),
    [
        (Span(0.69, 0.7, 0.695), "share", False, "69.5 ±0.5 %"),
        (Span(17.04, 20.1, 18.6), "N·m", False, "17..20.1 N·m"),
        (Span(95.4, 126.1, 110.0), "K", False, "95..127 K"),
        (Span(1.0, 1.0, 1.0), "1", False, "1"),
        (Span(3.0, 3.4, 3.1), "points", True, "+3..+3.4 points"),
        (Span(-1.0, 3.0, 1.0), "points", True, "1 ±2 points"),
        (Span(-3.0, -2.0, -2.2), "points", True, "−3..−2 points"),
        (Span(0.8, inf, 1.2), "g", False, "0.8 or more g"),
        (Span(inf, inf, inf), "g", False, "never"),
    ],
)
def test_bounds_in_their_unit(span: Span, unit: str, signed: bool, said: str) -> None:
    assert plain(span_words(span, unit, signed=signed)) == said


def test_a_cell_says_what_it_cannot_tell_and_why() -> None:
    said = amount_words(Amount(doubt=Doubt(("stock-rear:disc.ring_mass_kg",))), "K")
    assert said == "cannot tell: stock rear: disc.ring_mass_kg"
    assert amount_words(Amount(doubt=Doubt(because="no lining is left")), "K") == (
        "cannot tell: no lining is left"
    )
    assert plain(amount_words(Amount(Span(0.9, 1.0, 0.95), "front"), "g")) == (
        "front, at 0.95 ±0.05 g"
    )


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (Span(0.01, 0.2, 0.1), "more than stock's"),
        (Span(-0.2, -0.01, -0.1), "less than stock's"),
        (Span(-0.01, 0.2, 0.1), "it may be more or less than stock's"),
        (Span(0.0, 0.0, 0.0), "as stock"),
        (None, "it cannot be set beside stock's"),
    ],
)
def test_how_a_figure_stands_to_stock(change: Span | None, said: str) -> None:
    nothing = Amount()
    figure = CarFigure("friction-descent", "front", "gross", "1", nothing, nothing, change, "share")
    assert beside_stock(figure) == said


def test_many_facts_are_counted() -> None:
    assert plain(facts_words(["a.b", "front:c.d", "rear:e.f", "g.h"])) == (
        "a.b, front: c.d and 2 more"
    )
    assert fact_words("stock-front:pad.friction_ratio") == "stock front: pad.friction_ratio"


def test_facts_of_narrow_cells_are_told_whole_below_the_table() -> None:
    notes = Notes()
    one, two = ("platform.valve_slope",), ("stock-rear:disc.ring_mass_kg", "platform.gross_kg")
    for facts, said in ((one, "note 1"), (two, "note 2"), (one, "note 1")):
        assert plain(amount_words(Amount(doubt=Doubt(facts)), "K", notes)) == f"cannot tell: {said}"
    told = [plain(x) for x in notes.told()]
    assert [x.partition(":")[0] for x in told] == ["Note 1, not known", "Note 2, not known"]
    assert "(platform.valve_slope)" in told[0]
    assert "(stock rear: disc.ring_mass_kg); " in told[1]
    assert "(platform.gross_kg)." in told[1]
    assert list(notes.told()) == [], "once a table"
    missing = Standing("cannot tell", "cannot tell", None, missing=two)
    assert plain(standing_words(missing, "points", notes)) == "cannot tell: note 2"
    assert [plain(x).partition(",")[0] for x in notes.told()] == ["Note 2"]
    because = Amount(doubt=Doubt(one, "no lining is left"))
    assert amount_words(because, "K", notes) == "cannot tell: no lining is left"
    assert list(notes.told()) == []


def test_a_fact_is_named_by_its_title_and_its_path() -> None:
    assert plain(fact_named("front:disc.ring_mass_kg")) == (
        "mass of the ring (front: disc.ring_mass_kg)"
    )
    assert fact_named("(the sheet)") == "(the sheet)"


def test_a_standing_says_its_state_first() -> None:
    assert plain(standing_words(Standing("care", "off", Span(0.1, 0.2, 0.15)), "share")) == (
        "care: 15 ±5 %"
    )
    missing = Standing("cannot tell", "cannot tell", None, missing=("platform.valve",))
    assert standing_words(missing, "points") == "cannot tell: platform.valve"
    assert standing_words(Standing("holds", "front", None, "ready to drive front"), "") == (
        "holds: ready to drive front"
    )
    assert standing_words(Standing("holds", "near-stock", None), "") == "holds: near stock"
    assert standing_words(None, "") == "cannot tell: the stock car is not known"


def test_what_settles_a_doubt() -> None:
    assert plain(settling(UNSETTLED)) == ("Measure front: pad.friction_ratio to ±0.02 (now ±0.05).")
    none_alone = Standing(
        "cannot tell", "cannot tell", Span(0, 1, 0.5), settles=UNSETTLED.settles[1:]
    )
    assert plain(settling(none_alone)) == (
        "None of these settles it alone: platform.gross_kg, now ±40 kg."
    )
    assert settling(Standing("holds", "x", Span(0, 1, 0.5), settles=UNSETTLED.settles)) == ""


def test_a_check_of_one_axle_says_so() -> None:
    args = ("slip-reserve", "friction grip", "rear", "1", "slip-reserve", "", (), None)
    assert check_name(CarCheck(*args, UNSETTLED)) == "rear: friction grip (slip-reserve)"
