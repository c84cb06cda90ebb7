"""Heat of the discs beside stock, and what the new parts weigh, turn and wear.

Judged is how much hotter a ring gets than the stock one above the air: `X'/X - 1`. The car's mass
and speed cancel, and what both have in common (specific heat, the car's cooling) is taken once.
With `κ = h Δt/c` in common the excess for a unit of energy is `X(m, κ) = S(κ/m)/m`, which falls
with `m` and `κ`; so at one κ the ratio is bounded by corners. Over κ: for one spell
`S(y) = (1 - e^-y)/y`, for n snubs `(1 - e^-ny)/(1 - e^-y)`. With `B(y) = y/(e^y - 1)` the spell's
elasticity is `B(y) - 1`, which falls, so that the ratio is monotone in κ and its ends suffice. That
of snubs is `B(ny) - B(y)`, whose slope in ln y lies within ±0.42, as B's lies between -0.42 and 0.
The ratio's logarithm then changes by no more than `0.42 |ln(y'/y)|` for each unit of ln κ: a few
points and that bound hold it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import product
from math import exp, expm1, inf, log, sqrt
from typing import TypeAlias

from lugplane.measure.bench import Bench, Reckoned, Undecided, measure
from lugplane.measure.car_balance import figures, in_points
from lugplane.measure.car_share import Advice, ready, share
from lugplane.measure.car_work import bare_work, work_at
from lugplane.measure.corners import Span
from lugplane.measure.fade import TYPE_ONE
from lugplane.measure.heat import GREY_IRON_SPECIFIC_HEAT_J_KGK, BrakedMass, descent_power_w
from lugplane.measure.loads import STANDARD_GRAVITY
from lugplane.measure.stopping import KMH_PER_MS
from lugplane.measure.whole_car import AxleBrake, CarBrake, Figure, Pair, brakes_of, use, word
from lugplane.quantity.form import Effect, Extent, Missing

_STEEPEST = 0.42
_SLACK = 0.0001
_MOST_PIECES = 100


@dataclass(frozen=True, slots=True)
class Spell:
    """How heat comes: the time of cooling in it, S of `y`, and whether S needs the bound above."""

    seconds: float
    shape: Callable[[float], float]
    unimodal: bool


def one_spell(y: float) -> float:
    return -expm1(-y) / y if y > 0.0 else 1.0


@cache
def snubs(count: int) -> Callable[[float], float]:
    def shape(y: float) -> float:
        return expm1(-count * y) / expm1(-y) if y > 0.0 else float(count)

    return shape


def _at_once(y: float) -> float:
    return 1.0


AT_ONCE = Spell(0.0, _at_once, False)
"""Heat at once, of which the ring's mass alone decides."""


def ring_excess_ratio(new: AxleBrake, stock: AxleBrake, spell: Spell) -> Extent:
    """Excess of the new ring over that of the stock one for the same energy."""
    if new.ids["disc"] == stock.ids["disc"]:
        return Extent(1.0, 1.0, 1.0)
    m1, m0 = new.ring_mass_kg, stock.ring_mass_kg
    r, h = new.cooling_ratio, stock.cooling_wk
    low, high, nominal = _ratio_bounds(
        *((f.lo, f.hi, f.nominal) for f in (m1, m0, r, h)), m1.one_with(m0), spell
    )
    effects = {
        f.facts[0]: Effect(sign * nominal / f.nominal, (f.hi - f.lo) / 2)
        for f, sign in ((m1, -1.0), (m0, 1.0))
        if f.facts and f.hi > f.lo
    }
    return Extent(low, high, min(max(nominal, low), high), effects)


Told: TypeAlias = tuple[float, float, float]
"""Least, greatest and nominal value."""


@lru_cache(maxsize=512)  # the cars of a list have few discs
def _ratio_bounds(m1: Told, m0: Told, r: Told, h: Told, one_mass: bool, spell: Spell) -> Told:
    """Of new and stock mass, cooling over stock's, stock's cooling; `one_mass`: both are one.

    The excess falls with a ring's mass and with its cooling, so that of two masses the ratio is
    least with the new one's greatest and the stock one's least.
    """
    masses = list(product(m1[:2], m0[:2]))
    coolest, hottest = [(m1[1], m0[0])], [(m1[0], m0[1])]
    if one_mass:
        masses = coolest = hottest = [(m1[0], m1[0]), (m1[1], m1[1])]
    c = GREY_IRON_SPECIFIC_HEAT_J_KGK
    kappa = (h[0] * spell.seconds / c[1], h[1] * spell.seconds / c[0])

    def at(k: float, mine: float, ratio: float, theirs: float) -> float:
        over = spell.shape(k * ratio / mine) / mine
        return over / (spell.shape(k / theirs) / theirs)

    def least(k: float) -> float:
        return min(at(k, mine, r[1], theirs) for mine, theirs in coolest)

    def greatest(k: float) -> float:
        return max(at(k, mine, r[0], theirs) for mine, theirs in hottest)

    if not spell.unimodal or kappa[0] <= 0.0:
        low, high = min(map(least, kappa)), max(map(greatest, kappa))
    else:
        wide = log(kappa[0]), log(kappa[1])
        apart = max(abs(log(q / mine * theirs)) for q in r[:2] for mine, theirs in masses)
        high = exp(_greatest(lambda x: log(greatest(exp(x))), wide, _STEEPEST * apart))
        low = exp(-_greatest(lambda x: -log(least(exp(x))), wide, _STEEPEST * apart))
    return low, high, at(h[2] * spell.seconds / (sum(c) / 2), m1[2], r[2], m0[2])


