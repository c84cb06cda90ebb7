"""The brakes of a whole car as figures: what each axle's parts come to, and what the car is.

`brakes_of(bench)` gives a `Pair`: the car as it is to be built and as the factory built it, each a
`CarBrake` of two `AxleBrake`s. A figure is bounds with the facts it comes from, or says which facts
are not known; nothing here is judged. Checks, sheets and plots all read the same figures; `use`
takes one in a measure, so that a proof names the facts behind it.

A fact's path starts with whose it is unless it is the sheet's own axle: `stock:` the factory's part
of this axle, `other:` the other axle, `other-stock:` the factory's part there. A part that stays is
the sheet's own (or the other axle's) and not named twice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from math import inf, isfinite
from typing import Any, TypeVar

from lugplane.facts.records import Lining, Master, Pad, Platform
from lugplane.facts.value import Value, Word
from lugplane.measure.bench import Bench, DoesNotApply, Undecided, run
from lugplane.measure.corners import Span
from lugplane.measure.friction import friction_class
from lugplane.measure.friction_curve import FrictionCurve
from lugplane.measure.heat import GREY_IRON_DENSITY_KG_M3, ring_mass_kg
from lugplane.measure.hydraulics import piston_area_mm2, torque_per_bar_nm
from lugplane.measure.lining import worst_trim
from lugplane.measure.lining_area import whole_area_mm2
from lugplane.measure.mean_radius import RadiusForms, whole_radius
from lugplane.measure.quotient import greatest_quotient, least_quotient
from lugplane.measure.rotating import ring_inertia_kgm2
from lugplane.measure.tyre import rolling_radius_mm, tyre_diameter_mm
from lugplane.quantity.form import Missing
from lugplane.setup.car import (
    OTHER,
    OTHER_AXLE,
    OTHER_STOCK,
    STOCK,
    other_of,
    other_stock_of,
    stock_of,
)
from lugplane.setup.override import AT
from lugplane.setup.parts import Setup
from lugplane.setup.place import Place

T = TypeVar("T")

_SHARED = ("platform", "master")


@dataclass(frozen=True, slots=True)
class Figure:
    """Least, greatest and nominal value of a number, and the paths of the facts it comes from.

    Where it cannot be told, `missing` names the facts that are not known, or `because` says why.
    `stands` is where a figure of one fact stands: two members of a family that inherit it have one.
    """

    lo: float = 0.0
    hi: float = 0.0
    nominal: float = 0.0
    facts: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    because: str = ""
    stands: str = ""

    @property
    def known(self) -> bool:
        return not self.missing and not self.because

    @property
    def span(self) -> Span:
        """Least and greatest. Raises `Missing` or `Undecided` where it cannot be told."""
        if self.missing:
            raise Missing(*self.missing)
        if self.because:
            raise Undecided(self.because)
        return self.lo, self.hi

    def one_with(self, other: Figure) -> bool:
        """Whether both are the very same reading."""
        same = bool(self.stands) and self.stands == other.stands
        return same and (self.lo, self.hi) == (other.lo, other.hi)


@dataclass(frozen=True, slots=True)
class Factor:
    """One factor of a braking torque. Two brakes whose factors have one key share its doubt."""

    key: tuple[object, ...]
    figure: Figure
    path: str


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

    @property
    def beside_stock(self) -> tuple[Factor, ...]:
        """The factors as they are set beside those of stock."""
        return self.factors if self.linked is None else self.linked

    @property
    def parts(self) -> tuple[str, ...]:
        """The ids of all parts: two brakes with the same are the same brake."""
        return tuple(self.ids.values())


@dataclass(frozen=True, slots=True)
class LoadState:
    """A state of loading: mass in kg and the front axle's share of it at rest."""

    name: str
    mass_kg: Figure
    front_share: Figure


