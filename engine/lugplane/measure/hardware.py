"""Lengths and sizes of standard bolts, holes and washers that follow from the nominal diameter."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

from lugplane.measure.arguments import positive

_V = TypeVar("_V")


class NoStandardSizeError(ValueError):
    """A diameter for which the standard lists nothing (or nothing is listed here)."""


@dataclass(frozen=True, slots=True)
class ClearanceHole:
    """Plain holes for one bolt size, mm, by series."""

    fine_mm: float
    medium_mm: float
    coarse_mm: float


# ISO 273. M10, M12 and M14 confirmed in a copy of the table, the others from memory.
_CLEARANCE_HOLES: dict[float, ClearanceHole] = {
    5.0: ClearanceHole(5.3, 5.5, 5.8),
    6.0: ClearanceHole(6.4, 6.6, 7.0),
    7.0: ClearanceHole(7.4, 7.6, 8.0),
    8.0: ClearanceHole(8.4, 9.0, 10.0),
    10.0: ClearanceHole(10.5, 11.0, 12.0),
    12.0: ClearanceHole(13.0, 13.5, 14.5),
    14.0: ClearanceHole(15.0, 15.5, 16.5),
    16.0: ClearanceHole(17.0, 17.5, 18.5),
    18.0: ClearanceHole(19.0, 20.0, 21.0),
    20.0: ClearanceHole(21.0, 22.0, 24.0),
}

# ISO 7089, nominal thickness. M10, M12 and M14 confirmed in a copy, the others from memory.
_WASHER_THICKNESS_MM: dict[float, float] = {
    5.0: 1.0,
    6.0: 1.6,
    8.0: 1.6,
    10.0: 2.0,
    12.0: 2.5,
    14.0: 2.5,
    16.0: 3.0,
    18.0: 3.0,
    20.0: 3.0,
}


def thread_length_mm(nominal_mm: float, length_mm: float) -> float:
    """Threaded length b of a part-threaded bolt, mm (ISO 888): never more than the bolt itself.

    2 d + 6 up to a length of 125 mm, 2 d + 12 up to 200 mm, 2 d + 25 above. A bolt no longer than
    that is threaded along its whole shank. Socket head screws (ISO 4762) have more thread than this
    (2 d + 12, from memory), so the form errs to the shorter. Raises ValueError for sizes not above
    zero.
    """
    positive("nominal_mm", nominal_mm)
    if positive("length_mm", length_mm) <= 125.0:
        more_mm = 6.0
    elif length_mm <= 200.0:
        more_mm = 12.0
    else:
        more_mm = 25.0
    return min(2.0 * nominal_mm + more_mm, length_mm)


def clearance_hole(nominal_mm: float) -> ClearanceHole:
    """Plain holes of the fine, medium and coarse series (ISO 273), M5 to M20.

    Raises NoStandardSizeError for a size that is not listed.
    """
    return _listed(_CLEARANCE_HOLES, nominal_mm, "ISO 273")


def washer_thickness_mm(nominal_mm: float) -> float:
    """Nominal thickness of a plain washer, normal series, mm (ISO 7089), M5 to M20.

    Raises NoStandardSizeError for a size that is not listed.
    """
    return _listed(_WASHER_THICKNESS_MM, nominal_mm, "ISO 7089")


def _listed(table: Mapping[float, _V], nominal_mm: float, standard: str) -> _V:
    try:
        return table[nominal_mm]
    except KeyError:
        raise NoStandardSizeError(f"{standard}: nothing listed for M{nominal_mm:g}") from None