def _greatest(of: Callable[[float], float], across: Span, steepest: float) -> float:
    """A bound of the greatest value of a function that is nowhere steeper than so much.

    Between two places it stands above their mean by half of what it can change on the way at most;
    that is halved where it matters.
    """
    ends = of(across[0]), of(across[1])
    reached, open_ = max(ends), [(*across, *ends)]
    bound = reached
    for _ in range(_MOST_PIECES):
        left = [
            (a, b, fa, fb)
            for a, b, fa, fb in open_
            if (fa + fb + steepest * (b - a)) / 2 > reached + _SLACK
        ]
        if not left:
            return reached + _SLACK
        a, b, fa, fb = max(left, key=lambda x: x[2] + x[3] + steepest * (x[1] - x[0]))
        bound = (fa + fb + steepest * (b - a)) / 2
        middle = (a + b) / 2
        there = of(middle)
        reached = max(reached, there)
        left.remove((a, b, fa, fb))
        open_ = [*left, (a, middle, fa, there), (middle, b, there, fb)]
    return max(bound, reached)


def hotter(b: Bench, pair: Pair, z: float, spell: Spell | None) -> tuple[Extent, Extent]:
    """How much hotter the hotter axle's ring gets than stock, as a share of stock's excess; and by
    how much more of that the front's does than the rear's.

    `spell` None: heat at once, of which the ring's mass alone decides.
    """
    axles = list(zip(pair.new.axles, pair.stock.axles, strict=True))
    for new, stock in axles:
        if new.ids["disc"] != stock.ids["disc"]:
            use(b, new.ring_mass_kg, stock.ring_mass_kg)
            if spell is not None:
                use(b, new.cooling_ratio, stock.cooling_wk)
    work = work_at(b, pair, z)
    rings = [ring_excess_ratio(new, stock, spell or AT_ONCE) for new, stock in axles]
    found = [_times(does, ring) for does, ring in zip(work.axles, rings, strict=True)]
    low, high = work.hardest(*((r.lo, r.hi) for r in rings))
    nominal = max(e.nominal for e in found)
    worst = max(found, key=lambda e: e.hi)
    judged = Extent(low - 1, high - 1, min(max(nominal, low), high) - 1, worst.effects)
    least, most = work.front_leads_by(*((r.lo, r.hi) for r in rings))
    lead = found[0].nominal - found[1].nominal
    return judged, Extent(least, most, min(max(lead, least), most))


def _times(one: Extent, two: Extent) -> Extent:

    def both() -> dict[str, Effect]:
        return {
            **{p: Effect(e.slope * two.nominal, e.half) for p, e in one.effects.items()},
            **{p: Effect(e.slope * one.nominal, e.half) for p, e in two.effects.items()},
        }

    return Extent(one.lo * two.lo, one.hi * two.hi, one.nominal * two.nominal, Advice(both))


def excess_k(
    car: CarBrake, axle: str, energy: Callable[[float, float], float], spell: Spell | None
) -> Extent | None:
    """Excess over the air of an axle's ring, K: `energy(mass, share)` in J or W; None: not known.

    Begun at the air's temperature. With C = m c, h = hA and a stop's energy E the last peak of
    equal stops is `Σ E/C exp(-j h Δt/C)`, j from 0: it falls with h, and with `y = hΔt/C` it is
    `E/(hΔt)` times `y/(1 - e^-y)` times `1 - e^-ky`, both rising in y, so it falls with C. A
    descent's `P/h (1 - e^(-h t/C))` falls with C, and with h since `(1 - e^-x)/x` falls. One stop
    is E/C.
    """
    brake = car.front if axle == "front" else car.rear
    mass, ring, cooling = car.gross.mass_kg, brake.ring_mass_kg, brake.cooling_wk
    if not (mass.known and ring.known and cooling.known):
        return None
    phi = share(car)
    part = (phi.lo, phi.hi, phi.nominal)
    if axle == "rear":
        part = (1 - phi.hi, 1 - phi.lo, 1 - phi.nominal)
    c = GREY_IRON_SPECIFIC_HEAT_J_KGK

    def at(kg: float, taken: float, m: float, heat: float, h: float) -> float:
        if spell is None:
            return energy(kg, taken) / (m * heat)
        return energy(kg, taken) / (m * heat) * spell.shape(h * spell.seconds / (m * heat))

    return Extent(
        at(mass.lo, part[0], ring.hi, c[1], cooling.hi),
        at(mass.hi, part[1], ring.lo, c[0], cooling.lo),
        at(mass.nominal, part[2], ring.nominal, sum(c) / 2, cooling.nominal),
    )