@dataclass(frozen=True, slots=True)
class ValveFigures:
    """The rear valve: `kind` none, fixed, load-sensing (None: not known), its knee in either state
    of loading, and its slope. Without a valve knee and slope are not asked for."""

    kind: str | None
    knee_bar: Mapping[str, Figure]
    slope: Figure


@dataclass(frozen=True, slots=True)
class CarBrake:
    """A car as its brakes see it. Words are None where not known."""

    front: AxleBrake
    rear: AxleBrake
    kerb: LoadState
    gross: LoadState
    wheelbase_mm: Figure
    cog_height_mm: Figure
    valve: ValveFigures
    top_speed_kmh: Figure
    vehicle_class: str | None
    split: str | None
    electronics: str | None
    pedal_ratio: Figure
    pedal_travel_mm: Figure
    booster_gain: Figure
    run_out_n: Figure
    master_bore_mm: Figure
    master_stroke_mm: Figure
    first_stroke_mm: Figure
    second_stroke_mm: Figure

    @property
    def axles(self) -> tuple[AxleBrake, AxleBrake]:
        """Front and rear."""
        return self.front, self.rear

    @property
    def loads(self) -> tuple[LoadState, LoadState]:
        """Ready to drive, and at the permitted mass."""
        return self.kerb, self.gross


@dataclass(frozen=True, slots=True)
class Pair:
    """The car as it is to be built, and as the factory built it.

    `kept` is for what is reckoned of both and used again, each under a key of its own.
    """

    new: CarBrake
    stock: CarBrake
    kept: dict[object, Any] = field(default_factory=dict, compare=False, repr=False)

    @property
    def changed(self) -> bool:
        """Whether any part of either axle is another than stock."""
        axles = zip(self.new.axles, self.stock.axles, strict=True)
        return any(new.parts != stock.parts for new, stock in axles)


def brakes_of(b: Bench) -> Pair:
    """Both cars of a bench, reckoned once. Own and other axle as `setup.car` has them.

    Needs the stack to have been chosen on the bench. Constants: `running_gap_mm`,
    `tyre_radius_factor`, `friction_curve_from_c`, `friction_curve_to_c`.
    """
    if "pair" not in b.car:
        b.car["pair"] = _pair(b)
    found: Pair = b.car["pair"]
    return found


def use(b: Bench, *figures: Figure) -> None:
    """Note the facts behind some figures on the bench.

    Raises `Missing` with all facts that are not known, else `Undecided`, where any cannot be told.
    """
    for f in figures:
        b.place.note(*f.facts)
    missing = [m for f in figures for m in f.missing]
    if missing:
        raise Missing(*missing)
    for f in figures:
        f.span  # noqa: B018 - raises where it is undecided


def word(b: Bench, path: str, text: str | None) -> str:
    """A word of the car, noted on the bench. Raises `Missing` where it is not known."""
    b.place.note(path)
    if text is None:
        raise Missing(path)
    return text


def axle_figure(make: Callable[[], tuple[float, float, float]], b: Bench) -> Figure:
    """What `make` gives, as (least, greatest, nominal), with the facts that it reads on a bench."""
    missing: tuple[str, ...] = ()
    because = ""
    got = (0.0, 0.0, 0.0)
    with b.place.noting() as note:
        try:
            got = make()
        except Missing as error:
            missing = error.facts
        except (Undecided, DoesNotApply) as error:
            because = str(error)
        except ValueError as error:
            because = f"these facts contradict each other: {error}"
    return Figure(*got, tuple(note), missing, because)


def together(f: Callable[..., float], *figures: Figure) -> Figure:
    """`f` of some figures, `f` rising with each; what is missing of any is missing of all.

    So are all of them where no part can have them at once (`ValueError` of `f`).
    """
    facts = tuple(dict.fromkeys(p for x in figures for p in x.facts))
    missing = tuple(dict.fromkeys(p for x in figures for p in x.missing))
    because = next((x.because for x in figures if x.because), "")
    if missing or because:
        return Figure(0.0, 0.0, 0.0, facts, missing, because)
    try:
        found = (
            f(*(x.lo for x in figures)),
            f(*(x.hi for x in figures)),
            f(*(x.nominal for x in figures)),
        )
    except ValueError as error:
        said = f"these facts contradict each other: {error}"
        return Figure(0.0, 0.0, 0.0, facts, facts, said)
    return Figure(*found, facts)


