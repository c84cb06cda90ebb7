"""The list of what fits where it is known as data: it has only to be put into words.

Neither a command nor anything that works answers out is imported for it.
"""

from __future__ import annotations

import os

from lugplane.cli.terminal import terminal

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from lugplane.answers.fits_list import Fits
    from lugplane.facts.ground import Ground
    from lugplane.facts.told import Question

_FOLDERS = ("--kb", "--only-kb")
_FORMS = ("--csv", "--json")


def told_text(words: Sequence[str], ground: Ground) -> str | None:
    """What the command of these words would print, if that list was told on this ground."""
    asked = _asked(words)
    if asked is None:
        return None
    from lugplane.facts.told import told

    question, form = asked
    text = told(ground, question)
    if text is None:
        return None
    from lugplane.answers.fit_plain import fits_from_text

    return in_words(fits_from_text(text), form == "--csv", form == "--json")


def question_of(platform: str, axle: str) -> Question | None:
    """What a list of the default form is told under: narrowed to nothing, no wheel named.

    None where it is not to be told: whoever names a matcher wants it asked.
    """
    return None if os.environ.get("LUGPLANE_MATCHER") else ("fits", platform, axle)


def in_words(found: Fits, as_csv: bool, as_json: bool, whole: bool = False) -> str:
    """A list as a page of the terminal's width, CSV or JSON; `whole`: every row, however many."""
    from lugplane.render.tables_fits import fits_csv, fits_json, fits_text

    if as_csv:
        return fits_csv(found)
    if as_json:
        return fits_json(found)
    width, colour = terminal()
    return fits_text(found, width=width, colour=colour, whole=whole)


def _asked(words: Sequence[str]) -> tuple[Question, str] | None:
    """The question of a command's words and the form that they ask for.

    None for words that are not as plain as that: the command reads them.
    """
    plain: list[str] = []
    forms: list[str] = []
    rest = iter(words[1:])
    for word in rest:
        option, equals, _ = word.partition("=")
        if word in _FORMS:
            forms.append(word)
        elif option in _FOLDERS:
            if not equals and next(rest, "-").startswith("-"):
                return None
        elif word.startswith("-"):
            return None
        else:
            plain.append(word)
    if words[0] != "fits" or len(plain) not in (1, 2) or len(forms) > 1:
        return None
    question = question_of(plain[0], plain[1] if len(plain) > 1 else "front")
    return None if question is None else (question, "".join(forms))
