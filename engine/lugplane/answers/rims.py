"""The wheels that `--wheel` means: one by its id, or all of a rim diameter that go onto a hub."""

from __future__ import annotations

import re
from typing import Final

from lugplane.errors import BadInput
from lugplane.facts.records import Knuckle, Wheel
from lugplane.links.links import Links
from lugplane.links.relation import WHEEL
from lugplane.quantity.text import number

_INCHES: Final = re.compile(r"\s*(\d{1,2}(?:[.,]\d{1,2})?)\s*(?:in|inch|\"|″)?\s*", re.ASCII)
_GRAIN: Final = 1e-9


def rim_asked(word: str) -> float | None:
    """The rim diameter in inches that a word says (`16`, `16.5`, `17in`); None: it says none."""
    found = _INCHES.fullmatch(word)
    return None if found is None else float(found[1].replace(",", "."))


def wheels_asked(links: Links, knuckle: Knuckle, word: str) -> tuple[str, ...]:
    """The ids of the wheels meant: the one of that id, else those of that rim diameter.

    Of a rim diameter all are meant whose stud count, circle and bore the hub does not turn down;
    what cannot be told stays in. Raises `BadInput` for an unknown wheel, or where there is none of
    that diameter, naming the diameters that there are.
    """
    rim = None if links.base.kind_of(word) is not None else rim_asked(word)
    if rim is None:
        return (links.base.get(Wheel, word).id,)
    found: list[str] = []
    there: set[float] = set()
    for id_ in sorted(links.not_failing(WHEEL, knuckle, "wheel")):
        size = links.base.get(Wheel, id_).rim_in
        if size.known:
            there.add(size.reading.nominal)
            if size.reading.lo - _GRAIN <= rim <= size.reading.hi + _GRAIN:
                found.append(id_)
    if found:
        return tuple(found)
    sizes = ", ".join(number(size) for size in sorted(there))
    said = f"those that do are of {sizes} inches" if sizes else "of no size there is one that does"
    raise BadInput(f"no wheel of {number(rim)} inches goes onto the hub of {knuckle.id}: {said}")