def between(figure: Figure, low: float = 0.0, high: float = inf) -> Figure:
    """The figure where all of it lies above `low` and below `high`; else it is as good as unknown.

    A mass that may be nought, say: nothing is told by dividing by it, and its fact has to be
    measured.
    """
    if not figure.known or low < figure.lo <= figure.hi < high:
        return figure
    return replace(figure, missing=figure.facts)


def axle_brake(b: Bench, stock: AxleBrake | None = None) -> AxleBrake:
    """The brake on a bench whose parts are placed (the stack chosen where the mount is radial).

    `stock` is the factory's brake of the same axle, None if this is it: the cooling of another disc
    is taken to lie between the stock disc's and that in proportion to the ring's face (common
    practice, no source), and is not told where a solid ring takes the place of a vented one.
    """
    s, p, c = b.setup, b.place, b.constants
    gap, factor = c["running_gap_mm"], c["tyre_radius_factor"]
    window = c["friction_curve_from_c"], c["friction_curve_to_c"]
    pads = s.open_pads or (s.pad,)

    def fact(value: Value) -> Figure:
        stands = value.at if value.at != AT else ""
        return replace(axle_figure(lambda: _spread(p.q(value)), b), stands=stands)

    curves: list[FrictionCurve] = []

    def covered() -> tuple[float, float, float]:
        curves.extend(_curve(p, pad) for pad in pads)
        low, high = max(c.covers[0] for c in curves), min(c.covers[1] for c in curves)
        return low, high, (low + high) / 2

    def area() -> tuple[float, float, float]:
        bores, sides = p.numbers(s.caliper.pistons.bores_mm), s.caliper.pistons.a_side
        # The bores are those of one side; their number, where it is stated too, has to agree.
        many = p.number(sides) if sides.known else len(bores)
        body = p.word(s.caliper.body)
        if len(bores) != many:
            raise Undecided(f"{len(bores)} bores are stated for {many:g} pistons a side")
        if min(bores, default=0.0) <= 0.0:
            raise Missing(s.caliper.pistons.bores_mm.path)
        exact = piston_area_mm2(bores, body)
        return exact, exact, exact

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

    def rolling() -> tuple[float, float, float]:
        exact = rolling_radius_mm(tyre_diameter_mm(p.word(s.axle.tyre)), factor)
        return exact, exact, exact

    def left() -> tuple[float, float, float]:
        found, whole = worst_trim(b, gap), whole_area_mm2(b)
        lost = found.share_lost
        low, high = found.left_mm2 or (whole[0] * (1.0 - lost[1]), whole[1] * (1.0 - lost[0]))
        return low, high, (low + high) / 2

    def depth() -> tuple[float, float, float]:
        least = p.q(s.pad.min_lining_mm)
        linings = [p.q(s.pad.lining_mm)]
        alike = p.word(s.pad.alike) == "true"
        linings.append(linings[0] if alike else p.q(s.pad.outboard.lining_mm))

        def both(thick: Callable[[Any], float], thin: float) -> float:
            return min(max(0.0, thick(x) - thin) for x in linings)

        return (
            both(lambda x: x.lo, least.hi),
            both(lambda x: x.hi, least.lo),
            both(lambda x: x.nominal, least.nominal),
        )

    def whole() -> bool:
        """Whether the lining surely stays whole, wherever the disc lies."""
        joining = b.findings.get("joining")
        plate = s.adapter and not (joining and joining.choice and joining.choice.state == "bolts")
        if plate or b.radial:
            return False
        return worst_trim(b, gap).share_lost == (0.0, 0.0)

    def rubs() -> tuple[float, float, float]:
        found = [_friction(p, pad, window) for pad in pads]
        return min(f[0] for f in found), max(f[1] for f in found), found[0][2]

    diameter, inner = between(fact(s.disc.diameter_mm)), fact(s.disc.band_inner_inboard_mm)
    masses = {
        "caliper": fact(s.caliper.mass_kg),
        **({"carrier": fact(s.carrier.mass_kg)} if s.carrier is not None else {}),
        "disc": fact(s.disc.mass_kg),
        "pad": _twice(fact(s.pad.mass_kg)),
    }
    ring_mass = between(_ring_mass(b, fact))
    area_mm2, friction = axle_figure(area, b), between(axle_figure(rubs, b))
    curve_c = axle_figure(covered, b)
    r_eff, rolls = axle_figure(radius, b), axle_figure(rolling, b)
    face = between(_falling(_face_mm2, diameter, inner))
    form = axle_figure(lambda: _form(p.word(s.disc.ring)), b)
    cools = fact(
        s.platform.cooling_rear_wk if s.axle_name == "rear" else s.platform.cooling_front_wk
    )
    ratio = _cooling_ratio(s.disc.id, face, form, stock)
    pad_key: tuple[object, ...] = ("pad", *(pad.id for pad in s.open_pads or (s.pad,)))
    if s.pad.compound.known and not s.open_pads:
        pad_key = ("compound", s.pad.compound.word)
    elif not s.open_pads and (stands := _friction_stands(s.pad)):
        pad_key = ("pad", stands)
    ids = {
        "knuckle": s.knuckle.id,
        "caliper": s.caliper.id,
        "carrier": s.carrier.id if s.carrier is not None else "",
        "disc": s.disc.id,
        "pad": s.pad.id,
    }
    shape = _stands(s.pad.id, *_shape(s.pad.lining))
    uncut = r_eff.known and whole()
    on = [s.knuckle.id, s.mounted.id, *(() if uncut else (s.disc.id,))]
    radius_key = ("radius", s.axle_name, *on, shape, r_eff.lo, r_eff.hi)
    area_left = replace(axle_figure(left, b), stands=shape if uncut else "")
    worn = (s.pad.lining_mm, s.pad.outboard.lining_mm, s.pad.min_lining_mm)
    thick = replace(axle_figure(depth, b), stands=_stands(s.pad.id, *(v.at for v in worn)))
    return AxleBrake(
        s.axle_name,
        ids,
        area_mm2,
        friction,
        r_eff,
        together(torque_per_bar_nm, area_mm2, friction, r_eff),
        rolls,
        ring_mass,
        _ring_inertia(b, fact, ring_mass, diameter, inner),
        face,
        form,
        area_left,
        thick,
        together(lambda one, two: one * two, area_left, thick),
        together(lambda *kg: sum(kg), *masses.values()),
        masses,
        together(lambda x, y: x * y, cools, ratio),
        ratio,
        (
            Factor(("area", area_mm2.lo), area_mm2, "caliper.pistons.bores_mm"),
            # Of a curve and of a figure stated, equal ones are so but for rounding.
            Factor(
                (*pad_key, round(friction.lo, 9), round(friction.hi, 9)),
                friction,
                _friction_path(s.pad),
            ),
            Factor(radius_key, r_eff, "(effective radius)"),
        ),
        tuple(curves) if curve_c.known else (),
        curve_c,
        unlost() if uncut else None,
    )