def descent(grade: float, kmh: float, km: float) -> tuple[Callable[[float, float], float], Spell]:
    """A descent as the energy that an axle's disc takes (of mass and share, J) and its spell."""
    seconds = km / kmh * 3600.0

    def energy(kg: float, taken: float) -> float:
        return descent_power_w(BrakedMass(kg, taken), grade, kmh / KMH_PER_MS) * seconds

    return energy, Spell(seconds, one_spell, False)


def hot_friction(brake: AxleBrake, excess: tuple[float, float, float], air_c: float) -> Extent:
    """Friction of a brake's pads where its disc stands so far above the air (least, greatest,
    nominal, K): what the measured curves reach at these temperatures.

    Pad and disc are taken to be of one temperature. Raises `Missing` where a compound has no curve,
    `Undecided` where it is not measured so far.
    """
    brake.curve_c.span  # noqa: B018 - raises where it is not known
    low, high, middle = (air_c + k for k in excess)
    spans = [curve.over(low, high) for curve in brake.curves]
    nominal = brake.curves[0].over(middle, middle)
    return Extent(min(s[0] for s in spans), max(s[1] for s in spans), sum(nominal) / 2)


def _told_friction(
    b: Bench, pair: Pair, air_c: float, told: dict[str, Extent]
) -> dict[str, Extent]:
    """What was told, and the friction of new and stock pads at that excess where curves tell it."""
    found = dict(told)
    for name, car in (("new", pair.new), ("stock", pair.stock)):
        excess = told.get(f"{name}_k")
        brake = car.front if b.setup.axle_name == "front" else car.rear
        if excess is None or not brake.curves:
            continue
        b.place.note(*brake.curve_c.facts)
        with suppress(Undecided):
            at = (excess.lo, excess.hi, excess.nominal)
            found[f"{name}_friction"] = hot_friction(brake, at, air_c)
    return found


def _told(
    b: Bench, pair: Pair, energy: Callable[[float, float], float], spell: Spell | None
) -> dict[str, Extent]:
    """The excess of the new and the stock ring of the axle that the sheet is about."""
    axle = b.setup.axle_name
    found = {
        "new_k": excess_k(pair.new, axle, energy, spell),
        "stock_k": excess_k(pair.stock, axle, energy, spell),
    }
    return {n: e for n, e in found.items() if e is not None}


def _figures(judged: Extent, lead: Extent, told: dict[str, Extent]) -> Reckoned:
    return figures("%", in_points(judged), front_leads_points=in_points(lead), **told)


@measure
def heat_stop(b: Bench, *, stop_kmh: float, heat_z: float) -> Reckoned:
    """One stop: how much hotter than stock (TRADE §5); the speed serves the notes alone."""
    pair = brakes_of(b)
    judged, lead = hotter(b, pair, heat_z, None)
    speed = stop_kmh / KMH_PER_MS

    def energy(kg: float, taken: float) -> float:
        return taken * kg * speed * speed / 4.0

    return _figures(judged, lead, _told(b, pair, energy, None))


@measure
def heat_repeated(b: Bench, *, air_c: float) -> Reckoned:
    """The Type-I snubs of the car's class (71/320/EEC annex II 1.3.1, UN R13), beside stock.

    `air_c` serves the notes alone.
    """
    pair = brakes_of(b)
    kind = word(b, "platform.vehicle_class", pair.new.vehicle_class)
    plan = TYPE_ONE["light-van" if kind == "light-van" else "car"]
    spell = Spell(plan.period_s, snubs(plan.count), True)
    judged, lead = hotter(b, pair, plan.deceleration_ms2 / STANDARD_GRAVITY, spell)
    top = pair.new.top_speed_kmh
    if not top.known:
        return _figures(judged, lead, {})
    high = min(plan.top_share * top.nominal, plan.most_kmh) / KMH_PER_MS

    def energy(kg: float, taken: float) -> float:
        return taken * kg * high * high * (1 - plan.end_share**2) / 4.0

    told = _told_friction(b, pair, air_c, _told(b, pair, energy, spell))
    return _figures(judged, lead, told)


