"""Ways up from stock on shipped axles, against every combination judged and compared one by one."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from functools import cache
from itertools import permutations, product
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from lugplane.answers import goods, paths, prices, steps, ways
from lugplane.answers.fits import Fits, fits
from lugplane.answers.paths import IN_DOUBT, NOT_REACHED, REACHED, Mapped, Question
from lugplane.answers.sheet import judge_setup
from lugplane.answers.standings import unfolded
from lugplane.answers.survey import Survey
from lugplane.answers.survey import paths as find
from lugplane.data import data_folder
from lugplane.deduce.firing import Match
from lugplane.deduce.quick import Quick
from lugplane.errors import BadInput
from lugplane.facts.records import Caliper, Carrier
from lugplane.links.candidates import Candidate, Candidates
from lugplane.links.links import Links
from lugplane.render.names import fact_title
from lugplane.render.ways import paths_csv, paths_json, paths_text
from lugplane.setup.assemble import Wanted, assemble
from lugplane.workshop import Workshop

SHIPPED = Path(__file__).resolve().parents[2] / "kb"
KINDS = ("caliper", "carrier", "disc", "pad")
DEMO = "tammick-van"
SMALL = "jarrick-hatch"
CARS = (DEMO, SMALL)
FAILS = "gribbet-saloon"
"""Most of what fits its front axle shifts the braking too far."""
DRIVABLE = ("bolts on", "fits with work")


@cache
def shop() -> Workshop:
    return Workshop.open(only=SHIPPED)


@cache
def quick() -> Match:
    """The fastest of the matchers, which all deduce the same."""
    return Quick(shop().rulebook.rules).match


@cache
def links() -> Links:
    return Links(shop().base, shop().rulebook)


@cache
def survey(platform: str) -> Survey:
    return Survey(shop(), platform, "front", links=links())


@cache
def found(platform: str, **asked: Any) -> Mapped:
    return survey(platform).ask(Question(platform, **asked))


@cache
def listed(platform: str) -> Fits:
    """What fits by the list, which has its own tests."""
    wanted = ("bolts on", "fits with work", "cannot tell")
    return fits(shop(), platform, "front", verdicts=wanted, links=links())


@cache
def drivable(platform: str) -> tuple[tuple[str, ...], ...]:
    """Every setup, compound by compound, that its own sheet lets be driven as brake and as car."""
    return tuple(p for p in fitting(platform) if car_of(platform, p)[0] != "does not fit")


@cache
def fitting(platform: str) -> tuple[tuple[str, ...], ...]:
    """Every setup whose brake fits, the parts that the list takes as one written out."""
    rows = [r for r in listed(platform).rows if r.verdict in DRIVABLE]
    return tuple(m for r in rows for m in members([p.id for p in r.parts], r.alike))


def members(
    parts: Sequence[str], alike: Mapping[str, tuple[str, ...]]
) -> Iterator[tuple[str, ...]]:
    kinds = [shop().base.kind_of(p) or "" for p in parts]
    return product(*((p, *alike.get(k, ())) for p, k in zip(parts, kinds, strict=True)))


@cache
def car_of(platform: str, parts: tuple[str, ...]) -> tuple[str, str, str, str]:
    """Verdict and limiting check of car and brake by the setup's own sheet."""
    setup = assemble(shop().base, Wanted(platform, "front", parts))
    sheet = judge_setup(setup, shop().rulebook, quick()).sheet
    found = {s.name: (s.verdict, s.limiting) for s in sheet.scopes}
    return (*found["car"], *found["brake"])


def stands_for(stop: paths.Stop | paths.FailsAsCar) -> set[tuple[str, ...]]:
    return set(members([p.id for p in stop.parts], stop.alike))


def by_kind(parts: tuple[str, ...]) -> dict[str, str]:
    return {shop().base.kind_of(p) or "": p for p in parts}


