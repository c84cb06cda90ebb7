"""The list of measurements settles what it says, and is as short as any.

`LUGPLANE_ASK_CASES` draws so many more setups for the comparison with all subsets.
"""

from __future__ import annotations

import os
import random
from dataclasses import replace
from itertools import combinations
from math import comb

import pytest

from lugplane.answers.ask import AskList, ask, least_names
from lugplane.answers.ask_items import at_reading
from lugplane.answers.ask_measuring import read_measuring
from lugplane.answers.ask_scoped import Doubts, doubts_of
from lugplane.answers.ask_supposed import Supposed, checks_of, said
from lugplane.answers.evidence import find_fact
from lugplane.answers.fit import FitBench
from lugplane.answers.rows import Row, walk
from lugplane.answers.sheet import Sheet, judge_setup
from lugplane.data import data_folder
from lugplane.errors import BadInput
from lugplane.facts.records import Platform, Wheel
from lugplane.facts.value import Value
from lugplane.links.candidates import candidates
from lugplane.links.links import Links
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.override import MEASURED, value_of
from lugplane.workshop import Workshop

FIT = ("brake", "wheel")
CAR = ("tovan-q4/44", "sorrel-300", "kite-120")
NO_OUTLINE = Wanted("tammick-van", "front", (*CAR, "kessarin-17-cast"))
WIDE_BRIDGE = Wanted("tammick-van", "front", CAR, ("caliper.line_to_bridge_mm=37±3",))
TWO_DOUBTS = Wanted(
    "tammick-van", "front", CAR, ("caliper.line_to_bridge_mm=37±3", "disc.bore_mm=65.1±0.4")
)
ONE_STEP = Wanted("tammick-van", "front", CAR, ("disc.height_mm=unknown",))


@pytest.fixture(scope="module")
def shop() -> Workshop:
    """The shipped facts, with the checks of brake and wheel: the whole car only takes time."""
    whole = Workshop.open()
    return replace(whole, rulebook=checks_of(whole.rulebook, FIT).rulebook)


_ASKED: dict[Wanted, AskList] = {}


def fit_list(shop: Workshop, wanted: Wanted) -> AskList:
    """The list of brake and wheel, worked out once a setup."""
    if wanted not in _ASKED:
        (_ASKED[wanted],) = ask(shop, wanted, lists=("fit",)).lists
    return _ASKED[wanted]


def doubtful(sheet: Sheet) -> list[Row]:
    return [r for r in sheet.rows if r.scope in FIT and r.state == "cannot tell"]


def judged_with(shop: Workshop, wanted: Wanted, *texts: str) -> Sheet:
    return shop.judge(replace(wanted, set_=(*wanted.set_, *texts))).sheet


# --- it settles ---------------------------------------------------------------------------------


@pytest.mark.parametrize("wanted", [WIDE_BRIDGE, TWO_DOUBTS])
def test_what_is_asked_settles_when_it_reads_as_guessed(shop: Workshop, wanted: Wanted) -> None:
    before = shop.judge(wanted).sheet
    assert doubtful(before)
    found = fit_list(shop, wanted)
    texts = [t for item in found.items for t in item.set_]
    assert len(texts) == len(found.items) == len(wanted.set_)
    after = judged_with(shop, wanted, *texts)
    assert doubtful(after) == []
    assert found.outcome == after.verdict_of("brake")


def test_the_accuracy_asked_for_is_the_coarsest_that_does(shop: Workshop) -> None:
    (item,) = fit_list(shop, WIDE_BRIDGE).items
    assert item.facts == ("caliper.line_to_bridge_mm",)
    assert item.needs is not None
    name, _, value = item.set_[0].partition("=")
    guess = float(value.split("±")[0])
    assert doubtful(judged_with(shop, WIDE_BRIDGE, f"{name}={guess}±{item.needs}")) == []
    assert doubtful(judged_with(shop, WIDE_BRIDGE, f"{name}={guess}±{item.needs * 1.2}"))


