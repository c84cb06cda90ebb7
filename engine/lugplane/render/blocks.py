"""The pieces of a page, before anybody knows whether it becomes text, Markdown or HTML."""

from __future__ import annotations

from lugplane.frozen import frozen


@frozen
class Heading:
    """A heading; level 1 is the page's title."""

    text: str
    level: int = 2


@frozen
class Para:
    """Sentences, each of which may begin a line; `lead` stands out before them."""

    sentences: tuple[str, ...]
    lead: str = ""


@frozen
class Item:
    """One entry of a list; a `stop` holds the work up until it is done."""

    text: str
    stop: bool = False


@frozen
class Items:
    """A list in its order."""

    items: tuple[Item, ...]


@frozen
class Cells:
    """A row of a table. With fewer cells than columns the last one spans what is left.

    `below` are sentences that belong to the row and run over its whole width.
    """

    cells: tuple[str, ...]
    below: tuple[str, ...] = ()


@frozen
class Group:
    """Rows under one title."""

    title: str
    rows: tuple[Cells, ...]


@frozen
class Table:
    """Groups of rows; an empty head names a column that needs no name.

    `most` are the widths that columns get at the most (0: as wide as they like). `quiet` tables
    may be set back.
    """

    heads: tuple[str, ...]
    groups: tuple[Group, ...]
    most: tuple[int, ...] = ()
    quiet: bool = False


Block = Heading | Para | Items | Table
