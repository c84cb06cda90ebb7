"""Lines of text for a given width: counted in columns of a terminal, not in characters."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from lugplane.facts.show import plain

JOIN = "\u00a0"
"""Stands between words that a line end must not part; printed as a plain space."""

NARROWEST = 24
"""Fewer columns than this are not written for."""
_FIRST_MARK = "\u0300"
"""Combining marks begin here (The Unicode Standard, 7.9), wide letters later; all before is one
column wide."""


def clean(text: str) -> str:
    """A user's text on one line, what cannot be seen written out, so that it stays in its place."""
    return plain(" ".join(text.split()))


def columns(text: str) -> int:
    """How many columns a text takes: wide letters two, combining marks none."""
    if text.isascii() or max(text) < _FIRST_MARK:
        return len(text)
    return sum(1 if c < _FIRST_MARK else _columns(c) for c in text)


def _columns(char: str) -> int:
    if unicodedata.combining(char):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def wrap(text: str, width: int, first: str = "", rest: str | None = None) -> list[str]:
    """A paragraph in lines of at most `width` columns.

    `first` begins the first line and `rest` (spaces of the same length if None) the others. A word
    that does not fit is broken: at its joins, then after a sign within it, then anywhere.
    """
    rest = " " * columns(first) if rest is None else rest
    lines: list[str] = []
    line, empty = first, True
    taken, left = columns(first), columns(rest)
    for word in _words(text, max(width - max(taken, left), 1)):
        glue, more = "" if empty else " ", columns(word)
        if not empty and taken + 1 + more > width:
            lines.append(line)
            line, taken, glue = rest, left, ""
        line, empty = line + glue + word, False
        taken += len(glue) + more
    lines.append(line)
    return [x.replace(JOIN, " ").rstrip() for x in lines]


def _words(text: str, room: int) -> list[str]:
    found: list[str] = []
    for word in text.split(" "):
        if not word:
            continue
        if columns(word) <= room:
            found.append(word)
            continue
        for part in word.split(JOIN):
            found += _broken(part, room)
    return found


def _broken(word: str, room: int) -> list[str]:
    pieces: list[str] = []
    while columns(word) > room:
        end, taken = 0, 0
        while end < len(word) and taken + _columns(word[end]) <= room:
            taken += _columns(word[end])
            end += 1
        end = max(end, 1)
        signs = [n + 1 for n, c in enumerate(word[:end]) if c in "/._-:," and n + 1 > end // 2]
        cut = signs[-1] if signs else end
        pieces.append(word[:cut])
        word = word[cut:]
    return [*pieces, word] if word else pieces


def fit(natural: Sequence[int], least: Sequence[int], room: int) -> list[int]:
    """Widths of columns within `room`: what each needs, the widest giving way first.

    None goes below its `least` unless even those do not fit.
    """
    widths = list(natural)
    while sum(widths) > room:
        over = [n for n in range(len(widths)) if widths[n] > least[n]]
        if not over:
            over = [n for n in range(len(widths)) if widths[n] > 1]
            if not over:
                break
        widest = max(over, key=lambda n: widths[n] - least[n])
        widths[widest] -= 1
    return widths


def beside(cells: Sequence[str], widths: Sequence[int], gap: int = 2) -> list[str]:
    """Cells side by side, each wrapped to its width; trailing blanks are left out."""
    wrapped = [wrap(c, w) for c, w in zip(cells, widths, strict=True)]
    lines: list[str] = []
    for n in range(max(len(w) for w in wrapped)):
        line = ""
        for cell, width in zip(wrapped, widths, strict=True):
            part = cell[n] if n < len(cell) else ""
            line += part + " " * (width - columns(part) + gap)
        lines.append(line.rstrip())
    return lines