def _spread(form: Any) -> tuple[float, float, float]:
    return form.lo, form.hi, form.nominal


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
        return _spread(p.q(pad.friction_ratio))
    letters = friction_class(p.word(pad.friction_letters))
    low = min(letters.normal[0], letters.hot[0])
    high = max(letters.normal[1], letters.hot[1])
    if low <= 0.0 or not isfinite(high):  # C and H have no end of their own
        raise Missing(pad.friction_ratio.path)
    return low, high, (low + high) / 2


def _shape(lining: Lining) -> tuple[str, ...]:
    """Where the facts of a lining's outline stand."""
    s = lining.sector
    return tuple(v.at for v in (s.inner_mm, s.outer_mm, s.angle_deg, lining.points_u_v))


def _stands(id_: str, *at: str) -> str:
    """Where some facts of a part stand; of facts measured anew the part's id."""
    return id_ if AT in at else " ".join(at)


def _twice(one: Figure) -> Figure:
    return replace(together(lambda kg: 2 * kg, one), stands=one.stands)


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


def _form(ring: str) -> tuple[float, float, float]:
    """Vented is 1, solid 0."""
    vented = 1.0 if ring == "vented" else 0.0
    return vented, vented, vented


def _falling(f: Callable[[float, float], float], rises: Figure, falls: Figure) -> Figure:
    """`f` of two figures, rising with the first and falling with the second."""
    turned = replace(falls, lo=falls.hi, hi=falls.lo)
    return together(f, rises, turned)


