"""Balance of the whole car: front share beside stock, and the adhesion that the axles use.

A rear valve's knee enters as it stands; one that the anti-lock unit works (`valve: electronic`) has
none: there the unit holds the rear back, and what counts is that it finds the torques it was made
for. Monotone throughout, so the bounds are values at two corners: at a given z the front share
rises with `x = f/r` and the car's weight and falls with `r` (a firmer rear line meets the knee
sooner), knee and slope; the margin `φ - s - z h/L` falls besides with `s` and `h` and rises with
`L`. Letters as in `balance` and `car_share`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from lugplane.measure.adhesion import Least, lines_above_rear, lines_for_adhesion
from lugplane.measure.balance import Brakes, ForceLines, front_locks_z, lines_of, rear_locks_z
from lugplane.measure.bench import (
    Bench,
    Choice,
    DoesNotApply,
    Reckoned,
    choice,
    measure,
)
from lugplane.measure.car_share import (
    Advice,
    force_n_per_bar,
    ready,
    share,
    share_change,
    share_ratio,
    torque_ratio,
)
from lugplane.measure.loads import Loading
from lugplane.measure.valve import Valve
from lugplane.measure.whole_car import CarBrake, Figure, LoadState, Pair, brakes_of, use, word
from lugplane.quantity.form import Effect, Extent, Missing

ELECTRONIC = "electronic"
_HELD = "the anti-lock unit holds the rear pressure back; it relies on torques near stock"
# Radius at which torque in N·m is force in N for the two wheels: `balance.axle_force_n`.
_UNIT_RADIUS_MM = 2000.0


def in_points(e: Extent) -> Extent:
    """A share in hundredths."""
    effects = e.effects

    def scaled() -> dict[str, Effect]:
        return {p: Effect(100 * x.slope, x.half) for p, x in effects.items()}

    return Extent(100 * e.lo, 100 * e.hi, 100 * e.nominal, Advice(scaled))


def figures(unit: str, judged: Extent, **notes: Extent) -> Reckoned:
    """A quantity with further numbers beside it."""
    return Reckoned(judged, unit, judged, None, notes)


@measure
def front_share(b: Bench) -> Reckoned:
    """`φ' - φ` in points, at equal line pressure: a valve does nothing below its knee."""
    pair = brakes_of(b)
    ready(b, pair.new)
    ready(b, pair.stock)
    new, stock = share(pair.new), share(pair.stock)
    return figures(
        "points",
        in_points(share_change(pair)),
        front_points=in_points(new),
        stock_front_points=in_points(stock),
    )


@dataclass(frozen=True, slots=True)
class State:
    """A car in a state of loading as numbers: `x`, `r` (N per bar), mass, share, height, base, and
    the valve's knee (bar) and slope, None without one.
    """

    x: float
    r: float
    mass: float
    load: float
    height: float
    base: float
    knee: float | None = None
    slope: float | None = None

    @property
    def loading(self) -> Loading:
        """Raises `ValueError` as `Loading`."""
        return Loading(self.mass, self.load, self.height, self.base)

    @property
    def lines(self) -> tuple[ForceLines, Loading]:
        """Both axles' forces and the loading. Raises `ValueError` as `Loading` and `Valve`."""
        return _lines(self)

    @property
    def _valve(self) -> Valve | None:
        if self.knee is None or self.slope is None:
            return None
        return Valve(self.knee, self.slope)

    @property
    def brakes(self) -> Brakes:
        front = self.x * self.r
        return Brakes(front, self.r, _UNIT_RADIUS_MM, _UNIT_RADIUS_MM, self._valve)


@lru_cache(maxsize=256)  # one state is asked for by several measures in a row
def _lines(at: State) -> tuple[ForceLines, Loading]:
    loading = at.loading
    return lines_of(at.x * at.r, at.r, at._valve, loading), loading


@dataclass(frozen=True, slots=True)
class States:
    """The corner where the front share to spare is least, that where it is greatest, the middle."""

    least: State
    most: State
    nominal: State
    figures: Mapping[str, tuple[str, Figure]]

    def effects(self, f: Callable[[State], float]) -> dict[str, Effect]:
        """How each input, changed alone, moves `f`: advice on what to measure."""
        middle = {name: getattr(self.nominal, name) for name in self.figures}
        found: dict[str, Effect] = {}
        for name, (path, figure) in self.figures.items():
            if figure.hi > figure.lo:
                wide = figure.hi - figure.lo
                high, low = (f(State(**{**middle, name: v})) for v in (figure.hi, figure.lo))
                if high != low:
                    found[path] = Effect((high - low) / wide, wide / 2)
        return found


