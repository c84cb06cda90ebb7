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

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from lugplane.facts.records import Master, Platform
from lugplane.facts.value import Value
from lugplane.measure.bench import Bench, run
from lugplane.measure.car_axle import AxleBrake as AxleBrake
from lugplane.measure.car_axle import axle_brake
from lugplane.measure.car_figure import Factor as Factor
from lugplane.measure.car_figure import Figure as Figure
from lugplane.measure.car_figure import between as between
from lugplane.measure.car_figure import fact
from lugplane.measure.car_figure import together as together
from lugplane.measure.car_figure import use as use
from lugplane.measure.car_figure import word as word
from lugplane.measure.quotient import greatest_quotient, least_quotient
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
from lugplane.setup.parts import Setup

T = TypeVar("T")

_SHARED = ("platform", "master")


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
    """A car as its brakes see it. Words are None where not known.

    `kept` is for what is reckoned of this car alone and used again (`once`).
    """

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
    kept: dict[Hashable, Any] = field(default_factory=dict, init=False, compare=False, repr=False)

    def once(self, key: Hashable, make: Callable[[], T]) -> T:
        """What `make` gives, made when it is first asked for under a key."""
        if key not in self.kept:
            self.kept[key] = make()
        found: T = self.kept[key]
        return found

    @property
    def axles(self) -> tuple[AxleBrake, AxleBrake]:
        """Front and rear."""
        return self.front, self.rear

    @property
    def loads(self) -> tuple[LoadState, LoadState]:
        """Ready to drive, and at the permitted mass."""
        return self.kerb, self.gross


@dataclass(frozen=True, slots=True)
class Body:
    """What a car is apart from its axles' brakes: the further figures of a `CarBrake`.

    Cars of the factory's brakes are few, and are made once.
    """

    figures: Mapping[str, Any]
    stock_cars: dict[tuple[int, int], CarBrake] = field(default_factory=dict)

    def car(self, front: AxleBrake, rear: AxleBrake) -> CarBrake:
        """A car of these brakes."""
        return CarBrake(front, rear, **self.figures)

    def stock_car(self, front: AxleBrake, rear: AxleBrake) -> CarBrake:
        """The one car of these very brakes, which it keeps from being freed."""
        key = id(front), id(rear)
        if key not in self.stock_cars:
            self.stock_cars[key] = self.car(front, rear)
        return self.stock_cars[key]


@dataclass(frozen=True, slots=True)
class Pair:
    """The car as it is to be built, and as the factory built it.

    `kept` is for what is reckoned of both and used again, each under a key of its own.
    """

    new: CarBrake
    stock: CarBrake
    kept: dict[Hashable, Any] = field(default_factory=dict, compare=False, repr=False)

    def once(self, key: Hashable, make: Callable[[], T]) -> T:
        """What `make` gives, made when it is first asked for under a key."""
        if key not in self.kept:
            self.kept[key] = make()
        found: T = self.kept[key]
        return found

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


# --- the two cars ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Known:
    """A brake, and `named` what came of its facts' being named otherwise, under who they are of."""

    brake: AxleBrake
    named: dict[Hashable, AxleBrake] = field(default_factory=dict)

    def once(self, key: Hashable, make: Callable[[AxleBrake], AxleBrake]) -> AxleBrake:
        if key not in self.named:
            self.named[key] = make(self.brake)
        return self.named[key]

    def of(self, role: str) -> AxleBrake:
        """Its facts named for a role."""
        return self.once(role, lambda brake: _renamed(brake, "", role))

    def beside(self, role: str, new: AxleBrake, new_role: str) -> AxleBrake:
        """The same, but the facts of the parts that stay named as the new brake's own."""
        staying = _staying(self.brake, new)
        key = role, new_role, staying
        return self.once(key, lambda brake: _shared(self.of(role), role, staying, new_role))


def _pair(b: Bench) -> Pair:
    own = b.setup
    axle, far = own.axle_name, OTHER[own.axle_name]
    stock = _placed(b, lambda: stock_of(own), axle)
    far_stock = _placed(b, lambda: other_stock_of(own), far)
    if own.other is None:
        others = others_stock = far_stock.of(OTHER_AXLE)
    else:
        known = _placed(b, lambda: other_of(own), far, far_stock.of(OTHER_STOCK))
        others = known.of(OTHER_AXLE)
        others_stock = far_stock.beside(OTHER_STOCK, others, OTHER_AXLE)
    mine = axle_brake(b, stock.of(STOCK))
    mine_stock = stock.beside(STOCK, mine, "")
    mine, others = _beside(mine, mine_stock), _beside(others, others_stock)
    body = b.place.common("figures of the car", b.read, lambda: Body(_body(b)))
    if axle == "rear":
        return Pair(body.car(others, mine), body.stock_car(others_stock, mine_stock))
    return Pair(body.car(mine, others), body.stock_car(mine_stock, others_stock))


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


