"""The wheel over the brake: holes, bore, spigot, wheel bolts, and the signed gap to the caliper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lugplane.facts.records import Wheel
from lugplane.measure.bench import Bench, Reckoned, margin, measure, plain
from lugplane.measure.mount import read_thread
from lugplane.measure.sweep import Gap, Point, WheelGaps, greatest_gaps, wheel_gaps
from lugplane.measure.swept import swept_points
from lugplane.quantity.form import (
    Effect,
    Effects,
    Extent,
    Form,
    Missing,
    extent,
    least,
    magnitude,
)

_MM_PER_INCH = 25.4


def rim_diameter_mm(inches: float) -> float:
    """A rim's nominal diameter in mm from its inches; standards round it (UN R30: 16 is 406)."""
    return inches * _MM_PER_INCH


def wheel(b: Bench) -> Wheel:
    """The wheel that was named."""
    if b.setup.wheel is None:
        raise Missing("wheel")
    return b.setup.wheel


@measure
def wheel_count(b: Bench) -> Reckoned:
    """Holes of the wheel less holes of the hub, as a magnitude."""
    p = b.place
    differ = abs(p.number(wheel(b).bolts.count) - p.number(b.setup.knuckle.hub.bolts.count))
    return plain(Form(differ), "1")


@measure
def wheel_circle(b: Bench) -> Reckoned:
    """What the bolt circles of wheel and hub differ by."""
    p = b.place
    return plain(
        magnitude(p.q(wheel(b).bolts.circle_mm) - p.q(b.setup.knuckle.hub.bolts.circle_mm))
    )


@measure
def wheel_bore(b: Bench) -> Reckoned:
    """Centre bore less the hub's spigot."""
    return plain(b.place.q(wheel(b).bore_mm) - b.place.q(b.setup.knuckle.hub.spigot_mm))


def seat(b: Bench) -> Form:
    """`x` of the wheel's seat: the plate's wheel face, and a wheel spacer's (TRADE §2, wheel)."""
    return b.place.plate + b.setup.wheel_spacer_mm


@measure
def wheel_spigot(b: Bench) -> Reckoned:
    """Spigot beyond the new disc's plate and a wheel spacer."""
    return plain(b.place.q(b.setup.knuckle.hub.spigot_length_mm) - seat(b))


@measure
def stud_engagement(b: Bench, *, engagement_steel: float) -> Reckoned:
    """Length less plate, spacer and wheel at its seat, less 1.0 d."""
    p, hub = b.place, b.setup.knuckle.hub
    have = p.q(hub.fixing_length_mm) - p.q(wheel(b).seat_thickness_mm) - seat(b)
    need = Form(engagement_steel * read_thread(p.word(hub.fixing_thread)).nominal_mm)
    return margin(have, need, have - need)


@measure
def wheel_gap(b: Bench) -> Reckoned:
    """Signed gap between the caliper's swept outline and the inside of the wheel (TRADE §2, wheel).

    Each point of the outline lies in a box of `x` and swept radius. The least gap over all of them
    is that of the boxes and of the outline's edges moved to their corners, which is exact; the
    greatest is bounded by `greatest_gaps`.
    Without an outline of the wheel only a certain clash is told: a point under the rim that stands
    outside the rim's nominal radius.
    """
    p, w = b.place, wheel(b)
    outline = b.setup.caliper.outline.points_x_r_y
    points = p.points(outline)
    shift = b.centre - seat(b)
    swept = swept_points(b, points)
    barrel, spoke = w.outline.barrel_x_r, w.outline.spoke_x_r
    if not (barrel.known and spoke.known):
        return _by_rim(b, shift, swept, outline.plus_minus)
    inside = (_pairs(p.points(barrel)), _pairs(p.points(spoke)))
    # A wheel whose own outline is in doubt is a caliper that may lie off by as much more.
    wheels = max(barrel.plus_minus, spoke.plus_minus)
    loose = outline.plus_minus + wheels
    boxes = [
        Box(shift.lo + x - loose, shift.hi + x + loose, r.lo - wheels, r.hi + wheels)
        for x, r in swept
    ]
    nominal = [(shift.nominal + x, r.nominal) for x, r in swept]
    at = wheel_gaps(nominal, *inside)
    low = wheel_gaps(boxes[0].loop() if len(boxes) == 1 else path_of(boxes), *inside)
    for edge in corner_paths(boxes):
        other = wheel_gaps(edge, *inside)
        low = WheelGaps(
            min(low.barrel, other.barrel, key=lambda g: g.gap_mm),
            min(low.spoke, other.spoke, key=lambda g: g.gap_mm),
        )
    spots = [*boxes, *(s for g in (at.barrel, at.spoke) for s in spots_at(boxes, nominal, g))]
    tops = greatest_gaps([x.loop()[:4] for x in spots], *inside)
    spans = {
        name: Extent(lowest.gap_mm, max(top, mid.gap_mm), mid.gap_mm)
        for name, lowest, mid, top in (
            ("to_barrel_mm", low.barrel, at.barrel, tops[0]),
            ("to_spokes_mm", low.spoke, at.spoke, tops[1]),
        )
    }
    effects: Effects = {}
    for form in (shift, *(r for _, r in swept[:1])):
        effects |= extent(form).effects
    if wheels:
        effects["wheel.outline"] = Effect(1.0, wheels)
    nearest = min(spans.values(), key=lambda e: e.lo)
    whole = Extent(
        nearest.lo,
        min(e.hi for e in spans.values()),
        min(e.nominal for e in spans.values()),
        effects,
    )
    return Reckoned(whole, have=whole, notes=spans)


