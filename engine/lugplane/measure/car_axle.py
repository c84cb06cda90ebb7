"""The brake of one wheel of an axle as figures.

What hangs on one part is told once for all setups that share their findings: each of them is given
the figures of a disc, a caliper, a pad, of a lining over the disc, that others were given.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from math import isfinite

from lugplane.facts.records import Pad
from lugplane.measure.bench import Bench, Undecided
from lugplane.measure.car_figure import (
    Factor,
    Figure,
    axle_figure,
    between,
    fact,
    spread,
    together,
)
from lugplane.measure.corners import Span
from lugplane.measure.friction import friction_class
from lugplane.measure.friction_curve import FrictionCurve
from lugplane.measure.heat import GREY_IRON_DENSITY_KG_M3, ring_mass_kg
from lugplane.measure.hydraulics import piston_area_mm2, torque_per_bar_nm
from lugplane.measure.lining import worst_trim
from lugplane.measure.lining_area import whole_area_mm2
from lugplane.measure.mean_radius import RadiusForms, whole_radius
from lugplane.measure.pad_shape import of_shape, stands_at
from lugplane.measure.rotating import ring_inertia_kgm2
from lugplane.measure.tyre import rolling_radius_mm, tyre_diameter_mm
from lugplane.quantity.form import Form, Missing
from lugplane.setup.override import AT
from lugplane.setup.place import Place


@dataclass(frozen=True, slots=True)
class AxleBrake:
    """The brake of one wheel of an axle.

    `area_mm2` the pistons that count for the clamp, `friction`, `r_eff_mm` over the lining that is
    left, `torque_per_bar_nm` of one wheel, `rolling_radius_mm` of the tyre; `ring_mass_kg`,
    `ring_inertia_kgm2`, `cooling_wk` of one disc and `cooling_ratio` to the stock disc's;
    `lining_mm3` that the pad with less of it may wear, `lining_area_mm2` times `lining_depth_mm`;
    `unsprung_kg` of caliper, carrier, disc and pads, and `masses` of each of them by id. `curves`
    are the frictions measured of the compounds that the pad may be of, `curve_c` the temperatures
    that all of them cover, °C. `whole` bounds `r_eff_mm` by the place of the bolt line where
    nothing of the lining is lost. `linked` are the factors of the torque once more, to be set
    beside stock's: what both radii owe to the bolt line is then one factor.
    """

    axle: str
    ids: Mapping[str, str]
    area_mm2: Figure
    friction: Figure
    r_eff_mm: Figure
    torque_per_bar_nm: Figure
    rolling_radius_mm: Figure
    ring_mass_kg: Figure
    ring_inertia_kgm2: Figure
    ring_face_mm2: Figure
    ring_form: Figure
    lining_area_mm2: Figure
    lining_depth_mm: Figure
    lining_mm3: Figure
    unsprung_kg: Figure
    masses: Mapping[str, Figure]
    cooling_wk: Figure
    cooling_ratio: Figure
    factors: tuple[Factor, ...]
    curves: tuple[FrictionCurve, ...]
    curve_c: Figure
    whole: RadiusForms | None = None
    linked: tuple[Factor, ...] | None = None
    _force: Figure | None = field(default=None, init=False, repr=False, compare=False)

    @property
    def force_n_per_bar(self) -> Figure:
        """Braking force at the road of the axle's two wheels for each bar, N; worked out once."""
        if self._force is None:
            found = _force(self.torque_per_bar_nm, self.rolling_radius_mm)
            object.__setattr__(self, "_force", found)
            return found
        return self._force

    @property
    def beside_stock(self) -> tuple[Factor, ...]:
        """The factors as they are set beside those of stock."""
        return self.factors if self.linked is None else self.linked

    @property
    def parts(self) -> tuple[str, ...]:
        """The ids of all parts: two brakes with the same are the same brake."""
        return tuple(self.ids.values())


def _force(torque: Figure, radius: Figure) -> Figure:
    missing = tuple(dict.fromkeys((*torque.missing, *radius.missing)))
    facts = tuple(dict.fromkeys((*torque.facts, *radius.facts)))
    because = torque.because or radius.because
    if missing or because:
        return Figure(0.0, 0.0, 0.0, facts, missing, because)
    scale = 2000.0 / radius.nominal
    return Figure(torque.lo * scale, torque.hi * scale, torque.nominal * scale, facts)


