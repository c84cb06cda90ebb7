"""The fit sheet as Markdown: the same content, and no title can break out of its place."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from lugplane.answers.sheet import Judged, Sheet
from lugplane.render.blocks import Heading, Item, Items, Para
from lugplane.render.markdown import escaped, page_markdown, sheet_markdown
from lugplane.render.text import sheet_text


def cells(line: str) -> int:
    """Cells of a table's line: bars that no backslash shields, less one."""
    return len(re.findall(r"(?<!\\)(?:\\\\)*\|", line)) - 1


def unescaped(text: str) -> str:
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", text)


def test_golden(sheets: dict[str, Sheet], same_as_golden: Callable[[str, str], None]) -> None:
    same_as_golden("sheet-fits-with-work.md", sheet_markdown(sheets["fits-with-work"]))


def test_every_check_is_named(judged: Judged) -> None:
    text = sheet_markdown(judged.sheet)
    checks = text[text.index("## Checks") : text.index("## To buy")]
    for row in judged.sheet.rows:
        assert re.search(rf"(?<![\w-]){re.escape(row.check)}[:,]", checks), row.check


def test_it_says_what_the_text_says(judged: Judged) -> None:
    """Each word of the text occurs in the Markdown as often, marks and table heads aside."""
    count: dict[str, int] = {}
    for word in re.findall(r"[\w.±−]{4,}", unescaped(sheet_markdown(judged.sheet))):
        count[word] = count.get(word, 0) + 1
    for word in re.findall(r"[\w.±−]{4,}", sheet_text(judged.sheet, width=4000)):
        count[word] = count.get(word, 0) - 1
    assert {w: n for w, n in count.items() if n < 0} == {}


def check_tables(text: str) -> int:
    tables = 0
    for block in text.split("\n\n"):
        lines = block.split("\n")
        if lines[0].startswith("|"):
            tables += 1
            assert len({cells(x) for x in lines}) == 1, block
            assert re.fullmatch(r"\|( --- \|)+", lines[1])
        else:
            assert not any(x.startswith("|") for x in lines), block
    return tables


def test_tables_are_whole(judged: Judged) -> None:
    assert check_tables(sheet_markdown(judged.sheet)) > 5


def test_hostile_titles_stay_in_their_places(hostile: Sheet, sheets: dict[str, Sheet]) -> None:
    text = sheet_markdown(hostile)
    assert check_tables(text) > 5
    assert "\x1b" not in text
    shape = [x.split(" ")[0] for x in text.split("\n") if x.startswith("#")]
    same = sheet_markdown(sheets["fits-with-work"])
    # Records that all bear one name share their evidence's headings; no new kind appears.
    assert set(shape) == {x.split(" ")[0] for x in same.split("\n") if x.startswith("#")}
    assert shape.count("#") == 1
    assert not re.search(r"(?<!\\)[*`<>\[\]~]", re.sub(r"\*\*", "", text))


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("a | b", r"a \| b"),
        ("*a* `b` <c> [d](e) & $f$ ~g~", r"\*a\* \`b\` \<c\> \[d\](e) \& \$f\$ \~g\~"),
        ("disc.height_mm", "disc.height_mm"),
        ("_a_", r"\_a\_"),
        ("a\\|b", r"a\\\|b"),
        ("two\nlines", "two lines"),
        ("4.72", "4.72"),
    ],
)
def test_escaping(text: str, written: str) -> None:
    assert escaped(text) == written


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("# a", r"\# a"),
        ("- a", r"\- a"),
        ("+ a", r"\+ a"),
        ("---", r"\---"),
        ("===", r"\==="),
        ("1. a", r"1\. a"),
        ("12) a", r"12\) a"),
        ("1.5 mm", "1.5 mm"),
        ("-5", "-5"),
        ("#4 bolt", "#4 bolt"),
    ],
)
def test_nothing_at_a_lines_beginning_makes_a_block(text: str, written: str) -> None:
    assert page_markdown([Para((text,))]) == written
    assert page_markdown([Items((Item(text),))]) == f"- {written}"
    assert page_markdown([Heading(text, 1)]) == f"# {written}"


def test_stops_stand_out(sheets: dict[str, Sheet]) -> None:
    text = sheet_markdown(sheets["fits-with-work"])
    assert text.count("- **Stop") == len(sheets["fits-with-work"].hold)