def _pairs(points: tuple[tuple[float, ...], ...]) -> list[Point]:
    return [(x[0], x[1]) for x in points]


@dataclass(frozen=True, slots=True)
class Box:
    """Where one swept point may lie, mm."""

    x0: float
    x1: float
    r0: float
    r1: float

    def towards(self, other: Box, share: float) -> Box:
        """The box of a place that lies at a share of the way to another."""
        keep = 1.0 - share
        return Box(
            keep * self.x0 + share * other.x0,
            keep * self.x1 + share * other.x1,
            keep * self.r0 + share * other.r0,
            keep * self.r1 + share * other.r1,
        )

    def loop(self) -> list[Point]:
        """Its edge, beginning and ending at the inboard, outer corner."""
        return [
            (self.x0, self.r1),
            (self.x1, self.r1),
            (self.x1, self.r0),
            (self.x0, self.r0),
            (self.x0, self.r1),
        ]


def spots_at(boxes: Sequence[Box], nominal: Sequence[Point], gap: Gap) -> list[Box]:
    """Where the places of the outline's lines may lie that are nearest to a gap's foot.

    A place at one share of the way between two points lies in their boxes mixed by that share.
    """
    found: list[Box] = []
    for n in (gap.point_index - 1, gap.point_index):
        if 0 <= n < len(nominal) - 1:
            (ax, ar), (bx, br) = nominal[n], nominal[n + 1]
            square = (bx - ax) ** 2 + (br - ar) ** 2
            along = (gap.foot[0] - ax) * (bx - ax) + (gap.foot[1] - ar) * (br - ar)
            share = max(0.0, min(1.0, along / square)) if square else 0.0
            found.append(boxes[n].towards(boxes[n + 1], share))
    return found


def path_of(boxes: Sequence[Box]) -> list[Point]:
    """One path around every box, box to box along their inboard, outer corners."""
    return [p for box in boxes for p in box.loop()]


def corner_paths(boxes: Sequence[Box]) -> list[list[Point]]:
    """The outline moved to the other three corners of its boxes."""
    return [
        [(b.x1, b.r1) for b in boxes],
        [(b.x1, b.r0) for b in boxes],
        [(b.x0, b.r0) for b in boxes],
    ]


def _by_rim(b: Bench, shift: Form, swept: Sequence[tuple[float, Form]], loose: float) -> Reckoned:
    p, w = b.place, wheel(b)
    radius = p.q(w.rim_in) * (_MM_PER_INCH / 2)
    centre, half = -p.q(w.offset_mm), p.q(w.width_in) * (_MM_PER_INCH / 2)
    inboard, outboard = (centre - half).hi, (centre + half).lo
    under = [
        r for x, r in swept if shift.lo + x - loose >= inboard and shift.hi + x + loose <= outboard
    ]
    if under:
        room = least(*(radius - r for r in under))
        if room.hi < 0:
            return Reckoned(room, have=room)
    raise Missing(*(x.path for x in (w.outline.barrel_x_r, w.outline.spoke_x_r) if not x.known))
