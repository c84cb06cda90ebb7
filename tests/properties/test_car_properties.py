"""What must hold of the whole car's figures whatever the numbers are."""

from __future__ import annotations

from dataclasses import fields, replace
from itertools import product
from math import prod

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.car_balance import State, States, front_first_margin, grip_use_margin
from lugplane.measure.car_heat import Spell, one_spell, ring_excess_ratio, snubs
from lugplane.measure.car_share import (
    braking_ratio,
    share,
    share_change,
    torque_ratio,
    work_ratio,
)
from lugplane.measure.hydraulics import piston_area_mm2, torque_per_bar_nm
from lugplane.measure.whole_car import AxleBrake, CarBrake, Factor, Figure, Pair
from lugplane.quantity.form import Extent

_ROUNDING = 1e-9


def figure(lo: float, hi: float) -> Figure:
    return Figure(lo, hi, (lo + hi) / 2)


NOTHING = Figure(missing=("nothing",))


def brake(axle: str, factors: dict[tuple[object, ...], Figure], **more: Figure) -> AxleBrake:
    """A brake of bare factors; what a test does not speak of is not known."""
    names = [n for n, f in AxleBrake.__dataclass_fields__.items() if f.type == "Figure"]
    known = dict.fromkeys(names, NOTHING)
    torque = figure(1.0, 1.0)
    for f in factors.values():
        torque = Figure(torque.lo * f.lo, torque.hi * f.hi, torque.nominal * f.nominal)
    known |= {"torque_per_bar_nm": torque, "rolling_radius_mm": figure(300.0, 300.0), **more}
    return AxleBrake(
        axle=axle,
        ids={"disc": str(more.get("ring_mass_kg"))},
        masses={},
        curves=(),
        factors=tuple(Factor(k, f, str(k)) for k, f in factors.items()),
        **known,
    )


def car(front: AxleBrake, rear: AxleBrake) -> CarBrake:
    names = [f.name for f in fields(CarBrake) if f.init and f.name not in ("front", "rear")]
    return CarBrake(front, rear, **dict.fromkeys(names))  # type: ignore[arg-type]


amounts = st.floats(0.2, 5.0)
doubts = st.floats(0.0, 0.4)


@st.composite
def spans(draw: st.DrawFn) -> Figure:
    middle, doubt = draw(amounts), draw(doubts)
    return figure(middle * (1 - doubt), middle * (1 + doubt))


KEYS = ("mu1", "mu2", "af", "ar", "bf", "br")
# Which factors each of new front, new rear, stock front and stock rear is made of: a compound may
# be one in all, in new parts alone, in front alone.
MADE = (
    (("mu1", "af"), ("mu1", "ar"), ("mu1", "bf"), ("mu1", "br")),
    (("mu2", "af"), ("mu1", "ar"), ("mu1", "bf"), ("mu1", "ar")),
    (("mu2", "af"), ("mu2", "ar"), ("mu1", "bf"), ("mu1", "br")),
    (("mu1", "af"), ("mu2", "ar"), ("mu1", "af"), ("mu1", "ar")),
    (("af",), ("ar",), ("af",), ("ar",)),
)


def pair_of(values: dict[str, Figure], made: tuple[tuple[str, ...], ...]) -> Pair:
    found = [
        brake(axle, {(k,): values[k] for k in keys})
        for axle, keys in zip(("front", "rear", "front", "rear"), made, strict=True)
    ]
    return Pair(car(found[0], found[1]), car(found[2], found[3]))


def quantities(pair: Pair) -> dict[str, Extent]:
    return {
        "share": share(pair.new),
        "change": share_change(pair),
        "front work": work_ratio(pair, "front"),
        "rear work": work_ratio(pair, "rear"),
        "front torque": torque_ratio(pair.new.front, pair.stock.front),
        "braking": braking_ratio(pair),
    }


def exact(values: dict[str, float], made: tuple[tuple[str, ...], ...]) -> dict[str, float]:
    """The same quantities of single numbers, by the plain formulas."""
    f1, r1, f0, r0 = (prod(values[k] for k in keys) for keys in made)
    new, stock = f1 / (f1 + r1), f0 / (f0 + r0)
    return {
        "share": new,
        "change": new - stock,
        "front work": new / stock,
        "rear work": (1 - new) / (1 - stock),
        "front torque": f1 / f0,
        "braking": (f1 + r1) / (f0 + r0),
    }


every_value = st.fixed_dictionaries({k: spans() for k in KEYS})


