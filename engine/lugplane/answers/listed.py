"""The records there are, by kind: where one begins who knows no id yet."""

from __future__ import annotations

from dataclasses import dataclass

from lugplane.errors import BadInput
from lugplane.facts.kinds import FOLDER_OF, KIND_OF
from lugplane.workshop import Workshop

VERSION = 1
KINDS = tuple(kind for kind in FOLDER_OF if kind != "moved")


@dataclass(frozen=True, slots=True)
class Item:
    """One record by its id and title."""

    kind: str
    id: str
    title: str


@dataclass(frozen=True, slots=True)
class Listed:
    """The answer: the records of one kind, or of all kinds, by kind and then by id."""

    version: int
    kinds: tuple[str, ...]
    items: tuple[Item, ...]


def kind_of(word: str) -> str:
    """The kind that a word names, in the singular or plural; empty: none."""
    kind = KIND_OF.get(word, word)
    return kind if kind in KINDS else ""


def listed(workshop: Workshop, kind: str = "") -> Listed:
    """The records of a kind; of every kind where none is named.

    Raises `BadInput` for a word that is no kind.
    """
    found = kind_of(kind)
    if kind and not found:
        raise BadInput(f"there is no kind '{kind}': {', '.join(KINDS)}")
    kinds = (found,) if found else KINDS
    base = workshop.base
    items = tuple(
        Item(k, id_, str(base.single(id_).data.get("title", "")))
        for k in kinds
        for id_ in sorted(base.ids(k))
    )
    return Listed(VERSION, kinds, items)
