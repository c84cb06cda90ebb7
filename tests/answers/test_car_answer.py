"""A car with both axles: bounds that hold, doubts that are named, stock beside proposed."""

from __future__ import annotations

import random
from dataclasses import fields, replace
from itertools import pairwise

import pytest

from lugplane.answers.car import CarAnswer, compare_cars
from lugplane.answers.car_curves import adhesion_span
from lugplane.answers.car_facts import whose
from lugplane.answers.car_figures import STOP_MS2, CarFigure
from lugplane.answers.curves import Curve, Doubt
from lugplane.answers.stops import StopList
from lugplane.deduce.choose import matcher
from lugplane.deduce.deduction import deduce
from lugplane.errors import BadInput
from lugplane.facts.records import Pad
from lugplane.measure.balance import adhesion_used, first_lock, pressure_for_z_bar
from lugplane.measure.bench import Bench
from lugplane.measure.car_balance import State, States, states
from lugplane.measure.car_share import share
from lugplane.measure.fade import OwnStop, stop_list_c
from lugplane.measure.heat import BrakedMass, Ring, stop_rise_k
from lugplane.measure.loads import STANDARD_GRAVITY
from lugplane.measure.stopping import KMH_PER_MS
from lugplane.measure.whole_car import brakes_of
from lugplane.setup.car import CarWanted, assemble_car
from lugplane.workshop import Workshop

FRONT = ("tovan-q4/44", "sorrel-300")
STOPS = StopList("down the pass", (OwnStop(100.0, 40.0, 20.0, 3.0),) * 4)
VALVED, BARE = "tammick-van", "grellow-hatch"


@pytest.fixture(scope="module")
def shipped() -> Workshop:
    return Workshop.open()


@pytest.fixture(scope="module")
def changed(shipped: Workshop) -> CarAnswer:
    return compare_cars(shipped, CarWanted(VALVED, FRONT), STOPS)


@pytest.fixture(scope="module")
def towing(shipped: Workshop) -> CarAnswer:
    """Both front pads have a measured curve."""
    return compare_cars(shipped, CarWanted(VALVED, (*FRONT, "kite-120/tow")), STOPS)


def figure(answer: CarAnswer, name: str, axle: str = "", loading: str = "") -> CarFigure:
    [found] = [
        f
        for f in answer.figures
        if f.name == name and axle in ("", f.axle) and loading in ("", f.loading)
    ]
    return found


def bench(shipped: Workshop, wanted: CarWanted) -> Bench:
    car = assemble_car(shipped.base, wanted)
    return deduce(car.front, shipped.rulebook, matcher()).bench


def some_state(rng: random.Random, s: States) -> State:
    """A point of the box between the two corners."""
    found = {}
    for f in fields(State):
        a, b = getattr(s.least, f.name), getattr(s.most, f.name)
        found[f.name] = None if a is None else a + (b - a) * rng.choice([0.0, 1.0, rng.random()])
    return State(**found)


# --- bounds --------------------------------------------------------------------------------------


@pytest.mark.parametrize("platform", [VALVED, BARE])
@pytest.mark.parametrize("load", ["kerb", "gross"])
def test_no_car_of_the_box_uses_more_adhesion_or_less(
    shipped: Workshop, platform: str, load: str
) -> None:
    b = bench(shipped, CarWanted(platform))
    car = brakes_of(b).new
    s = states(b, car, getattr(car, load))
    rng = random.Random(4)
    for z in (0.0, 0.1, 0.35, 0.5, 0.8):
        front, rear = (adhesion_span(s, axle, z) for axle in ("front", "rear"))
        for _ in range(60):
            at = some_state(rng, s)
            used = adhesion_used(at.brakes, at.loading, z)
            assert front.lo - 1e-12 <= used.front <= front.hi + 1e-12
            assert rear.lo - 1e-12 <= used.rear <= rear.hi + 1e-12


def test_a_lifted_axle_holds_nothing(shipped: Workshop) -> None:
    b = bench(shipped, CarWanted(BARE))
    car = brakes_of(b).new
    s = states(b, car, car.kerb)
    tall = replace(s.least, height=s.least.base)
    assert adhesion_span(replace(s, least=tall), "rear", 0.8).hi == float("inf")