@settings(max_examples=30, deadline=None)
@given(every_value, st.sampled_from(MADE))
def test_the_bounds_of_what_runs_one_way_are_reached(
    values: dict[str, Figure], made: tuple[tuple[str, ...], ...]
) -> None:
    """Every factor moves these one way wherever the others are: some corner has each bound."""
    corners = [
        exact(dict(zip(KEYS, at, strict=True)), made)
        for at in product(*((values[k].lo, values[k].hi) for k in KEYS))
    ]
    found = quantities(pair_of(values, made))
    for name in ("share", "front work", "rear work", "front torque", "braking"):
        assert found[name].lo == pytest.approx(min(c[name] for c in corners), rel=1e-9), name
        assert found[name].hi == pytest.approx(max(c[name] for c in corners), rel=1e-9), name
    # A share's change may be greatest between: never less than at a corner.
    assert found["change"].hi >= max(c["change"] for c in corners) - _ROUNDING


@given(every_value, st.sampled_from(MADE), st.dictionaries(st.sampled_from(KEYS), st.floats(0, 1)))
def test_no_point_of_the_box_lies_outside_the_bounds(
    values: dict[str, Figure], made: tuple[tuple[str, ...], ...], places: dict[str, float]
) -> None:
    at = {k: f.lo + places.get(k, 0.5) * (f.hi - f.lo) for k, f in values.items()}
    for name, want in exact(at, made).items():
        bounds = quantities(pair_of(values, made))[name]
        slack = _ROUNDING * max(1.0, abs(want))
        assert bounds.lo - slack <= want <= bounds.hi + slack, name


@given(every_value, st.sampled_from(MADE), st.sampled_from(KEYS), st.floats(1.0, 1.5))
def test_a_wider_input_never_narrows_a_result(
    values: dict[str, Figure], made: tuple[tuple[str, ...], ...], key: str, by: float
) -> None:
    f = values[key]
    wide = {**values, key: Figure(f.lo / by, f.hi * by, f.nominal)}
    before, after = quantities(pair_of(values, made)), quantities(pair_of(wide, made))
    for name in before:
        assert after[name].lo <= before[name].lo + _ROUNDING, name
        assert after[name].hi >= before[name].hi - _ROUNDING, name


@given(every_value, st.sampled_from(MADE), st.floats(0.01, 100.0))
def test_other_units_change_nothing(
    values: dict[str, Figure], made: tuple[tuple[str, ...], ...], unit: float
) -> None:
    scaled = {
        k: Figure(f.lo * unit, f.hi * unit, f.nominal * unit) if k not in ("mu1", "mu2") else f
        for k, f in values.items()
    }
    before, after = quantities(pair_of(values, made)), quantities(pair_of(scaled, made))
    for name in before:
        assert after[name].lo == pytest.approx(before[name].lo, rel=1e-9, abs=1e-9), name
        assert after[name].hi == pytest.approx(before[name].hi, rel=1e-9, abs=1e-9), name


@given(every_value, st.sampled_from(MADE))
def test_the_shares_of_both_axles_make_one(
    values: dict[str, Figure], made: tuple[tuple[str, ...], ...]
) -> None:
    new = pair_of(values, made).new
    turned = car(new.rear, new.front)
    front, rear = share(new), share(turned)
    assert front.lo + rear.hi == pytest.approx(1.0)
    assert front.hi + rear.lo == pytest.approx(1.0)
    assert front.nominal + rear.nominal == pytest.approx(1.0)


@given(every_value, st.sampled_from(MADE))
def test_a_car_beside_itself_has_not_changed(
    values: dict[str, Figure], made: tuple[tuple[str, ...], ...]
) -> None:
    new = pair_of(values, made).new
    found = quantities(Pair(new, new))
    assert (found["change"].lo, found["change"].hi) == (0.0, 0.0)
    for name in ("front work", "rear work", "front torque", "braking"):
        assert (found[name].lo, found[name].hi) == pytest.approx((1.0, 1.0)), name


bores = st.lists(st.floats(20.0, 60.0), min_size=1, max_size=3)


@given(bores, st.floats(0.0, 20.0), st.floats(0.05, 0.8), st.floats(60.0, 180.0))
def test_larger_pistons_never_lower_the_torque(
    sizes: list[float], more: float, friction: float, radius: float
) -> None:
    small = torque_per_bar_nm(piston_area_mm2(sizes, "fixed"), friction, radius)
    sizes[0] += more
    assert torque_per_bar_nm(piston_area_mm2(sizes, "fixed"), friction, radius) >= small


masses = st.floats(2.0, 14.0)
cooling = st.floats(5.0, 60.0)
SPELLS = (
    Spell(45.0, snubs(15), True),
    Spell(360.0, one_spell, False),
    Spell(55.0, snubs(15), True),
)


