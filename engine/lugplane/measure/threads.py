"""Thread designations, telling threads apart, and the sizes of the 60° basic profile."""

import re
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from math import inf, pi, sqrt

from lugplane.measure.arguments import positive

MM_PER_INCH = 25.4

# ISO 261 / ISO 262, coarse series: nominal diameter to pitch, both mm.
COARSE_PITCH_MM: dict[float, float] = {
    5.0: 0.8,
    6.0: 1.0,
    7.0: 1.0,
    8.0: 1.25,
    9.0: 1.25,
    10.0: 1.5,
    11.0: 1.5,
    12.0: 1.75,
    14.0: 2.0,
    16.0: 2.0,
    18.0: 2.5,
    20.0: 2.5,
}

# The pitches ISO 261 uses at all; anything else is a slip of the pen, such as M12x15. From memory.
_ISO_261_PITCHES_MM = frozenset(
    {0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 1.0, 1.25}
    | {1.5, 1.75, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0, 8.0}
)

# ASME B1.1, coarse and fine series: threads per inch for each size in inches. From memory.
_SERIES_TPI: dict[str, dict[Fraction, int]] = {
    "UNC": {
        Fraction(1, 4): 20,
        Fraction(5, 16): 18,
        Fraction(3, 8): 16,
        Fraction(7, 16): 14,
        Fraction(1, 2): 13,
        Fraction(9, 16): 12,
        Fraction(5, 8): 11,
        Fraction(3, 4): 10,
    },
    "UNF": {
        Fraction(1, 4): 28,
        Fraction(5, 16): 24,
        Fraction(3, 8): 24,
        Fraction(7, 16): 20,
        Fraction(1, 2): 20,
        Fraction(9, 16): 18,
        Fraction(5, 8): 18,
        Fraction(3, 4): 16,
    },
}

_NUMBER = r"[0-9]{1,3}(?:[.,][0-9]{1,3})?"
_METRIC = re.compile(rf"M({_NUMBER})(?:\s*[xX×]\s*({_NUMBER}))?(\s*-\s*LH)?")
_UNIFIED = re.compile(
    r"(?:([0-9]{1,2})/([0-9]{1,2})|#([0-9]{1,2}))\s*-\s*([0-9]{1,2})"
    r"(?:\s+(UNC|UNF|UNEF|UNS|UN))?(\s*-\s*LH)?"
)


class DesignationError(ValueError):
    """A thread designation that cannot be read, or that contradicts itself."""


