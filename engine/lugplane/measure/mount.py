"""How caliper and knuckle meet: kind of mount, joint, lug spacing, plain hole, spacing, adapter."""

from __future__ import annotations

from functools import cache

from lugplane.facts.records import HoleGroup
from lugplane.measure.bench import (
    Bench,
    Choice,
    DoesNotApply,
    Reckoned,
    choice,
    measure,
    plain,
)
from lugplane.measure.lining import outermost_bare
from lugplane.measure.threads import Thread, parse_thread
from lugplane.quantity.form import extent, least, magnitude, most
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.quantity.text import number, span


@choice
def mount(b: Bench) -> Choice:
    """Axial on axial or radial on radial; a disc from behind the flange is outside the frame."""
    p, s = b.place, b.setup
    knuckle, caliper = s.knuckle.mount, s.mounted.mount
    if knuckle.known and caliper.known and knuckle.word != caliper.word:
        p.note(knuckle.path, caliper.path)
        return Choice("differ", f"knuckle {knuckle.word}, caliper {caliper.word}")
    if p.word(s.knuckle.hub.disc_from) == "behind":
        return Choice(
            "disc-behind", "the disc is put on from behind the flange: outside this tool's frame"
        )
    return Choice("same", f"both {p.word(knuckle) and p.word(caliper)}")


@choice
def joint(b: Bench) -> Choice:
    """Which side the bolt screws into."""
    p, s = b.place, b.setup
    holes = p.word(s.knuckle.ear.hole), p.word(s.lug.hole)
    if holes == ("plain", "threaded"):
        return Choice("lug", "through the ear into the lug")
    if holes == ("threaded", "plain"):
        return Choice("ear", "through the lug into the ear")
    if holes == ("threaded", "threaded"):
        return Choice("both-threaded", "ear and lug both threaded: nothing would be clamped")
    return Choice("both-plain", "ear and lug both plain: a bolt with a nut is not judged here")


def threaded_member(b: Bench) -> HoleGroup:
    """The hole group that the bolt screws into."""
    return b.setup.lug if joint_state(b) == "lug" else b.setup.knuckle.ear


def plain_member(b: Bench) -> HoleGroup:
    """The hole group that the bolt passes through."""
    return b.setup.knuckle.ear if joint_state(b) == "lug" else b.setup.lug


def joint_state(b: Bench) -> str:
    """`lug` or `ear`: what the bolt screws into. `DoesNotApply` where no bolt clamps."""
    b.detail("joint")
    found = b.findings["joint"].choice
    if found is None or found.state not in ("lug", "ear"):
        raise DoesNotApply("one of ear and lug would have to be plain and the other threaded")
    return found.state


def thread(b: Bench) -> Thread:
    """The thread of the joint, read from the threaded member."""
    return read_thread(b.place.word(threaded_member(b).thread))


@cache
def read_thread(text: str) -> Thread:
    """`parse_thread`, remembered."""
    return parse_thread(text)


@measure
def lug_misfit(b: Bench) -> Reckoned:
    """`|c_l - c_e| - clearance`: what the plain hole's play does not make up for (TRADE §2)."""
    p = b.place
    apart = p.q(b.setup.lug.spacing_mm) - p.q(b.setup.knuckle.ear.spacing_mm)
    clearance = p.q(plain_member(b).hole_diameter_mm) - thread(b).nominal_mm
    judged = most(apart - clearance, -apart - clearance)
    return Reckoned(judged, have=magnitude(apart), need=extent(clearance))


@measure
def hole_clearance(b: Bench) -> Reckoned:
    """Plain hole less bolt diameter (TRADE §2, ISO 273)."""
    return plain(b.place.q(plain_member(b).hole_diameter_mm) - thread(b).nominal_mm)


@measure
def spacing(b: Bench) -> Reckoned:
    """`s = σ (x_mid - x_e - d)` (TRADE §2)."""
    if b.radial:
        raise DoesNotApply("a radially mounted caliper cannot be spaced along the axle")
    return plain(b.place.spacing)


@choice
def measured_spacing(b: Bench) -> Choice:
    """Whether a spacing taken at a mock-up agrees with what the facts would give."""
    s = b.place.measured_spacing
    if s is None:
        raise DoesNotApply("no spacing has been measured at a mock-up")
    if b.place.contradicted:
        return Choice(
            "contradicts",
            f"measured {span(s.lo, s.hi, s.nominal)} mm, outside what the facts allow: one of ear "
            "face, disc height and face to centre is not as recorded",
        )
    return Choice("agrees", f"measured {span(s.lo, s.hi, s.nominal)} mm")


@measure
def lift(b: Bench, *, radial_target_mm: float) -> Reckoned:
    """Radial spacing that brings the lining's outermost point to its place under the disc edge."""
    if not b.radial:
        raise DoesNotApply("an axially mounted caliper is not spaced radially")
    p = b.place
    return plain(least(*(p.disc_radius - r - radial_target_mm for r in outermost_bare(b))))


@choice
def adapter(b: Bench) -> Choice:
    """Whether a plate between the two lug pairs can be made (TRADE §2: adapter).

    It must be at least one bolt diameter thick and no thicker than the spacing allows.
    """
    found = b.findings["lug_misfit"]
    if found.not_applying:
        raise DoesNotApply(found.not_applying)
    misfit = found.reckoned
    if misfit is None:
        return Choice(CANNOT_TELL, "", None, b.findings["lug_misfit"].missing)
    if misfit.judged.hi <= 0:
        return Choice("none", "the lugs meet: no plate is needed")
    room, least = b.place.spacing, thread(b).nominal_mm
    if room.lo >= least:
        return Choice(
            "plate",
            f"a plate of {number(least)} mm or more and no more than {number(room.lo)} mm, "
            "two hole pairs, designed and proved by an engineer",
        )
    if room.hi < least:
        return Choice(
            "refused",
            f"the plate would need {number(least)} mm and the spacing gives "
            f"{number(room.hi)} mm at most",
        )
    return Choice(
        CANNOT_TELL,
        "the spacing straddles the plate's least thickness",
        None,
        tuple(i.path for i in room.terms),
    )
