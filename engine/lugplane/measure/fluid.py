"""Least boiling points of brake fluids by grade (FMVSS 116, S5.1.1 and S5.1.2).

    grade    | dry °C | wet °C
    ---------|--------|-------
    DOT 3    | 205    | 140
    DOT 4    | 230    | 155
    DOT 5.1  | 260    | 180

Dry is fluid from a fresh can, wet the same after it has taken up a set amount of water.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BoilingPoints:
    """Least equilibrium reflux boiling points, °C."""

    dry_c: float
    wet_c: float


BOILING_POINTS: dict[str, BoilingPoints] = {
    "DOT 3": BoilingPoints(205.0, 140.0),
    "DOT 4": BoilingPoints(230.0, 155.0),
    "DOT 5.1": BoilingPoints(260.0, 180.0),
}


def boiling_points(grade: str) -> BoilingPoints:
    """Those of a grade written as in the table. Raises ValueError for any other."""
    found = BOILING_POINTS.get(grade)
    if found is None:
        raise ValueError(f"{grade!r} is none of the grades {', '.join(BOILING_POINTS)}")
    return found