def valve_of(b: Bench, car: CarBrake, load: LoadState) -> tuple[Figure, Figure] | None:
    """Knee and slope of the rear valve in a state of loading; None without one, or where the
    anti-lock unit does its work. Raises `Missing`.
    """
    kind = word(b, "platform.valve", car.valve.kind)
    if kind in ("none", ELECTRONIC):
        return None
    knee, slope = car.valve.knee_bar[load.name], car.valve.slope
    use(b, knee, slope)
    if not 0.0 <= slope.lo <= slope.hi <= 1.0:
        raise ValueError("the rear valve's slope does not lie between 0 and 1")
    return knee, slope


def states(b: Bench, car: CarBrake, load: LoadState) -> States:
    """A car in a state of loading. Raises `Missing` or `Undecided` for what is not known."""
    key = "states", load.name
    known: tuple[States, Iterable[str]] | None = car.kept.get(key)
    if known is not None:
        b.place.note(*known[1])
        return known[0]
    facts: Iterable[str] = ()
    try:
        with b.place.noting() as facts:
            found = _read_states(b, car, load)
    finally:
        b.place.note(*facts)
    car.kept[key] = found, facts
    return found


def _read_states(b: Bench, car: CarBrake, load: LoadState) -> States:
    ready(b, car)
    use(b, load.mass_kg, load.front_share, car.cog_height_mm, car.wheelbase_mm)
    valve = valve_of(b, car, load)
    return _states(car, load, valve)


def _states(car: CarBrake, load: LoadState, valve: tuple[Figure, Figure] | None) -> States:
    ratio, rear = share_ratio(car), force_n_per_bar(car.rear)
    low, high = ratio.span
    nominal = force_n_per_bar(car.front).nominal / rear.nominal
    inputs: dict[str, tuple[str, Figure]] = {
        "load": (f"platform.{load.name}_front_share", load.front_share),
        "height": ("platform.cog_height_mm", car.cog_height_mm),
        "base": ("platform.wheelbase_mm", car.wheelbase_mm),
        "x": ("(front over rear)", Figure(low, high, nominal)),
        "r": ("(rear torque)", rear),
        "mass": (f"platform.{load.name}_kg", load.mass_kg),
    }
    if valve is not None:
        inputs["knee"] = (valve[0].facts[0], valve[0])
        inputs["slope"] = ("platform.valve_slope", valve[1])
    rising = {"x", "mass", "base"}
    least = {n: f.lo if n in rising else f.hi for n, (_, f) in inputs.items()}
    most = {n: f.hi if n in rising else f.lo for n, (_, f) in inputs.items()}
    return States(
        State(**least),
        State(**most),
        State(**{n: f.nominal for n, (_, f) in inputs.items()}),
        _named(inputs, car),
    )


def _named(
    inputs: Mapping[str, tuple[str, Figure]], car: CarBrake
) -> Mapping[str, tuple[str, Figure]]:
    """The inputs, front over rear by the friction that is in doubt if that is one pad's."""
    front = [f for f in car.front.factors if f.figure.hi > f.figure.lo]
    keys = {f.key for f in car.rear.factors}
    frictions = [f for f in front if _is_friction(f.path) and f.key not in keys]
    if not frictions:
        return inputs
    return {**inputs, "x": (frictions[0].path, inputs["x"][1])}


def _is_friction(path: str) -> bool:
    return path.endswith(("pad.friction_ratio", "pad.friction_curve.points_c_ratio"))


def both_loads(b: Bench, car: CarBrake) -> dict[str, States]:
    """Ready to drive and fully laden. Raises `Missing` with what is not known of either."""
    found: dict[str, States] = {}
    missing: list[str] = []
    for load in car.loads:
        try:
            found[load.name] = states(b, car, load)
        except Missing as error:
            missing += error.facts
    if missing:
        raise Missing(*missing)
    return found


def _not_electronic(b: Bench, car: CarBrake) -> None:
    if car.valve.kind == ELECTRONIC:
        b.place.note("platform.valve")
        raise DoesNotApply(_HELD)


def worse(one: Extent, two: Extent) -> Extent:
    """The lesser of two quantities over one box; the effects of the one that is lower."""
    low = one if one.lo <= two.lo else two
    return Extent(
        min(one.lo, two.lo), min(one.hi, two.hi), min(one.nominal, two.nominal), low.effects
    )


def front_first_margin(s: States, z_low: float, z_high: float) -> Extent:
    """Least of `φ - s - z h/L` over a stretch of z, as bounds."""

    def margin(at: State) -> float:
        return lines_above_rear(*at.lines, z_low, z_high).value

    return Extent(
        margin(s.least), margin(s.most), margin(s.nominal), Advice(lambda: s.effects(margin))
    )


