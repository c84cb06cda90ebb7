"""Lettering: what may be printed, how wide it runs, and where a line is broken.

Widths are those of a wide sans-serif face, in em, rounded up, so that whichever sans-serif the
reader's machine has the text stays within what was reckoned. Lettering height is the height of a
capital (ISO 3098-1); a font is that much larger.
"""

from __future__ import annotations

import unicodedata

CAPITAL_EM = 0.714
"""Capital height of the common sans-serif faces as a share of the font size (the smallest)."""
SPACING = 1.75
"""From one line of lettering to the next, in capital heights (ISO 3098-1 asks for 1.3 or more)."""
BOLD = 1.15
ELLIPSIS = "…"
_MOST_LETTERS = 4000
NO_BREAK = "\u00a0"

_WIDTHS = {
    0.30: "IJijl",
    0.35: " \u00a0,./:;\\|·",
    0.40: "()-[]ft",
    0.45: "!r²³¹",
    0.50: '"*_`°–',
    0.55: "?csz",
    0.60: "FLkvxy",
    0.65: "$0123456789EPSTYabdeghnopqu{}σµ",
    0.70: "ABCKRVXZ",
    0.75: "NU",
    0.85: "&DGHOQ#+<=>^w~±−×",
    0.90: "M",
}
_EM = {letter: em for em, letters in _WIDTHS.items() for letter in letters}


def clean(text: str) -> str:
    """`text` on one line, without what XML 1.0 forbids or what would turn the writing round.

    Control, format, surrogate and private characters become a visible mark; every kind of white
    space becomes a space, but for the no-break space, which stays one.
    """
    kept = []
    for letter in text:
        if letter == NO_BREAK:
            kept.append(letter)
        elif letter.isspace():
            kept.append(" ")
        elif unicodedata.category(letter)[0] == "C" or letter in "\ufffe\uffff":
            kept.append("\ufffd")
        else:
            kept.append(letter)
    return " ".join(word for word in "".join(kept).split(" ") if word)


def width(text: str, height: float, bold: bool = False) -> float:
    """Length of a line of lettering of capital height `height`, in the same unit."""
    em = sum(_EM.get(letter, 1.1) for letter in text)
    return em * height / CAPITAL_EM * (BOLD if bold else 1.0)


def fit(text: str, room: float, height: float, bold: bool = False) -> str:
    """`text` as it is, or cut short with an ellipsis where it would not fit into `room`."""
    if width(text, height, bold) <= room:
        return text
    mark = width(ELLIPSIS, height, bold)
    end = _reach(text, room - mark, height, bold)
    return text[:end].rstrip() + ELLIPSIS if mark <= room else ""


def wrap(
    text: str, room: float, height: float, bold: bool = False, most: int = 100
) -> tuple[str, ...]:
    """`text` cleaned and broken into lines no longer than `room`; at most `most` lines.

    Breaks between words; at a no-break space, or within a word, only where it alone is too long.
    What is left over after the last line is cut with an ellipsis.
    """
    lines: list[str] = []
    # Whatever may be said, no drawing has room for more than some thousand letters of it.
    rest = clean(text[:_MOST_LETTERS])
    while rest and len(lines) < most - 1 and width(rest, height, bold) > room:
        end = _break(rest, room, height, bold)
        lines.append(rest[:end].strip())
        rest = rest[end:].strip()
    if rest:
        lines.append(fit(rest.strip(), room, height, bold))
    return tuple(line for line in lines if line)


def _break(text: str, room: float, height: float, bold: bool) -> int:
    """How many letters of `text` go on a line."""
    end = max(_reach(text, room, height, bold), 1)
    for space in (" ", NO_BREAK):
        at = text.rfind(space, 0, end + 1)
        if at > 0:
            return at
    return end


def _reach(text: str, room: float, height: float, bold: bool) -> int:
    """How many of the first letters of `text` fit into `room`."""
    used = 0.0
    for n, letter in enumerate(text):
        used += width(letter, height, bold)
        if used > room:
            return n
    return len(text)
