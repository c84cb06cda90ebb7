"""Quantities, limits, margins and measurements in words."""

from __future__ import annotations

import pytest

from lugplane.answers.evidence import FactLine, ReadingLine
from lugplane.answers.fit import WheelLook
from lugplane.answers.rows import BandLine, Row, Settles, Span
from lugplane.render.layout import JOIN
from lugplane.render.tables import look_words
from lugplane.render.words import (
    amount,
    bands_words,
    fact_words,
    have_words,
    least_doubt,
    need_words,
    place_words,
    rest_words,
    sentence,
    settler_words,
    spare_words,
)


@pytest.mark.parametrize(
    ("verdict", "limiting", "words"),
    [
        ("bolts on", "wheel-gap", "2.4 mm"),
        ("fits with work", "wheel-gap", "2.4 mm with care"),
        ("fits with work", "wheel-bore", "2.4 mm with work"),
        ("does not fit", "wheel-gap", "no: 2.4 mm"),
    ],
)
def test_a_scant_gap_is_care_and_no_work(verdict: str, limiting: str, words: str) -> None:
    look = WheelLook("round-15", "A wheel", verdict, limiting, "a check", Span(2.39, 4.7, 3.6))
    assert said(look_words(look)) == words


def said(text: str) -> str:
    return text.replace(JOIN, " ")


def bands(*ends: tuple[str, float | None, bool]) -> tuple[BandLine, ...]:
    return tuple(BandLine(state, state, to, closed) for state, to, closed in ends)


LEAST_2 = bands(("fails", 2, False), ("holds", None, False))
CENTRING = bands(("holds", 0.5, True), ("care", 1.0, True), ("fails", None, False))
OVERHANG = bands(
    ("fails", -2, False), ("work", 0, False), ("care", 0.5, False), ("holds", 2, True),
    ("care", None, False),
)  # fmt: skip
BORE = bands(
    ("fails", 0, False), ("holds", 0.1, True), ("care", 0.3, True), ("fails", 2, True),
    ("work", None, False),
)  # fmt: skip
TRIM = bands(("holds", 0, True), ("work", 0.05, True), ("work", 0.15, True), ("fails", None, False))
LIP = bands(("work", 0, False), ("holds", None, False))


@pytest.mark.parametrize(
    ("lo", "hi", "at", "unit", "words"),
    [
        (4.9, 5.1, 5.0, "mm", "5 ±0.1 mm"),
        (4.7, 5.1, 5.0, "mm", "4.7..5.1 mm"),
        (5.0, 5.0, 5.0, "mm", "5 mm"),
        (0.653, 0.653, 0.653, "mm", "0.65 mm"),
        (0.006, 0.019, 0.012, "share", "0.6..1.9 %"),
        (-1.0, -1.0, -1.0, "mm", "−1 mm"),
        (0.4, 0.5, 0.45, "d", "0.45 ±0.05 d"),
        (5, 5, 5, "1", "5"),
        (8261.2, 8838.3, 8549.75, "n", "8549.75 ±288.55 N"),
    ],
)
def test_a_quantity_carries_its_doubt_and_unit(
    lo: float, hi: float, at: float, unit: str, words: str
) -> None:
    assert said(amount(Span(lo, hi, at), unit)) == words


def test_bounds_are_rounded_outward() -> None:
    assert said(amount(Span(4.7251, 5.2749, 5.0), "mm")) == "5 ±0.28 mm"


@pytest.mark.parametrize(
    ("limit", "unit", "words"),
    [
        (LEAST_2, "mm", "at least 2 mm"),
        (CENTRING, "mm", "at most 0.5 mm (care to 1)"),
        (OVERHANG, "mm", "0.5 to 2 mm (work from −2, care from 0, care above)"),
        (BORE, "mm", "0 to 0.1 mm (care to 0.3, work above 2)"),
        (TRIM, "share", "0 % (work to 15)"),
        (LIP, "mm", "at least 0 mm (work below)"),
        (bands(("holds", 0, True), ("fails", None, False)), "1", "0"),
        (bands(("holds", 0, True), ("fails", None, False)), "mm", "at most 0 mm"),
        (bands(("fails", 1, True), ("holds", None, False)), "mm", "over 1 mm"),
        (bands(("holds", None, False)), "mm", "any"),
        (bands(("fails", 0, False), ("work", 40, True), ("fails", None, False)), "mm",
         "0 to 40 mm (work)"),
        (
            bands(("care", 1, False), ("fails", 2, False), ("holds", 3, False),
                  ("fails", 4, True), ("work", 5, True), ("fails", None, False)),
            "mm", "2 to 3 mm (care below 1, work 4 to 5)",
        ),
    ],
)  # fmt: skip
def test_a_limit_in_words(limit: tuple[BandLine, ...], unit: str, words: str) -> None:
    assert said(bands_words(limit, unit)) == words


def test_a_limit_whose_edges_are_fine_keeps_their_decimals() -> None:
    fine = bands(("holds", 0.015, True), ("care", 0.03, True), ("fails", None, False))
    row = Row("x", "x", "brake", "holds", "even", unit="mm", value=Span(0.01, 0.012, 0.011),
              bands=fine)  # fmt: skip
    assert said(need_words(row)) == "at most 0.015 mm (care to 0.03)"
    assert said(have_words(row)) == "0.011 ±0.001 mm"


def margin_row(value: Span, have: Span, need: Span, limit: tuple[BandLine, ...]) -> Row:
    return Row("x", "x", "brake", "holds", "b", unit="mm", value=value, have=have, need=need,
               bands=limit)  # fmt: skip


ENOUGH = bands(("fails", 0, False), ("holds", None, False))
BY_ADAPTER = bands(("holds", 0, True), ("work", None, False))
MEETS = bands(("holds", 0, True), ("fails", None, False))