def one_change(here: tuple[str, ...], there: tuple[str, ...]) -> bool:
    """Whether one kind of part leads from a setup to another, told from the records alone."""
    a, b = by_kind(here), by_kind(there)
    differ = {k for k in KINDS if a.get(k) != b.get(k)}
    base = shop().base

    def shape(parts: Mapping[str, str]) -> str | None:
        mounted: Caliper | Carrier = base.get(Caliper, parts["caliper"])
        if "carrier" in parts:
            mounted = base.get(Carrier, parts["carrier"])
        return mounted.pad.text

    if differ & {"caliper", "carrier"} and shape(b) not in (a["pad"], a["pad"].split("/")[0]):
        differ.discard("pad")
    if "caliper" in differ and "carrier" in differ:
        taken = base.get(Carrier, a["carrier"]).calipers.items if "carrier" in a else ()
        if "carrier" not in b or not {b["caliper"], b["caliper"].split("/")[0]} & {*taken}:
            differ.discard("carrier")
    return len(differ) == 1


def stock_parts(platform: str) -> tuple[str, ...]:
    sheet = shop().judge(Wanted(platform)).sheet
    return tuple(p.id for p in sheet.parts if p.kind in KINDS)


# --- the graph ------------------------------------------------------------------------------------


@pytest.mark.parametrize("platform", CARS)
def test_stops_and_steps_are_those_of_plain_enumeration(platform: str) -> None:
    every = drivable(platform)
    edges = {(a, b) for a, b in product(every, every) if a != b and one_change(a, b)}
    reached = {stock_parts(platform)}
    for _ in every:
        reached |= {b for a, b in edges if a in reached}
    answer = found(platform).paths
    stop_of = {m: s.key for s in answer.stops for m in stands_for(s)}
    assert set(stop_of) == reached
    assert {(s.here, s.there) for s in answer.steps} == {
        (stop_of[a], stop_of[b])
        for a, b in edges
        if a in reached and b in reached and stop_of[a] != stop_of[b]
    }
    apart = [m for a in answer.apart for m in stands_for(a.stop)]
    assert sorted(apart) == sorted(set(every) - reached)
    made = paths.graph(answer)
    assert set(made) == {s.key for s in answer.stops}
    assert set(made.edges) == {(s.here, s.there) for s in answer.steps}


@pytest.mark.parametrize("platform", CARS)
def test_at_once_reaches_every_setup_that_may_be_driven(platform: str) -> None:
    answer = found(platform, at_once=True).paths
    told = [m for s in answer.stops for m in stands_for(s)]
    assert sorted(told) == sorted(drivable(platform))
    assert answer.apart == ()
    single = {(s.here, s.there) for s in found(platform).paths.steps}
    assert single <= {(s.here, s.there) for s in answer.steps}
    assert any(len(s.kinds) > 1 for s in answer.steps)


@pytest.mark.parametrize("platform", [*CARS, FAILS, "kessarin-estate"])
def test_a_stop_holds_as_a_car_and_what_fails_as_one_is_told(platform: str) -> None:
    """By the sheet of every single setup that a stop stands for, each compound by itself."""
    answer = found(platform, at_once=True).paths
    for stop in (*answer.stops, *(a.stop for a in answer.apart)):
        for member in stands_for(stop):
            said = (stop.car, stop.car_limiting, stop.verdict, stop.limiting)
            assert car_of(platform, member) == said, member
        assert stop.car != "does not fit"
        assert stop.mechanical_only == (stop.car == "cannot tell") == bool(stop.car_doubts)
    failing = {m: f for f in answer.car_fails for m in stands_for(f)}
    assert set(failing) == set(fitting(platform)) - set(drivable(platform))
    for parts, each in failing.items():
        assert car_of(platform, parts)[:2] == ("does not fit", each.limiting), parts
        assert each.limiting_title
    keyed = {s.key for s in (*answer.stops, *answer.doubtful)}
    assert not keyed & {f.key for f in answer.car_fails}


def test_compounds_that_a_car_tells_apart_are_stops_of_their_own() -> None:
    answer = found(DEMO, at_once=True).paths
    seat = [s for s in answer.stops if s.key.startswith("tovan-q4/44 sorrel-300 ")]
    assert {car_of(DEMO, tuple(s.key.split())) for s in seat} == {
        car_of(DEMO, m) for s in seat for m in stands_for(s)
    }
    assert sorted(p for s in seat for p in (s.part("pad"), *s.alike.get("pad", ()))) == [
        "kite-120/street",
        "kite-120/tow",
        "kite-120/track",
    ]
    assert len(seat) > 1
    assert not any(s.any_compound for s in seat)
    assert [s.verdict for s in seat] == ["fits with work"] * len(seat)