@pytest.mark.parametrize("platform", [VALVED, BARE])
@pytest.mark.parametrize("load", ["kerb", "gross"])
def test_no_car_of_the_box_locks_earlier_or_later(
    shipped: Workshop, platform: str, load: str
) -> None:
    """And where the answer names an axle, no car of the box locks the other first."""
    b = bench(shipped, CarWanted(platform))
    car, friction = brakes_of(b).new, b.constants["friction_tyre"]
    s = states(b, car, getattr(car, load))
    told = figure(compare_cars(shipped, CarWanted(platform)), "first-lock", "", load).proposed
    assert told.span is not None
    rng = random.Random(5)
    axles = set()
    for _ in range(200):
        at = some_state(rng, s)
        lock = first_lock(at.brakes, at.loading, friction)
        axles.add(lock.axle)
        assert told.span.lo - 1e-9 <= lock.z <= told.span.hi + 1e-9
    if told.word in ("front", "rear"):
        assert axles == {told.word}
    else:
        assert told.word == "cannot tell which"
        assert axles >= {"front", "rear"}


@pytest.mark.parametrize("platform", [VALVED, BARE])
def test_no_car_of_the_box_needs_another_pressure(shipped: Workshop, platform: str) -> None:
    b = bench(shipped, CarWanted(platform))
    car = brakes_of(b).new
    s = states(b, car, car.gross)
    told = figure(compare_cars(shipped, CarWanted(platform)), "line-pressure").proposed.span
    assert told is not None
    fronts = car.front.torque_per_bar_nm
    scale = 2000.0 / car.front.rolling_radius_mm.nominal
    rng, seen = random.Random(6), []
    for _ in range(300):
        at = some_state(rng, s)
        force = scale * rng.choice([fronts.lo, fronts.hi, rng.uniform(fronts.lo, fronts.hi)])
        at = replace(at, x=force / at.r)
        seen.append(pressure_for_z_bar(at.brakes, at.loading, STOP_MS2 / STANDARD_GRAVITY))
    assert told.lo - 1e-9 <= min(seen)
    assert max(seen) <= told.hi + 1e-9
    assert max(seen) - min(seen) > 0.8 * (told.hi - told.lo)


def test_one_stop_is_that_of_the_closed_form(shipped: Workshop, changed: CarAnswer) -> None:
    """TRADE: ΔT = share φ ½ m v² / (n m_ring c); the band may be 0.4 % wider."""
    b = bench(shipped, CarWanted(VALVED, FRONT))
    car, speed = brakes_of(b).new, b.constants["stop_kmh"] / KMH_PER_MS
    phi = share(car)
    mass, ring = car.gross.mass_kg.span, car.front.ring_mass_kg.span

    def rise(kg: float, part: float, iron: float, c: float) -> float:
        return stop_rise_k(BrakedMass(kg, part), Ring(iron, c, 0.0), speed, 0.0)

    low = rise(mass[0], phi.lo, ring[1], 545.0)
    high = rise(mass[1], phi.hi, ring[0], 450.0)
    told = figure(changed, "one-stop", "front").proposed.span
    assert told is not None
    assert low * 0.995 <= told.lo <= low + 1e-9
    assert high - 1e-9 <= told.hi <= high * 1.005


def test_the_own_list_is_reckoned_stop_by_stop(shipped: Workshop, changed: CarAnswer) -> None:
    b = bench(shipped, CarWanted(VALVED, FRONT))
    car = brakes_of(b).stock
    [own] = [h for h in changed.heat if h.name == "own"]
    [curve] = [c for c in own.curves if (c.setup, c.axle) == ("stock", "rear")]
    ring = Ring(car.rear.ring_mass_kg.nominal, 497.5, car.rear.cooling_wk.nominal)
    braked = BrakedMass(car.gross.mass_kg.nominal, 1 - share(car).nominal)
    exact = [r.peak_c for r in stop_list_c(STOPS.stops, braked, ring, 0.0)]
    assert [s.span.nominal for s in curve.samples] == pytest.approx(exact)
    took = 60 / KMH_PER_MS / 3.0
    assert [s.at for s in curve.samples] == pytest.approx(
        [took + n * (took + 20) for n in range(4)]
    )
    hottest = figure(changed, "own", "rear").stock.span
    assert hottest is not None
    assert hottest.hi == max(s.span.hi for s in curve.samples)


