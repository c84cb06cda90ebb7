"""The figures of a car, stock beside proposed: bounds, or why they cannot be told."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from lugplane.answers.car_curves import (
    LOADINGS,
    adhesion_span,
    cars,
    doubt_of,
    hottest,
    own_curves,
)
from lugplane.answers.car_facts import named, whose
from lugplane.answers.curves import Curve, Doubt, HeatCurves
from lugplane.answers.rows import Row, Span
from lugplane.answers.sheet import Sheet
from lugplane.measure.balance import (
    Brakes,
    force_lines,
    front_locks_z,
    pressure_for_z_bar,
    rear_locks_z,
)
from lugplane.measure.bench import Bench, Undecided
from lugplane.measure.car_balance import State, front_first_margin, states, valve_of
from lugplane.measure.car_heat import descent, excess_k, hot_friction
from lugplane.measure.car_pedal import fluid_mm3
from lugplane.measure.car_share import force_n_per_bar, ready, share, share_change, torque_ratio
from lugplane.measure.corners import corner_bounds
from lugplane.measure.fade import OwnStop
from lugplane.measure.hydraulics import circle_area_mm2
from lugplane.measure.loads import STANDARD_GRAVITY, Loading
from lugplane.measure.pedal import foot_travel_mm
from lugplane.measure.stopping import TYPE_ZERO_CARS
from lugplane.measure.valve import Valve
from lugplane.measure.whole_car import AxleBrake, CarBrake, Figure, Pair, brakes_of, use
from lugplane.quantity.form import Extent, Missing
from lugplane.setup.car import AXLES

STOP_MS2 = TYPE_ZERO_CARS.deceleration_ms2
"""Deceleration whose line pressure is told."""
EITHER = "cannot tell which"
# Radius at which torque in N·m is force in N for the two wheels: `balance.axle_force_n`.
_UNIT_MM = 2000.0


@dataclass(frozen=True, slots=True)
class Amount:
    """Bounds, a word, or both (the axle that locks first, and where); else the doubt."""

    span: Span | None = None
    word: str = ""
    doubt: Doubt | None = None


@dataclass(frozen=True, slots=True)
class CarFigure:
    """A figure of both cars. `axle` and `loading` empty: of the whole car, of any loading.

    `change` is what is proposed less stock, in `change_unit` (`share`: as a share of stock,
    `points`: hundredths); None where it is not told. It may be narrower than the two figures let
    expect, since what both cars have in common does not count in it.
    """

    name: str
    axle: str
    loading: str
    unit: str
    stock: Amount
    proposed: Amount
    change: Span | None = None
    change_unit: str = ""


def car_figures(
    b: Bench,
    sheets: Mapping[str, Sheet],
    stock: Mapping[str, Sheet],
    heat: Sequence[HeatCurves],
) -> tuple[CarFigure, ...]:
    """All figures. `b` is the front's bench; `stock` sheets may be none."""
    pair = brakes_of(b)
    one_stop = own_curves(b, "", (OwnStop(b.constants["stop_kmh"], 0.0, 0.0),))
    return (
        _front_share(b, pair),
        *_torques(b, pair),
        _both("line-pressure", "bar", pair, partial(_pressure, b), loading="gross"),
        _both("pedal-stroke", "mm", pair, partial(_travel, b)),
        _of_row("pedal-reserve", sheets, stock),
        *(
            _both("first-lock", "g", pair, partial(_lock, b, load=load), loading=load)
            for load in LOADINGS
        ),
        *_adhesions(b, pair),
        *_heats("one-stop", one_stop),
        *(f for course in heat for f in _heats(course.name, course)),
        *_frictions(b, pair, heat),
        *_unsprung(b, pair),
        _of_row("pad-life", sheets, stock),
    )


def _told(make: Callable[[], Amount]) -> Amount:
    held: list[Amount] = []
    doubt = doubt_of(lambda: held.append(make()))
    return held[0] if doubt is None else Amount(doubt=named(doubt, "front"))


def _both(
    name: str,
    unit: str,
    pair: Pair,
    make: Callable[[CarBrake], Amount],
    *,
    axle: str = "",
    loading: str = "",
) -> CarFigure:
    (_, before), (_, after) = cars(pair)
    old, new = _told(lambda: make(before)), _told(lambda: make(after))
    return CarFigure(name, axle, loading, unit, old, new)


def _amount(value: Extent | Figure) -> Amount:
    return Amount(Span(value.lo, value.hi, value.nominal))


