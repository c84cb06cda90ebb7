"""Lettering: widths, breaking, and what may be printed."""

from __future__ import annotations

import unicodedata
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.render.drawing.lettering import NO_BREAK, clean, fit, width, wrap


def test_width_grows_with_height_and_weight() -> None:
    assert width("MMMM", 5.0) == pytest.approx(2 * width("MMMM", 2.5))
    assert width("mount", 2.5, bold=True) > width("mount", 2.5)
    assert width("", 2.5) == 0.0
    # four capitals M of a wide face, 0.86 em each, at a capital height of 0.73 em
    assert width("MMMM", 2.5) >= 4 * 0.86 * 2.5 / 0.73


def test_breaks_between_words() -> None:
    room = width("caliper inside the", 2.5)
    assert wrap("caliper inside the wheel", room, 2.5) == ("caliper inside the", "wheel")


def test_keeps_what_belongs_together() -> None:
    value = f"4.4{NO_BREAK}±0.3{NO_BREAK}mm"
    assert wrap(f"bolt tip: {value}", width(value, 2.5) + 0.1, 2.5) == ("bolt tip:", value)
    # alone too long: the no-break space gives way before a word does
    assert wrap(value, width("4.4 ±0.3", 2.5) + 0.1, 2.5) == (f"4.4{NO_BREAK}±0.3", "mm")


def test_cut_says_so() -> None:
    room = width("caliper", 2.5)
    cut = fit("caliper inside", room, 2.5)
    assert cut.endswith("…")
    assert width(cut, 2.5) <= room
    assert fit("caliper", room, 2.5) == "caliper"
    lines = wrap("one two three four five", width("three", 2.5), 2.5, most=2)
    assert len(lines) == 2
    assert lines[-1].endswith("…")


@given(st.text(max_size=200))
def test_cleaned_text_is_fit_for_xml(text: str) -> None:
    said = clean(text)
    assert all(unicodedata.category(c)[0] != "C" or c == "\ufffd" for c in said)
    assert "\n" not in said
    root = ElementTree.fromstring(f"<t a={_quoted(said)}/>")
    assert root.attrib["a"] == said


def _quoted(text: str) -> str:
    from xml.sax.saxutils import quoteattr

    return quoteattr(text)


@given(st.text(max_size=300), st.floats(8.0, 80.0), st.integers(1, 6))
def test_lines_stay_within_their_room(text: str, room: float, most: int) -> None:
    lines = wrap(text, room, 2.5, most=most)
    assert len(lines) <= most
    for line in lines:
        assert width(line, 2.5) <= room + 1e-9
        assert line == line.strip()


@given(st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=80), st.floats(8, 80))
def test_nothing_is_lost_where_lines_suffice(text: str, room: float) -> None:
    assert "".join(wrap(text, room, 2.5)) == clean(text)