@st.composite
def rings(draw: st.DrawFn) -> AxleBrake:
    mass, doubt = draw(masses), draw(st.floats(0.0, 0.1))
    ratio = draw(st.floats(0.7, 1.4))
    h = draw(cooling)
    return brake(
        "front",
        {},
        ring_mass_kg=figure(mass * (1 - doubt), mass * (1 + doubt)),
        cooling_wk=figure(h * 0.8, h * 1.2),
        cooling_ratio=figure(min(1.0, ratio), max(1.0, ratio)),
    )


@given(rings(), rings(), st.sampled_from(SPELLS), st.floats(1.0, 2.0))
def test_a_heavier_ring_never_runs_hotter(
    new: AxleBrake, stock: AxleBrake, spell: Spell, by: float
) -> None:
    m = new.ring_mass_kg
    heavy = replace(
        new,
        ids={"disc": "heavier"},
        ring_mass_kg=Figure(m.lo * by, m.hi * by, m.nominal * by),
    )
    new = replace(new, ids={"disc": "lighter"})
    before, after = ring_excess_ratio(new, stock, spell), ring_excess_ratio(heavy, stock, spell)
    # The bound over what both have in common is a little coarse; the values themselves are not.
    assert after.nominal <= before.nominal + _ROUNDING
    assert after.hi <= before.hi * 1.02
    assert after.lo <= before.lo * 1.02


@given(
    rings(),
    rings(),
    st.sampled_from(SPELLS),
    st.floats(450.0, 545.0),
    st.tuples(*(st.floats(0.0, 1.0) for _ in range(4))),
)
def test_no_ring_of_the_box_lies_outside_the_bounds(
    new: AxleBrake,
    stock: AxleBrake,
    spell: Spell,
    heat: float,
    places: tuple[float, float, float, float],
) -> None:
    new = replace(new, ids={"disc": "new"})

    def at(f: Figure, place: float) -> float:
        return f.lo + place * (f.hi - f.lo)

    mine, theirs = at(new.ring_mass_kg, places[0]), at(stock.ring_mass_kg, places[1])
    h, ratio = at(stock.cooling_wk, places[2]), at(new.cooling_ratio, places[3])
    over = [
        spell.shape(c * spell.seconds / (m * heat)) / m for m, c in ((mine, h * ratio), (theirs, h))
    ]
    bounds = ring_excess_ratio(new, stock, spell)
    want = over[0] / over[1]
    assert bounds.lo * (1 - _ROUNDING) <= want <= bounds.hi * (1 + _ROUNDING)


# --- with a valve ---------------------------------------------------------------------------------


@st.composite
def cars(draw: st.DrawFn) -> States:
    """A car in a state of loading, with or without a valve, its inputs in doubt."""
    ranges = {
        "x": (0.8, 6.0),
        "r": (20.0, 120.0),
        "mass": (700.0, 3500.0),
        "load": (0.42, 0.66),
        "height": (420.0, 800.0),
        "base": (2300.0, 3400.0),
    }
    if draw(st.booleans()):
        ranges |= {"knee": (0.0, 80.0), "slope": (0.0, 0.9)}
    inputs: dict[str, Figure] = {}
    for name, (lo, hi) in ranges.items():
        middle = draw(st.floats(lo, hi))
        doubt = draw(st.floats(0.0, 0.06))
        inputs[name] = figure(middle * (1 - doubt), middle * (1 + doubt))
    return states_of(inputs)


def states_of(inputs: dict[str, Figure]) -> States:
    rising = {"x", "mass", "base"}
    return States(
        State(**{n: f.lo if n in rising else f.hi for n, f in inputs.items()}),
        State(**{n: f.hi if n in rising else f.lo for n, f in inputs.items()}),
        State(**{n: f.nominal for n, f in inputs.items()}),
        {n: (n, f) for n, f in inputs.items()},
    )


@given(cars(), st.lists(st.floats(0.0, 1.0), min_size=8, max_size=8))
def test_no_car_of_the_box_lies_outside_the_margins(found: States, places: list[float]) -> None:
    at = {
        n: f.lo + place * (f.hi - f.lo)
        for (n, (_, f)), place in zip(found.figures.items(), places, strict=False)
    }
    point = State(**at)
    single = States(point, point, point, {})
    for margin in (
        lambda s: front_first_margin(s, 0.15, 0.8),
        lambda s: grip_use_margin(s, 0.85, 0.2, 0.8),
    ):
        bounds, want = margin(found), margin(single).nominal
        assert bounds.lo - 1e-7 <= want <= bounds.hi + 1e-7