def test_a_setup_that_fails_as_a_car_says_so_where_it_was_asked_for() -> None:
    mapped = found(FAILS, to=("hasket-s1/48",))
    target = mapped.paths.target
    assert target is not None
    assert target.state == NOT_REACHED
    assert target.apart == ()
    fails = {f.key: f for f in mapped.paths.car_fails}
    assert set(target.car_fails) == {k for k in fails if "hasket-s1/48" in k} != set()
    text = " ".join(paths_text(mapped).split())
    title = next(iter(fails.values())).limiting_title
    assert f"{len(target.car_fails)} such setups fit, yet fail as a car by {title}." in text
    assert f"lugplane sheet {FAILS} front {target.car_fails[0]}" in text
    whole = " ".join(paths_text(found(FAILS)).split())
    assert f"Fits as a brake, yet fails as a car ({len(fails)})" in whole


@pytest.mark.parametrize("platform", CARS)
def test_ways_are_the_shortest_of_all(platform: str) -> None:
    """All simple ways by trying every order of every choice of stops; sizes are small."""
    answer = found(platform, at_once=platform != DEMO).paths
    edges = {(s.here, s.there) for s in answer.steps}
    others = [s.key for s in answer.stops if s.key != answer.stock.key]
    least: dict[str, int] = {answer.stock.key: 0}
    for length in range(len(others), 0, -1):
        for order in permutations(others, length):
            route = (answer.stock.key, *order)
            if all(pair in edges for pair in zip(route, order, strict=False)):
                least[order[-1]] = length
    assert {w.end: len(w.legs) for w in answer.ways} == least
    assert {s.key: s.steps for s in answer.stops} == least


def test_the_verdicts_are_those_of_the_list_of_what_fits() -> None:
    answer = found(DEMO).paths
    assert dict(answer.counts) == {k: n for k, n in listed(DEMO).counts.items() if n}
    at_once = found(DEMO, at_once=True).paths
    rows = {
        " ".join(m): r for r in listed(DEMO).rows for m in members([p.id for p in r.parts], r.alike)
    }
    for stop in at_once.stops:
        assert stop.verdict == rows[stop.key].verdict
        assert stop.limiting == rows[stop.key].limiting
        assert [(w.id, w.verdict) for w in stop.wheels] == [
            (w.id, w.verdict) for w in rows[stop.key].wheels
        ]
    assert list(at_once.stops) == sorted(at_once.stops, key=lambda s: s.rank)


def test_a_doubtful_setup_is_never_passed_through() -> None:
    answer = found("kessarin-estate", doubtful=True, to=("nettick-q4",)).paths
    assert answer.doubts == len(answer.doubtful) > 0
    doubtful = {s.key for s in answer.doubtful}
    assert all(s.verdict == "cannot tell" for s in answer.doubtful)
    assert not doubtful & {s.key for s in answer.stops}
    assert not doubtful & {s.here for s in (*answer.steps, *answer.doubtful_steps)}
    assert {s.there for s in answer.doubtful_steps} == doubtful
    assert {s.here for s in answer.doubtful_steps} <= {s.key for s in answer.stops}
    assert answer.target is not None
    assert answer.target.state == IN_DOUBT
    assert answer.target.ways == ()
    assert "Cannot tell." in paths_text(found("kessarin-estate", to=("nettick-q4",)))
    assert "caliper.face_to_centre_mm" in paths_text(found("kessarin-estate", doubtful=True))


# --- what steps take ------------------------------------------------------------------------------

STOCK = "hasket-f1/57 hasket-bracket-142 tansy-280 plover-116/oe"
BIG = "tovan-q4/44 sorrel-300 kite-120/street"


