"""Along the axle: new pads' room, worn travel, cheeks, abutment, slide (TRADE §2, axial stack)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lugplane.facts.value import Value
from lugplane.measure.bench import (
    Bench,
    Choice,
    Reckoned,
    choice,
    margin,
    measure,
    plain,
)
from lugplane.quantity.form import Extent, Form, hypot_of, least, magnitude, most, within
from lugplane.setup.parts import family


@choice
def pad_shape(b: Bench) -> Choice:
    """Whether the pad is of the shape that caliper or carrier takes."""
    taken = b.place.word(b.setup.pad_taken)
    if b.setup.pad.id == taken or family(b.setup.pad.id) == taken:
        return Choice("same", taken)
    return Choice("other", f"takes {taken}, not {b.setup.pad.id}")


@choice
def carrier(b: Bench) -> Choice:
    """Whether the carrier takes the caliper."""
    if b.setup.carrier is None:
        return Choice("not-listed", "a floating caliper needs a carrier and none is named")
    listed = b.place.words(b.setup.carrier.calipers)
    caliper = b.setup.caliper.id
    if caliper in listed or family(caliper) in listed:
        return Choice("takes", b.setup.carrier.id)
    return Choice("not-listed", f"{b.setup.carrier.id} is known to take {', '.join(listed)}")


def plates(b: Bench) -> tuple[Form, Form]:
    """Backing plate with shims, inboard and outboard pad."""
    p, pad = b.place, b.setup.pad
    shim = p.q(pad.shim_mm)
    inboard = p.q(pad.plate_mm) + shim
    if p.word(pad.alike) == "true":
        return inboard, inboard
    return inboard, p.q(pad.outboard.plate_mm) + shim


def linings(b: Bench) -> tuple[Form, Form]:
    """New lining thickness, inboard and outboard pad."""
    p, pad = b.place, b.setup.pad
    inboard = p.q(pad.lining_mm)
    if p.word(pad.alike) == "true":
        return inboard, inboard
    return inboard, p.q(pad.outboard.lining_mm)


def least_lining(b: Bench) -> Form:
    """`l_min`. Raises `ValueError` where it is above the lining when new."""
    pad = b.setup.pad
    least_mm, new = b.place.q(pad.min_lining_mm), pad.lining_mm
    if new.known and least_mm.lo > new.form.hi:
        raise ValueError("the pad's least lining is above its lining when new")
    return least_mm


def _distinct(pair: tuple[Form, Form]) -> tuple[Form, ...]:
    """Both pads' values, or one where the pads are alike."""
    return pair[:1] if pair[0] is pair[1] else pair


def _sides(e: Form) -> tuple[Form, Form]:
    """What the error adds to the room inboard and outboard of the disc.

    The caliper's centre lies `e` outboard of the disc's middle: the outboard side gains `e`.
    """
    return -e, e


@measure
def room_new(b: Bench, *, pad_gap_mm: float) -> Reckoned:
    """`W/2 - T/2 - plate - lining - |e| - gap/2` a side; floating: both sides at once."""
    p = b.place
    slot = p.q(b.setup.caliper.slot_mm)
    back, front = plates(b), linings(b)
    both = [back[0] + front[0], back[1] + front[1]]
    if p.floating:
        return plain(slot - p.ring - both[0] - both[1] - pad_gap_mm)
    half = (slot - p.ring) / 2 - pad_gap_mm / 2
    e = b.error
    # Inner and outer pads may differ, and a fixed caliper may be turned round with its pads: the
    # error counts against either side.
    pads = both[:1] if p.word(b.setup.pad.alike) == "true" else both
    return plain(least(*(half - pad + side for pad in pads for side in _sides(e))))


def _travels(b: Bench, lining_left: Form) -> tuple[Form, ...]:
    """Piston travels, the greatest of which is that with the disc at its least thickness and the
    given lining left."""
    p = b.place
    slot, worn = p.q(b.setup.caliper.slot_mm), p.ring_worn
    inboard, outboard = plates(b)
    if p.floating:
        return (slot - worn - lining_left * 2 - inboard - outboard,)
    half = (slot - worn) / 2 - lining_left
    rooms = [half - plate for plate in _distinct((inboard, outboard))]
    sides = _sides(b.error)
    return tuple(room + side for room in rooms for side in sides)


def _travel_left(limit: Form, travels: Sequence[Form]) -> Extent:
    return least(*(limit - travel for travel in travels))


@measure
def worn_travel(b: Bench) -> Reckoned:
    """Safe travel less `W/2 - T_min/2 - l_min - plate + |e|`."""
    p = b.place
    safe = p.q(b.setup.caliper.pistons.safe_travel_mm)
    travels = _travels(b, least_lining(b))
    return margin(most(*travels), safe, _travel_left(safe, travels))


