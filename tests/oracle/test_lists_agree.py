"""The lists agree with the oracle's on two axles and a dozen parts, and a tampered row is told."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from oracle import agree_lists as lists
from oracle.agree_lists import BothLists, Found, Naming, assignable
from oracle.both_sides import Asked, BothSides
from oracle.lists import AxleList, seats
from oracle.oracle import CHECKS

from lugplane.answers.fit import Fit
from lugplane.answers.fits import Fits
from lugplane.answers.same import Same, same
from lugplane.answers.takes import Takes
from lugplane.answers.untold import Untold
from lugplane.links.candidates import TurnedDown

RADIAL, AXIAL = ("ullathor-saloon", "front"), ("gribbet-saloon", "front")
PARTS = (
    "corm-p2/36",
    "hasket-r1/45",
    "hasket-r1/48",
    "tovan-t4",
    "corm-bracket-96",
    "hasket-bracket-rear/290",
    "vetch-228",
    "grebe-124/street",
    "scaup-126",
    "grebe-124",
    "tammick-16-cast",
    "ullathor-18-cast",
)


@pytest.fixture(scope="module")
def held(both: BothSides) -> BothLists:
    return BothLists(both)


def told(found: Found) -> set[str]:
    """The kinds of difference, but for the engine's being the more careful at an edge."""
    return {kind for kind, _ in found.told if not kind.startswith("edge")}


def written(found: Found) -> str:
    return "\n".join(f"{kind}: {text}" for kind, text in found.told)


# --- they agree ----------------------------------------------------------------------------------


@pytest.mark.parametrize("axle", [RADIAL, AXIAL], ids=" ".join)
def test_an_axles_list_agrees(held: BothLists, axle: tuple[str, str]) -> None:
    found = lists.axle(held, *axle)
    assert not told(found), written(found)
    counts = found.counts
    every = counts["combinations of the product"]
    kb = held.kb
    assert every == len(seats(kb)) * len(kb.of("disc")) * len(kb.of("pad")) > 200_000
    down = counts["combinations turned down by a pair"]
    assert every - down == counts["combinations judged in full"] > 5
    assert counts["brake: bolts on"] > 0
    assert counts["brake: does not fit"] > 0


def test_a_list_with_adapter_plates_agrees(held: BothLists) -> None:
    found = lists.axle(held, *RADIAL, plates=True)
    assert not told(found), written(found)
    whole = held.engine(*RADIAL, plates=True)
    assert any(row.adapter for row in whole.rows)


@pytest.mark.parametrize("part", PARTS)
def test_the_axles_that_take_a_part_agree(held: BothLists, part: str) -> None:
    found = lists.part(held, part)
    assert not told(found), written(found)
    assert found.counts["axles asked of a part"] == 2 * 28


@pytest.mark.parametrize("part", ["askel-r4", "corm-bracket-96", "vetch-228", "grebe-124/street"])
def test_the_parts_that_are_the_same_agree(held: BothLists, part: str) -> None:
    found = lists.alike(held, part)
    assert not told(found), written(found)
    assert found.counts["purposes of same"] > 0


# --- the oracle's own shortcut ------------------------------------------------------------------


def test_a_pair_that_fails_fails_in_every_setup_with_it(both: BothSides) -> None:
    theirs, luck = AxleList(both.kb, *RADIAL), random.Random(7)
    every = list(theirs.product())
    seen: set[str] = set()
    for c in luck.sample([c for c in luck.sample(every, 400) if theirs.pair_fails(c)], 12):
        setup = Asked(*RADIAL, c.caliper, c.disc, c.pad, c.carrier or None)
        states = both.oracle(setup).states
        for check in theirs.pair_fails(c):
            assert states[check] == "fails", (check, str(c))
            seen.add(check)
    assert len(seen) > 3, seen
    meeting = set(theirs.open())
    assert all((c in meeting) == (not theirs.pair_fails(c)) for c in luck.sample(every, 2000))


def test_a_combination_is_judged_as_by_the_oracle_itself(both: BothSides) -> None:
    theirs = AxleList(both.kb, *AXIAL)
    wheel = both.kb.need("platform", AXIAL[0]).get("front.stock.wheel")
    for c in theirs.open()[::5]:
        setup = Asked(*AXIAL, c.caliper, c.disc, c.pad, c.carrier or None, wheel)
        whole, alone = both.oracle(setup), theirs.judged(c, wheel)
        for check, scope in CHECKS.items():
            assert scope == "car" or alone.states[check] == whole.states[check], check
        assert (alone.stack, alone.bolt) == (whole.stack, whole.bolt)
        assert alone.verdict["wheel"] == whole.verdict["wheel"]
        assert theirs.judged(c).verdict["wheel"] == "does not apply"


