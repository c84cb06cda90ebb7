"""Hatching: straight lines clipped to polygons, by material.

Directions and spacings differ between parts that lie side by side (ISO 128-3, sections). No
standard hatching of materials is claimed; the drawing says what each stands for. Hatching is drawn
as lines, not as a fill pattern of the file format, so that every printer shows the same.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

Point: TypeAlias = tuple[float, float]
Segment: TypeAlias = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class Hatch:
    """Rows of lines: `angles_deg` (one row a direction), distances in mm on paper.

    `pitch_mm` from line to line; `pair_mm` above zero doubles each line at that distance;
    `broken` draws every second line in dashes.
    """

    angles_deg: tuple[float, ...]
    pitch_mm: float
    pair_mm: float = 0.0
    broken: bool = False

    def turned(self) -> Hatch:
        """The same mirrored, for the part that lies beside."""
        return Hatch(
            tuple((180.0 - a) % 180.0 for a in self.angles_deg),
            self.pitch_mm,
            self.pair_mm,
            self.broken,
        )


IRON = Hatch((45.0,), 2.0)
STEEL = Hatch((45.0,), 2.6, pair_mm=0.7)
SPACER = Hatch((0.0,), 2.2, pair_mm=0.7)
"""Steel, level: it lies between two parts that are hatched both ways."""
ALUMINIUM = Hatch((45.0,), 1.5, broken=True)
PLATE = Hatch((135.0,), 1.0)
LINING = Hatch((45.0, 135.0), 2.2)
TRIMMED = Hatch((0.0, 90.0), 0.9)

_BY_MATERIAL = {
    "ductile-iron": IRON,
    "grey-iron": IRON,
    "steel": STEEL,
    "aluminium": ALUMINIUM,
}


def of_material(material: str | None) -> Hatch:
    """Hatching of a material by its word in the facts; wide single lines where not known."""
    return _BY_MATERIAL.get(material or "", Hatch((45.0,), 3.2))


def rows(hatch: Hatch, polygon: Sequence[Point], unit: float) -> tuple[tuple[Segment, ...], ...]:
    """Two rows of segments inside a polygon: continuous ones and dashed ones.

    `unit` is the length of a paper millimetre in the polygon's coordinates. Lines lie on a grid
    through the origin, so that two areas of one part match.
    """
    solid: list[Segment] = []
    dashed: list[Segment] = []
    for angle in hatch.angles_deg:
        across = _turn(polygon, -angle)
        low, high = min(r for _, r in across), max(r for _, r in across)
        pitch = hatch.pitch_mm * unit
        for n in range(math.ceil(low / pitch), math.floor(high / pitch) + 1):
            offsets = (0.0, hatch.pair_mm * unit) if hatch.pair_mm else (0.0,)
            for offset in offsets:
                found = _inside(across, n * pitch + offset)
                turned = [_turn(s, angle) for s in found]
                into = dashed if hatch.broken and n % 2 else solid
                into.extend((s[0], s[1]) for s in turned)
    return tuple(solid), tuple(dashed)


def _turn(points: Sequence[Point], angle_deg: float) -> list[Point]:
    cosine, sine = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return [(x * cosine - r * sine, x * sine + r * cosine) for x, r in points]


def _inside(polygon: Sequence[Point], level: float) -> list[Segment]:
    """The stretches of a level line inside a polygon (even-odd)."""
    crossings = []
    for (ax, ar), (bx, br) in pairwise([*polygon, polygon[0]]):
        if (ar <= level) != (br <= level):
            crossings.append(ax + (bx - ax) * (level - ar) / (br - ar))
    crossings.sort()
    return [
        ((a, level), (b, level))
        for a, b in zip(crossings[::2], crossings[1::2], strict=True)
        if b - a > 1e-6
    ]