@measure
def piston_kept(b: Bench) -> Reckoned:
    """Guided length less the travel with worn disc and lining zero.

    Where the guided length is not known, the safe travel stands for it: a piston that has not
    reached the safe travel is still in its seal.
    """
    p, pistons = b.place, b.setup.caliper.pistons
    travels = _travels(b, Form())
    travel = most(*travels)
    if not pistons.length_mm.known:
        safe = p.q(pistons.safe_travel_mm)
        left = _travel_left(safe, travels)
        if left.lo >= 0:
            return margin(travel, safe, left)
    length = p.q(pistons.length_mm)
    return margin(travel, length, _travel_left(length, travels))


@measure
def cheek(b: Bench) -> Reckoned:
    """`(opening - T)/2 - |e|`."""
    p = b.place
    half = (p.q(b.setup.mounted.opening_mm) - p.ring) / 2
    return plain(least(*(half + side for side in _sides(b.error))))


@measure
def abutment(b: Bench) -> Reckoned:
    """`T_min/2 + l_min + plate - abutment opening/2 - |e|` less half the plate."""
    p = b.place
    opening = p.q(b.setup.mounted.abutment_opening_mm)
    parts: list[Form] = []
    needs: list[Form] = []
    for plate in _distinct(plates(b)):
        half = plate / 2
        kept = p.ring_worn / 2 + least_lining(b) + plate - opening / 2
        parts.extend(kept - half + side for side in _sides(b.error))
        needs.append(half)
    judged = least(*parts)
    need = most(*needs)
    have = Extent(judged.lo + need.lo, judged.hi + need.hi, judged.nominal + need.nominal)
    return Reckoned(judged, have=have, need=need)


def _designed(b: Bench, design: Value, fitted: Value) -> Form:
    """A dimension of the part designed for: the fitted part's own where that is the very fact.

    Another part's dimension is another input, however alike the two read.
    """
    if design == fitted:
        return b.place.q(fitted)
    return b.place.q(replace(design, path=f"designed_{design.path}"))


def _slide(b: Bench, worn: bool) -> Reckoned:
    p, s = b.place, b.setup
    if s.designed_disc is None:
        p.word(s.caliper.designed_for.disc)
    if s.designed_pad is None:
        p.word(s.caliper.designed_for.pad)
    if s.designed_disc is None or s.designed_pad is None:
        raise LookupError("designed_for names a part that is not there")
    l_new = linings(b)[1]
    alike = s.designed_pad.alike.text == "true"
    l_design = s.designed_pad.lining_mm if alike else s.designed_pad.outboard.lining_mm
    l_fitted = s.pad.lining_mm if s.pad.alike.text == "true" else s.pad.outboard.lining_mm
    t_d = _designed(b, s.designed_disc.thickness_mm, s.disc.thickness_mm)
    l_d = _designed(b, l_design, l_fitted)
    delta = -b.error + (p.ring - t_d) / 2 + (l_new - l_d)
    if worn:
        gone = (p.ring - p.ring_worn) / 2 + (l_new - least_lining(b))
        delta = delta - gone
    inboard, outboard = p.q(s.caliper.slide.inboard_mm), p.q(s.caliper.slide.outboard_mm)
    return Reckoned(
        least(outboard - delta, inboard + delta),
        have=most(delta),
        notes={"inboard_mm": most(inboard), "outboard_mm": most(outboard)},
    )


@measure
def slide_new(b: Bench) -> Reckoned:
    """Slide with new parts: least of what is left both ways (TRADE §2, floating)."""
    return _slide(b, worn=False)


@measure
def slide_worn(b: Bench) -> Reckoned:
    """Slide with disc and pads worn."""
    return _slide(b, worn=True)


@measure
def bridge(b: Bench) -> Reckoned:
    """`R_b + b + lift + radial spacer - D/2`; an arched bridge at its corners too."""
    p, caliper = b.place, b.setup.caliper
    base = b.bolt_line + p.lift
    middle = base + p.q(caliper.line_to_bridge_mm) - p.disc_radius
    if p.word(caliper.bridge_form) == "flat":
        return plain(middle)
    half = p.q(caliper.bridge_half_width_mm)
    corner = base + p.q(caliper.line_to_bridge_corner_mm)
    # The nearer corner counts: the arch is level about the bolt line's own middle.
    away = magnitude(p.bolt_line_offset)
    reach = half - within("(offset of the bolt line)", away.lo, away.hi, away.nominal)
    nearer = within("(corner)", max(reach.lo, 0.0), max(reach.hi, 0.0))
    return plain(least(middle, hypot_of("corner", corner, nearer) - p.disc_radius))
