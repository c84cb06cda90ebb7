"""How caliper and knuckle meet: kind of mount, joint, lug spacing, plain hole, spacing, adapter."""

from __future__ import annotations

from functools import cache

from lugplane.facts.records import HoleGroup
from lugplane.measure.bench import (
    Bench,
    Choice,
    DoesNotApply,
    Reckoned,
    Undecided,
    choice,
    measure,
    plain,
)
from lugplane.measure.lining import outermost_bare
from lugplane.measure.threads import Thread, parse_thread
from lugplane.quantity.form import Extent, Form, Missing, extent, least, magnitude, most
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.quantity.text import number, span

_GRAIN = 1e-9


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


def _both_plain(b: Bench) -> bool:
    """Whether neither ear nor lug has a thread. Raises `Missing` where that is not known."""
    b.detail("joint")
    found = b.findings["joint"].choice
    return found is not None and found.state == "both-plain"


def thread(b: Bench) -> Thread:
    """The thread of the joint, read from the threaded member."""
    return read_thread(b.place.word(threaded_member(b).thread))


@cache
def read_thread(text: str) -> Thread:
    """`parse_thread`, remembered."""
    return parse_thread(text)


@measure
def lug_misfit(b: Bench) -> Reckoned:
    """`|c_l - c_e| - clearance`: what the plain hole's play does not make up for (TRADE §2).

    Of two plain holes an end no bolt is known, and the clearance is the sum of both diameters,
    `D_e + D_l`. That is what the slimmest bolt leaves: where one stands in ear and lug at each end,
    the two circles overlap, so that each lug hole lies within `(D_e + D_l)/2` of its ear hole; by
    the triangle inequality the distances then differ by less than both offsets together. From
    there on no bolt of any size passes. Where the holes surely overlap nothing is told: a thicker
    bolt may or may not pass, and one with a nut is not judged.
    """
    p = b.place
    apart = p.q(b.setup.lug.spacing_mm) - p.q(b.setup.knuckle.ear.spacing_mm)
    both_plain = _both_plain(b)
    if both_plain:
        ear, lug = b.setup.knuckle.ear, b.setup.lug
        clearance = p.q(ear.hole_diameter_mm) + p.q(lug.hole_diameter_mm)
    else:
        clearance = p.q(plain_member(b).hole_diameter_mm) - thread(b).nominal_mm
    judged = most(apart - clearance, -apart - clearance)
    if both_plain and judged.hi < -_GRAIN:
        raise DoesNotApply(
            "ear and lug both plain, and near enough for their holes to overlap: whether a bolt "
            "with a nut passes is not judged here"
        )
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
    if b.radial:
        raise DoesNotApply("a radially mounted caliper cannot be spaced along the axle")
    unknown = _unplaced(b)
    if unknown:
        raise DoesNotApply(
            f"the measured spacing has nothing to be compared with: not known: {', '.join(unknown)}"
        )
    if b.place.contradicted:
        return Choice(
            "contradicts",
            f"measured {span(s.lo, s.hi, s.nominal)} mm, outside what the facts allow: one of ear "
            "face, disc height and face to centre is not as recorded",
        )
    return Choice("agrees", f"measured {span(s.lo, s.hi, s.nominal)} mm")


def _unplaced(b: Bench) -> tuple[str, ...]:
    """The facts for want of which the facts alone give no spacing."""
    p = b.place
    unknown: dict[str, None] = {}
    for place in ("middle_by_disc", "ear_face_by_facts", "to_centre_by_facts", "sigma"):
        try:
            getattr(p, place)
        except Missing as missing:
            unknown.update(dict.fromkeys(missing.facts))
    return tuple(unknown)


def lift_parts(b: Bench, radial_target_mm: float) -> tuple[Form, ...]:
    """Lifts the least of which brings the lining's outermost point to its place."""
    edge = b.place.disc_radius
    return tuple(edge - r - radial_target_mm for r in outermost_bare(b))


@measure
def lift(b: Bench, *, radial_target_mm: float) -> Reckoned:
    """Radial spacing that brings the lining's outermost point to its place under the disc edge."""
    if not b.radial:
        raise DoesNotApply("an axially mounted caliper is not spaced radially")
    return plain(least(*lift_parts(b, radial_target_mm)))


def _room(b: Bench, radial_target_mm: float) -> Extent:
    """What a plate may take up: the spacing, which under a radial mount is the lift."""
    return least(*lift_parts(b, radial_target_mm)) if b.radial else extent(b.place.spacing)


def _thinnest(b: Bench) -> float:
    """One bolt diameter, mm; 0 where ear and lug are both plain: nobody knows of which bolt."""
    return 0.0 if _both_plain(b) else thread(b).nominal_mm


@choice
def adapter(b: Bench, *, radial_target_mm: float) -> Choice:
    """Whether a plate between the two lug pairs can be made (TRADE §2: adapter).

    It must be at least one bolt diameter thick and no thicker than the spacing allows; a radial
    mount is spaced away from the axle, so that there the lift is what the plate takes up.
    """
    found = b.findings["lug_misfit"]
    if found.not_applying:
        raise DoesNotApply(found.not_applying)
    misfit = found.reckoned.judged if found.reckoned else None
    if misfit is not None and misfit.hi <= _GRAIN:
        return Choice("none", "the lugs meet: no plate is needed")
    apart = misfit is not None and misfit.lo > _GRAIN
    unsure = () if apart else found.missing if misfit is None else _facts(misfit)
    try:
        room, thinnest = _room(b, radial_target_mm), _thinnest(b)
    except Missing as missing:
        raise Missing(*unsure, *missing.facts) from missing
    if apart and room.hi < thinnest - _GRAIN:
        needs = f"{number(thinnest)} mm" if thinnest else "one bolt diameter"
        return Choice(
            "refused",
            f"the plate would need {needs} and the spacing gives {number(room.hi)} mm at most",
        )
    if _both_plain(b):
        raise Undecided("ear and lug both plain: which bolts a plate would take, no thread tells")
    if apart and room.lo >= thinnest - _GRAIN:
        return Choice(
            "plate",
            f"a plate of {number(thinnest)} mm or more and no more than {number(room.lo)} mm, "
            "two hole pairs, designed and proved by an engineer",
        )
    straddles = room.lo < thinnest - _GRAIN <= room.hi
    missing_facts = tuple(dict.fromkeys((*unsure, *(_facts(room) if straddles else ()))))
    if not missing_facts:
        raise Undecided(found.blocked or "whether the lugs meet cannot be told")
    said = "the spacing straddles the plate's least thickness" if straddles and apart else ""
    return Choice(CANNOT_TELL, said, None, missing_facts)


def _facts(doubtful: Extent) -> tuple[str, ...]:
    """The facts that a quantity's doubt comes from."""
    return tuple(f for f, e in doubtful.effects.items() if e.reach > _GRAIN and f[0] != "(")


@choice
def joining(b: Bench, *, radial_target_mm: float) -> Choice:
    """How caliper and knuckle come together: by bolts, by a plate, or either way as far as known.

    Where no plate could be made, bolts are the only way, whether or not the lugs meet.
    """
    found = b.findings["adapter"]
    state = found.choice.state if found.choice else ""
    if found.not_applying or state in ("none", "refused"):
        return Choice("bolts")
    if state == "plate":
        return Choice("plate")
    try:
        no_plate = _room(b, radial_target_mm).hi < _thinnest(b) - _GRAIN
    except (Missing, Undecided):
        no_plate = False
    return Choice("bolts" if no_plate else "either")
