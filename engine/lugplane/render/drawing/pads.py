"""The pads against the disc, new, with what a trim takes from their linings."""

from __future__ import annotations

from dataclasses import dataclass

from lugplane.measure.bench import Bench
from lugplane.measure.lining import outline
from lugplane.measure.pads import linings, plates
from lugplane.measure.trim import innermost_radius, outermost_radius
from lugplane.render.drawing.disc import ring
from lugplane.render.drawing.hatch import LINING, PLATE, TRIMMED
from lugplane.render.drawing.marks import corners
from lugplane.render.drawing.pens import PHANTOM
from lugplane.render.drawing.scene import Hatched, Shape, area, path
from lugplane.render.drawing.sketch import Sketch


@dataclass(frozen=True, slots=True)
class PadPlace:
    """One pad in section at mid-pad, mm: friction face, bond line and back along x; radii.

    `kept_low`, `kept_high` bound what a trim leaves of the lining; `circle` is the inner trim
    circle of this face (None: the band's inner end is not recorded).
    """

    side: str
    face: float
    bond: float
    back: float
    low: float
    high: float
    plate_low: float | None
    circle: float | None
    kept_low: float
    kept_high: float

    @property
    def middle(self) -> float:
        """Middle of the lining along x."""
        return (self.face + self.bond) / 2


def pad_places(b: Bench) -> tuple[PadPlace, PadPlace]:
    """Both pads, inboard first, linings on the faces of the new disc. Raises `Missing`."""
    p, at, shape = b.place, ring(b), outline(b)
    top = b.lining_top.nominal
    low, high = top + shape.lower_at(0.0), top + shape.upper_at(0.0)
    depth = b.setup.pad.plate_depth_mm
    plate_low = top - p.q(depth).nominal if depth.known else None
    gap = b.constants["running_gap_mm"]
    found = []
    sides = (
        ("inboard", -1, at.inboard, at.inner_inboard),
        ("outboard", 1, at.outboard, at.inner_outboard),
    )
    for (side, way, face, inner), plate, lining in zip(sides, plates(b), linings(b), strict=True):
        bond = face + way * lining.nominal
        back = bond + way * plate.nominal
        circle = None if inner is None else inner + gap
        kept_low = low if circle is None else min(max(low, circle), high)
        kept_high = max(min(high, at.outer), kept_low)
        found.append(
            PadPlace(side, face, bond, back, low, high, plate_low, circle, kept_low, kept_high)
        )
    return found[0], found[1]


def lining_reach(b: Bench) -> tuple[float, float]:
    """Hub radii of the linings' innermost and outermost points, wherever along the pad they are."""
    shape, top, y0 = outline(b), b.lining_top.nominal, b.place.bolt_line_offset.nominal
    return innermost_radius(shape, top, y0), outermost_radius(shape, top, y0)


def draw_pads(s: Sketch, b: Bench) -> None:
    """Both pads with the part of the lining to come off hatched apart."""
    with s.part("pads"):
        both = pad_places(b)
        for pad in both:
            _draw_pad(s, pad)
        outer = both[1]
        s.call("pad", f"pad {b.setup.pad.id}", at=_in_plate(both), end="dot")
        s.spot((outer.bond, outer.high), "pad-shape")
        s.spot((outer.back, (outer.low + outer.high) / 2), "room-new", "worn-travel", "abutment")
        s.spot((outer.back, (outer.low + outer.high) / 2), "piston-kept")
        s.spot((outer.middle, outer.kept_low), "trim", "trim-depth", "piston-cover")
        s.spot((outer.back, outer.plate_low or outer.low), "plate-hat")
        s.spot((outer.middle, outer.high), "overhang")
        with s.part("ends of the linings"):
            _draw_ends(s, b, both)


def _in_plate(both: tuple[PadPlace, PadPlace]) -> list[tuple[float, float]]:
    return [((p.bond + p.back) / 2, p.low + (p.high - p.low) * 0.3) for p in both[1:]]


def _draw_pad(s: Sketch, pad: PadPlace) -> None:
    plate_low = pad.low if pad.plate_low is None else pad.plate_low
    plate = corners(pad.bond, plate_low, pad.back, pad.high)
    shapes: list[Shape] = [area(plate, None), Hatched(plate, PLATE)]
    shapes.append(path(plate, closed=True))
    if pad.plate_low is None:
        s.left_out["inner edge of the pad's plate"] = "not recorded: pad.plate_depth_mm"
    whole = corners(pad.face, pad.low, pad.bond, pad.high)
    kept = corners(pad.face, pad.kept_low, pad.bond, pad.kept_high)
    shapes += [area(whole, None), Hatched(kept, LINING)]
    data = {"x0": min(pad.face, pad.back), "x1": max(pad.face, pad.back), "bond": pad.bond}
    data |= {"r0": pad.low, "r1": pad.high, "kept0": pad.kept_low, "kept1": pad.kept_high}
    for low, high in ((pad.low, pad.kept_low), (pad.kept_high, pad.high)):
        if high - low > 0.005:
            off = corners(pad.face, low, pad.bond, high)
            shapes += [Hatched(off, TRIMMED), path(off, closed=True)]
    shapes.append(path(whole, closed=True))
    s.add(f"pad {pad.side}", shapes, data)


def _draw_ends(s: Sketch, b: Bench, both: tuple[PadPlace, PadPlace]) -> None:
    """Radii of the linings' outermost and innermost points where they lie beside the plane."""
    near, far = lining_reach(b)
    for pad in both:
        levels = [r for r, edge in ((far, pad.high), (near, pad.low)) if abs(r - edge) > 0.05]
        lines = [path([(pad.face, r), (pad.bond, r)], PHANTOM) for r in levels]
        if lines:
            s.add(f"lining ends {pad.side}", lines, {"r0": near, "r1": far})