def test_a_step_tells_what_it_takes() -> None:
    answer = found(DEMO, at_once=True).paths
    step = answer.step(STOCK, BIG)
    sheet = shop().judge(Wanted(DEMO, "front", ("tovan-q4/44", "sorrel-300"))).sheet
    assert step.kinds == ("caliper", "disc")
    assert set(step.on) == {"tovan-q4/44", "sorrel-300", "kite-120/street"}
    bought = {answer.good(k).item.what: answer.good(k).item.count for k in step.buys}
    assert bought == {b.what: b.count for b in sheet.buy}
    assert step.work == sheet.work
    assert step.hold == sheet.hold
    assert {line.id for line in step.undone} == {"trim", "shield-trim"}
    assert {o.what for o in step.off} == {"caliper", "carrier", "disc", "pad", "original bolt"}
    assert all(o.again for o in step.off)
    assert {"stack", "bolt"} <= set(step.changes)


LAST = ["pedal-hold", "proof", "bed-in", "re-torque"]


def _work(answer: paths.Paths, here: str, there: str) -> list[str]:
    return [line.id for line in answer.step(here, there).work]


def test_another_caliper_is_a_whole_job() -> None:
    """Bleeding, the pedal, the proof and what comes after it are done anew, in this order."""
    answer = found("kessarin-estate").paths
    here, there = (f"tovan-q4/{n} sorrel-300 kite-120/street" for n in ("44", "48"))
    work = _work(answer, here, there)
    whole = ["seats", "mock-up", "caliper", "tighten", "pad", "bleed", "bleed-unit", *LAST]
    assert [i for i in work if i in whole] == whole
    assert not {"disc", "hub-clean"} & {*work}
    # The way back opens the same lines, though nothing on the sheet of stock says so.
    assert _work(answer, there, here)[-6:] == ["bleed", "bleed-unit", *LAST]
    assert "brake-test" in {line.id for line in answer.step(there, here).hold}


def test_another_disc_takes_the_caliper_off_and_no_line() -> None:
    answer = found("kessarin-estate").paths
    here, there = (f"tovan-q4/44 {d} kite-120/street" for d in ("sorrel-300", "sedge-300/drum-hat"))
    work = _work(answer, here, there)
    whole = ["hub-clean", "disc", "seats", "mock-up", "trim", "caliper", "tighten", "pad", *LAST]
    assert [i for i in work if i in whole] == whole
    assert not {"bleed", "bleed-unit", "hose"} & {*work}


def test_other_pads_alone_leave_a_fixed_caliper_on() -> None:
    answer = found("kessarin-estate").paths
    here = answer.stock.key
    there = next(
        s.there for s in answer.steps if s.here == here and s.kinds == ("pad",) and len(s.on) == 1
    )
    work = _work(answer, here, there)
    assert [i for i in work if i in ("pad", *LAST)] == ["pad", *LAST]
    assert not {"caliper", "tighten", "seats", "mock-up", "disc", "bleed"} & {*work}


def test_pads_that_were_trimmed_deeper_are_bought_again() -> None:
    """The drum hat's pads lose far more than those of the plain disc can spare."""
    answer = found("kessarin-estate").paths
    here, there = (f"tovan-q4/44 {d} kite-120/street" for d in ("sedge-300/drum-hat", "sorrel-300"))
    back = answer.step(here, there)
    assert back.kinds == ("disc",)
    assert "pad kite-120/street" in back.buys
    assert [o.again for o in back.off if o.what == "pad"] == [False]
    assert any(line.id == "pad" for line in back.work)
    onward = answer.step(there, here)
    assert "pad kite-120/street" not in onward.buys
    assert [line.id for line in onward.undone] == ["trim"]


def test_a_deeper_cut_does_not_serve_where_a_lesser_one_is_judged() -> None:
    """Both setups trim the pads, the one to some tenth, the other to a few hundredths."""
    answer = found(DEMO, at_once=True).paths
    deep, light = (f"tovan-q4/44 {d} kite-120/street" for d in ("sedge-300/drum-hat", "sorrel-300"))
    assert "pad kite-120/street" in answer.step(deep, light).buys
    assert "pad kite-120/street" not in answer.step(light, deep).buys
    same = answer.step(light, light.replace("q4/44", "q4/41"))
    assert same.kinds == ("caliper",)
    assert same.buys == ("caliper tovan-q4/41",)