def test_counts_must_come_out_with_each_thing_under_a_word_of_its_own() -> None:
    assert assignable({"a": 1, "b": 2}, [{"a", "b"}, {"b"}, {"a", "b"}])
    assert not assignable({"a": 2, "b": 1}, [{"a", "b"}, {"b"}, {"b"}])
    assert not assignable({"a": 1}, [{"a"}, {"a"}])


# --- and tampering is told ----------------------------------------------------------------------
def of_axle(held: BothLists, axle: tuple[str, str], tampered: Fits) -> set[str]:
    found = Found()
    lists.compare_axle(found, tampered, held.oracle(*axle), Naming(held, *axle, plates=False))
    return told(found)


def with_row(whole: Fits, change: Callable[[Fit], Fit], verdict: str) -> Fits:
    """The list with its first row of a verdict changed."""
    n = next(n for n, row in enumerate(whole.rows) if row.verdict == verdict)
    rows = (*whole.rows[:n], change(whole.rows[n]), *whole.rows[n + 1 :])
    return replace(whole, rows=rows)


def other_word(row: Fit, check: str) -> Fit:
    """A check that asks for work, said to ask for care."""
    asks = tuple(replace(a, state="care") if a.check == check else a for a in row.asks)
    assert asks != row.asks
    return replace(row, asks=asks, care=row.care + 1, work=row.work - 1)


def other_figure(row: Fit) -> Fit:
    asks = list(row.asks)
    n = next(n for n, ask in enumerate(asks) if ask.value is not None and ask.unit == "mm")
    value = asks[n].value
    assert value is not None
    asks[n] = replace(asks[n], value=replace(value, lo=value.lo - 0.1, hi=value.hi + 0.1))
    return replace(row, asks=tuple(asks))


WORK, FAIL = "fits with work", "does not fit"
TAMPERED: dict[str, tuple[tuple[str, str], Callable[[Fits], Fits], str]] = {
    "no row": (RADIAL, lambda w: replace(w, rows=w.rows[:-1]), "lost"),
    "twice a row": (RADIAL, lambda w: replace(w, rows=(*w.rows, w.rows[-1])), "twice a row"),
    "out of order": (RADIAL, lambda w: replace(w, rows=w.rows[::-1]), "order of rows"),
    "verdict": (
        AXIAL,
        lambda w: with_row(w, lambda r: replace(r, verdict="bolts on"), WORK),
        "verdict brake: engine bolts on, oracle fits with work",
    ),
    "verdict of what fails": (
        AXIAL,
        lambda w: with_row(w, lambda r: replace(r, verdict="cannot tell"), FAIL),
        "verdict brake: engine cannot tell, oracle does not fit",
    ),
    "limiting": (
        AXIAL,
        lambda w: with_row(w, lambda r: replace(r, limiting="mount"), FAIL),
        "limiting brake",
    ),
    "failing check left out": (
        AXIAL,
        lambda w: with_row(w, lambda r: replace(r, asks=r.asks[1:]), FAIL),
        "row fails",
    ),
    "state": (
        RADIAL,
        lambda w: with_row(w, lambda r: other_word(r, "shield-lip"), WORK),
        "state shield-lip: engine care, oracle work",
    ),
    "figure": (AXIAL, lambda w: with_row(w, other_figure, FAIL), ""),
    "stack": (RADIAL, lambda w: with_row(w, lambda r: replace(r, stack=()), WORK), "stack stack"),
    "bolt": (RADIAL, lambda w: with_row(w, lambda r: replace(r, bolts=()), WORK), "bolt bolt"),
    "new parts": (
        AXIAL,
        lambda w: with_row(w, lambda r: replace(r, changed=r.changed + 1), FAIL),
        "row changed",
    ),
    "a stranger among those alike": (
        RADIAL,
        lambda w: with_row(w, lambda r: replace(r, alike={"pad": ("kite-132",)}), WORK),
        "row beside the product",
    ),
    "one of those alike left out": (
        RADIAL,
        lambda w: with_row(w, lambda r: replace(r, alike={}), WORK),
        "lost",
    ),
    "wheel": (
        AXIAL,
        lambda w: with_row(
            w,
            lambda r: replace(r, wheels=(replace(r.wheels[0], verdict=FAIL), *r.wheels[1:])),
            WORK,
        ),
        "verdict wheel",
    ),
    "counts": (
        AXIAL,
        lambda w: replace(w, counts={**w.counts, WORK: w.counts[WORK] + 1}),
        "counts of verdicts",
    ),
    "turned down": (
        AXIAL,
        lambda w: replace(
            w, turned_down=tuple(TurnedDown(t.kind, "drum", t.count) for t in w.turned_down)
        ),
        "counted discs turned down",
    ),
    "not fitting": (AXIAL, lambda w: replace(w, unfit={"drum": w.counts[FAIL]}), "counted as not"),
    "seats for a plate": (AXIAL, lambda w: replace(w, for_adapter=w.for_adapter + 1), "seats for"),
}


