"""A tyre's size as written on it, its outside diameter and its rolling radius."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import pi

from lugplane.measure.arguments import positive
from lugplane.measure.threads import MM_PER_INCH

# Width, aspect ratio, radial, rim; C and CP are commercial tyres, whose size reads and reckons
# alike. What follows (load index, speed symbol, XL) must stand apart, and be no second size.
_SIZE = re.compile(
    r"(?P<width>[0-9]{3})/(?P<aspect>[0-9]{2}) ?Z?R ?(?P<rim>[0-9]{2}(?:\.5)?)"
    r" ?(?P<commercial>CP|C)?(?: (?!.*[0-9]{3}/[0-9]{2} ?Z?R).*)?"
)
_NO_ASPECT = re.compile(r"[0-9]{3} ?Z?R ?[0-9]{2}.*")


@dataclass(frozen=True, slots=True)
class TyreSize:
    """Width in mm, height of the side wall as percent of it, rim in inches; commercial or not."""

    width_mm: float
    aspect_percent: float
    rim_inch: float
    commercial: bool

    @property
    def diameter_mm(self) -> float:
        """Outside diameter of the new tyre, mm: rim + 2 · width · aspect (ETRTO arithmetic).

        The tables of ETRTO round it to the millimetre; a made tyre may differ by about a percent.
        """
        return self.rim_inch * MM_PER_INCH + 2.0 * self.width_mm * self.aspect_percent / 100.0


def parse_tyre(text: str) -> TyreSize:
    """Read `205/55R16`, `205/55 R 16 91V`, `225/40ZR18`, `215/65R16C 109/107T`.

    Raises ValueError, saying why, for anything else: a size in inches or one without an aspect
    ratio (`195R14C`, whose side wall is not in its name), and one whose numbers no size has: ETRTO
    widths end in 5 and aspect ratios go by fives, so that others are slips of the pen.
    """
    stripped = " ".join(text.upper().split())
    found = _SIZE.fullmatch(stripped)
    if found is None:
        if _NO_ASPECT.fullmatch(stripped):
            raise ValueError(f"{text!r} names no aspect ratio: its diameter cannot be reckoned")
        raise ValueError(f"{text!r} is no tyre size such as 205/55R16 or 215/65R16C")
    width, aspect, rim = int(found["width"]), int(found["aspect"]), float(found["rim"])
    if width % 10 != 5 or aspect % 5 or not 20 <= aspect <= 85 or not 10.0 <= rim <= 24.0:
        raise ValueError(f"{text!r} is no size of tyre for a car or van")
    return TyreSize(float(width), float(aspect), rim, found["commercial"] is not None)


def tyre_diameter_mm(size: str) -> float:
    """Outside diameter of a tyre from its size, mm. Formula as `TyreSize`, errors `parse_tyre`."""
    return parse_tyre(size).diameter_mm


def rolling_radius_mm(diameter_mm: float, circumference_factor: float) -> float:
    """Rolling radius, mm: rolling circumference over 2π, `factor · D / 2π`.

    The factor is 3.05 (ETRTO, from memory), below π since the loaded tyre is flattened. Raises
    ValueError unless both are above zero.
    """
    circumference_mm = positive("circumference_factor", circumference_factor) * positive(
        "diameter_mm", diameter_mm
    )
    return circumference_mm / (2.0 * pi)