def _changed(make: Callable[[], Extent], factor: float, less: float) -> Span | None:
    held: list[Span] = []

    def reckon() -> None:
        e = make()
        held.append(Span(*(factor * (x - less) for x in (e.lo, e.hi, e.nominal))))

    return held[0] if doubt_of(reckon) is None else None


# --- braking --------------------------------------------------------------------------------------


def _front_share(b: Bench, pair: Pair) -> CarFigure:
    def of(car: CarBrake) -> Amount:
        ready(b, car)
        return _amount(share(car))

    one = _both("front-share", "share", pair, of)
    change = _changed(lambda: share_change(pair), 100.0, 0.0)
    return replace(one, change=change, change_unit="points")


def _torques(b: Bench, pair: Pair) -> Iterator[CarFigure]:
    for axle, (new, old) in _by_axle(pair):
        before = _figure(b, old.torque_per_bar_nm)
        after = _figure(b, new.torque_per_bar_nm)
        change = _changed(partial(torque_ratio, new, old), 1.0, 1.0)
        yield CarFigure("torque-per-bar", axle, "", "N·m", before, after, change, "share")


def _by_axle(pair: Pair) -> Iterator[tuple[str, tuple[AxleBrake, AxleBrake]]]:
    """Both brakes of each axle, the proposed one first."""
    for new, old in zip(pair.new.axles, pair.stock.axles, strict=True):
        yield new.axle, (new, old)


def _figure(b: Bench, figure: Figure) -> Amount:
    def make() -> Amount:
        use(b, figure)
        return _amount(figure)

    return _told(make)


def _pressure(b: Bench, car: CarBrake) -> Amount:
    """Line pressure that brakes the fully laden car with `STOP_MS2`, bar.

    Weight times `z` over the force for each bar: rises with the mass and falls with both axles'
    forces; a rear valve that begins later or lets more through leaves less to the front line.
    """
    ready(b, car)
    use(b, car.gross.mass_kg)
    valve = valve_of(b, car, car.gross)

    def bar(kg: float, front: float, rear: float, knee: float = -1.0, slope: float = 1.0) -> float:
        fitted = None if valve is None else Valve(knee, slope)
        brakes = Brakes(front, rear, _UNIT_MM, _UNIT_MM, fitted)
        return pressure_for_z_bar(brakes, Loading(kg, 0.5, 1.0, 1.0), STOP_MS2 / STANDARD_GRAVITY)

    falls = {"front": force_n_per_bar(car.front), "rear": force_n_per_bar(car.rear)}
    if valve is not None:
        falls |= {"knee": valve[0], "slope": valve[1]}
    low, high = corner_bounds(
        bar,
        rises={"kg": car.gross.mass_kg.span},
        falls={n: f.span for n, f in falls.items()},
    )
    middle = bar(car.gross.mass_kg.nominal, **{n: f.nominal for n, f in falls.items()})
    return Amount(Span(low, high, min(max(middle, low), high)))


def _lock(b: Bench, car: CarBrake, load: str) -> Amount:
    """The axle that locks first on the greatest friction of the tyres, and at how many g.

    The front's deceleration is greatest at the corner where the front share is least, the rear's
    where it is most; the first to lock is the lesser of both. Of bare lines where the anti-lock
    unit holds the rear pressure back.
    """
    s, friction = states(b, car, getattr(car, load)), b.constants["friction_tyre"]
    margin = front_first_margin(s, friction, friction)
    word = "front" if margin.lo > 0.0 else "rear" if margin.hi < 0.0 else EITHER

    def locks(front_at: State, rear_at: State) -> float:
        front = front_locks_z(
            force_lines(front_at.brakes, front_at.loading), front_at.loading, friction
        )
        rear = rear_locks_z(force_lines(rear_at.brakes, rear_at.loading), rear_at.loading, friction)
        return min(front, rear)

    low, high = locks(s.most, s.least), locks(s.least, s.most)
    return Amount(Span(low, high, min(max(locks(s.nominal, s.nominal), low), high)), word)


def _adhesions(b: Bench, pair: Pair) -> Iterator[CarFigure]:
    """Adhesion used at the end of the regulation's stretch of decelerations."""
    z = b.constants["z_high"]
    for load in LOADINGS:
        for axle in AXLES:

            def of(car: CarBrake, load: str = load, axle: str = axle) -> Amount:
                return Amount(adhesion_span(states(b, car, getattr(car, load)), axle, z))

            yield _both("adhesion-used", "1", pair, of, axle=axle, loading=load)


# --- pedal ----------------------------------------------------------------------------------------


