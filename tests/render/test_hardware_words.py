"""Stack, bolt, torque, trim and what is bought, in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lugplane.answers.rows import Row, Span
from lugplane.answers.sheet import BoltLine, Buying, Sheet, StackLine
from lugplane.render.hardware import (
    bolt_words,
    buying_words,
    fill,
    stack_words,
    subject_words,
    torque_words,
    trim_words,
)
from lugplane.render.layout import JOIN


def said(text: str) -> str:
    return text.replace(JOIN, " ")


BARE = StackLine("bare", 0, 0.0, -0.2, 0.3)
TWO = StackLine("washers", 2, 5.0, 4.6, 5.4)
ONE = StackLine("washers", 1, 2.5, 2.1, 2.9)
RING = StackLine("ring", 1, 3.0, 2.9, 3.1)
TO_GAP = StackLine("ring", 1, None, 5.4, 6.0)
PLATE = StackLine("plate", 1, None, 12.9, 13.1)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ((), ""),
        ((BARE,), "bare"),
        ((TWO,), "2 washers of 2.5 mm (5 mm)"),
        ((ONE,), "1 washer of 2.5 mm"),
        ((RING,), "one machined ring 3 mm"),
        ((PLATE,), "an adapter plate that takes up 12.9..13.1 mm"),
        ((TO_GAP,), "one machined ring made to the measured gap (5.4..6 mm)"),
        (
            (TWO, TO_GAP),
            "2 washers of 2.5 mm (5 mm) if the spacing is 4.6..5.4 mm, "
            "a ring made to the measured gap otherwise",
        ),
        (
            (BARE, replace(ONE, from_mm=0.3, to_mm=0.3)),
            "bare if the spacing is −0.2..0.3 mm, 1 washer of 2.5 mm if the spacing is 0.3 mm",
        ),
    ],
)
def test_stack(options: tuple[StackLine, ...], words: str) -> None:
    assert said(stack_words(options)) == words


BOUGHT = BoltLine("iso-8676-m12x1.5", "M12x1.5", 45.0, "10.9", 4.9, 5.1, "ISO 8676")
OWN = BoltLine("", "M12x1.5", 40.0, "8.8", 2.2, 2.4)


@pytest.mark.parametrize(
    ("bolts", "words"),
    [
        ((), ""),
        ((BOUGHT,), "M12x1.5x45 10.9, ISO 8676"),
        ((OWN,), "the original M12x1.5x40 8.8 stays"),
        ((replace(OWN, length_mm=None),), "the original M12x1.5 8.8 stays"),
        ((replace(BOUGHT, standard=""),), "M12x1.5x45 10.9, iso-8676-m12x1.5"),
        ((replace(BOUGHT, thread="3/8-24 UNF"),), "3/8-24 UNF, 45 mm 10.9, ISO 8676"),
        (
            (OWN, BOUGHT),
            "the original M12x1.5x40 8.8 stays, if the stack is 2.2..2.4 mm; "
            "M12x1.5x45 10.9, ISO 8676, if the stack is 4.9..5.1 mm",
        ),
    ],
)
def test_bolt(bolts: tuple[BoltLine, ...], words: str) -> None:
    assert said(bolt_words(bolts)) == words


def test_torque_names_the_figure_to_set(sheets: dict[str, Sheet]) -> None:
    sheet = replace(sheets["bolts-on"], torque_origin="the car's own figure")
    even = replace(sheet, torque_nm=(72.25, 97.75, 85.0))
    assert said(torque_words(even)) == "85 N·m (a hand wrench gives 72..98), the car's own figure"
    uneven = replace(sheet, torque_nm=(72.25, 89.0, 85.0))
    assert said(torque_words(uneven)) == "85 N·m (a hand wrench gives 72..89), the car's own figure"
    assert torque_words(replace(sheet, torque_nm=None)) == ""


def trimmed(share: Span, **notes: float) -> Row:
    spans = {f"{k}_mm": Span(v, v, v) for k, v in notes.items()}
    return Row("trim", "trim", "brake", "work", "light", unit="share", value=share, notes=spans)


def test_trim_says_how_much_and_where() -> None:
    row = trimmed(Span(0.004, 0.021, 0.012), inner_depth_mid=0.65, inner_depth_end_1=1.49,
                  inner_depth_end_2=0.0, outer_depth_mid=0.0)  # fmt: skip
    assert said(trim_words(row)) == (
        "0.4..2.1 % of its area; inner edge about 0.7 mm in the middle, 0 mm by hole 1, "
        "1.5 mm by hole 2"
    )
    even = trimmed(Span(0.03, 0.05, 0.04), inner_depth_mid=2.0, inner_depth_end_1=2.4,
                   inner_depth_end_2=2.4, outer_depth_mid=0.1)  # fmt: skip
    assert said(trim_words(even)) == (
        "4 ±1 % of its area; inner edge about 2 mm in the middle, 2.4 mm at both ends; "
        "outer edge about 0.1 mm in the middle, 0 mm at both ends"
    )


def test_a_rules_places_are_filled(sheets: dict[str, Sheet]) -> None:
    sheet = sheets["fits-with-work"]
    assert said(fill("Space it: {t}.", sheet, {"t": "stack"})) == (
        f"Space it: {said(stack_words(sheet.stack))}."
    )
    assert fill("Bore {hub_bore}.", sheet, {}) != "Bore ."
    assert fill("{{so}} {x}.", sheet, {"x": "no_such_thing"}) == "{so} ."
    assert fill("As chosen: {x}.", sheet, {"x": "no_such_thing"}) == "As chosen."


def test_of_what_is_left_of_a_need_the_shortage_is_told(sheets: dict[str, Sheet]) -> None:
    sheet = sheets["fits-with-work"]
    row = sheet.row("shield-lip")
    assert row.value is not None
    assert row.value.hi < 0
    assert said(subject_words(sheet, "shield_lip")) == "7 ±0.15 mm"


@pytest.mark.parametrize(
    ("item", "words"),
    [
        (
            Buying("caliper", "caliper", "brindle-4", 2, "one left, one right"),
            "2 × caliper: Four-piston fixed caliper (brindle-4), one left, one right",
        ),
        (Buying("washers", "washers", "", 8, "", "stack"),
         "8 × washers: 2.5 mm each for M12, 300 HV under the class 10.9, 2 under each lug, "
         "measured and matched in sets"),
        (Buying("bolt", "caliper bolt", "", 4, "", "bolt"),
         "4 × caliper bolt: M12x1.5x45 10.9, ISO 8676"),
        (Buying("thing", "odd thing", "", 1, ""), "1 × odd thing"),
    ],
)  # fmt: skip
def test_buying(sheets: dict[str, Sheet], item: Buying, words: str) -> None:
    assert said(buying_words(sheets["fits-with-work"], item)) == words


def test_a_bolt_that_may_stay_is_not_bought(sheets: dict[str, Sheet]) -> None:
    sheet = replace(sheets["settle"], bolts=(OWN, BOUGHT))
    words = said(buying_words(sheet, Buying("bolt", "caliper bolt", "", 4, "", "bolt")))
    assert words == (
        "4 × caliper bolt: M12x1.5x45 10.9, ISO 8676, if the stack is 4.9..5.1 mm; "
        "none if it is 2.2..2.4 mm"
    )