@measure
def front_first(b: Bench, *, z_low: float, z_high: float) -> Reckoned:
    """Front share to spare before the rear axle uses more adhesion than the front, in points.

    Least over z and both states of loading (71/320/EEC annex II appendix 3.1.1).
    """
    car = brakes_of(b).new
    _not_electronic(b, car)
    found = {
        name: in_points(front_first_margin(s, z_low, z_high))
        for name, s in both_loads(b, car).items()
    }
    return figures("points", worse(*found.values()), **{f"{n}_points": e for n, e in found.items()})


def grip_use_margin(s: States, slope: float, low: float, high: float) -> Extent:
    """Least of `z(k) - 0.1 - C (k - 0.2)`, as bounds.

    The first axle to use k is either: the front locks at the least z where the share is most, the
    rear where it is least, so the least value is at one of both corners. At any k neither axle's
    greatest z is passed, and each is greatest at one of both corners; the least of a few k bounds
    it from above.
    """

    def margin(at: State) -> Least:
        return lines_for_adhesion(*at.lines, slope, low, high)

    corners = (s.least, s.most)
    ends, nominal = [margin(c) for c in corners], margin(s.nominal)
    tops = [
        min(max(lock(*c.lines, k) for c in corners) for lock in (front_locks_z, rear_locks_z))
        - 0.1
        - slope * (k - 0.2)
        for k in {nominal.at, *(e.at for e in ends)}
    ]
    return Extent(
        min(nominal.value, *(e.value for e in ends)),
        max(nominal.value, min(tops)),
        nominal.value,
        Advice(lambda: s.effects(lambda at: margin(at).value)),
    )


@measure
def grip_use(
    b: Bench,
    *,
    adhesion_slope_r13: float,
    adhesion_slope_r13h: float,
    adhesion_low: float,
    adhesion_high: float,
) -> Reckoned:
    """Braking reached beyond the least that the second condition asks, in g; the stricter slope.

    `z >= 0.1 + C (k - 0.2)` (71/320/EEC annex II appendix 3.1.1, UN R13 annex 10); the two
    regulations' `C` are both given as notes, since neither is confirmed.
    """
    car = brakes_of(b).new
    _not_electronic(b, car)
    loads = both_loads(b, car)

    def under(slope: float) -> Extent:
        kerb, gross = (
            grip_use_margin(s, slope, adhesion_low, adhesion_high) for s in loads.values()
        )
        return worse(kerb, gross)

    r13, r13h = under(adhesion_slope_r13), under(adhesion_slope_r13h)
    return figures("1", worse(r13, r13h), r13=r13, r13h=r13h)


@choice
def first_lock(b: Bench, *, friction_tyre: float) -> Choice:
    """Which axle locks first on the tyre's greatest friction, beside stock.

    The front does where `φ - s - z h/L` at z = μ is above zero: both lock together where it is
    nought, and below that z the front uses more. It is as stock where the rear surely locked first
    already, or no point of the box is worse than stock.
    """
    pair = brakes_of(b)
    _not_electronic(b, pair.new)
    now, before = (_first_of(b, car, friction_tyre) for car in (pair.new, pair.stock))
    said = f"ready to drive {now['kerb']}, fully laden {now['gross']}, on friction {friction_tyre}"
    if all(axle == "front" for axle in now.values()):
        return Choice("front", said)
    if not pair.changed or _never_lower(b, pair):
        return Choice("as-stock", f"{said}, as stock")
    open_ = [n for n in now if now[n] != "front" and before[n] != "rear"]
    if any(now[n] == "rear" and before[n] == "front" for n in open_):
        return Choice("rear", f"{said}; stock: the front")
    if open_:
        words = ", ".join(f"{_LOADED[n]} {before[n]}" for n in open_)
        return Choice("either", f"{said}; stock: {words}")
    return Choice("as-stock", f"{said}, as stock")


def _never_lower(b: Bench, pair: Pair) -> bool:
    """Whether the front share is nowhere below stock's, at whatever z.

    With a valve it rises with `x = f/r` and falls with `r`; without one `x` alone decides.
    """
    if share_change(pair).lo < -_GRAIN:
        return False
    if valve_of(b, pair.new, pair.new.gross) is None:
        return True
    return torque_ratio(pair.new.rear, pair.stock.rear).hi <= 1.0 + _GRAIN


EITHER = "cannot tell which"
_LOADED = {"kerb": "ready to drive", "gross": "fully laden"}
_GRAIN = 1e-12


def _first_of(b: Bench, car: CarBrake, friction: float) -> dict[str, str]:
    """The axle of a car that locks first, by the state of loading."""
    loads = both_loads(b, car)
    return {
        n: car.once(("first", n, friction), lambda s=s: _first(s, friction))  # type: ignore[misc]
        for n, s in loads.items()
    }


def _first(s: States, friction: float) -> str:
    margin = front_first_margin(s, friction, friction)
    return "front" if margin.lo > 0 else "rear" if margin.hi < 0 else EITHER
