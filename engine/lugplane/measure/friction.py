"""Friction of pads by the two letters on them (SAE J866).

    letter | friction
    -------|---------------------
    C      | up to 0.15
    D      | over 0.15, to 0.25
    E      | over 0.25, to 0.35
    F      | over 0.35, to 0.45
    G      | over 0.45, to 0.55
    H      | over 0.55

The first letter is the normal, the second the hot friction, both of a small sample on a test
machine: a class, and not the friction of a given pad on a given car.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from lugplane.measure.corners import Span

_RANGES: dict[str, Span] = {
    "C": (0.0, 0.15),
    "D": (0.15, 0.25),
    "E": (0.25, 0.35),
    "F": (0.35, 0.45),
    "G": (0.45, 0.55),
    "H": (0.55, inf),
}


@dataclass(frozen=True, slots=True)
class FrictionClass:
    """Ranges of the normal and of the hot friction."""

    normal: Span
    hot: Span


def friction_range(letter: str) -> Span:
    """Range of friction of one letter (SAE J866); the upper end belongs to it, the lower does not.

    That of H has no upper end and is infinite. Raises ValueError for any other letter: Z says
    that the pad was not classified.
    """
    found = _RANGES.get(letter)
    if found is None:
        raise ValueError(f"{letter!r} is no friction letter from C to H")
    return found


def friction_class(letters: str) -> FrictionClass:
    """Ranges of two letters such as `FG`. Raises ValueError unless there are two, from C to H."""
    if len(letters) != 2:
        raise ValueError(f"{letters!r} are not two friction letters such as FG")
    return FrictionClass(friction_range(letters[0]), friction_range(letters[1]))


def friction_letter(friction: float) -> str:
    """The letter whose range holds this friction. Raises ValueError unless it is above zero."""
    for letter, (low, high) in _RANGES.items():
        if low < friction <= high:
            return letter
    raise ValueError(f"friction must be above zero, not {friction!r}")
