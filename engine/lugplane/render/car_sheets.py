"""The sheets of both axles as one page, the car told once; and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from lugplane.answers.both import Sheets, told_once
from lugplane.render.blocks import Block, Para
from lugplane.render.content import sheet_blocks
from lugplane.render.markdown import page_markdown
from lugplane.render.plain_json import dumped, plain
from lugplane.render.text import page_text

_ONCE = "The car with both axles is judged on the front axle's sheet above."


def sheets_text(sheets: Sheets, *, width: int = 80, colour: bool = False) -> str:
    """Both sheets in lines of at most `width` columns."""
    return page_text(_blocks(sheets), width=width, colour=colour)


def sheets_markdown(sheets: Sheets) -> str:
    """Both sheets as one Markdown document."""
    return page_markdown(_blocks(sheets))


def sheets_json(sheets: Sheets) -> str:
    """Both sheets, each whole, as JSON (`schemas/answers/sheets.json`)."""
    inner = {a: {"answer": "sheet", **plain(getattr(sheets, a))} for a in ("front", "rear")}
    return dumped({"answer": "sheets", "version": sheets.version, **inner})


def _blocks(sheets: Sheets) -> Iterator[Block]:
    yield from sheet_blocks(sheets.front)
    heading, *rest = sheet_blocks(told_once(sheets))
    yield heading
    yield Para((_ONCE,))
    yield from rest
