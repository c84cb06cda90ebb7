"""The wheel over the brake: holes, bore, spigot, wheel bolts, and the signed gap to the caliper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from lugplane.facts.records import Wheel
from lugplane.measure.bench import Bench, Reckoned, margin, measure, plain
from lugplane.measure.mount import read_thread
from lugplane.measure.sweep import Around, Gap, Inside, Point
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
    greatest is bounded by `Inside.greatest`.
    Without an outline of the wheel only a certain clash is told: a point under the rim that stands
    outside the rim's nominal radius.
    """
    p, w = b.place, wheel(b)
    outline = b.setup.caliper.outline.points_x_r_y
    points = p.points(outline)
    shift = _centre(b) - seat(b)
    swept = _swept(b, points)
    barrel, spoke = w.outline.barrel_x_r, w.outline.spoke_x_r
    if not (barrel.known and spoke.known):
        return _by_rim(b, shift, swept, outline.plus_minus)
    inside = _inside(b)
    # A wheel whose own outline is in doubt is a caliper that may lie off by as much more.
    wheels = max(barrel.plus_minus, spoke.plus_minus)
    loose = outline.plus_minus + wheels
    boxes = [
        Box(shift.lo + x - loose, shift.hi + x + loose, r.lo - wheels, r.hi + wheels)
        for x, r in swept
    ]
    middle = shift.nominal
    nominal = [(middle + x, r.nominal) for x, r in swept]
    at = inside.gaps(nominal)
    low = inside.least(paths_of(boxes), at)
    spots = [s for g in (at.barrel, at.spoke) for s in spots_at(boxes, nominal, g)]
    tops = inside.greatest([x.sides for x in (*spots, *boxes)])
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


def _centre(b: Bench) -> Form:
    """The caliper's centre plane, the same over every wheel but where a stack has several cases."""
    if b.radial or b.regimes > 1:
        return b.centre
    return b.place.common("centre plane", b.read, lambda: b.centre)


def _swept(b: Bench, points: Sequence[tuple[float, ...]]) -> tuple[tuple[float, Form], ...]:
    """The caliper's swept points, the same over every wheel and every disc.

    Where a stack lies under the caliper they hang on it, and each of its cases has its own.
    """
    if b.radial:
        return swept_points(b, points)
    return b.place.common("swept outline", b.read, lambda: swept_points(b, points))


def _inside(b: Bench) -> Inside:
    """The inside of the wheel, the same over every brake. Raises `ValueError` as `Inside.of`."""

    def make() -> Inside:
        outline, p = wheel(b).outline, b.place
        return Inside.of(_pairs(p.points(outline.barrel_x_r)), _pairs(p.points(outline.spoke_x_r)))

    return b.place.common("inside of the wheel", b.read, make)


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

    @property
    def sides(self) -> Around:
        """Its sides, as a rectangle."""
        return self.x0, self.x1, self.r0, self.r1

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


def paths_of(boxes: Sequence[Box]) -> list[list[Point]]:
    """For each two neighbouring boxes a path around the first and along the four lines that join
    the corners of one to those of the other; around a single box.
    """
    if len(boxes) == 1:
        return [boxes[0].loop()]
    found: list[list[Point]] = []
    for one, two in pairwise(boxes):
        a, b = one.loop(), two.loop()
        found.append([*a, b[0], b[1], a[1], a[2], b[2], b[3], a[3]])
    return [*found, boxes[-1].loop()]


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