def test_stock_parts_and_what_is_at_hand_cost_nothing() -> None:
    answer = found(SMALL).paths
    stock = answer.stock.key
    away = next(s.key for s in answer.stops if s.key != stock)
    assert answer.step(away, stock).buys == ()
    big = ("tovan-q4/44", "sorrel-300", "kite-120/street")
    whole = found(DEMO, at_once=True, to=big).paths
    some = found(DEMO, at_once=True, to=big, reuse=("kite-120", "sorrel-300")).paths
    assert whole.target is not None
    assert some.target is not None
    buys, less = whole.target.ways[0].way.buys, some.target.ways[0].way.buys
    assert set(buys) - set(less) == {"disc sorrel-300", "pad kite-120/street"}
    assert set(some.target.ways[0].way.legs[0].kept) == set(buys) - set(less)


def test_the_cheapest_way_only_where_every_price_is_known() -> None:
    dear = found(DEMO, at_once=True, to=("tovan-q4/44", "sorrel-300")).paths
    assert dear.target is not None
    assert "price" not in {a for f in dear.target.ways for a in f.aims}
    assert [dear.good(k).item.what for k in dear.target.unpriced] == ["washers"]
    cheap = found("kessarin-estate", to=("sorrel-300-used/b17",)).paths
    assert cheap.target is not None
    assert cheap.target.unpriced == ()
    assert {a for f in cheap.target.ways for a in f.aims} == {"steps", "parts", "price"}
    disc = cheap.good("disc sorrel-300-used/b17").price
    assert disc is not None
    assert (disc.lo, disc.hi, disc.times, disc.date) == (60.0, 60.0, 2, "2026-05-28")


def test_the_cheapest_of_several_offers_counts_for_the_whole_axle() -> None:
    """Two rebuilt calipers at 210 each, or a used pair at 180 to 240."""
    price = prices.Prices(shop().base).of(("tovan-q4/44",), 2)
    assert price is not None
    assert (price.lo, price.hi, price.per, price.condition) == (180.0, 240.0, "pair", "used")
    screws = prices.Prices(shop().base).of(("iso-8676/m12x1.5",), 4)
    assert screws is not None
    assert (round(screws.lo, 9), round(screws.hi, 9), screws.times) == (6.8, 8.4, 4)
    assert prices.Prices(shop().base).of(("kite-120/tow",), 1, set_=4) is not None
    assert prices.Prices(shop().base).of(("tovan-q4/41",), 2) is None


def test_a_carrier_alone_is_a_step_and_the_present_one_is_kept_where_it_serves() -> None:
    answer = found(SMALL, at_once=True).paths
    kinds = {(s.here, s.there): s.kinds for s in answer.steps}
    stock = answer.stock.key
    caliper, carrier, disc, pad = stock.split()
    other = "hasket-s1/51"
    assert kinds[stock, f"{other} {carrier} {disc} {pad}"] == ("caliper",)
    big, light = (f"hasket-bracket-120/{name} vetch-256" for name in ("256", "256-light"))
    assert kinds[stock, f"{caliper} {big} {pad}"] == ("carrier", "disc")
    assert kinds[f"{caliper} {big} {pad}", f"{caliper} {light} {pad}"] == ("carrier",)
    assert (f"{caliper} {big} {pad}", f"{other} {light} {pad}") not in kinds


def test_a_survey_answers_for_its_own_axle_only() -> None:
    with pytest.raises(BadInput, match="was judged"):
        survey(DEMO).ask(Question("gribbet-saloon"))
    with pytest.raises(BadInput, match="was judged"):
        survey(DEMO).ask(Question(DEMO, adapters=True))