def axle_brake(b: Bench, stock: AxleBrake | None = None) -> AxleBrake:
    """The brake on a bench whose parts are placed (the stack chosen where the mount is radial).

    `stock` is the factory's brake of the same axle, None if this is it: the cooling of another disc
    is taken to lie between the stock disc's and that in proportion to the ring's face (common
    practice, no source), and is not told where a solid ring takes the place of a vented one.
    """
    s = b.setup
    # One after the other, so that they are read in one order whoever is asked first.
    disc = b.place.common("figures of the disc", b.read, lambda: _disc(b))
    caliper = b.place.common("figures of the caliper", b.read, lambda: _caliper(b))
    carrier = b.place.common("figures of the carrier", b.read, lambda: _carrier(b))
    pad = b.place.common("figures of the pad", b.read, lambda: _pad(b))
    wheel = b.place.common("figures of the wheel", b.read, lambda: _wheel(b))
    lining = of_shape(b, "figures of the lining", _lining)
    masses = {"caliper": caliper.mass_kg, **carrier, "disc": disc.mass_kg, "pad": pad.mass_kg}
    ratio = _cooling_ratio(s.disc.id, disc.face_mm2, disc.form, stock)
    ids = {
        "knuckle": s.knuckle.id,
        "caliper": s.caliper.id,
        "carrier": s.carrier.id if s.carrier is not None else "",
        "disc": s.disc.id,
        "pad": s.pad.id,
    }
    area, friction, r_eff, uncut = caliper.area_mm2, pad.friction, lining.r_eff_mm, lining.uncut
    shape = _stands(s.pad.id, *stands_at(s.pad.lining))
    on = [s.knuckle.id, s.mounted.id, *(() if uncut else (s.disc.id,))]
    area_left = replace(lining.area_mm2, stands=shape if uncut else "")
    return AxleBrake(
        s.axle_name,
        ids,
        area,
        friction,
        r_eff,
        together(torque_per_bar_nm, area, friction, r_eff),
        wheel.rolling_radius_mm,
        disc.ring_mass_kg,
        disc.ring_inertia_kgm2,
        disc.face_mm2,
        disc.form,
        area_left,
        pad.depth_mm,
        together(lambda one, two: one * two, area_left, pad.depth_mm),
        together(lambda *kg: sum(kg), *masses.values()),
        masses,
        together(lambda x, y: x * y, wheel.cooling_wk, ratio),
        ratio,
        (
            Factor(("area", area.lo), area, "caliper.pistons.bores_mm"),
            # Of a curve and of a figure stated, equal ones are so but for rounding.
            Factor(
                (*pad.key, round(friction.lo, 9), round(friction.hi, 9)),
                friction,
                _friction_path(s.pad),
            ),
            Factor(
                ("radius", s.axle_name, *on, shape, r_eff.lo, r_eff.hi), r_eff, "(effective radius)"
            ),
        ),
        pad.curves,
        pad.curve_c,
        lining.forms,
    )


# --- of each part ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class DiscFigures:
    """What a disc comes to; `form` is 1 of a vented ring, 0 of a solid one."""

    mass_kg: Figure
    ring_mass_kg: Figure
    ring_inertia_kgm2: Figure
    face_mm2: Figure
    form: Figure


def _disc(b: Bench) -> DiscFigures:
    disc = b.setup.disc
    diameter = between(fact(b, disc.diameter_mm))
    inner, thickness = fact(b, disc.band_inner_inboard_mm), fact(b, disc.thickness_mm)
    by_size = not disc.ring_mass_kg.known and disc.ring.text == "solid"
    if by_size:
        mass = _ring_of(fact(b, disc.diameter_mm), inner, thickness)
        mass = replace(mass, facts=(*mass.facts, disc.ring.path))
    else:
        mass = fact(b, disc.ring_mass_kg)
    mass = between(mass)
    if by_size and mass.known:
        # Of a ring weighed by its size that size counts once.
        found = together(
            lambda d, i, t: ring_inertia_kgm2(_solid_kg(d, i, t), d, 2.0 * i),
            diameter,
            _turned(inner),
            thickness,
        )
        inertia = replace(found, facts=mass.facts)
    else:
        inertia = together(lambda m, d, i: ring_inertia_kgm2(m, d, 2.0 * i), mass, diameter, inner)
    return DiscFigures(
        fact(b, disc.mass_kg),
        mass,
        inertia,
        between(together(_face_mm2, diameter, _turned(inner))),
        axle_figure(lambda: _form(b.place.word(disc.ring)), b),
    )


def _ring_of(diameter: Figure, inner: Figure, thickness: Figure) -> Figure:
    return together(_solid_kg, diameter, _turned(inner), thickness)


def _solid_kg(diameter_mm: float, inner_radius_mm: float, thickness_mm: float) -> float:
    return ring_mass_kg(diameter_mm, 2.0 * inner_radius_mm, thickness_mm, GREY_IRON_DENSITY_KG_M3)


def _turned(falls: Figure) -> Figure:
    """A figure with which something falls, its ends changed over."""
    return replace(falls, lo=falls.hi, hi=falls.lo)


def _form(ring: str) -> tuple[float, float, float]:
    """Vented is 1, solid 0."""
    vented = 1.0 if ring == "vented" else 0.0
    return vented, vented, vented