def _face_mm2(diameter_mm: float, inner_radius_mm: float) -> float:
    return 0.7853981633974483 * (diameter_mm**2 - (2.0 * inner_radius_mm) ** 2)


def _ring_mass(b: Bench, fact: Callable[[Value], Figure]) -> Figure:
    """The mass stated, else that of a solid ring from its size."""
    disc = b.setup.disc
    if disc.ring_mass_kg.known or disc.ring.text != "solid":
        return fact(disc.ring_mass_kg)
    found = _ring_of(
        *(fact(v) for v in (disc.diameter_mm, disc.band_inner_inboard_mm, disc.thickness_mm))
    )
    return replace(found, facts=(*found.facts, disc.ring.path))


def _ring_of(diameter: Figure, inner: Figure, thickness: Figure) -> Figure:
    turned = replace(inner, lo=inner.hi, hi=inner.lo)
    return together(
        lambda d, i, t: ring_mass_kg(d, 2.0 * i, t, GREY_IRON_DENSITY_KG_M3),
        diameter,
        turned,
        thickness,
    )


def _inertia(mass: Figure, diameter: Figure, inner: Figure) -> Figure:
    return together(lambda m, d, i: ring_inertia_kgm2(m, d, 2.0 * i), mass, diameter, inner)


def _ring_inertia(
    b: Bench, fact: Callable[[Value], Figure], mass: Figure, diameter: Figure, inner: Figure
) -> Figure:
    """Of the mass stated; of a ring weighed by its size that size counts once."""
    disc = b.setup.disc
    if disc.ring_mass_kg.known or disc.ring.text != "solid" or not mass.known:
        return _inertia(mass, diameter, inner)
    turned = replace(inner, lo=inner.hi, hi=inner.lo)
    found = together(
        lambda d, i, t: ring_inertia_kgm2(
            ring_mass_kg(d, 2.0 * i, t, GREY_IRON_DENSITY_KG_M3), d, 2.0 * i
        ),
        diameter,
        turned,
        fact(disc.thickness_mm),
    )
    return replace(found, facts=mass.facts)


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


# --- the two cars ---------------------------------------------------------------------------------


def _pair(b: Bench) -> Pair:
    own = b.setup
    mine_stock = _placed(b, lambda: stock_of(own), STOCK, own.axle_name)
    others_stock = _placed(b, lambda: other_stock_of(own), OTHER_STOCK, OTHER[own.axle_name])
    if own.other is None:
        others = _renamed(others_stock, OTHER_STOCK, OTHER_AXLE)
        others_stock = others
    else:
        others = _placed(b, lambda: other_of(own), OTHER_AXLE, OTHER[own.axle_name], others_stock)
        others_stock = _shared(others_stock, OTHER_STOCK, others, OTHER_AXLE)
    mine = axle_brake(b, mine_stock)
    mine_stock = _shared(mine_stock, STOCK, mine, "")
    mine, others = _beside(mine, mine_stock), _beside(others, others_stock)
    new, stock = {}, {}
    new[own.axle_name], stock[own.axle_name] = mine, mine_stock
    new[OTHER[own.axle_name]], stock[OTHER[own.axle_name]] = others, others_stock
    body = _body(b, own.platform, own.master)
    return Pair(
        CarBrake(new["front"], new["rear"], **body),
        CarBrake(stock["front"], stock["rear"], **body),
    )


