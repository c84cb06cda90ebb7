"""The wheel over the brake: holes, bore, spigot, wheel bolts, and the signed gap to the caliper."""

from __future__ import annotations

import math

from lugplane.facts.records import Wheel
from lugplane.measure.bench import Bench, Reckoned, margin, measure, plain
from lugplane.measure.mount import read_thread
from lugplane.measure.sweep import Point, WheelGaps, wheel_gaps
from lugplane.quantity.form import Effect, Effects, Extent, Form, Missing, extent, magnitude

_MM_PER_INCH = 25.4


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
    """Signed gap between the caliper's swept outline and the inside of the wheel.

    The gap to a surface changes by no more than the caliper is moved, so the doubt of place, of
    the outlines and of the sweep bounds it. Without an outline of the wheel only a certain clash
    is told: a point under the rim that stands outside the rim's nominal radius.
    """
    p, w = b.place, wheel(b)
    outline = b.setup.caliper.outline.points_x_r_y
    points = p.points(outline)
    shift, base, y0 = b.centre - seat(b), b.bolt_line + p.lift, p.bolt_line_offset
    x_mid, r_mid, y_mid = ((f.lo + f.hi) / 2 for f in (shift, base, y0))
    swept: list[Point] = [(x_mid + x, math.hypot(r_mid + r, y_mid + y)) for x, r, y in points]
    dx, dr, dy = ((f.hi - f.lo) / 2 for f in (shift, base, y0))
    barrel, spoke = w.outline.barrel_x_r, w.outline.spoke_x_r
    if not (barrel.known and spoke.known):
        return _by_rim(b, swept, dx, dr + dy + outline.plus_minus)
    p.note(barrel.path, spoke.path)
    gaps: WheelGaps = wheel_gaps(
        swept,
        [(x[0], x[1]) for x in p.points(barrel)],
        [(x[0], x[1]) for x in p.points(spoke)],
    )
    stated = outline.plus_minus + max(barrel.plus_minus, spoke.plus_minus)
    doubt = math.hypot(dx, dr + dy) + stated
    at = min(gaps.barrel.gap_mm, gaps.spoke.gap_mm)
    effects: Effects = {}
    for form in (shift, base, y0):
        effects |= extent(form).effects
    for path, spread in (
        (outline.path, outline.plus_minus),
        ("wheel.outline", max(barrel.plus_minus, spoke.plus_minus)),
    ):
        if spread:
            effects[path] = Effect(1.0, spread)
    notes = {
        "to_barrel_mm": Extent(
            gaps.barrel.gap_mm - doubt, gaps.barrel.gap_mm + doubt, gaps.barrel.gap_mm
        ),
        "to_spokes_mm": Extent(
            gaps.spoke.gap_mm - doubt, gaps.spoke.gap_mm + doubt, gaps.spoke.gap_mm
        ),
    }
    whole = Extent(at - doubt, at + doubt, at, effects)
    return Reckoned(whole, have=whole, notes=notes)


def _by_rim(b: Bench, swept: list[Point], dx: float, dr: float) -> Reckoned:
    p, w = b.place, wheel(b)
    radius = p.q(w.rim_in) * (_MM_PER_INCH / 2)
    centre, half = -p.q(w.offset_mm), p.q(w.width_in) * (_MM_PER_INCH / 2)
    inboard, outboard = centre - half, centre + half
    under = [r for x, r in swept if x - dx >= inboard.hi and x + dx <= outboard.lo]
    if under and max(under) - dr > radius.hi:
        room = radius - max(under)
        at = Extent(room.lo - dr, room.hi + dr, room.nominal)
        return Reckoned(at, have=at)
    raise Missing("wheel.outline.barrel_x_r", "wheel.outline.spoke_x_r")
