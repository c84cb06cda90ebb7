"""How a problem quotes what it found: always on one line, never long, nothing invisible."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

LONGEST: Final = 60
"""A quotation is cut after this many characters."""

MOST: Final = 8
"""A list of what is allowed names at most this many entries and counts the rest."""

LIKE_ENOUGH: Final = 0.65
"""Least likeness (0..1) of a word to what was written for it to be offered as what was meant."""


def plain(text: str) -> str:
    """`text` on one line, whatever cannot be seen written out as `\\n`, `\\x00`, `\\u202e`."""
    if text.isprintable():
        return text
    return "".join(
        char if char.isprintable() else char.encode("unicode_escape").decode("ascii")
        for char in text
    )


def quoted(text: str) -> str:
    """`text` between backquotes, cut when long."""
    cut = text if len(text) <= LONGEST else text[:LONGEST] + "…"
    return f"`{plain(cut)}`"


def value(found: object) -> str:
    """A value that was read, in a few words: the text `x`, the number 5, a list of 3 ..."""
    match found:
        case None:
            return "nothing"
        case bool():
            return "true" if found else "false"
        case int() | float():
            return f"the number {found!r}"
        case str():
            return f"the text {quoted(found)}" if found else "an empty text"
        case dict():
            return "a mapping" if found else "an empty mapping"
        case list():
            return f"a list of {len(found)}" if found else "an empty list"
    return "something else"


def word(allowed: object) -> str:
    """A constant of a schema as it is to be written in YAML."""
    match allowed:
        case None:
            return "nothing"
        case bool():
            return "true" if allowed else "false"
    return plain(str(allowed))


def either(words: Sequence[str]) -> str:
    """`a`, `a or b`, `a, b or c`."""
    return ", ".join(words[:-1]) + (" or " if len(words) > 1 else "") + words[-1] if words else ""


def closest(written: str, choices: Iterable[str]) -> str | None:
    """The choice that `written` was probably meant to be; capitals, `_`, `-`, blanks overlooked."""
    ranked = ranking(written, choices)
    return ranked[0][1] if ranked and ranked[0][0] >= LIKE_ENOUGH else None


def listing(written: str, choices: Sequence[str], ranked: bool = True) -> str:
    """The choices, in their own order when few; else a count, and some of them.

    Those named are the nearest to `written`, or the first ones where not `ranked`.
    """
    if len(choices) <= MOST:
        return either([plain(choice) for choice in choices])
    best = [choice for _, choice in ranking(written, choices)] if ranked else choices
    named = [plain(choice) for choice in best[:MOST]]
    return f"{', '.join(named)} and {len(choices) - MOST} more"


def ranking(written: str, choices: Iterable[str]) -> list[tuple[float, str]]:
    """(likeness 0..1, choice), best first; equal ones in alphabetical order."""
    from difflib import SequenceMatcher

    def bare(text: str) -> str:
        return "".join(char for char in text.casefold() if char not in "_- ")

    matcher = SequenceMatcher(autojunk=False)
    matcher.set_seq2(bare(written[: 2 * LONGEST]))
    scored = []
    for choice in choices:
        matcher.set_seq1(bare(choice))
        scored.append((matcher.ratio(), choice))
    return sorted(scored, key=lambda pair: (-pair[0], pair[1]))