def _beside(new: AxleBrake, stock: AxleBrake) -> AxleBrake:
    """A brake with its factors as they are set beside stock's.

    Where both linings stay whole both radii grow with the bolt line's: the new one is stock's times
    a quotient of its own, which is in less doubt than either.
    """
    one, two = new.whole, stock.whole
    radius, was = (brake.factors[-1] for brake in (new, stock))
    if one is None or two is None or new.ids["knuckle"] != stock.ids["knuckle"]:
        return new
    if radius.key == was.key:
        return new
    (lo, hi), (low, high) = radius.figure.span, was.figure.span
    quotient = Figure(
        max(least_quotient(one.least, two.most), lo / high),
        min(greatest_quotient(one.most, two.least), hi / low),
        radius.figure.nominal / was.figure.nominal,
        radius.figure.facts,
    )
    found = Factor(("radius over stock", new.axle), quotient, radius.path)
    return replace(new, linked=(*new.factors[:-1], was, found))


def _placed(
    b: Bench,
    find: Callable[[], Setup],
    role: str,
    axle: str,
    stock: AxleBrake | None = None,
) -> AxleBrake:
    """The brake of a setup other than the bench's own, its facts named for its role."""
    try:
        setup = find()
    except Missing as error:
        return _unknown(axle, error.facts)
    if stock is None and _alike(setup, b.setup):
        return _renamed(axle_brake(b), "", role)
    c = b.constants
    names = (
        "running_gap_mm",
        "tyre_radius_factor",
        "friction_curve_from_c",
        "friction_curve_to_c",
    )
    key = (*(c[name] for name in names), b.limits["trim"].bands)
    kept: dict[Any, Any] = {}
    if setup.fitted is not None and setup is setup.fitted.setup(axle):
        kept = setup.fitted.kept
    if (axle, key) not in kept:
        kept[axle, key] = axle_brake(_bench(b, setup), stock)
    if (axle, key, role) not in kept:
        kept[axle, key, role] = _renamed(kept[axle, key], "", role)
    found: AxleBrake = kept[axle, key, role]
    return found


def _alike(stock: Setup, own: Setup) -> bool:
    """Whether a bench's own setup is the stock one, as far as its brake goes."""
    kinds = ("knuckle", "caliper", "carrier", "disc", "pad", "platform")
    same = all(getattr(stock, kind) is getattr(own, kind) for kind in kinds)
    return same and stock.axle_name == own.axle_name and not own.measured


def _bench(b: Bench, setup: Setup) -> Bench:
    """A bench of another setup, with as much found as the lining's place needs."""
    there = Bench(setup, b.constants, b.limits)
    for kind, name in (("choice", "mount"), ("choice", "joint"), ("measure", "lug_misfit")):
        run(there, kind, name)
    if setup.adapter:
        run(there, "choice", "adapter")
    if setup.knuckle.mount.text == "radial":
        run(there, "measure", "lift")
        run(there, "choice", "stack")
    return there


def _unknown(axle: str, facts: tuple[str, ...]) -> AxleBrake:
    """A brake of which nothing is known for want of some facts."""
    nothing = Figure(missing=facts)
    return AxleBrake(
        axle,
        {"caliper": "", "carrier": "", "disc": "", "pad": ""},
        *(nothing,) * 13,
        dict.fromkeys(("caliper", "disc", "pad"), nothing),
        nothing,
        nothing,
        (Factor((axle, "unknown"), nothing, "(unknown)"),),
        (),
        nothing,
    )


