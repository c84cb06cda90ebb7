"""A page as Markdown (CommonMark with tables), to print or to paste."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from lugplane.answers.sheet import Sheet
from lugplane.render.blocks import Block, Cells, Heading, Items, Para, Table
from lugplane.render.content import sheet_blocks
from lugplane.render.layout import JOIN

_ALWAYS = re.compile(r"([\\`*{}\[\]<>|~$&])")
_ALONE = re.compile(r"(?<![^\W_])_|_(?![^\W_])")
_OPENING = re.compile(r"^(?:([#+=-])(?=\s|\1|$)|(\d+)(?=[.)](?:\s|$)))")


def sheet_markdown(sheet: Sheet) -> str:
    """A fit sheet as a Markdown document, without a line end after the last line."""
    return page_markdown(sheet_blocks(sheet))


def page_markdown(blocks: Iterable[Block]) -> str:
    """Blocks as a Markdown document."""
    return "\n\n".join(part for block in blocks for part in _parts(block))


def escaped(text: str) -> str:
    """A text that means nothing but itself within a line.

    An underscore within a word is left alone, since there it marks nothing.
    """
    text = _ALWAYS.sub(r"\\\1", text.replace(JOIN, " ").replace("\n", " ").strip())
    return _ALONE.sub(r"\\_", text)


def _opening(text: str) -> str:
    """The same at the beginning of a line, where it must not make a heading, a list or a rule."""
    return _OPENING.sub(lambda m: f"\\{m[1]}" if m[1] else f"{m[2]}\\", escaped(text))


def _parts(block: Block) -> Iterator[str]:
    if isinstance(block, Heading):
        yield f"{'#' * block.level} {_opening(block.text)}"
    elif isinstance(block, Para):
        lead = f"**{escaped(block.lead)}**" if block.lead else ""
        said = [escaped(s) for s in block.sentences]
        if said and not lead:
            said[0] = _opening(block.sentences[0])
        yield " ".join(x for x in (lead, *said) if x)
    elif isinstance(block, Items):
        yield "\n".join(
            f"- **{escaped(i.text)}**" if i.stop else f"- {_opening(i.text)}" for i in block.items
        )
    else:
        yield from _table(block)


def _table(table: Table) -> Iterator[str]:
    for group in table.groups:
        if group.title:
            yield f"### {_opening(group.title)}"
        used = max(len(row.cells) for row in group.rows)
        heads = table.heads[:used]
        lines = [_line(heads), _line("---" for _ in heads)]
        lines += [_line((*row.cells, *[""] * (used - len(row.cells)))) for row in group.rows]
        yield "\n".join(lines)
        below = [_below(row) for row in group.rows if row.below]
        if below:
            yield "\n".join(below)


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(escaped(c) if c != '---' else c for c in cells)} |"


def _below(row: Cells) -> str:
    """What belongs to a row but fits no column, as a list under the table."""
    name = row.cells[0].partition(":")[0]
    return f"- {_opening(name)}: {' '.join(escaped(x) for x in row.below)}"