class Form(Enum):
    """The family of threads; two families never mate, whatever their sizes."""

    METRIC = "ISO metric"
    UNIFIED = "Unified"


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread by its nominal size: lengths in mm; `designation` is its usual short name."""

    form: Form
    nominal_mm: float
    pitch_mm: float
    left_hand: bool = False
    designation: str = field(default="", compare=False)

    def __str__(self) -> str:
        return self.designation


def metric_thread(
    nominal_mm: float, pitch_mm: float | None = None, *, left_hand: bool = False
) -> Thread:
    """The ISO metric thread of this size; without a pitch, the coarse one (ISO 261, ISO 262).

    Raises DesignationError where no coarse pitch is listed (M5 to M20 are), for a pitch that
    ISO 261 does not use, and for one coarser than that diameter's coarse pitch.
    """
    name = f"M{nominal_mm:g}"
    if not 0.0 < nominal_mm < inf:
        raise DesignationError(f"{name}: the nominal diameter must be a number above zero")
    coarse = COARSE_PITCH_MM.get(nominal_mm)
    if pitch_mm is None:
        if coarse is None:
            raise DesignationError(
                f"{name}: no coarse pitch listed; write the pitch, as in M22x1.5"
            )
        pitch_mm = coarse
    if pitch_mm not in _ISO_261_PITCHES_MM:
        raise DesignationError(f"{name}x{pitch_mm:g}: {pitch_mm:g} mm is no pitch of ISO 261")
    # Diameters without a listed coarse pitch: none in ISO 261 is coarser than a quarter of d.
    if pitch_mm > (nominal_mm / 4.0 if coarse is None else coarse):
        raise DesignationError(f"{name}x{pitch_mm:g}: too coarse a pitch for this diameter")
    return Thread(
        Form.METRIC,
        nominal_mm,
        pitch_mm,
        left_hand,
        f"{name}x{pitch_mm:g}{'-LH' if left_hand else ''}",
    )


def parse_thread(text: str) -> Thread:
    """Read `M12x1.5`, `M12` (coarse), `3/8-24 UNF` or `#10-32 UNF`, each with `-LH` if left-hand.

    `×`, a decimal comma and spaces about the sign are accepted. A tolerance class (`-6g`) is
    refused, not dropped. Raises DesignationError, saying what was found.
    """
    stripped = text.strip()
    if found := _METRIC.fullmatch(stripped):
        nominal, pitch, left = found.groups()
        return metric_thread(
            _decimal(nominal),
            None if pitch is None else _decimal(pitch),
            left_hand=left is not None,
        )
    if found := _UNIFIED.fullmatch(stripped):
        return _unified(stripped, found)
    raise DesignationError(f"{text!r} is no thread designation such as M12x1.5, M12 or 3/8-24 UNF")


def same_thread(a: Thread, b: Thread) -> bool:
    """Whether a bolt of one belongs in a hole of the other: family, size, pitch and hand agree."""
    return a == b


def lookalike(
    a: Thread, b: Thread, *, diameter_within_mm: float = 0.75, pitch_within_mm: float = 0.5
) -> bool:
    """Whether two *different* threads are near enough in size to be taken for each other.

    The two distances are common practice, no source. They serve a warning's wording only:
    whether parts go together is `same_thread` alone.
    """
    return (
        not same_thread(a, b)
        and abs(a.nominal_mm - b.nominal_mm) <= diameter_within_mm
        and abs(a.pitch_mm - b.pitch_mm) <= pitch_within_mm
    )


def triangle_height_mm(pitch_mm: float) -> float:
    """Height H of the 60° fundamental triangle, mm: H = P √3 / 2 (ISO 68-1)."""
    return positive("pitch_mm", pitch_mm) * sqrt(3.0) / 2.0


def pitch_diameter_mm(nominal_mm: float, pitch_mm: float) -> float:
    """Basic pitch diameter d2 = D2, mm: d - 3/4 H = d - 0.64952 P (ISO 724)."""
    return _cut(nominal_mm, pitch_mm, 0.75)


def minor_diameter_mm(nominal_mm: float, pitch_mm: float) -> float:
    """Basic minor diameter d1 = D1, mm: d - 5/4 H = d - 1.08253 P (ISO 724)."""
    return _cut(nominal_mm, pitch_mm, 1.25)


def root_diameter_mm(nominal_mm: float, pitch_mm: float) -> float:
    """Minor diameter d3 at the bolt's rounded root, mm: d1 - H/6 = d - 1.22687 P (ISO 898-1)."""
    return _cut(nominal_mm, pitch_mm, 1.25 + 1.0 / 6.0)


def stress_diameter_mm(nominal_mm: float, pitch_mm: float) -> float:
    """Diameter d0 of the stress area, mm: (d2 + d3) / 2 (ISO 898-1)."""
    d2 = pitch_diameter_mm(nominal_mm, pitch_mm)
    return (d2 + root_diameter_mm(nominal_mm, pitch_mm)) / 2.0


def stress_area_mm2(nominal_mm: float, pitch_mm: float) -> float:
    """Stress area As, mm²: π/4 ((d2 + d3)/2)² (ISO 898-1; its tables round to three figures)."""
    return pi / 4.0 * stress_diameter_mm(nominal_mm, pitch_mm) ** 2


def _cut(nominal_mm: float, pitch_mm: float, heights: float) -> float:
    """`nominal_mm` less so many triangle heights; ValueError where nothing is left."""
    left = positive("nominal_mm", nominal_mm) - heights * triangle_height_mm(pitch_mm)
    if left <= 0.0:
        raise ValueError(f"a pitch of {pitch_mm:g} mm leaves no core in {nominal_mm:g} mm")
    return left


def _decimal(text: str) -> float:
    return float(text.replace(",", "."))


def _unified(text: str, found: re.Match[str]) -> Thread:
    above, below, number, per_inch, series, left = found.groups()
    if number is not None:
        # ASME B1.1: numbered sizes start at 0.060 in and grow by 0.013 in. From memory.
        inches = Fraction(60 + 13 * int(number), 1000)
    elif int(below) == 0 or int(above) == 0:
        raise DesignationError(f"{text!r}: {above}/{below} inch is no size")
    else:
        inches = Fraction(int(above), int(below))
    if int(per_inch) == 0:
        raise DesignationError(f"{text!r}: no threads per inch")
    listed = _SERIES_TPI.get(series or "", {}).get(inches)
    if listed is not None and listed != int(per_inch):
        raise DesignationError(f"{text!r}: {series} of that size has {listed} threads per inch")
    size = f"#{int(number)}" if number is not None else f"{inches.numerator}/{inches.denominator}"
    return Thread(
        Form.UNIFIED,
        float(inches) * MM_PER_INCH,
        MM_PER_INCH / int(per_inch),
        left is not None,
        f"{size}-{int(per_inch)}{' ' + series if series else ''}{'-LH' if left else ''}",
    )
