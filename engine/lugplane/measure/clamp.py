"""The torque to use and the friction grip it gives between ear and lug (TRADE §3)."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

from lugplane.measure.bench import (
    Bench,
    Choice,
    ChosenBolt,
    DoesNotApply,
    Reckoned,
    Torque,
    Undecided,
    choice,
    measure,
)
from lugplane.measure.bolts import CLASSES
from lugplane.measure.lining import worst_trim
from lugplane.measure.mount import joint_state, plain_member, thread
from lugplane.measure.pad_shape import of_shape
from lugplane.measure.preload import (
    bearing_diameter_mm,
    preload_at_torque_n,
    preload_n,
    tightening_torque_nm,
)
from lugplane.measure.strength import property_class
from lugplane.measure.tyre import rolling_radius_mm, tyre_diameter_mm
from lugplane.quantity.form import Extent, Form, Missing, extent, magnitude, within
from lugplane.quantity.text import number

_G = 9.80665


@choice
def torque(b: Bench, *, friction_thread: float, torque_plus_minus: float) -> Choice:
    """The car's own figure, unless the threaded member changes: then the lower of the two.

    The new joint's figure is reckoned for the bolt chosen, of several the weakest; the thread it
    goes into is the engagement's business.
    """
    p, s = b.place, b.setup
    own = p.q(s.knuckle.bolt.torque_nm)
    fitted = s.axle.stock.carrier if s.carrier is not None else s.axle.stock.caliper
    unchanged = joint_state(b) == "ear" or s.mounted.id == fitted.text
    if unchanged:
        return _used("car", own, "the car's own figure", torque_plus_minus)
    size = thread(b)
    chosen = [o.bolt.class_ for o in b.bolts.options if o.bolt is not None]
    weakest = min(chosen, key=CLASSES.index, default="8.8")
    grade = property_class(weakest, size.nominal_mm)
    force = preload_n(size.nominal_mm, size.pitch_mm, grade.yield_mpa, friction_thread)
    low, high = (
        tightening_torque_nm(
            force, size.nominal_mm, size.pitch_mm, bearing, friction_thread, friction_thread
        )
        for bearing in _bearing(b)
    )
    if own.hi <= low:
        said = "the car's own figure; the new joint would bear more"
        return _used("car", own, said, torque_plus_minus)
    said = f"reckoned for {size} {weakest} at friction {friction_thread:g} (VDI 2230)"
    # The lower of two figures that are both in doubt.
    lower = within("(torque)", min(own.lo, low), min(own.hi, high))
    return _used("lower", lower, said, torque_plus_minus)


def _used(state: str, nm: Form, origin: str, share: float) -> Choice:
    return Choice(
        state, f"{number(nm.nominal, 0)} N·m, {origin}", Torque(_with_doubt(nm, share), origin)
    )


def _with_doubt(nm: Form, share: float) -> Extent:
    """The figure with its own ± and that of tightening on top."""
    return Extent(nm.lo * (1 - share), nm.hi * (1 + share), nm.nominal)


def _bearing(b: Bench) -> tuple[float, float]:
    """Bounds of the effective bearing diameter under the heads of the bolts chosen, mm.

    Raises `Missing` where a head may be no wider than the hole: it would clamp nothing.
    """
    passed = plain_member(b).hole_diameter_mm
    hole = b.place.q(passed)
    heads = [_head(b, o.bolt) for o in b.bolts.options if o.bolt is not None]
    if not heads:
        raise DoesNotApply("no bolt qualifies")
    if any(h.lo <= hole.hi and hole.lo < h.hi for h in heads):
        raise Missing(passed.path, *(i.path for h in heads for i in h.terms))
    return (
        min(bearing_diameter_mm(h.lo, hole.lo) for h in heads),
        max(bearing_diameter_mm(h.hi, hole.hi) for h in heads),
    )


def _head(b: Bench, bolt: ChosenBolt) -> Form:
    """The bearing diameter of a bolt's head: the car's own, or the standard one's."""
    if not bolt.record:
        return b.place.q(b.setup.knuckle.bolt.head_diameter_mm)
    record = next(r for r in b.setup.bolts if r.id == bolt.record)
    # Of the many standard bolts this one is meant; its fact's path says which.
    named = replace(record.head_diameter_mm, path=f"bolt:{record.id}.head_diameter_mm")
    return b.place.q(named)


