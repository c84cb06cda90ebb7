"""The records there are, as a page and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from lugplane.answers.listed import Listed
from lugplane.facts.kinds import FOLDER_OF
from lugplane.render.blocks import Block, Cells, Group, Heading, Para, Table
from lugplane.render.layout import clean
from lugplane.render.plain_json import dumped, plain
from lugplane.render.text import page_text


def listed_text(found: Listed, *, width: int = 80, colour: bool = False) -> str:
    """The list in lines of at most `width` columns."""
    return page_text(_page(found), width=width, colour=colour)


def listed_json(found: Listed) -> str:
    """The list as JSON (`schemas/answers/parts.json`)."""
    return dumped({"answer": "parts", **plain(found)})


def _page(found: Listed) -> Iterator[Block]:
    for kind in found.kinds:
        rows = [i for i in found.items if i.kind == kind]
        if not rows:
            continue
        lines = tuple(Cells((clean(i.id), clean(i.title))) for i in rows)
        yield Heading(FOLDER_OF[kind].capitalize())
        yield Table(("id", "title"), (Group("", lines),))
    if not found.items:
        yield Para(("There are none.",))