def test_an_adapter_plate_is_bought_for_one_setup_and_named() -> None:
    question = Question("wessock-van", to=("tovan-t4",), adapters=True, at_once=True)
    mapped = Survey(shop(), "wessock-van", "front", adapters=True, links=links()).ask(question)
    target = mapped.paths.target
    assert target is not None
    way = target.ways[0].way
    assert mapped.paths.stop(way.end).adapter
    plate = next(g for g in mapped.paths.goods if g.item.what == "adapter")
    assert plate.made
    assert plate.key in way.buys
    text = " ".join(paths_text(mapped).split())
    assert "Between ear and lug: the adapter plate, before: bare" in text
    assert "Bolt to the knuckle: an engineer's choice" in text
    assert text.count("--adapter ") + text.count("--adapters") == 1  # on the line of its sheet


# --- targets --------------------------------------------------------------------------------------


def test_ways_to_named_parts_and_by_named_parts() -> None:
    answer = found(
        "kessarin-estate", to=("tovan-q4/48", "sedge-300"), through=("sorrel-300-used/b17",)
    ).paths
    assert answer.target is not None
    assert answer.target.state == REACHED
    way = answer.target.ways[0].way
    assert any("sorrel-300-used/b17" in stop for stop in way.stops)
    assert "tovan-q4/48 sedge-300/" in way.end
    assert {w.end for w in answer.ways} >= {way.end}
    assert all(any("b17" in stop for stop in w.stops) for w in answer.ways)


def test_a_target_that_fits_and_is_not_reached_says_so() -> None:
    mapped = found(DEMO, to=("tovan-q4/44", "sorrel-300"))
    target = mapped.paths.target
    assert target is not None
    assert target.state == NOT_REACHED
    assert BIG in target.apart
    assert all(k.startswith("tovan-q4/44 sorrel-300 ") for k in target.apart)
    text = paths_text(mapped)
    assert "--at-once" in text
    assert "lugplane sheet tammick-van front tovan-q4/44 sorrel-300" in text


def test_a_target_that_the_knuckle_turns_down_says_why() -> None:
    mapped = found("gribbet-saloon", to=("tovan-q4/44",))
    target = mapped.paths.target
    assert target is not None
    assert target.state == NOT_REACHED
    assert [r.part for r in target.refused] == ["tovan-q4/44"]
    assert "tovan-q4/44 on jarrick-front" in paths_text(mapped).lower()


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"to": ("tovan-q5",)}, "close to it: tovan-q"),
        ({"through": ("kite-121",)}, "close to it: kite-1"),
        ({"reuse": ("sorel-300",)}, "close to it: sorrel-300"),
        ({"to": ("tammick-front",)}, "is a knuckle"),
        ({"reuse": ("tammick-16-cast",)}, "is a wheel"),
        ({"aim": "beauty"}, "no aim"),
        ({"axle": "middle"}, "front or rear"),
        ({"platform": "tamick-van"}, "close to it: tammick-van"),
    ],
)
def test_bad_input_is_told_before_anything_is_judged(asked: dict[str, Any], said: str) -> None:
    with pytest.raises(BadInput, match=said):
        find(shop(), Question(**{"platform": DEMO, **asked}))


# --- parts that no check can tell apart -----------------------------------------------------------


def candidate(caliper: str, disc: str, *alike: str) -> Candidate:
    also = (("disc", alike),) if alike else ()
    return Candidate("p", "front", caliper, None, disc, "pad", False, also)


def test_parts_are_one_only_where_they_are_one_everywhere() -> None:
    """In the one seat d1 and d2 are alike, in the other they are told apart; d3 and d4 never."""
    items = (
        candidate("c1", "d1", "d2"),
        candidate("c1", "d3", "d4"),
        candidate("c2", "d1"),
        candidate("c2", "d2"),
        candidate("c2", "d3", "d4"),
    )
    made = {(c.caliper, c.disc): dict(c.alike) for c in unfolded(Candidates(items, ()), ("d4",))}
    assert made == {
        ("c1", "d1"): {},
        ("c1", "d2"): {},
        ("c2", "d1"): {},
        ("c2", "d2"): {},
        ("c1", "d4"): {"disc": ("d3",)},
        ("c2", "d4"): {"disc": ("d3",)},
    }


# --- JSON, CSV, text ------------------------------------------------------------------------------