def test_readings_lead_where_the_ranges_say(shop: Workshop) -> None:
    (item,) = fit_list(shop, WIDE_BRIDGE).items
    assert {r.verdict for r in item.ranges} == {"does not fit", "cannot tell", "fits with work"}
    for r in item.ranges:
        assert r.from_ is not None
        assert r.to is not None
        for at in (r.from_ + 0.02 * (r.to - r.from_), r.to - 0.02 * (r.to - r.from_)):
            sheet = judged_with(shop, WIDE_BRIDGE, f"{item.facts[0]}={at:.4f}±{item.needs}")
            assert sheet.verdict_of("brake") == r.verdict, (r, at)
    undecided = sum(r.to - r.from_ for r in item.ranges if r.verdict == "cannot tell")
    assert item.share == pytest.approx(1 - undecided / 6.0)


def test_of_an_unknown_fact_the_answer_depends_on_its_value(shop: Workshop) -> None:
    found = fit_list(shop, ONE_STEP)
    (item,) = found.items
    assert item.facts == ("disc.height_mm",)
    assert not item.known
    assert item.set_ == ()
    assert found.outcome == ""
    verdicts = [r.verdict for r in item.ranges]
    assert {"does not fit", "fits with work"} <= set(verdicts)
    for r in item.ranges:
        if r.from_ is None or r.to is None:
            continue
        sheet = judged_with(shop, ONE_STEP, f"disc.height_mm={(r.from_ + r.to) / 2:.4f}±0.05")
        assert sheet.verdict_of("brake") == r.verdict, r


def test_a_spacing_may_be_measured_at_the_car_instead(shop: Workshop) -> None:
    (item,) = fit_list(shop, ONE_STEP).at_the_car
    assert item.facts == ("spacing_mm",)
    assert item.at_the_car
    assert doubtful(judged_with(shop, ONE_STEP, "spacing_mm=4±0.05")) == []


def test_of_an_unknown_word_each_word_is_told(shop: Workshop) -> None:
    found = fit_list(shop, Wanted("tammick-van", "front", CAR, ("hose.seat=unknown",)))
    (item,) = found.items
    assert item.facts == ("hose.seat",)
    assert item.needs is None
    for r in item.ranges:
        sheet = judged_with(shop, Wanted("tammick-van", "front", CAR), f"hose.seat={r.word}")
        assert sheet.verdict_of("brake") == r.verdict
    assert len({r.word for r in item.ranges}) > 2


def test_a_wheel_without_an_outline_is_one_measurement(shop: Workshop) -> None:
    found = fit_list(shop, NO_OUTLINE)
    (item,) = found.items
    assert item.facts == ("wheel.outline.barrel_x_r", "wheel.outline.spoke_x_r")
    assert item.settles == ("wheel-gap",)
    assert item.set_ == ()  # a list is put into a folder of facts
    assert not found.close
    assert not found.beyond
    setup = assemble(shop.base, NO_OUTLINE)
    assert setup.wheel is not None
    outline = shop.base.get(Wheel, "tammick-16-cast").outline
    measured = replace(setup, wheel=replace(setup.wheel, outline=outline))
    assert doubtful(judge_setup(measured, shop.rulebook).sheet) == []


def test_nothing_is_asked_of_what_fits_or_does_not(shop: Workshop) -> None:
    stock = ask(shop, Wanted("tammick-van"))
    assert not any(found.name == "fit" for found in stock.lists)
    unfit = ask(shop, Wanted("tammick-van", "front", (*CAR, "tammick-15-steel")))
    assert unfit.verdicts["wheel"] == "does not fit"
    assert unfit.lists == ()
    assert not unfit.asks


def test_what_lies_on_its_limit_is_told_apart(shop: Workshop) -> None:
    """Bridge 2 mm off the disc's edge, where 2 mm are wanted: no ± settles that."""
    edge = bridge_at_limit(shop)
    wanted = Wanted("tammick-van", "front", CAR, (f"caliper.line_to_bridge_mm={edge:.4f}±0.5",))
    found = fit_list(shop, wanted)
    assert found.items == ()
    (close,) = found.close
    assert close.checks == ("bridge",)
    assert close.all_to is None or close.all_to < 0.01
    assert close.items[0].facts == ("caliper.line_to_bridge_mm",)
    assert 0.1 < close.share < 0.95
    guessed = [t for item in close.items for t in item.set_]
    assert len(guessed) == len(close.items)
    assert doubtful(judged_with(shop, wanted, *guessed))
    for off in (0.4, -0.4):
        other = f"caliper.line_to_bridge_mm={edge + off:.4f}±0.1"
        assert doubtful(judged_with(shop, wanted, *guessed, other)) == []


