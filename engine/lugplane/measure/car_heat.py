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

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from math import exp, expm1, log, sqrt

from lugplane.measure.bench import Bench, Reckoned, measure
from lugplane.measure.car_balance import figures, in_points, share_at
from lugplane.measure.car_share import Advice, ready, share, work_ratio
from lugplane.measure.corners import Span
from lugplane.measure.fade import TYPE_ONE
from lugplane.measure.heat import GREY_IRON_SPECIFIC_HEAT_J_KGK, BrakedMass, descent_power_w
from lugplane.measure.loads import STANDARD_GRAVITY
from lugplane.measure.stopping import KMH_PER_MS
from lugplane.measure.whole_car import AxleBrake, CarBrake, Pair, brakes_of, use, word
from lugplane.quantity.form import Effect, Extent, Missing

_STEEPEST = 0.42
_PIECES = 6


@dataclass(frozen=True, slots=True)
class Spell:
    """How heat comes: the time of cooling in it, S of `y`, and whether S needs the bound above."""

    seconds: float
    shape: Callable[[float], float]
    unimodal: bool


def one_spell(y: float) -> float:
    return -expm1(-y) / y if y > 0.0 else 1.0


def snubs(count: int) -> Callable[[float], float]:
    def shape(y: float) -> float:
        return expm1(-count * y) / expm1(-y) if y > 0.0 else float(count)

    return shape


def work_bounds(b: Bench, pair: Pair, axle: str, z: float) -> Extent:
    """How much of the braking an axle does beside stock, a rear valve past its knee included."""
    ready(b, pair.new)
    ready(b, pair.stock)
    bare = work_ratio(pair, axle)
    if pair.new.front.parts == pair.stock.front.parts and (
        pair.new.rear.parts == pair.stock.rear.parts
    ):
        return bare
    if ("shares", z) not in pair.kept:
        pair.kept["shares", z] = [share_at(b, car, car.gross, z) for car in (pair.new, pair.stock)]
    found = pair.kept["shares", z]
    if found == [None, None]:
        return bare
    (new, stock) = (
        f or (share(c).lo, share(c).hi) for f, c in zip(found, (pair.new, pair.stock), strict=True)
    )
    if axle == "rear":
        new, stock = (1 - new[1], 1 - new[0]), (1 - stock[1], 1 - stock[0])
    low, high = new[0] / stock[1], new[1] / stock[0]
    return Extent(low, high, min(max(bare.nominal, low), high), bare.effects)


def ring_excess_ratio(new: AxleBrake, stock: AxleBrake, spell: Spell) -> Extent:
    """Excess of the new ring over that of the stock one for the same energy."""
    if new.ids["disc"] == stock.ids["disc"]:
        return Extent(1.0, 1.0, 1.0)
    m1, m0 = new.ring_mass_kg, stock.ring_mass_kg
    r, h = new.cooling_ratio, stock.cooling_wk
    c = GREY_IRON_SPECIFIC_HEAT_J_KGK
    kappa = (h.lo * spell.seconds / c[1], h.hi * spell.seconds / c[0])

    def at(k: float, mine: float, ratio: float, theirs: float) -> float:
        over = spell.shape(k * ratio / mine) / mine
        return over / (spell.shape(k / theirs) / theirs)

    def ends(k: float) -> Span:
        return at(k, m1.hi, r.hi, m0.lo), at(k, m1.lo, r.lo, m0.hi)

    if not spell.unimodal or kappa[0] <= 0.0:
        points, slack = list(kappa), 0.0
    else:
        wide = log(kappa[1] / kappa[0])
        points = [kappa[0] * exp(wide * n / _PIECES) for n in range(_PIECES + 1)]
        apart = max(
            abs(log(q / mine * theirs))
            for q, mine, theirs in product((r.lo, r.hi), (m1.lo, m1.hi), (m0.lo, m0.hi))
        )
        slack = _STEEPEST * apart * wide / _PIECES / 2
    found = [ends(k) for k in points]
    low, high = min(f[0] for f in found) * exp(-slack), max(f[1] for f in found) * exp(slack)
    nominal = at(h.nominal * spell.seconds / (sum(c) / 2), m1.nominal, r.nominal, m0.nominal)
    effects = {
        f.facts[0]: Effect(sign * nominal / f.nominal, (f.hi - f.lo) / 2)
        for f, sign in ((m1, -1.0), (m0, 1.0))
        if f.facts and f.hi > f.lo
    }
    return Extent(low, high, min(max(nominal, low), high), effects)


def hotter(b: Bench, pair: Pair, z: float, spell: Spell | None) -> Extent:
    """How much hotter the hotter axle's ring gets than stock, as a share of stock's excess.

    `spell` None: heat at once, of which the ring's mass alone decides.
    """
    found: list[Extent] = []
    for new, stock in zip(pair.new.axles, pair.stock.axles, strict=True):
        if new.ids["disc"] != stock.ids["disc"]:
            use(b, new.ring_mass_kg, stock.ring_mass_kg)
            if spell is not None:
                use(b, new.cooling_ratio, stock.cooling_wk)
        work = work_bounds(b, pair, new.axle, z)
        ring = ring_excess_ratio(new, stock, spell or Spell(0.0, lambda y: 1.0, False))
        found.append(_times(work, ring))
    worst = max(found, key=lambda e: e.hi)
    return Extent(
        max(e.lo for e in found) - 1,
        max(e.hi for e in found) - 1,
        max(e.nominal for e in found) - 1,
        worst.effects,
    )


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

    Falls with ring mass, specific heat and cooling; see `heat_bounds`.
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