_READ = ("running_gap_mm", "tyre_radius_factor", "friction_curve_from_c", "friction_curve_to_c")


def _placed(
    b: Bench, find: Callable[[], Setup], axle: str, stock: AxleBrake | None = None
) -> _Known:
    """The brake of a setup other than the bench's own; what is the factory's is reckoned once."""
    try:
        setup = find()
    except Missing as error:
        return _Known(_unknown(axle, error.facts))
    if stock is None and _alike(setup, b.setup):
        return _Known(axle_brake(b))
    if setup.fitted is None or setup is not setup.fitted.setup(axle):
        return _Known(axle_brake(_bench(b, setup), stock))
    kept = setup.fitted.kept
    key = ("brake", axle, *(b.constants[name] for name in _READ), b.limits["trim"].bands)
    if key not in kept:
        kept[key] = _Known(axle_brake(_bench(b, setup), stock))
    found: _Known = kept[key]
    return found


def _alike(stock: Setup, own: Setup) -> bool:
    """Whether a bench's own setup is the stock one, as far as its brake goes.

    Where the factory's pad is known by its shape alone, a compound that is named may be another.
    """
    kinds = ("knuckle", "caliper", "carrier", "disc", "pad", "platform")
    same = all(getattr(stock, kind) is getattr(own, kind) for kind in kinds)
    same = same and stock.open_pads == own.open_pads
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


def _staying(stock: AxleBrake, new: AxleBrake) -> frozenset[str]:
    """The kinds of part that a new brake has of stock."""
    staying = {kind for kind, id_ in stock.ids.items() if id_ and new.ids.get(kind) == id_}
    if stock.ids.get("knuckle") == new.ids.get("knuckle"):
        staying.add("knuckle")
    return frozenset(staying)


def _shared(stock: AxleBrake, role: str, staying: frozenset[str], new_role: str) -> AxleBrake:
    """Stock facts of parts that stay, named as the new brake's own."""

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


def _body(b: Bench) -> dict[str, Any]:
    """What the platform and its master cylinder say, by the names of a `CarBrake`."""
    car: Platform = b.setup.platform
    master: Master | None = b.setup.master

    def above_nought(value: Value) -> Figure:
        return between(fact(b, value))

    def of_master(name: str) -> Figure:
        if master is None:
            return Figure(missing=("platform.master",))
        return above_nought(getattr(master, name))

    knee = {"kerb": fact(b, car.valve_knee_kerb_bar), "gross": fact(b, car.valve_knee_gross_bar)}
    if car.valve.text == "fixed":
        # It minds no load: one knee, under whichever name it is stated.
        told = knee["kerb"] if car.valve_knee_kerb_bar.known else knee["gross"]
        knee = {"kerb": told, "gross": told}

    def load(name: str, kg: Value, front: Value) -> LoadState:
        return LoadState(name, above_nought(kg), between(fact(b, front), 0.0, 1.0))

    return {
        "kerb": load("kerb", car.kerb_kg, car.kerb_front_share),
        "gross": load("gross", car.gross_kg, car.gross_front_share),
        "wheelbase_mm": above_nought(car.wheelbase_mm),
        "cog_height_mm": above_nought(car.cog_height_mm),
        "valve": ValveFigures(car.valve.text, knee, fact(b, car.valve_slope)),
        "top_speed_kmh": above_nought(car.top_speed_kmh),
        "vehicle_class": car.vehicle_class.text,
        "split": car.split.text,
        "electronics": car.electronics.text,
        "pedal_ratio": above_nought(car.pedal.ratio),
        "pedal_travel_mm": above_nought(car.pedal.travel_mm),
        "booster_gain": above_nought(car.pedal.booster_gain),
        "run_out_n": fact(b, car.pedal.run_out_n),
        "master_bore_mm": of_master("bore_mm"),
        "master_stroke_mm": of_master("stroke_mm"),
        "first_stroke_mm": of_master("first_stroke_mm"),
        "second_stroke_mm": of_master("second_stroke_mm"),
    }
