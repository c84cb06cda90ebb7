"""A page as lines for a terminal, a telephone or a pipe."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from lugplane.render.blocks import Block, Cells, Group, Heading, Items, Para, Table
from lugplane.render.layout import NARROWEST, beside, columns, fit, wrap

if TYPE_CHECKING:
    from lugplane.answers.sheet import Sheet

_BOLD, _DIM, _PLAIN = "\x1b[1m", "\x1b[2m", "\x1b[0m"
_BESIDE = 72
"""From this width on the cells of a table stand side by side; below it, under one another."""
_LEAST_CELL = 10
_SHORT = 8
_INDENT = 2

Styled = tuple[str, str]


def sheet_text(sheet: Sheet, *, width: int = 80, colour: bool = False) -> str:
    """A fit sheet in lines of at most `width` columns, without a line end after the last.

    With `colour`, headings and verdicts are bold and evidence is dim; no meaning is lost without.
    """
    from lugplane.render.content import sheet_blocks  # the lists do without it

    return page_text(sheet_blocks(sheet), width=width, colour=colour)


def page_text(blocks: Iterable[Block], *, width: int = 80, colour: bool = False) -> str:
    """Blocks in lines of at most `width` columns (never fewer than 24)."""
    width = max(width, NARROWEST)
    lines: list[str] = []
    before: Block | None = None
    for block in blocks:
        made = list(_lines(block, width))
        if lines and made and _parted(before, block):
            lines.append("")
        lines += [
            f"{style}{text}{_PLAIN}" if colour and style and text else text for style, text in made
        ]
        before = block
    return "\n".join(lines)


def _parted(before: Block | None, block: Block) -> bool:
    """Whether an empty line goes between two blocks."""
    if isinstance(before, Heading):
        return before.level == 1
    return isinstance(block, Heading) or (isinstance(block, Para) and bool(block.lead))


def _lines(block: Block, width: int) -> Iterator[Styled]:
    if isinstance(block, Heading):
        for line in wrap(block.text, width):
            yield _BOLD, line
        yield "", "-" * min(max(columns(x) for x in wrap(block.text, width)), width)
    elif isinstance(block, Para):
        yield from _para(block, width)
    elif isinstance(block, Items):
        for item in block.items:
            first, rest = ("  | ", "  | ") if item.stop else ("  - ", "    ")
            for line in wrap(item.text, width, first, rest):
                yield _BOLD if item.stop else "", line
    else:
        yield from _table(block, width)


def _para(block: Para, width: int) -> Iterator[Styled]:
    if block.lead:
        for line in wrap(block.lead, width):
            yield _BOLD, line
    for said in block.sentences:
        for line in wrap(said, width, " " * _INDENT if block.lead else ""):
            yield "", line


def _table(table: Table, width: int) -> Iterator[Styled]:
    style = _DIM if table.quiet else ""
    if width < _BESIDE:
        yield from _stacked(table, width, style)
        return
    widths = _widths(table, width)
    if any(table.heads):
        for line in beside(("", *table.heads[1:]), widths):
            yield style, " " * _INDENT + line
    for group in table.groups:
        yield from _group_title(group, width, style)
        for row in group.rows:
            for line in _row(row, widths):
                yield style, " " * _INDENT + line
            for below in row.below:
                for line in wrap(below, width, " " * (_INDENT + 4)):
                    yield style, line


def _group_title(group: Group, width: int, style: str) -> Iterator[Styled]:
    if group.title:
        for line in wrap(group.title, width):
            yield style or _BOLD, line


def _row(row: Cells, widths: list[int]) -> list[str]:
    count = len(row.cells)
    if count < len(widths):
        spanned = sum(widths[count - 1 :]) + 2 * (len(widths) - count)
        widths = [*widths[: count - 1], spanned]
    return beside(row.cells, widths)


def _widths(table: Table, width: int) -> list[int]:
    count = len(table.heads)
    natural = [max(columns(h), 1) for h in table.heads]
    least = [_LEAST_CELL] * count
    for group in table.groups:
        for row in group.rows:
            full = len(row.cells) == count
            for n, cell in enumerate(row.cells if full else row.cells[:-1]):
                natural[n] = max(natural[n], columns(cell))
    if table.most:
        natural = [min(a, b or a) for a, b in zip(natural, table.most, strict=True)]
    least = [min(a, b) for a, b in zip(natural, least, strict=True)]
    room = width - _INDENT - 2 * (count - 1)
    return fit(natural, least, room)


def _stacked(table: Table, width: int, style: str) -> Iterator[Styled]:
    for group in table.groups:
        yield from _group_title(group, width, style)
        for row in group.rows:
            for line in _stacked_row(row, table.heads, width):
                yield style, line


def _stacked_row(row: Cells, heads: tuple[str, ...], width: int) -> Iterator[str]:
    """The first cell, under it the others by the names of their columns; a short one leads."""
    name, *others = row.cells
    if len(row.cells) == len(heads):
        named = zip(heads[1:], others, strict=True)
        others = [f"{head} {cell}".strip() for head, cell in named if cell]
    said = "; ".join(others)
    if columns(name) <= _SHORT:
        yield from wrap(f"{name}: {said}", width, "  ", "    ")
    else:
        yield from wrap(name, width, "  ", "    ")
        if said:
            yield from wrap(said, width, " " * 6)
    for below in row.below:
        yield from wrap(below, width, " " * 6)
