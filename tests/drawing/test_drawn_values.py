"""Rows of a sheet in the few words of a drawing's callouts."""

from __future__ import annotations

from dataclasses import replace

from lugplane.answers.rows import BandLine, Row, Span
from lugplane.render.drawing.lettering import NO_BREAK
from lugplane.render.drawing.values import told

BANDS = (BandLine("fails", "fails", 0.0, False), BandLine("holds", "holds", None, False))
SHORT = Row(
    "abutment",
    "worn pad kept by its abutment",
    "brake",
    "fails",
    "fails",
    unit="mm",
    value=Span(-1.93, -1.3, -1.5),
    have=Span(0.77, 1.5, 1.25),
    need=Span(2.7, 2.8, 2.75),
    bands=BANDS,
)


def said(row: Row) -> str:
    return told(row, lambda fact: True).replace(NO_BREAK, " ")


def test_what_is_left_of_a_need_is_shown_as_what_there_is_and_what_it_needs() -> None:
    """The sheet says 0.77..1.5 mm of this row: the drawing must not say −1.5 mm of the same."""
    words = said(SHORT)
    assert words.startswith("worn pad kept by its abutment: 1.2 (0.7..1.5) mm, needs at least 2.75")
    assert words.endswith("(fails)")
    assert "−1.5" not in words
    assert "−1.5" in said(replace(SHORT, have=None, need=None))


def test_a_replaced_bolt_is_not_charged_with_the_faults_of_the_original() -> None:
    row = Row("bolt", "bolt", "brake", "work", "replaced", because="it bottoms in the blind hole")
    assert said(row) == "bolt: replaced; the original: it bottoms in the blind hole (work)"
    none = replace(row, state="fails", band="none")
    assert said(none) == "bolt: it bottoms in the blind hole (fails)"