@pytest.mark.parametrize(
    ("value", "have", "need", "limit", "words"),
    [
        (Span(1.9, 2.1, 2), Span(25.9, 26.1, 26), Span(24, 24, 24), ENOUGH, "at least 24 mm"),
        (Span(1.1, 1.5, 1.3), Span(11, 11.4, 11.2), Span(12.3, 12.7, 12.5), ENOUGH,
         "at most 12.5 ±0.2 mm"),
        (Span(-0.6, -0.2, -0.5), Span(0, 0.2, 0), Span(0.4, 0.6, 0.5), MEETS,
         "at most 0.5 ±0.1 mm"),
        (Span(-7.2, -6.8, -7), Span(145, 145, 145), Span(151.8, 152.2, 152), LIP,
         "at least 152 ±0.2 mm (else work)"),
        (Span(11.3, 11.7, 11.5), Span(11.8, 12.2, 12), Span(0.4, 0.6, 0.5), BY_ADAPTER,
         "at most 0.5 ±0.1 mm (else work)"),
        # Nothing tells which way an equality lies: no word is better than a wrong one.
        (Span(-0.1, 0.1, 0), Span(24, 24, 24), Span(23.9, 24.1, 24), ENOUGH, "24 ±0.1 mm"),
    ],
)  # fmt: skip
def test_a_reckoned_need_says_which_way_it_lies(
    value: Span, have: Span, need: Span, limit: tuple[BandLine, ...], words: str
) -> None:
    row = margin_row(value, have, need, limit)
    assert said(need_words(row)) == words
    assert "mm" not in need_words(row, unit=False)


def test_without_a_limit_nothing_is_needed() -> None:
    assert need_words(Row("x", "x", "brake", "holds", "b", value=Span(1, 1, 1))) == ""


@pytest.mark.parametrize(("margin", "words"), [(0.429, "0.42"), (-0.301, "−0.31"), (2.0, "2")])
def test_what_is_to_spare_is_rounded_down(margin: float, words: str) -> None:
    row = Row("x", "x", "brake", "holds", "b", unit="mm", value=Span(1, 1, 1), margin=margin)
    assert spare_words(row) == words


@pytest.mark.parametrize(
    ("needs", "written"), [(0.139, 0.13), (0.0789, 0.07), (0.0049, 0.004), (0.0004, 0.0), (0, 0)]
)
def test_the_doubt_to_reach_is_never_rounded_up(needs: float, written: float) -> None:
    assert least_doubt(needs) == pytest.approx(written)


READING = ReadingLine(24.3, 24.9, 24.6, "catalogue", "cat", "cat-07", "sheet 12", "", True)
KNOWN = FactLine("disc.height_mm", "d", "kb/discs/d.yaml:4:5", unit="mm", readings=(READING,))


@pytest.mark.parametrize(
    ("settler", "line", "words"),
    [
        (Settles("disc.height_mm", 0.5, 0.109), KNOWN,
         "overall height from the inboard friction face (disc.height_mm) to ±0.1 mm (now ±0.5 mm)"),
        (Settles("disc.height_mm", 0.5, None), KNOWN,
         "overall height from the inboard friction face (disc.height_mm), now ±0.5 mm"),
        (Settles("disc.height_mm", None, None), None,
         "overall height from the inboard friction face (disc.height_mm): not known"),
        (Settles("disc.height_mm", None, None), FactLine("disc.height_mm", "", ""),
         "overall height from the inboard friction face (disc.height_mm): not known"),
        (Settles("disc.height_mm", None, None), KNOWN,
         "overall height from the inboard friction face (disc.height_mm), "
         "now 24.6 ±0.3 mm (± assumed)"),
    ],
)  # fmt: skip
def test_what_settles_a_doubt(settler: Settles, line: FactLine | None, words: str) -> None:
    assert said(settler_words(settler, line)) == words


def test_a_fact_says_that_its_doubt_is_assumed() -> None:
    assert said(fact_words(KNOWN)) == "24.6 ±0.3 mm (± assumed)"
    assert rest_words(READING) == "catalogue, cat-07, sheet 12"


def test_a_fact_keeps_every_digit_that_was_written() -> None:
    fine = ReadingLine(0.0225, 0.0275, 0.025, "measured", "b", "s", "", "", False)
    line = FactLine("disc.runout_mm", "d", "x", unit="mm", readings=(fine,))
    assert said(fact_words(line)) == "0.025 ±0.0025 mm"


@pytest.mark.parametrize(
    ("path", "text", "words"),
    [
        ("knuckle.shield.fitted", "true", "yes"),
        ("knuckle.mount", "axial", "axial"),
        ("pad.lining.sector.angle_deg", "57", "57°"),
        ("caliper.pistons.bores_mm", "36, 41", "36, 41 mm"),
        ("knuckle.mount", "", "not known"),
    ],
)
def test_a_fact_of_words_and_counts(path: str, text: str, words: str) -> None:
    assert said(fact_words(FactLine(path, "r", "x", text))) == words


@pytest.mark.parametrize(
    ("at", "words"),
    [
        ("/home/x/kb/discs/d.yaml:12:5", "kb/discs/d.yaml:12"),
        ("C:\\x\\kb\\discs\\d.yaml:12:5", "kb/discs/d.yaml:12"),
        ("set on the command line", "set on the command line"),
        ("", ""),
    ],
)
def test_a_place_leaves_the_folders_above_out(at: str, words: str) -> None:
    assert place_words(at) == words


@pytest.mark.parametrize(
    ("text", "words"), [("abc", "Abc."), ("Abc.", "Abc."), ("really?", "Really?"), ("  ", "")]
)
def test_a_sentence_begins_and_ends(text: str, words: str) -> None:
    assert sentence(text) == words