def bridge_at_limit(shop: Workshop) -> float:
    """The reading at which the bridge's gap is nominally what its limit wants."""
    row = shop.judge(Wanted("tammick-van", "front", CAR)).sheet.row("bridge")
    assert row.value is not None
    setup = assemble(shop.base, Wanted("tammick-van", "front", CAR))
    return setup.caliper.line_to_bridge_mm.reading.nominal - (row.value.nominal - 2.0)


# --- shipped setups in doubt only by straddling ---------------------------------------------------

STRADDLING = [
    Wanted("dorrimet-estate", "front", ("askel-d2", "sedge-300/big-bore", "ousel-118")),
    Wanted("wessock-van", "front", ("askel-d2", "sedge-300/big-bore", "ousel-118")),
    Wanted("tammick-van", "front", ("tovan-q4/41", "sedge-300/mid", "kite-120/street")),
]


@pytest.mark.parametrize("wanted", STRADDLING, ids=lambda w: "-".join((w.platform, *w.parts)))
def test_shipped_setups_that_straddle(shop: Workshop, wanted: Wanted) -> None:
    """A list of one settles; where there is none, no accuracy of an instrument does."""
    before = shop.judge(wanted).sheet
    assert doubtful(before)
    found = fit_list(shop, wanted)
    left = {c for close in found.close for c in close.checks} | {b.check for b in found.beyond}
    assert {r.check for r in doubtful(before)} == left | {d.check for d in found.doubts}
    texts = [t for item in found.items for t in item.set_]
    assert {r.check for r in doubtful(judged_with(shop, wanted, *texts))} == left
    everything = every_fact_measured(shop, wanted)
    assert {r.check for r in doubtful(judged_with(shop, wanted, *everything))} == left


def straddling(shop: Workshop) -> list[Wanted]:
    """The shipped candidates whose brake cannot be told, though no fact of it is unknown."""
    found: list[Wanted] = []
    bench, links = FitBench(shop), Links(shop.base, shop.rulebook)
    brake = checks_of(shop.rulebook, ("brake",))
    for car in shop.base.all(Platform):
        for name, axle in (("front", car.front), ("rear", car.rear)):
            if not axle.knuckle.known:
                continue
            for candidate in candidates(links, car.id, name).items:
                if bench.sieved(candidate) or bench.fit(candidate).verdict != "cannot tell":
                    continue
                setup = assemble(shop.base, candidate.wanted())
                rows = walk(brake.deduce(setup))
                doubts = [r for r in rows if r.state == "cannot tell"]
                assert doubts
                assert not any(r.state == "fails" for r in rows)
                if any(r.value is None and not r.missing for r in doubts):
                    continue  # a joint that is not judged at all
                facts = (f for r in doubts for f in r.missing if f not in MEASURED)
                named = [find_fact(setup, f) for f in facts]
                if all(n is not None and n[1].known for n in named):
                    found.append(candidate.wanted())
    return found


def test_one_measurement_settles_what_straddles_or_no_instrument_does(shop: Workshop) -> None:
    """Every shipped setup in doubt with no fact unknown; by the first measurement alone."""
    settled: dict[tuple[str, str], str] = {}
    found = straddling(shop)
    assert {(w.platform, w.parts) for w in STRADDLING} <= {(w.platform, w.parts) for w in found}
    for wanted in found:
        asked = fit_list(shop, wanted)
        if asked.close or asked.beyond:
            assert not asked.items, wanted  # and the list says so
            continue
        first = asked.items[0]
        assert not first.finer, wanted
        assert first.needs is not None
        assert first.reaches is not None
        assert first.needs >= first.reaches, wanted
        sheet = judged_with(shop, wanted, *first.set_)
        assert doubtful(sheet) == [], wanted
        assert sheet.verdict_of("brake") == asked.outcome != "cannot tell"
        settled[wanted.platform, first.facts[0]] = asked.outcome
    assert {fact for _, fact in settled} >= {"disc.height_mm", "caliper.line_to_bridge_mm"}
    assert len(settled) >= 4
    assert {"bolts on", "fits with work"} <= set(settled.values())