def _face_mm2(diameter_mm: float, inner_radius_mm: float) -> float:
    return 0.7853981633974483 * (diameter_mm**2 - (2.0 * inner_radius_mm) ** 2)


def _cooling_ratio(disc: str, face: Figure, form: Figure, stock: AxleBrake | None) -> Figure:
    """Cooling beside that of the stock disc."""
    if stock is None or disc == stock.ids["disc"]:
        return Figure(1.0, 1.0, 1.0)
    known = together(lambda *x: sum(x), face, form, stock.ring_face_mm2, stock.ring_form)
    if not known.known:
        return known
    if form.lo < stock.ring_form.lo:
        return Figure(
            0.0,
            0.0,
            0.0,
            known.facts,
            (),
            "a solid ring takes the place of a vented one: how it cools is not known",
        )
    least, most = face.lo / stock.ring_face_mm2.hi, face.hi / stock.ring_face_mm2.lo
    return Figure(min(1.0, least), max(1.0, most), 1.0, known.facts)


@dataclass(frozen=True, slots=True)
class CaliperFigures:
    """What a caliper comes to."""

    area_mm2: Figure
    mass_kg: Figure


def _caliper(b: Bench) -> CaliperFigures:
    p, caliper = b.place, b.setup.caliper

    def area() -> tuple[float, float, float]:
        bores, sides = p.numbers(caliper.pistons.bores_mm), caliper.pistons.a_side
        # The bores are those of one side; their number, where it is stated too, has to agree.
        many = p.number(sides) if sides.known else len(bores)
        body = p.word(caliper.body)
        if len(bores) != many:
            raise Undecided(f"{len(bores)} bores are stated for {many:g} pistons a side")
        if min(bores, default=0.0) <= 0.0:
            raise Missing(caliper.pistons.bores_mm.path)
        exact = piston_area_mm2(bores, body)
        return exact, exact, exact

    return CaliperFigures(axle_figure(area, b), fact(b, caliper.mass_kg))


def _carrier(b: Bench) -> Mapping[str, Figure]:
    """The carrier's mass where there is one."""
    carrier = b.setup.carrier
    return {"carrier": fact(b, carrier.mass_kg)} if carrier is not None else {}


@dataclass(frozen=True, slots=True)
class WheelFigures:
    """What an axle's tyre and its stock disc's cooling come to."""

    rolling_radius_mm: Figure
    cooling_wk: Figure


def _wheel(b: Bench) -> WheelFigures:
    s, p, factor = b.setup, b.place, b.constants["tyre_radius_factor"]

    def rolling() -> tuple[float, float, float]:
        exact = rolling_radius_mm(tyre_diameter_mm(p.word(s.axle.tyre)), factor)
        return exact, exact, exact

    car = s.platform
    cooling = car.cooling_rear_wk if s.axle_name == "rear" else car.cooling_front_wk
    return WheelFigures(axle_figure(rolling, b), fact(b, cooling))


@dataclass(frozen=True, slots=True)
class PadFigures:
    """What a pad comes to, or the compounds that it may be of: see `AxleBrake`.

    `key` tells pads apart whose friction is in a doubt of its own.
    """

    friction: Figure
    curves: tuple[FrictionCurve, ...]
    curve_c: Figure
    mass_kg: Figure
    depth_mm: Figure
    key: tuple[object, ...]


def _pad(b: Bench) -> PadFigures:
    s, p, c = b.setup, b.place, b.constants
    pad, window = s.pad, (c["friction_curve_from_c"], c["friction_curve_to_c"])
    pads = s.open_pads or (pad,)
    curves: list[FrictionCurve] = []

    def covered() -> tuple[float, float, float]:
        curves.extend(_curve(p, pad) for pad in pads)
        low, high = max(c.covers[0] for c in curves), min(c.covers[1] for c in curves)
        return low, high, (low + high) / 2

    def rubs() -> tuple[float, float, float]:
        found = [_friction(p, pad, window) for pad in pads]
        return min(f[0] for f in found), max(f[1] for f in found), found[0][2]

    def depth() -> tuple[float, float, float]:
        least = p.q(pad.min_lining_mm)
        linings = [p.q(pad.lining_mm)]
        alike = p.word(pad.alike) == "true"
        linings.append(linings[0] if alike else p.q(pad.outboard.lining_mm))

        def both(thick: Callable[[Form], float], thin: float) -> float:
            return min(max(0.0, thick(x) - thin) for x in linings)

        return (
            both(lambda x: x.lo, least.hi),
            both(lambda x: x.hi, least.lo),
            both(lambda x: x.nominal, least.nominal),
        )

    key: tuple[object, ...] = ("pad", *(pad.id for pad in pads))
    if pad.compound.known and not s.open_pads:
        key = ("compound", pad.compound.word)
    elif not s.open_pads and (stands := _friction_stands(pad)):
        key = ("pad", stands)
    curve_c = axle_figure(covered, b)
    one, worn = fact(b, pad.mass_kg), (pad.lining_mm, pad.outboard.lining_mm, pad.min_lining_mm)
    return PadFigures(
        between(axle_figure(rubs, b)),
        tuple(curves) if curve_c.known else (),
        curve_c,
        replace(together(lambda kg: 2 * kg, one), stands=one.stands),
        axle_figure(depth, b, _stands(pad.id, *(v.at for v in worn))),
        key,
    )