@measure
def heat_descent(
    b: Bench, *, descent_grade: float, descent_kmh: float, descent_km: float, air_c: float
) -> Reckoned:
    """A descent at constant speed held by the brakes alone, beside stock (TRADE §5).

    `air_c` serves the notes alone.
    """
    pair = brakes_of(b)
    energy, spell = descent(descent_grade, descent_kmh, descent_km)
    sine = descent_grade / sqrt(1 + descent_grade**2)
    judged, lead = hotter(b, pair, sine, spell)
    told = _told_friction(b, pair, air_c, _told(b, pair, energy, spell))
    return _figures(judged, lead, told)


# --- mass, inertia, wear --------------------------------------------------------------------------


@measure
def unsprung(b: Bench) -> Reckoned:
    """Mass that a wheel's brake gains, kg, below nought if it is lighter; parts that stay cancel.

    Of two changed axles the one that gains more.
    """
    pair = brakes_of(b)
    found = []
    for new, stock in zip(pair.new.axles, pair.stock.axles, strict=True):
        kinds = [k for k in new.ids if new.ids[k] != stock.ids.get(k) and k != "knuckle"]
        kinds = [k for k in kinds if not _one_mass(new, stock, k)]
        if new.parts == stock.parts:
            continue
        gone = [stock.masses[k] for k in kinds if k in stock.masses]
        come = [new.masses[k] for k in kinds if k in new.masses]
        use(b, *come, *gone)
        found.append(
            Extent(
                sum(f.lo for f in come) - sum(f.hi for f in gone),
                sum(f.hi for f in come) - sum(f.lo for f in gone),
                sum(f.nominal for f in come) - sum(f.nominal for f in gone),
            )
        )
    return figures("kg", _greater(found))


def _one_mass(new: AxleBrake, stock: AxleBrake, kind: str) -> bool:
    """Whether two members of a family inherit one mass, which then cancels."""
    one, two = new.masses.get(kind), stock.masses.get(kind)
    return one is not None and two is not None and one.one_with(two)


def _greater(found: Sequence[Extent]) -> Extent:
    """The greatest of the axles that change, below nought too; nought where none does."""
    if not found:
        return Extent(0.0, 0.0, 0.0)
    return Extent(max(e.lo for e in found), max(e.hi for e in found), max(e.nominal for e in found))


@measure
def ring_inertia(b: Bench) -> Reckoned:
    """How much more a disc's ring resists being turned than stock, as a share; below nought less.

    Of two changed axles the worse.
    """
    pair = brakes_of(b)
    found = []
    for new, stock in zip(pair.new.axles, pair.stock.axles, strict=True):
        if new.ids["disc"] == stock.ids["disc"]:
            continue
        one, two = new.ring_inertia_kgm2, stock.ring_inertia_kgm2
        use(b, one, two)
        found.append(
            Extent(one.lo / two.hi - 1, one.hi / two.lo - 1, one.nominal / two.nominal - 1)
        )
    return figures("share", _greater(found))


@measure
def pad_life(b: Bench) -> Reckoned:
    """Life of the pads beside stock, the shorter-lived axle: volume to wear over work done.

    `(V'/V) / (φ'/φ)`: the volume worn is taken as proportional to the work done (Archard's wear
    law), alike for both compounds and temperatures. Compounds differ far more; it compares shapes.
    """
    pair = brakes_of(b)
    ready(b, pair.new)
    ready(b, pair.stock)
    work = bare_work(pair)
    volumes: list[tuple[float, float, float]] = []
    for new, stock in zip(pair.new.axles, pair.stock.axles, strict=True):
        volume = (1.0, 1.0, 1.0)
        if new.parts != stock.parts:
            depth = (1.0, 1.0, 1.0)
            if new.ids["pad"] != stock.ids["pad"]:
                depth = _beside(b, new.lining_depth_mm, stock.lining_depth_mm)
            area = _beside(b, new.lining_area_mm2, stock.lining_area_mm2)
            volume = (depth[0] * area[0], depth[1] * area[1], depth[2] * area[2])
        volumes.append(volume)
    # The shorter life is one over the greater of both axles' work for what there is to wear.
    most, least = work.hardest(*((_over(v[1]), _over(v[0])) for v in volumes))
    nominal = min(v[2] / w.nominal for v, w in zip(volumes, work.axles, strict=True))
    low, high = _over(least), _over(most)
    return figures("1", Extent(low, high, min(max(nominal, low), high)))


def _beside(b: Bench, new: Figure, stock: Figure) -> tuple[float, float, float]:
    """Least, greatest and nominal of new over stock; 1 where both are one reading."""
    use(b, new, stock)
    if new.one_with(stock):
        return 1.0, 1.0, 1.0
    if stock.lo <= 0.0:
        raise Missing(*stock.facts)
    return new.lo / stock.hi, new.hi / stock.lo, new.nominal / stock.nominal


def _over(value: float) -> float:
    """One over a value; of nothing without end."""
    return 1 / value if value > 0.0 else inf
