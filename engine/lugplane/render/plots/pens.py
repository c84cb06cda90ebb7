"""How lines and bands differ without colour: by weight, dashes, marks, grey and hatching.

Stock is narrow and hatched, what is proposed is wide and grey; the rear axle is broken.
"""

from __future__ import annotations

from lugplane.render.drawing.hatch import Hatch
from lugplane.render.drawing.pens import CENTRE, NARROW_MM, Pen

_PROPOSED_MM = 0.7

PENS: dict[tuple[str, str], Pen] = {
    ("proposed", "front"): Pen("proposed, front", _PROPOSED_MM),
    ("proposed", "rear"): Pen("proposed, rear", _PROPOSED_MM, (3.5, 1.5)),
    ("stock", "front"): Pen("stock, front", NARROW_MM),
    ("stock", "rear"): Pen("stock, rear", NARROW_MM, (2.5, 1.2)),
}
"""By setup and axle."""
LIMIT = Pen("limit", 0.35, CENTRE.dashes_mm)
EQUAL = Pen("both axles alike", NARROW_MM, (0.5, 1.0))
GRID = Pen("grid", 0.1, (0.3, 1.2))
EDGE = Pen("edge of a band", 0.1)
GREY = "#d8d8d8"
HATCH = Hatch((45.0,), 1.6)
