"""The disc on its hub, the hat over what it turns around, the shield, the room at full lock."""

from __future__ import annotations

from lugplane.measure.bench import (
    Bench,
    Choice,
    Reckoned,
    choice,
    margin,
    measure,
    plain,
)
from lugplane.measure.common import common
from lugplane.measure.swept import swept_points
from lugplane.quantity.form import Form, Missing, magnitude
from lugplane.quantity.text import number


@measure
def hub_bore(b: Bench) -> Reckoned:
    """Bore of the disc less the hub's spigot."""
    return plain(b.place.q(b.setup.disc.bore_mm) - b.place.q(b.setup.knuckle.hub.spigot_mm))


@measure
def stud_count(b: Bench) -> Reckoned:
    """Holes of the disc less holes of the hub, as a magnitude."""
    p = b.place
    differ = abs(p.number(b.setup.disc.bolts.count) - p.number(b.setup.knuckle.hub.bolts.count))
    return plain(Form(differ), "1")


@measure
def bolt_circle(b: Bench) -> Reckoned:
    """What the two bolt circles differ by."""
    p = b.place
    return plain(
        magnitude(p.q(b.setup.disc.bolts.circle_mm) - p.q(b.setup.knuckle.hub.bolts.circle_mm))
    )


@measure
def hat_flange(b: Bench) -> Reckoned:
    """Hat inside over the hub's flange."""
    p = b.place
    return plain(p.q(b.setup.disc.hat_inside_radius_mm) - p.q(b.setup.knuckle.hub.flange_radius_mm))


@measure
def hat_shoes(b: Bench) -> Reckoned:
    """Hat inside over shoes and backing."""
    p = b.place
    return plain(p.q(b.setup.disc.hat_inside_radius_mm) - p.q(b.setup.knuckle.shoes.radius_mm))


@measure
def drum(b: Bench) -> Reckoned:
    """What the drum in the hat and the shoes' drum differ by, mm; no drum at all: one is wanting.

    Shoes of any size find nothing to work in then, so that theirs need not be known.
    """
    p, disc = b.place, b.setup.disc
    if p.word(disc.drum.fitted) == "false":
        return plain(Form(1.0), "1")
    return plain(magnitude(p.q(disc.drum.diameter_mm) - p.q(b.setup.knuckle.shoes.diameter_mm)))


@measure
def shield_lip(b: Bench, *, shield_ring_gap_mm: float) -> Reckoned:
    """Lip radius less what the ring needs within it."""
    p = b.place
    lip, needs = p.q(b.setup.knuckle.shield.lip_radius_mm), p.disc_radius + shield_ring_gap_mm
    return margin(lip, needs, lip - needs)


@measure
def shield_face(b: Bench) -> Reckoned:
    """Inboard ring face to the shield, along the axle."""
    p = b.place
    return plain(p.middle - p.ring / 2 - p.q(b.setup.knuckle.shield.face_mm))


@choice
def surroundings(b: Bench) -> Choice:
    """Whether ring and caliper stay within what is known to be free at full lock (TRADE §2).

    The fact is a radius that is known to be free, not one that is known to be taken: beyond it,
    or where it is not stated, the mock-up has to show.
    """
    p = b.place
    # Only a radial mount has a stack that lifts the caliper.
    cases = b.in_each_regime() if b.radial else (0,)
    try:
        clear = p.q(b.setup.knuckle.surroundings.clear_radius_mm).lo
        p.points(b.setup.caliper.outline.points_x_r_y)
        ring = p.disc_radius.hi
        outermost = max(ring, *(common(b, "swept furthest", lambda: _furthest(b)) for _ in cases))
    except Missing as missing:
        return Choice("look", f"not known: {', '.join(missing.facts)}")
    stands, free = told_apart(outermost, clear)
    if outermost <= clear:
        return Choice("known-free", f"outermost {stands} mm, known free to {free} mm")
    return Choice("look", f"outermost {stands} mm, known free only to {free} mm")


def _furthest(b: Bench) -> float:
    """The greatest hub radius that a point of the caliper's outline may sweep by at, mm."""
    points = b.place.points(b.setup.caliper.outline.points_x_r_y)
    return max(radius.hi for _, radius in swept_points(b, points))


def told_apart(one: float, other: float) -> tuple[str, str]:
    """Two lengths in mm with as few decimals as show that they differ, at most three."""
    return next(
        ((a, b) for n in range(4) if (a := number(one, n)) != (b := number(other, n))),
        (number(one, 3), number(other, 3)),
    )


@measure
def disc_worn(b: Bench) -> Reckoned:
    """Measured thickness of a used disc less its least."""
    p = b.place
    measured = p.q(b.setup.disc.measured_thickness_mm)
    return margin(measured, p.ring_worn, measured - p.ring_worn)


@measure
def disc_runout(b: Bench) -> Reckoned:
    """Runout of a used disc."""
    return plain(b.place.q(b.setup.disc.runout_mm))


@measure
def disc_variation(b: Bench) -> Reckoned:
    """Thickness variation of a used disc."""
    return plain(b.place.q(b.setup.disc.thickness_variation_mm))


@choice
def disc_cracks(b: Bench) -> Choice:
    """Whether cracks were seen in a used disc."""
    seen = b.place.word(b.setup.disc.cracked) == "true"
    return Choice("cracked" if seen else "sound")