def every_fact_measured(shop: Workshop, wanted: Wanted) -> list[str]:
    doubts = doubts_for(shop, wanted)
    return [text_of(doubts, n) for n in doubts.names]


# --- judged no more than is needed, and the same ------------------------------------------------


@pytest.mark.parametrize("wanted", [WIDE_BRIDGE, TWO_DOUBTS, STRADDLING[1]])
def test_of_a_reading_all_is_told_as_if_all_were_judged_again(
    shop: Workshop, wanted: Wanted
) -> None:
    doubts = doubts_for(shop, wanted)
    names, _ = least_names(doubts)
    taken = doubts.taken(names or frozenset(doubts.names[:1]))
    for fact in taken:
        held = find_fact(doubts.supposed.setup, fact)
        assert held is not None
        assert isinstance(held[1], Value)
        r = held[1].reading
        for share in (0.0, 0.3, 0.6, 1.0):
            reading = round(r.lo + share * (r.hi - r.lo), 4)
            some = at_reading(doubts, fact, taken, "", reading)
            whole = doubts_for(shop, wanted).supposed.view(taken, {fact: reading})
            assert some is not None
            assert whole is not None
            assert some.rows == whole.rows, (fact, reading)
            assert some.extents == whole.extents


@pytest.mark.parametrize("wanted", [WIDE_BRIDGE, TWO_DOUBTS, *STRADDLING])
def test_what_is_told_now_is_told_after_measuring(shop: Workshop, wanted: Wanted) -> None:
    """So that of known facts only the checks in doubt have to be looked at again."""
    doubts = doubts_for(shop, wanted)
    assert all(c.known for c in doubts.candidates.values())
    for n in range(1, len(doubts.names) + 1):
        taken = doubts.taken(doubts.names[:n])
        some, whole = doubts.view(taken), doubts_for(shop, wanted).supposed.view(taken)
        assert some is not None
        assert whole is not None
        left = [r.check for r in whole.rows if r.state == "cannot tell"]
        assert [r.check for r in some.rows if r.state == "cannot tell"] == left


def test_what_is_close_says_how_well_all_would_have_to_be_known() -> None:
    """Facts of one unit by their common ±, others by how much better they must be known."""
    whole = Workshop.open()
    wanted = Wanted("thimbrel-saloon", "front", ("askel-a4/38", "burnet-288"))
    (found,) = ask(whole, wanted, lists=("car",)).lists
    told = [c for c in found.close if c.finer]
    assert told
    ways = read_measuring(data_folder() / "rules")
    car = checks_of(whole.rulebook, ("car",))
    doubts = doubts_of(Supposed(whole.base, assemble(whole.base, wanted), ways, car), ("car",))
    for close in told:
        assert close.all_to is None
        assert close.finer
        for times, doubt in ((close.finer * 1.01, False), (close.finer * 0.9, True)):
            taken = {n: c.now / times for n, c in doubts.candidates.items() if c.now}
            view = doubts.supposed.view(taken, checks=frozenset({close.checks[0]}))
            assert view is not None
            (row,) = view.rows
            assert (row.state == "cannot tell") is doubt, (close.checks, times)


@pytest.mark.parametrize(
    ("reads", "half", "text"),
    [(0.39, 3e-5, "0.39 ±0.00003"), (-0.00001, 0, "0 ±0"), (120, 10, "120 ±10")],
)
def test_a_reading_is_written_as_set_takes_it(reads: float, half: float, text: str) -> None:
    assert said(reads, half) == text
    assert value_of("disc.height_mm", text, Workshop.open().base.assumed_measured).known


# --- as short as any ------------------------------------------------------------------------------


def doubts_for(shop: Workshop, wanted: Wanted) -> Doubts:
    setup = assemble(shop.base, wanted)
    ways = read_measuring(data_folder() / "rules")
    return doubts_of(Supposed(shop.base, setup, ways, checks_of(shop.rulebook, FIT)), FIT)


def text_of(doubts: Doubts, name: str) -> str:
    plus_minus = doubts.taken([name])[name]
    guess = doubts.supposed.guess(name, plus_minus)
    assert guess is not None
    return f"{name}={said(guess, plus_minus)}"