def schema(name: str) -> dict[str, Any]:
    file = data_folder() / "schemas" / "answers" / name
    read: dict[str, Any] = json.loads(file.read_text("utf-8"))
    return read


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    names = ("paths.json", "sheet.json", "fits.json")
    registry: Any = Registry().with_resources(
        [(name, Resource.from_contents(schema(name))) for name in names]
    )
    Draft202012Validator.check_schema(schema("paths.json"))
    return Draft202012Validator(schema("paths.json"), registry=registry)


ASKED: tuple[Callable[[], Mapped], ...] = (
    lambda: found(DEMO),
    lambda: found(DEMO, at_once=True),
    lambda: found("kessarin-estate", doubtful=True, to=("nettick-q4",)),
    lambda: found("gribbet-saloon", to=("tovan-q4/44",)),
)


@pytest.mark.parametrize("asked", ASKED)
def test_json_is_as_its_schema_says(
    asked: Callable[[], Mapped], validator: Draft202012Validator
) -> None:
    data = json.loads(paths_json(asked()))
    assert [e.message for e in validator.iter_errors(data)] == []
    known = {g["key"] for g in data["goods"]}
    assert {k for s in data["steps"] for k in s["buys"]} <= known
    for harm in ({"version": 2}, {"answer": "fits"}, {"more": 1}, {"aim": "beauty"}):
        assert list(validator.iter_errors({**data, **harm})) != []


PARTS = {
    "stop": paths.Stop,
    "step": steps.Step,
    "good": goods.Good,
    "way": ways.Way,
    "target": paths.Target,
    "fails_as_car": paths.FailsAsCar,
}


@pytest.mark.parametrize("name", PARTS)
def test_the_schema_names_every_field(name: str) -> None:
    part = PARTS[name]
    assert is_dataclass(part)
    assert list(schema("paths.json")["$defs"][name]["properties"]) == [f.name for f in fields(part)]


def test_the_schema_names_every_field_of_the_answer() -> None:
    named = [f.name for f in fields(paths.Paths)]
    assert list(schema("paths.json")["properties"]) == ["answer", *named]


def test_csv_has_a_line_a_stop() -> None:
    mapped = found(DEMO, at_once=True)
    head, *lines = [line.split(",") for line in paths_csv(mapped).splitlines()]
    assert len(lines) == len(mapped.paths.stops)
    assert all(len(line) == len(head) for line in lines)
    row = dict(zip(head, next(x for x in lines if x[6:7] != [""]), strict=True))
    assert row["verdict"] in ("bolts on", "fits with work")
    ends = {dict(zip(head, x, strict=True))["way"].split(" > ")[-1] for x in lines}
    assert ends == {s.key for s in mapped.paths.stops}


@pytest.mark.parametrize("asked", ASKED)
@pytest.mark.parametrize("width", [80, 40])
def test_text_keeps_to_its_width(asked: Callable[[], Mapped], width: int) -> None:
    text = paths_text(asked(), width=width)
    assert max(map(len, text.splitlines())) <= width


def test_text_says_of_which_setups_the_car_cannot_be_told_and_for_want_of_what() -> None:
    """Of the one car nothing is known of a valve, of the other one all that is asked for."""
    dark, known = found("hobbrin-van"), found(SMALL)
    text = " ".join(paths_text(dark).split())
    assert all(s.mechanical_only for s in dark.paths.stops)
    assert "mechanical only: the car cannot be told, line pressure at which the rear valve" in text
    assert not any(s.mechanical_only for s in known.paths.stops)
    text = " ".join(paths_text(known).split())
    assert "mechanical only" not in text
    assert "Brakes are safety parts" in text
    some = found(DEMO, at_once=True)
    marked = [s for s in some.paths.stops if s.mechanical_only]
    assert 0 < len(marked) < len(some.paths.stops)
    text = " ".join(paths_text(some, whole=True).split())
    assert text.count("Mechanical only:") == len(marked)
    for stop in marked:
        assert stop.car_settles
        named = fact_title(stop.car_settles[0].rpartition(":")[2]).partition(",")[0]
        assert f"the car cannot be told, {named}" in text
