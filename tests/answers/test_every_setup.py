"""Every stock setup bolts on, shows every check once, and passes less when a fact is taken away."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from lugplane.answers.sheet import Sheet, judge_setup
from lugplane.deduce.quick import Quick
from lugplane.deduce.rulebook import SCOPES
from lugplane.errors import BadInput
from lugplane.setup.assemble import Wanted, assemble
from lugplane.workshop import Workshop

PASSES = {"bolts on": 0, "fits with work": 1}
STATES = {"holds", "care", "work", "fails", "cannot tell", "does not apply"}
DEMO = ("tovan-q4/44", "sorrel-300", "kite-120", "tammick-16-cast")
CHANGED = [
    ("tammick-van", "front", DEMO),
    ("tammick-van", "front", ("tovan-q4/44", "sorrel-300", "kite-120", "kessarin-17-cast")),
    ("jarrick-hatch", "front", ("hasket-s1/48", "hasket-bracket-120/256", "vetch-256")),
    ("wessock-van", "front", ("askel-d2", "medick-302")),
    ("ullathor-saloon", "front", ("betony-332",)),
    ("skarrel-4x4", "front", ("tovan-q4/44", "sorrel-316")),
    ("thimbrel-saloon", "rear", ("tovan-q2/42", "betony-300")),
]


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return Workshop.open()


def axles() -> list[tuple[str, str]]:
    return [(p, a) for p in Workshop.open().base.ids("platform") for a in ("front", "rear")]


EVERY = [*((p, a, ()) for p, a in axles()), *CHANGED]


@pytest.mark.parametrize(("platform", "axle"), axles())
def test_stock_bolts_on(shop: Workshop, platform: str, axle: str) -> None:
    sheet = shop.judge(Wanted(platform, axle)).sheet
    fine = ("holds", "does not apply")
    odd = {
        r.check: (r.state, r.band) for r in sheet.rows if r.scope != "car" and r.state not in fine
    }
    assert odd == {}
    assert sheet.verdict_of("brake") == "bolts on"
    assert sheet.verdict_of("wheel") == "bolts on"
    assert [(o.kind, o.count) for o in sheet.stack] == [("bare", 0)]
    assert [b.record for b in sheet.bolts] == [""]


@pytest.mark.parametrize(("platform", "axle", "parts"), EVERY)
def test_every_check_is_listed_once_in_one_state(
    shop: Workshop, platform: str, axle: str, parts: tuple[str, ...]
) -> None:
    sheet = shop.judge(Wanted(platform, axle, parts)).sheet
    assert [r.check for r in sheet.rows] == [c.id for c in shop.rulebook.checks]
    for row in sheet.rows:
        assert row.state in STATES
        if row.state == "does not apply":
            assert row.because, row.check
        if row.state == "cannot tell":
            assert row.settles or row.because or row.value is not None, row.check


@pytest.fixture(scope="module")
def mechanical(shop: Workshop) -> Workshop:
    """The same without what stands beside the stock car, which takes half of the time."""
    book = shop.rulebook
    rules = tuple(r for r in book.rules if Path(r.at.split(":")[0]).name != "car.yaml")
    checks = tuple(c for c in book.checks if c.scope != "car" or c.id == "slip-reserve")
    return replace(shop, rulebook=replace(book, rules=rules, checks=checks))


STOCK_TURNS = 3


@pytest.mark.parametrize(("number", "wanted"), list(enumerate(EVERY)))
def test_taking_a_fact_away_never_betters_a_verdict(
    shop: Workshop, mechanical: Workshop, number: int, wanted: tuple[str, str, tuple[str, ...]]
) -> None:
    """Of every fact in turn: what passed may pass no better, what did not pass may not pass.

    Of the changed setups all facts are taken away, of a stock axle every third, by rotation over
    the axles. The whole car is looked at in every fourth setup.
    """
    platform, axle, parts = wanted
    judge = judged_by(mechanical if number % 4 else shop)
    whole = judge(Wanted(platform, axle, parts))
    assert whole is not None
    facts = [f for f in whole.evidence if f.known and not f.path.startswith("platform.")]
    assert len(facts) > 60
    for fact in facts if parts else facts[number % STOCK_TURNS :: STOCK_TURNS]:
        less = judge(Wanted(platform, axle, parts, (f"{fact.path}=unknown",)))
        if less is None:
            continue
        for scope in SCOPES:
            before, after = whole.verdict_of(scope), less.verdict_of(scope)
            if after in PASSES:
                assert before in PASSES, (fact.path, scope)
                assert PASSES[after] >= PASSES[before], (fact.path, scope)


def judged_by(shop: Workshop) -> Callable[[Wanted], Sheet | None]:
    """Gives sheets, or None where without a fact no setup can be put together at all."""
    match = Quick(shop.rulebook.rules).match

    def judge(wanted: Wanted) -> Sheet | None:
        try:
            return judge_setup(assemble(shop.base, wanted), shop.rulebook, match).sheet
        except BadInput:
            return None

    return judge


def test_the_demo_fits_with_work(shop: Workshop) -> None:
    sheet = shop.judge(Wanted("tammick-van", "front", DEMO)).sheet
    assert sheet.verdict_of("brake") == "fits with work"
    assert sheet.verdict_of("wheel") == "bolts on"
    assert {b.what for b in sheet.buy} >= {"caliper", "disc", "washers", "bolt"}
    assert sheet.row("trim").state == "work"
