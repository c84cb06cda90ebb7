"""Answers as data, kept in the user's cache to be told again while nothing has changed.

One file for each list of folders has the answers to any number of questions about them; all rest
on the same ground. What is told has still to be rendered: in another width, as CSV or JSON.

    ground = Ground.of(folders)                 # before anything is read
    text = None if ground is None else told(ground, question)
    if ground is not None and text is None:
        with ground.working():                  # any number of answers may be worked out
            text = ...
        tell(ground, {question: text})
"""

from __future__ import annotations

import zlib

from lugplane.facts.kept_texts import keep, kept

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping

    from lugplane.facts.ground import Ground

    Question = tuple[str, ...]

_SORT = "told"


def told(ground: Ground, question: Question) -> str | None:
    """The JSON text of an answer that was kept and holds on this ground."""
    text = kept(_SORT, ground, question)
    return None if text is None else zlib.decompress(text).decode("utf-8", "surrogatepass")


def tell(ground: Ground, answers: Mapping[Question, str]) -> bool:
    """Keep the JSON texts of some answers by their questions, all of them in one step.

    They were worked out within `ground.working()`. Answers that are kept already and hold stay.
    Whether they are kept: not where the ground has changed meanwhile, or nothing can be written.
    """
    packed = {q: zlib.compress(t.encode("utf-8", "surrogatepass")) for q, t in answers.items()}
    return keep(_SORT, ground, packed)