def _friction(p: Place, pad: Pad, window_c: Span) -> tuple[float, float, float]:
    """A pad's friction: all that its curve reaches over the window, else as stated, else all that
    its two letters leave open (SAE J866).

    A curve that does not cover the window tells no friction, whatever else is stated.
    """
    if pad.friction_curve.points_c_ratio.known:
        curve = _curve(p, pad)
        if not curve.covers[0] <= window_c[0] <= window_c[1] <= curve.covers[1]:
            raise Missing(pad.friction_curve.points_c_ratio.path)
        low, high = curve.over(*window_c)
        return low, high, (low + high) / 2
    if pad.friction_ratio.known or not pad.friction_letters.known:
        return spread(p.q(pad.friction_ratio))
    letters = friction_class(p.word(pad.friction_letters))
    low = min(letters.normal[0], letters.hot[0])
    high = max(letters.normal[1], letters.hot[1])
    if low <= 0.0 or not isfinite(high):  # C and H have no end of their own
        raise Missing(pad.friction_ratio.path)
    return low, high, (low + high) / 2


def _curve(p: Place, pad: Pad) -> FrictionCurve:
    """A pad's friction over temperature. Raises `Missing`, and `ValueError` as `FrictionCurve`."""
    points = pad.friction_curve.points_c_ratio
    found = tuple((x[0], x[1]) for x in p.points(points))
    return FrictionCurve(found, points.plus_minus)


def _friction_path(pad: Pad) -> str:
    """The fact that a pad's friction comes from."""
    curve = pad.friction_curve.points_c_ratio
    return curve.path if curve.known else pad.friction_ratio.path


def _friction_stands(pad: Pad) -> str:
    """Where that fact stands, unless it was measured anew."""
    curve = pad.friction_curve.points_c_ratio
    if curve.known:
        return curve.at
    return pad.friction_ratio.at if pad.friction_ratio.at != AT else ""


def _stands(id_: str, *at: str) -> str:
    """Where some facts of a part stand; of facts measured anew the part's id."""
    return id_ if AT in at else " ".join(at)


@dataclass(frozen=True, slots=True)
class LiningFigures:
    """What is left of a lining over its disc; `uncut`: it surely stays whole wherever the disc
    lies, and `forms` then bound its mean radius by the place of the bolt line.
    """

    r_eff_mm: Figure
    area_mm2: Figure
    uncut: bool
    forms: RadiusForms | None


def _lining(b: Bench) -> LiningFigures:
    gap = b.constants["running_gap_mm"]

    def radius() -> tuple[float, float, float]:
        mount = b.findings["mount"].choice
        if mount is not None and mount.state == "disc-behind":
            # What is left of the lining is no more told than its trim is (TRADE §1, §4).
            raise Undecided(mount.said)
        bounds = worst_trim(b, gap).mean_radius_mm
        if bounds is None:
            raise Undecided("no lining might be left over the disc")
        forms = unlost()
        if forms is not None:
            both = max(bounds[0], forms.least.lo), min(bounds[1], forms.most.hi)
            bounds = min(both), max(both)  # of what is exact they may cross by rounding
        return (*bounds, sum(bounds) / 2)

    def unlost() -> RadiusForms | None:
        if worst_trim(b, gap).share_lost != (0.0, 0.0):
            return None
        return b.place.keep(f"whole_radius {b.regime}", lambda: whole_radius(b))

    def left() -> tuple[float, float, float]:
        found, whole = worst_trim(b, gap), whole_area_mm2(b)
        lost = found.share_lost
        low, high = found.left_mm2 or (whole[0] * (1.0 - lost[1]), whole[1] * (1.0 - lost[0]))
        return low, high, (low + high) / 2

    def whole() -> bool:
        joining = b.findings.get("joining")
        bolts = joining and joining.choice and joining.choice.state == "bolts"
        if (b.setup.adapter and not bolts) or b.radial:
            return False
        return worst_trim(b, gap).share_lost == (0.0, 0.0)

    r_eff = axle_figure(radius, b)
    uncut = r_eff.known and whole()
    return LiningFigures(r_eff, axle_figure(left, b), uncut, unlost() if uncut else None)
