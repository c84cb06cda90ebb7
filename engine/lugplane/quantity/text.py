"""Values as the trade jots them down: `24.6 ±0.15 (bench)`, `24.4..24.8`, `30 +0/-0.2`."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lugplane.quantity.printed import number as number
from lugplane.quantity.printed import span as span

_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_UNSIGNED = r"(?:\d+(?:\.\d*)?|\.\d+)"
_FORM = re.compile(
    rf"""\s*(?:
        (?P<from>{_NUMBER})\s*\.\.\s*(?P<to>{_NUMBER})
      | (?P<at>{_NUMBER})(?:
            \s*(?:±|\+-|\+/-)\s*(?P<both>{_UNSIGNED})
          | \s*\+\s*(?P<up>{_UNSIGNED})\s*/\s*-\s*(?P<down>{_UNSIGNED})
        )?
    )\s*(?:\(\s*(?P<reading>[a-z0-9][a-z0-9-]*)\s*\))?\s*""",
    re.VERBOSE,
)
_LARGEST = 1e12
"""Beyond this a value is a slip of the pen, and sums of its squares overflow."""

ALLOWED = "a number, 24.6 ±0.15, 24.4..24.8 or 30 +0/-0.2, with a reading in brackets if one counts"


class NotAQuantity(ValueError):
    """The text is not of the form that a value may take."""


@dataclass(frozen=True, slots=True)
class Jotted:
    """A value as written. `doubt` is None where no ± was stated."""

    nominal: float
    doubt: tuple[float, float] | None
    reading: str | None = None


def parse(text: str | int | float) -> Jotted:
    """Read one value. Doubt is `(down, up)`, both >= 0. Raises `NotAQuantity`."""
    if isinstance(text, bool):
        raise NotAQuantity(f"{text} is not a number")
    if isinstance(text, int | float):
        _finite(str(text), float(text))
        return Jotted(float(text), None)
    m = _FORM.fullmatch(text)
    if m is None:
        raise NotAQuantity(f"'{text[:60]}' is not a value")
    if m["from"] is not None:
        low, high = float(m["from"]), float(m["to"])
        if low > high:
            raise NotAQuantity(f"'{text[:60]}' runs backwards: {low:g} is above {high:g}")
        _finite(text, low, high)
        middle = (low + high) / 2
        return Jotted(middle, (middle - low, high - middle), m["reading"])
    doubt: tuple[float, float] | None = None
    if m["both"] is not None:
        doubt = (float(m["both"]), float(m["both"]))
    elif m["up"] is not None:
        doubt = (float(m["down"]), float(m["up"]))
    _finite(text, float(m["at"]), *(doubt or ()))
    return Jotted(float(m["at"]), doubt, m["reading"])


def _finite(text: str, *numbers: float) -> None:
    if any(abs(n) > _LARGEST for n in numbers):
        raise NotAQuantity(f"'{text[:60]}' is larger than anything measured")