def test_every_curve_keeps_its_value_between_its_bounds(changed: CarAnswer) -> None:
    curves: list[Curve] = [c for a in changed.adhesion for c in a.curves]
    curves += [c for h in changed.heat for c in h.curves]
    assert len(curves) == 16
    for c in curves:
        assert c.samples, c
        assert all(s.span.lo <= s.span.nominal <= s.span.hi for s in c.samples)


# --- stock and proposed ---------------------------------------------------------------------------


def test_nothing_changed_is_stock_throughout(shipped: Workshop) -> None:
    answer = compare_cars(shipped, CarWanted(VALVED))
    assert answer.changed == ()
    assert [v for v in answer.verdicts if v.stock != v.proposed] == []
    for f in answer.figures:
        assert f.stock == f.proposed, f.name
        assert f.change is None or f.change.lo == f.change.hi == 0.0
    for c in answer.checks:
        assert c.stock is not None
        assert c.stock.state == c.proposed.state, c.check


def test_a_change_is_the_difference_with_what_is_common_counted_once(changed: CarAnswer) -> None:
    found = figure(changed, "front-share")
    one, two, change = found.stock.span, found.proposed.span, found.change
    assert one is not None
    assert two is not None
    assert change is not None
    assert change.nominal == pytest.approx(100 * (two.nominal - one.nominal))
    assert change.lo >= 100 * (two.lo - one.hi) - 1e-9
    assert change.hi <= 100 * (two.hi - one.lo) + 1e-9
    assert change.nominal > 0
    torque = figure(changed, "torque-per-bar", "rear")
    assert torque.stock == torque.proposed
    assert torque.change is not None
    assert torque.change.lo == torque.change.hi == 0.0
    assert {p.id for p in changed.changed} == {"tovan-q4/44", "sorrel-300", "kite-120/street"}


def test_an_axle_fits_alike_whatever_the_other_is(shipped: Workshop) -> None:
    rear = ("tansy-280",)
    both = compare_cars(shipped, CarWanted(VALVED, FRONT, rear))
    alone = compare_cars(shipped, CarWanted(VALVED, FRONT))
    behind = compare_cars(shipped, CarWanted(VALVED, (), rear))

    def brake(answer: CarAnswer, axle: str) -> str:
        [found] = [v.proposed for v in answer.verdicts if (v.axle, v.scope) == (axle, "brake")]
        return found

    assert brake(both, "front") == brake(alone, "front")
    assert brake(both, "rear") == brake(behind, "rear")


def test_the_worst_verdict_counts(shipped: Workshop) -> None:
    answer = compare_cars(shipped, CarWanted(VALVED, ("sorrel-316",)))
    brake = next(v for v in answer.verdicts if (v.axle, v.scope) == ("front", "brake"))
    assert brake.proposed == answer.verdict == "does not fit"


def test_each_check_of_the_car_is_there(shipped: Workshop, changed: CarAnswer) -> None:
    named = [c.id for c in shipped.rulebook.checks if c.scope == "car"]
    assert list(dict.fromkeys(c.check for c in changed.checks)) == named
    for name in named:
        axles = [c.axle for c in changed.checks if c.check == name]
        assert axles in ([""], ["front", "rear"])


# --- doubts ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("course", "name"), [("type-one", "type-one"), ("own", "own")])
def test_friction_when_hottest_is_read_off_the_curve(
    towing: CarAnswer, shipped: Workshop, course: str, name: str
) -> None:
    found, heat = figure(towing, f"friction-{name}", "front"), figure(towing, course, "front")
    for amount, excess, pad in (
        (found.stock.span, heat.stock.span, "plover-116/oe"),
        (found.proposed.span, heat.proposed.span, "kite-120/tow"),
    ):
        curve = shipped.base.get(Pad, pad).friction_curve.points_c_ratio
        assert amount is not None
        assert excess is not None
        low, high = towing.air_c + excess.lo, towing.air_c + excess.hi
        at = [low, *(c for c, _ in curve.items if low < c < high), high]
        on = [interpolated(curve.items, c) for c in at]
        assert amount.lo == pytest.approx(min(on) - curve.plus_minus, abs=1e-9)
        assert amount.hi == pytest.approx(max(on) + curve.plus_minus, abs=1e-9)
    assert found.change is not None
    assert found.change.lo == pytest.approx(found.proposed.span.lo / found.stock.span.hi - 1)  # type: ignore[union-attr]