@measure
def heat_stop(b: Bench, *, stop_kmh: float, heat_z: float) -> Reckoned:
    """One stop: how much hotter than stock (TRADE §5); the speed serves the notes alone."""
    pair = brakes_of(b)
    judged = hotter(b, pair, heat_z, None)
    speed = stop_kmh / KMH_PER_MS

    def energy(kg: float, taken: float) -> float:
        return taken * kg * speed * speed / 4.0

    return figures("%", in_points(judged), **_told(b, pair, energy, None))


@measure
def heat_repeated(b: Bench) -> Reckoned:
    """The Type-I snubs of the car's class (71/320/EEC annex II 1.3.1, UN R13), beside stock."""
    pair = brakes_of(b)
    kind = word(b, "platform.vehicle_class", pair.new.vehicle_class)
    plan = TYPE_ONE["light-van" if kind == "light-van" else "car"]
    spell = Spell(plan.period_s, snubs(plan.count), True)
    judged = hotter(b, pair, plan.deceleration_ms2 / STANDARD_GRAVITY, spell)
    top = pair.new.top_speed_kmh
    if not top.known:
        return figures("%", in_points(judged))
    high = min(plan.top_share * top.nominal, plan.most_kmh) / KMH_PER_MS

    def energy(kg: float, taken: float) -> float:
        return taken * kg * high * high * (1 - plan.end_share**2) / 4.0

    return figures("%", in_points(judged), **_told(b, pair, energy, spell))


@measure
def heat_descent(
    b: Bench, *, descent_grade: float, descent_kmh: float, descent_km: float
) -> Reckoned:
    """A descent at constant speed held by the brakes alone, beside stock (TRADE §5)."""
    pair = brakes_of(b)
    seconds = descent_km / descent_kmh * 3600.0
    spell = Spell(seconds, one_spell, False)
    sine = descent_grade / sqrt(1 + descent_grade**2)
    judged = hotter(b, pair, sine, spell)

    def energy(kg: float, taken: float) -> float:
        braked = BrakedMass(kg, taken)
        return descent_power_w(braked, descent_grade, descent_kmh / KMH_PER_MS) * seconds

    return figures("%", in_points(judged), **_told(b, pair, energy, spell))


# --- mass, inertia, wear --------------------------------------------------------------------------


@measure
def unsprung(b: Bench) -> Reckoned:
    """Mass that a wheel's brake gains, kg: the axle that gains more; parts that stay cancel."""
    pair = brakes_of(b)
    found = []
    for new, stock in zip(pair.new.axles, pair.stock.axles, strict=True):
        kinds = [k for k in new.ids if new.ids[k] != stock.ids.get(k) and k != "knuckle"]
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
    return figures("kg", _greater(*found))


def _greater(one: Extent, two: Extent) -> Extent:
    return Extent(max(one.lo, two.lo), max(one.hi, two.hi), max(one.nominal, two.nominal))


@measure
def ring_inertia(b: Bench) -> Reckoned:
    """How much more a disc's ring resists being turned than stock, as a share: the worse axle."""
    pair = brakes_of(b)
    found = []
    for new, stock in zip(pair.new.axles, pair.stock.axles, strict=True):
        if new.ids["disc"] == stock.ids["disc"]:
            found.append(Extent(0.0, 0.0, 0.0))
            continue
        one, two = new.ring_inertia_kgm2, stock.ring_inertia_kgm2
        use(b, one, two)
        found.append(
            Extent(one.lo / two.hi - 1, one.hi / two.lo - 1, one.nominal / two.nominal - 1)
        )
    return figures("share", _greater(*found))


@measure
def pad_life(b: Bench) -> Reckoned:
    """Life of the pads beside stock, the shorter-lived axle: volume to wear over work done.

    Archard's wear law, alike for both compounds: it compares shapes (see `pad_life.life_ratio`).
    """
    pair = brakes_of(b)
    ready(b, pair.new)
    ready(b, pair.stock)
    found = []
    for new, stock in zip(pair.new.axles, pair.stock.axles, strict=True):
        work = work_ratio(pair, new.axle)
        volume = (1.0, 1.0, 1.0)
        if new.parts != stock.parts:
            one, two = new.lining_mm3, stock.lining_mm3
            use(b, one, two)
            if two.lo <= 0.0:
                raise Missing("stock:pad.lining_mm")
            volume = (one.lo / two.hi, one.hi / two.lo, one.nominal / two.nominal)
        found.append(Extent(volume[0] / work.hi, volume[1] / work.lo, volume[2] / work.nominal))
    low = min(found, key=lambda e: e.lo)
    return figures("1", Extent(low.lo, min(e.hi for e in found), min(e.nominal for e in found)))