def _travel(b: Bench, car: CarBrake) -> Amount:
    """Travel at the foot that both axles' calipers take in a hard stop, mm."""
    closing = b.constants["pad_gap_mm"] + b.constants["pad_give_mm"]
    fluids = [fluid_mm3(a, closing) for a in car.axles]
    use(b, *fluids, car.master_bore_mm, car.pedal_ratio)

    def foot(mm3: float, ratio: float, bore: float) -> float:
        return foot_travel_mm(mm3 / circle_area_mm2(bore), ratio)

    whole = (sum(f.lo for f in fluids), sum(f.hi for f in fluids))
    low, high = corner_bounds(
        foot,
        rises={"mm3": whole, "ratio": car.pedal_ratio.span},
        falls={"bore": car.master_bore_mm.span},
    )
    middle = foot(
        sum(f.nominal for f in fluids), car.pedal_ratio.nominal, car.master_bore_mm.nominal
    )
    return Amount(Span(low, high, min(max(middle, low), high)))


# --- what else ------------------------------------------------------------------------------------


def _heats(name: str, course: HeatCurves) -> Iterator[CarFigure]:
    for axle in AXLES:
        told = {c.setup: _hottest(c) for c in course.curves if c.axle == axle}
        yield CarFigure(name, axle, "gross", "K", told["stock"], told["proposed"])


def _frictions(b: Bench, pair: Pair, heat: Sequence[HeatCurves]) -> Iterator[CarFigure]:
    """Friction where a course or the descent is hottest, of axles a pad of which has a curve."""
    c = b.constants
    energy, spell = descent(c["descent_grade"], c["descent_kmh"], c["descent_km"])

    def in_course(course: HeatCurves, setup: str, brake: AxleBrake) -> Extent | Span:
        one = next(x for x in course.curves if (x.setup, x.axle) == (setup, brake.axle))
        found = hottest(one)
        if found is None:
            doubt = one.doubt or Doubt()
            raise Missing(*doubt.facts) if doubt.facts else Undecided(doubt.because)
        return found

    def in_descent(setup: str, brake: AxleBrake) -> Extent | Span:
        car = pair.stock if setup == "stock" else pair.new
        ready(b, car)
        use(b, car.gross.mass_kg, brake.ring_mass_kg, brake.cooling_wk)
        found = excess_k(car, brake.axle, energy, spell)
        assert found is not None  # all that it may want of was asked for
        return found

    courses: dict[str, Callable[[str, AxleBrake], Extent | Span]] = {
        **{course.name: partial(in_course, course) for course in heat},
        "descent": in_descent,
    }
    for name, excess in courses.items():
        for axle, (new, old) in _by_axle(pair):
            if new.curves or old.curves:
                before = _friction(b, old, partial(excess, "stock", old))
                after = _friction(b, new, partial(excess, "proposed", new))
                change = _beside(after.span, before.span, pair.changed)
                yield CarFigure(
                    f"friction-{name}", axle, "gross", "1", before, after, change, "share"
                )


def _friction(b: Bench, brake: AxleBrake, excess: Callable[[], Extent | Span]) -> Amount:
    def make() -> Amount:
        use(b, brake.curve_c)
        e = excess()
        return _amount(hot_friction(brake, (e.lo, e.hi, e.nominal), b.constants["air_c"]))

    return _told(make)


def _beside(new: Span | None, stock: Span | None, changed: bool) -> Span | None:
    """How much more it is than stock, as a share of that; no car that is as stock differs."""
    if new is None or stock is None or stock.lo <= 0.0:
        return None
    if not changed:
        return Span(0.0, 0.0, 0.0)
    return Span(new.lo / stock.hi - 1, new.hi / stock.lo - 1, new.nominal / stock.nominal - 1)


def _hottest(curve: Curve) -> Amount:
    return Amount(hottest(curve), doubt=curve.doubt)


def _unsprung(b: Bench, pair: Pair) -> Iterator[CarFigure]:
    for axle, (new, old) in _by_axle(pair):
        before, after = _figure(b, old.unsprung_kg), _figure(b, new.unsprung_kg)
        yield CarFigure("unsprung", axle, "", "kg", before, after)


def _of_row(name: str, sheets: Mapping[str, Sheet], stock: Mapping[str, Sheet]) -> CarFigure:
    """A figure that the checks reckon."""
    row = sheets["front"].row(name)
    before = (
        _row_amount(stock["front"].row(name))
        if stock
        else Amount(doubt=Doubt(because="the stock car is not known"))
    )
    return CarFigure(name, "", "", row.unit, before, _row_amount(row))


def _row_amount(row: Row) -> Amount:
    if row.value is not None:
        return Amount(row.value)
    facts = tuple(dict.fromkeys(whose(m, "front") for m in row.missing))
    return Amount(doubt=Doubt(facts, row.because))
