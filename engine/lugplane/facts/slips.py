"""Slips of the pen that a schema cannot name, told from the value that stands in the file."""

from __future__ import annotations

import re
from typing import Final

from lugplane.facts import scalar, show
from lugplane.facts.kinds import nearest_id

_COMMA: Final = re.compile(r"\d,\d", re.ASCII)
_UNIT: Final = re.compile(
    r"\d\s*(?:mm|cm3?|m|kg|g|n·?m|n|mpa|bar|km/h|in|inch|°|deg|%|\")(?!\w)", re.IGNORECASE
)
_YES: Final = frozenset({"yes", "on", "y"})
_NO: Final = frozenset({"no", "off", "n"})
_MINUS: Final = re.compile("[\u2010-\u2015\u2212]")


def mend_type(found: object, wanted: frozenset[str]) -> str:
    """How to mend a value of the wrong type, or "" where nothing can be guessed.

    `wanted`: the JSON Schema types that would have been taken.
    """
    if found is None:
        return "write a value, or leave the key out: what is not stated is unknown"
    if isinstance(found, str):
        if "boolean" in wanted and found in ("true", "false"):
            return "take the quotes away"
        if "boolean" in wanted and found.casefold() in _YES | _NO:
            return f"write {'true' if found.casefold() in _YES else 'false'}"
        if wanted & {"number", "integer"}:
            number = scalar.resolve(found)
            if isinstance(number, int | float) and not isinstance(number, bool):
                return "take the quotes away"
            return mend_number(found)
    if isinstance(found, bool | int | float) and "string" in wanted:
        return "put it between quotes"
    if isinstance(found, str | int | float) and "array" in wanted:
        return "write it as a list: [...]"
    return ""


def mend_number(found: str) -> str:
    """How to mend a text that should begin with a number, or ""."""
    if _COMMA.search(found):
        return "write the decimal point as a point"
    if _MINUS.search(found):
        return "write the minus sign as `-`, and a range with `..`"
    if _UNIT.search(found):
        return "leave the unit out: the name of the key states it"
    return ""


def mend_form(found: str, pattern: str) -> str:
    """How to mend a text that does not match `pattern`, or "".

    A guess is only offered when it matches. None of them touches blanks between digits or drops
    a sign, so that no guess can state another number than the one that stands there.
    """
    guess = nearest_id(found)
    stuck = re.sub(r"(?<=[A-Za-z]) +| +(?=[A-Za-z])", "", found)
    guesses = [guess] if guess and not guess[0].isdigit() else []
    for written in [*guesses, stuck, stuck[:1].upper() + stuck[1:], stuck.upper(), stuck.lower()]:
        if written != found and re.search(pattern, written):
            return f"write {show.plain(written)}"
    return mend_number(found)


def mend_key(found: str) -> str:
    """How to mend a key that is none, or ""."""
    if found[:1].isdigit():
        return "if this was the end of a number, write its decimal point as a point"
    return ""