def settled(shop: Workshop, wanted: Wanted, doubts: Doubts, names: tuple[str, ...]) -> bool:
    """Whether measuring these leaves nothing in doubt: by `--set` where all can be set."""
    settable = all(
        doubts.candidates[n].known
        and len(doubts.candidates[n].facts) == 1
        and not n.startswith("designed_")
        for n in names
    )
    if not settable:
        return not doubts.standing(frozenset(names))
    told = {r.check for r in doubts.told}
    sheet = judged_with(shop, wanted, *(text_of(doubts, n) for n in names))
    return not told & {r.check for r in doubtful(sheet)}


def shortest(shop: Workshop, wanted: Wanted, doubts: Doubts, below: int) -> tuple[str, ...] | None:
    """A set of fewer than `below` that settles, by trying every one; None: there is none."""
    for size in range(below):
        for names in combinations(doubts.names, size):
            if settled(shop, wanted, doubts, names):
                return names
    return None


WIDE = (0.3, 0.5, 1.0, 2.0, 3.0)
STARTS = [
    ("tammick-van", "front", CAR),
    ("tammick-van", "front", (*CAR, "tammick-16-cast")),
    ("wessock-van", "front", ("askel-d2", "medick-302")),
    ("ullathor-saloon", "front", ("betony-332",)),
    ("skarrel-4x4", "front", ("tovan-q4/44", "sorrel-316")),
    ("thimbrel-saloon", "rear", ("tovan-q2/42", "betony-300")),
    ("grellow-hatch", "front", ()),
    ("jarrick-hatch", "rear", ()),
    ("throssel-saloon", "front", ()),
]


def drawn(shop: Workshop, number: int) -> Wanted | None:
    """A sound setup with some facts in wide doubt or taken away; None: it is not in doubt."""
    rnd = random.Random(f"ask {number}")
    wanted = Wanted(*rnd.choice(STARTS))
    facts = [
        f
        for f in shop.judge(wanted).sheet.evidence
        if f.readings
        and f.unit == "mm"
        and f.path.split(".")[0] in _KINDS
        and not any(w in f.path for w in ("hole_", "circle", "spacing", "head_"))
    ]
    sets = []
    for fact in rnd.sample(facts, rnd.choice((1, 2, 2, 3, 3, 4, 5))):
        at = fact.readings[0].nominal
        if rnd.random() < 0.15:
            sets.append(f"{fact.path}=unknown")
        else:
            off = rnd.choice((-0.5, 0.0, 0.0, 0.3))
            sets.append(f"{fact.path}={at + off:.3f}±{min(rnd.choice(WIDE), abs(at) * 0.5):.3f}")
    wanted = replace(wanted, set_=tuple(sets))
    try:
        sheet = shop.judge(wanted).sheet
    except BadInput:
        return None
    if "does not fit" in (sheet.verdict_of("brake"), sheet.verdict_of("wheel")):
        return None
    return wanted if doubtful(sheet) else None


_KINDS = ("knuckle", "caliper", "carrier", "disc", "pad", "wheel")
MOST_SUBSETS = int(os.environ.get("LUGPLANE_ASK_SUBSETS", "40"))
CASES = int(os.environ.get("LUGPLANE_ASK_CASES", "6"))


def test_the_list_is_as_short_as_the_best_of_all_subsets(
    shop: Workshop, capsys: pytest.CaptureFixture[str]
) -> None:
    compared = shorter = proven = 0
    sizes: list[int] = []
    number = 0
    while compared < CASES and number < 60 * CASES:
        number += 1
        wanted = drawn(shop, number)
        if wanted is None:
            continue
        doubts = doubts_for(shop, wanted)
        names, sure = least_names(doubts)
        if sum(comb(len(doubts.names), k) for k in range(len(names))) > MOST_SUBSETS:
            continue
        assert not doubts.standing(names), wanted
        compared += 1
        proven += sure
        sizes.append(len(names))
        best = shortest(shop, wanted, doubts, len(names))
        if best is not None:
            shorter += 1
            with capsys.disabled():
                print(f"\n{number}: {sorted(names)} but {best}: {wanted}")
    share = 1 - shorter / compared
    with capsys.disabled():
        print(
            f"\nask: as short as the best of all subsets in {share:.1%} of {compared} drawn setups"
            f" (lists of {min(sizes)} to {max(sizes)}, {proven} said to be proven)"
        )
    assert compared == CASES
    assert max(sizes) >= 2
    assert share >= 0.95