def interpolated(points: tuple[tuple[float, ...], ...], at: float) -> float:
    (cold, one), (hot, two) = next(
        (tuple(a), tuple(b)) for a, b in pairwise(points) if a[0] <= at <= b[0]
    )
    return one + (two - one) * (at - cold) / (hot - cold)


def test_friction_beyond_the_curve_is_not_known(towing: CarAnswer) -> None:
    descent = figure(towing, "friction-descent", "front")
    assert descent.stock.span is None
    assert descent.stock.doubt == Doubt(because="not known above 500 °C")
    assert descent.proposed.span is not None
    assert descent.change is None
    # No pad of the rear axle has a curve: there is nothing to say of it.
    assert not [f for f in towing.figures if f.axle == "rear" and "friction" in f.name]


def test_a_pad_without_a_curve_beside_one_with_it_is_named(changed: CarAnswer) -> None:
    found = figure(changed, "friction-type-one", "front")
    assert found.stock.span is not None
    assert found.proposed.doubt == Doubt(("front:pad.friction_curve.points_c_ratio",))


def test_hot_friction_of_a_car_that_stays_as_it_was_does_not_change(shipped: Workshop) -> None:
    found = figure(compare_cars(shipped, CarWanted(VALVED)), "friction-type-one", "front")
    assert found.change is not None
    assert (found.change.lo, found.change.hi) == (0.0, 0.0)
    assert found.stock == found.proposed


def test_a_fact_that_is_not_known_is_named(shipped: Workshop) -> None:
    wanted = CarWanted(VALVED, FRONT, platform_set=("platform.gross_kg=unknown",))
    answer = compare_cars(shipped, wanted)
    pressure = figure(answer, "line-pressure").proposed
    assert pressure.span is None
    assert pressure.doubt is not None
    assert pressure.doubt.facts == ("platform.gross_kg",)
    assert figure(answer, "front-share").proposed.span is not None
    ready, laden = answer.adhesion
    assert all(c.samples for c in ready.curves)
    assert all(not c.samples and c.doubt is not None for c in laden.curves)
    assert answer.verdict == "cannot tell"


def test_facts_are_named_by_whose_they_are(shipped: Workshop) -> None:
    unknown = ("disc.ring_mass_kg=unknown", "disc.ring=vented")
    wanted = CarWanted(VALVED, (), ("tansy-280",), rear_set=unknown)
    answer = compare_cars(shipped, wanted)
    heat = figure(answer, "one-stop", "rear")
    assert heat.proposed.doubt is not None
    assert heat.proposed.doubt.facts == ("rear:disc.ring_mass_kg",)
    assert heat.stock.span is not None


@pytest.mark.parametrize(
    ("path", "axle", "said"),
    [
        ("pad.friction_ratio", "front", "front:pad.friction_ratio"),
        ("other:pad.friction_ratio", "front", "rear:pad.friction_ratio"),
        ("stock:disc.ring_mass_kg", "rear", "stock-rear:disc.ring_mass_kg"),
        ("other-stock:disc.ring_mass_kg", "rear", "stock-front:disc.ring_mass_kg"),
        ("platform.gross_kg", "rear", "platform.gross_kg"),
        ("master.bore_mm", "front", "master.bore_mm"),
        ("(rear torque)", "front", "(rear torque)"),
    ],
)
def test_whose_a_fact_is(path: str, axle: str, said: str) -> None:
    assert whose(path, axle) == said


def test_a_part_that_is_not_there(shipped: Workshop) -> None:
    with pytest.raises(BadInput, match="tovan"):
        compare_cars(shipped, CarWanted(VALVED, ("tovan-q5",)))


def test_facts_that_contradict_each_other_leave_their_figures_untold(shipped: Workshop) -> None:
    answer = compare_cars(shipped, CarWanted(VALVED, front_set=("disc.diameter_mm=10 ±0",)))
    assert "these facts contradict each other" in str(answer)
    assert "these facts contradict each other" not in str(compare_cars(shipped, CarWanted(VALVED)))