@pytest.mark.parametrize("name", list(TAMPERED))
def test_a_tampered_list_is_told(held: BothLists, name: str) -> None:
    axle, change, kind = TAMPERED[name]
    whole = held.engine(*axle)
    assert not of_axle(held, axle, whole)
    found = of_axle(held, axle, change(whole))
    assert any(each.startswith(kind) for each in found), found


def test_a_pair_turned_down_for_a_check_that_it_passes_is_told(held: BothLists) -> None:
    class Wrong(Naming):
        def hub(self, disc: str) -> str:
            return super().hub(disc) and "drum"

    found = Found()
    theirs = held.oracle(*AXIAL)
    lists.compare_axle(found, held.engine(*AXIAL), theirs, Wrong(held, *AXIAL, plates=False))
    assert told(found) == {"turned down by drum: oracle n/a"}


def test_a_pair_let_pass_that_fails_is_told(held: BothLists) -> None:
    class Blind(Naming):
        def hub(self, disc: str) -> str:
            return ""

    found = Found()
    theirs = held.oracle(*AXIAL)
    lists.compare_axle(found, held.engine(*AXIAL), theirs, Blind(held, *AXIAL, plates=False))
    assert "lost" in told(found)
    assert any(kind.startswith("not turned down: oracle fails ") for kind in told(found))


def test_the_short_list_may_leave_out_nothing_but_what_does_not_fit(held: BothLists) -> None:
    whole, plain, theirs = held.engine(*AXIAL), held.plain(*AXIAL), held.oracle(*AXIAL)
    for tampered, kind in (
        (replace(plain, rows=plain.rows[1:]), "short list: a row is wanting"),
        (replace(plain, counts={**plain.counts, FAIL: 0}), "short list: counts"),
        (replace(plain, unfit={"drum": plain.counts[FAIL]}), "counted as not fitting"),
        (replace(plain, rows=(*plain.rows, whole.rows[-1])), "short list: counts"),
        (replace(plain, untold=(Untold(("vetch-228",), "joint", 1),)), "short list: not told of"),
    ):
        found = Found()
        lists.compare_plain(found, held, whole, tampered, theirs)
        assert any(each.startswith(kind) for each in told(found)), found.told
    found = Found()
    lists.compare_plain(found, held, whole, plain, theirs)
    assert not told(found), written(found)


def _first(told_: Takes, **changed: Any) -> Takes:
    return replace(told_, rows=(replace(told_.rows[0], **changed), *told_.rows[1:]))


@pytest.mark.parametrize(
    ("change", "kind"),
    [
        (lambda t: replace(t, rows=t.rows[1:]), "takes: no row, oracle "),
        (lambda t: _first(t, verdict="cannot tell"), "takes: engine cannot tell, oracle "),
        (lambda t: _first(t, counts={}), "takes: counts"),
        (lambda t: _first(t, platform="tammick-van"), "takes: "),
        (lambda t: replace(t, turned_down={"drum": 1}), "takes: counted as turned down"),
        (lambda t: replace(t, rows=(*t.rows, t.rows[0])), "takes: twice a row"),
    ],
)
def test_tampered_axles_of_a_part_are_told(
    held: BothLists, change: Callable[[Takes], Takes], kind: str
) -> None:
    answer = held.takes("tovan-t4", whole=True)
    assert answer.rows
    found = Found()
    lists.compare_takes(found, held, change(answer))
    assert any(each.startswith(kind) for each in told(found)), found.told


def _hub(answer: Same, **changed: Any) -> Same:
    """The answer with the first part of its first purpose changed."""
    purpose = answer.purposes[0]
    others = (replace(purpose.others[0], **changed), *purpose.others[1:])
    return replace(answer, purposes=(replace(purpose, others=others), *answer.purposes[1:]))


@pytest.mark.parametrize(
    ("change", "kind"),
    [
        (lambda s: _hub(s, state="cannot tell"), "same: engine cannot tell, oracle same"),
        (lambda s: _hub(s, id="sorrel-300"), "same: hub: only engine"),
        (lambda s: _hub(s, missing=("disc.bore_mm",)), "same: missing"),
        (lambda s: _hub(s, differs=()), "same: differs by oracle only"),
        (lambda s: _hub(s, open=99), "same: how many are open"),
        (lambda s: replace(s, purposes=s.purposes[1:]), "same: hub is not asked"),
    ],
)
def test_a_tampered_answer_of_what_is_the_same_is_told(
    held: BothLists, change: Callable[[Same], Same], kind: str
) -> None:
    answer = same(held.workshop, "vetch-228")
    assert answer.purposes[0].purpose == "hub"
    found = Found()
    lists.compare_same(found, held, answer)
    assert not told(found)
    lists.compare_same(found, held, change(answer))
    assert any(each.startswith(kind) for each in told(found)), found.told
