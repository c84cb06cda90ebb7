"""The text of an answer kept in the user's cache, to be said again while nothing has changed.

One file for each list of folders holds the answers given about them. All of them rest on the same
ground; as soon as it is another one, none of the answers is believed.
"""

from __future__ import annotations

import os

from lugplane.facts.ground import Ground, worked_out
from lugplane.facts.kept_texts import keep, kept

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from typing import Final

    from lugplane.facts.folders import Folder

MOST: Final = 400
"""So many answers are kept of one list of folders; with more a new file is begun."""
_SORT: Final = "answers"


def said_again(folders: Sequence[Folder], question: Sequence[str], make: Callable[[], str]) -> str:
    """The text that `make` gives, or that it gave to this question when all was as it is now.

    `question` holds every word that the text depends on besides facts, rules and program. Raises
    what `make` raises, and then keeps nothing.
    """
    return said_on_ground(folders, question, lambda ground: worked_out(ground, make))


def said_on_ground(
    folders: Sequence[Folder], question: Sequence[str], make: Callable[[Ground | None], str]
) -> str:
    """As `said_again`, but `make` sees to it that there is a proof of the ground it is given."""
    asked = _asked(folders, question)
    ground = _taken(folders, asked)
    if ground is None:
        ground = Ground.of(folders)
        known = None if ground is None else _said(ground, asked)
        if known is not None:
            return known
    text = make(ground)
    if ground is not None:
        _keep(ground, asked, text)
    return text


def said_before(
    folders: Sequence[Folder],
    question: Sequence[str],
    told: Callable[[Ground], str | None] = lambda _: None,
) -> str | None:
    """The text of the answer that was given to this question when all was as it is now.

    Else what `told` makes of other things kept that hold on the ground it is given.
    """
    ground = Ground.of(folders)
    if ground is None:
        return None
    asked = _asked(folders, question)
    text = _said(ground, asked)
    if text is None:
        text = told(ground)
        if text is not None:
            _keep(ground, asked, text)
    _MISSED[:] = [(asked, ground)] if text is None else []
    return text


def _asked(folders: Sequence[Folder], question: Sequence[str]) -> tuple[str, ...]:
    """The question with the folders as they are spelled: a text may name them so."""
    return (*question, "", *map(os.path.normpath, folders))


def _keep(ground: Ground, question: tuple[str, ...], text: str) -> None:
    keep(_SORT, ground, {question: text.encode("utf-8", "surrogatepass")}, MOST)


def _said(ground: Ground, question: tuple[str, ...]) -> str | None:
    text = kept(_SORT, ground, question)
    return None if text is None else text.decode("utf-8", "surrogatepass")


_MISSED: Final[list[tuple[tuple[str, ...], Ground]]] = []
"""The last question of `said_before` that had no answer, and the ground as it was then."""


def _taken(folders: Sequence[Folder], question: tuple[str, ...]) -> Ground | None:
    """The ground as `said_before` saw it a moment ago for this question, told once."""
    missed = _MISSED[:]
    _MISSED.clear()
    for asked, ground in missed:
        if asked == question and ground.young() and ground.is_of(folders):
            return ground
    return None
