"""Values as the trade jots them down: `24.6 ±0.15 (bench)`, `24.4..24.8`, `30 +0/-0.2`."""

from __future__ import annotations

import re
from dataclasses import dataclass

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


def number(value: float, places: int = 2) -> str:
    """A number as a sheet prints it: no trailing noughts, a true minus, never `-0`."""
    said = f"{value:.{places}f}"
    if "." in said:
        said = said.rstrip("0").rstrip(".")
    if said in {"-0", ""}:
        return "0"
    return said.replace("-", "−")


def span(lo: float, hi: float, nominal: float, places: int = 2) -> str:
    """An interval in words: `5`, `5 ±0.1` or `4.9..5.3`; bounds are rounded outward."""
    scale: float = 10**places
    low, high = _outward(lo * scale, -1) / scale, _outward(hi * scale, 1) / scale
    if high - low < 0.5 / scale:
        return number(nominal, places)
    up, down = high - nominal, nominal - low
    at = round(nominal, places)
    if abs(up - down) < 0.51 / scale and abs(at - nominal) < 0.01 / scale:
        return f"{number(nominal, places)} ±{number(max(up, down), places)}"
    return f"{number(low, places)}..{number(high, places)}"


def _outward(value: float, side: int) -> float:
    nearest = round(value)
    if abs(value - nearest) < 1e-6:
        return nearest
    whole = int(value // 1)
    return whole + 1 if side > 0 else whole