def greatest_wheel_force(
    b: Bench, friction_tyre: float, braking_greatest: float
) -> tuple[Form, float]:
    """Braking force of one wheel at the road as the tyre allows it (N), and the `z` taken."""
    p, car = b.place, b.setup.platform
    mass, share = p.q(car.gross_kg), p.q(car.gross_front_share)
    height, base = p.q(car.cog_height_mm), p.q(car.wheelbase_mm)
    for value, form in ((car.gross_kg, mass), (car.wheelbase_mm, base)):
        if form.lo <= 0.0:
            raise Missing(value.path)
    shifts = (braking_greatest * height.lo / base.hi, braking_greatest * height.hi / base.lo)
    loads: list[float] = []
    for m, f, shift in product((mass.lo, mass.hi), (share.lo, share.hi), shifts):
        part = f + shift if b.setup.axle_name == "front" else 1.0 - f - shift
        loads.append(m * _G * max(part, 0.0) / 2 * friction_tyre)
    if min(loads) <= 0.0:  # no wheel is known to be held down
        raise Missing(*(v.path for v in (car.gross_front_share, car.cog_height_mm)))
    return Form.of("(wheel force)", min(loads), max(loads)), braking_greatest


@measure
def slip_reserve(
    b: Bench,
    *,
    friction_joint: float,
    friction_thread: float,
    friction_tyre: float,
    braking_greatest: float,
    tyre_radius_factor: float,
    running_gap_mm: float,
) -> Reckoned:
    """Friction grip of the worse bolt over its share of the braking force (TRADE §3).

    With the clamp C and the tangential force T it is `μ max(C - T u, 0) / (T sqrt(1/4 + v²))`, of
    `u` and `v` one `|r - R_b|` over the spacing, the other the arm over it: the weaker the clamp,
    the greater force and arm, the closer the bolts, the less. Of the radii both ends are tried.
    """
    return of_shape(
        b,
        "slip reserve",
        lambda there: _slip_reserve(
            there,
            friction_joint,
            friction_thread,
            (friction_tyre, braking_greatest),
            tyre_radius_factor,
            running_gap_mm,
        ),
    )


def _slip_reserve(
    b: Bench,
    friction_joint: float,
    friction_thread: float,
    road_at: tuple[float, float],
    tyre_radius_factor: float,
    running_gap_mm: float,
) -> Reckoned:
    p, s = b.place, b.setup
    b.detail("torque")
    found = b.findings["torque"].choice
    if found is None or not isinstance(found.detail, Torque):
        raise Missing("knuckle.bolt.torque_nm")
    nm = found.detail.nm
    size = thread(b)
    clamps = [
        preload_at_torque_n(
            x, size.nominal_mm, size.pitch_mm, bearing, friction_thread, friction_thread
        )
        for x in (nm.lo, nm.hi)
        for bearing in _bearing(b)
    ]
    road, _ = greatest_wheel_force(b, *road_at)
    rolling = rolling_radius_mm(tyre_diameter_mm(p.word(s.axle.tyre)), tyre_radius_factor)
    radii = worst_trim(b, running_gap_mm).mean_radius_mm
    if radii is None:
        raise Undecided("no lining might be left over the disc")
    # The moment is that about the ear's face, or the seat, whatever is put upon it (TRADE §3).
    c, line = p.q(s.knuckle.ear.spacing_mm), p.bolt_line_bare
    if c.lo <= 0.0:
        raise Missing(s.knuckle.ear.spacing_mm.path)
    if min(radii) <= 0.0:
        raise Undecided("no lining might be left over the disc")
    arm = magnitude(p.middle - p.ear_face)

    def reserve(clamp: float, force: float, a: float, span: float, r: float, rb: float) -> float:
        tangent = force * rolling / r
        radial, axial = (r - rb) / span, a / span
        if p.mount == "radial":
            radial, axial = axial, radial
        share: float = tangent * (0.25 + radial * radial) ** 0.5
        return max(clamp - tangent * abs(axial), 0.0) * friction_joint / share

    places = tuple(product(radii, line.bounds))
    low = min(reserve(min(clamps), road.hi, arm.hi, c.lo, *at) for at in places)
    high = max(reserve(max(clamps), road.lo, arm.lo, c.hi, *at) for at in places)
    whole = Extent(low, high, (low + high) / 2)
    return Reckoned(whole, "1", whole, None, {"braking_force_n": extent(road)})