def _renamed(brake: AxleBrake, was: str, role: str) -> AxleBrake:
    """A brake's facts with another role before their paths."""

    def one(path: str) -> str:
        if path.startswith("(") or path.split(".", 1)[0] in _SHARED:
            return path
        return role + path.removeprefix(was)

    return _mapped(brake, one)


def _shared(stock: AxleBrake, role: str, new: AxleBrake, new_role: str) -> AxleBrake:
    """Stock facts of parts that stay, named as the new brake's own."""
    staying = {kind for kind, id_ in stock.ids.items() if id_ and new.ids.get(kind) == id_}
    if stock.ids.get("knuckle") == new.ids.get("knuckle"):
        staying.add("knuckle")

    def one(path: str) -> str:
        bare = path.removeprefix(role)
        if path.startswith(role) and bare.split(".", 1)[0] in staying:
            return new_role + bare
        return path

    return _mapped(stock, one)


def _mapped(brake: AxleBrake, one: Callable[[str], str]) -> AxleBrake:
    def figure(f: Figure) -> Figure:
        facts, missing = tuple(map(one, f.facts)), tuple(map(one, f.missing))
        if facts == f.facts and missing == f.missing:
            return f
        return Figure(f.lo, f.hi, f.nominal, facts, missing, f.because, f.stands)

    figures: dict[str, Any] = {
        name: mapped
        for name in AxleBrake.__dataclass_fields__
        if isinstance(value := getattr(brake, name), Figure)
        and (mapped := figure(value)) is not value
    }
    return replace(
        brake,
        **figures,
        masses={kind: figure(f) for kind, f in brake.masses.items()},
        factors=tuple(Factor(f.key, figure(f.figure), one(f.path)) for f in brake.factors),
    )


def _body(b: Bench, car: Platform, master: Master | None) -> dict[str, Any]:
    """What the platform and its master cylinder say."""

    def fact(value: Value) -> Figure:
        return axle_figure(lambda: _spread(b.place.q(value)), b)

    def of_master(name: str) -> Figure:
        if master is None:
            return Figure(missing=("platform.master",))
        return between(fact(getattr(master, name)))

    def text(w: Word) -> str | None:
        return w.text

    knee = {"kerb": fact(car.valve_knee_kerb_bar), "gross": fact(car.valve_knee_gross_bar)}
    if car.valve.text == "fixed":
        # It minds no load: one knee, under whichever name it is stated.
        told = knee["kerb"] if car.valve_knee_kerb_bar.known else knee["gross"]
        knee = {"kerb": told, "gross": told}

    def load(name: str, kg: Value, front: Value) -> LoadState:
        return LoadState(name, between(fact(kg)), between(fact(front), 0.0, 1.0))

    return {
        "kerb": load("kerb", car.kerb_kg, car.kerb_front_share),
        "gross": load("gross", car.gross_kg, car.gross_front_share),
        "wheelbase_mm": between(fact(car.wheelbase_mm)),
        "cog_height_mm": between(fact(car.cog_height_mm)),
        "valve": ValveFigures(text(car.valve), knee, fact(car.valve_slope)),
        "top_speed_kmh": between(fact(car.top_speed_kmh)),
        "vehicle_class": text(car.vehicle_class),
        "split": text(car.split),
        "electronics": text(car.electronics),
        "pedal_ratio": between(fact(car.pedal.ratio)),
        "pedal_travel_mm": between(fact(car.pedal.travel_mm)),
        "booster_gain": between(fact(car.pedal.booster_gain)),
        "run_out_n": fact(car.pedal.run_out_n),
        "master_bore_mm": of_master("bore_mm"),
        "master_stroke_mm": of_master("stroke_mm"),
        "first_stroke_mm": of_master("first_stroke_mm"),
        "second_stroke_mm": of_master("second_stroke_mm"),
    }
