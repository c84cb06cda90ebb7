"""The comparison goes red where it should: an answer that was tampered with is told."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from oracle.agree import ALLOWED, PASSES, WIDER, Pair, differences
from oracle.agree_car import CAR
from oracle.both_sides import Asked, BothSides
from oracle.candidates import stock
from oracle.oracle import CHECKS, Answer

from lugplane.answers.rows import Span
from lugplane.answers.sheet import Sheet

WORK = Asked("tammick-van", "front", "tovan-q4/44", "sorrel-300", "kite-120/street")


@pytest.fixture(scope="module")
def fitted(both: BothSides) -> tuple[Sheet, Answer]:
    """A setup that bolts on, with its wheel; both sides agree on it."""
    asked = next(iter(stock(both.kb)))
    sheet, answer = both.engine(asked).sheet, both.oracle(asked)
    assert differences(sheet, answer) == []
    return sheet, answer


@pytest.fixture(scope="module")
def spaced(both: BothSides) -> tuple[Sheet, Answer]:
    """A setup with a stack and other bolts; both sides agree on it."""
    sheet, answer = both.engine(WORK).sheet, both.oracle(WORK)
    assert sorts(sheet, answer) == set()
    assert answer.states["stack"] == "work"
    return sheet, answer


def with_states(answer: Answer, **states: str) -> Answer:
    new = {check.replace("_", "-"): state for check, state in states.items()}
    return replace(answer, states=answer.states | new)


def with_value(sheet: Sheet, check: str, low: float, high: float) -> Sheet:
    """The sheet with the bounds of one row moved by so much."""
    rows = tuple(
        replace(row, value=Span(row.value.lo + low, row.value.hi + high, row.value.nominal))
        if row.check == check and row.value is not None
        else row
        for row in sheet.rows
    )
    return replace(sheet, rows=rows)


def sorts(sheet: Sheet, answer: Answer) -> set[tuple[str, str]]:
    """What differs, but for the engine's being the more careful at an edge."""
    return {(d.sort, d.about) for d in differences(sheet, answer) if d.sort != "edge"}


@pytest.mark.parametrize("check", list(CHECKS))
def test_another_state_is_told(fitted: tuple[Sheet, Answer], check: str) -> None:
    sheet, answer = fitted
    assert ("state", check) in sorts(sheet, with_states(answer, **{check: "fails"}))


@pytest.mark.parametrize("scope", ["brake", "wheel", "car"])
def test_another_verdict_is_told(fitted: tuple[Sheet, Answer], scope: str) -> None:
    sheet, answer = fitted
    other = replace(answer, verdict=answer.verdict | {scope: "does not fit"})
    assert sorts(sheet, other) == {("verdict", scope)}


@pytest.mark.parametrize("check", ["spacing", "cheek", "worn-travel", "hub-bore", "engagement"])
@pytest.mark.parametrize("way", [-1e-4, 1e-4])
def test_other_figures_are_told(fitted: tuple[Sheet, Answer], check: str, way: float) -> None:
    sheet, answer = fitted
    assert {about for _, about in sorts(with_value(sheet, check, way, way), answer)} == {check}


@pytest.mark.parametrize("check", ["overhang", "bridge", "plate-hat", "piston-cover"])
def test_a_narrower_bound_is_told_and_a_little_wider_one_is_not(
    fitted: tuple[Sheet, Answer], check: str
) -> None:
    sheet, answer = fitted
    assert check in WIDER
    # 0.03 mm in from the engine's own bound is inside the oracle's, which it exceeds by less.
    assert ("narrower", check) in sorts(with_value(sheet, check, 0.03, -0.03), answer)
    assert ("wider", check) in sorts(with_value(sheet, check, -0.06, 0.0), answer)


@pytest.mark.parametrize("check", ["pedal-travel", "pedal-reserve", "master-stroke", "unsprung"])
def test_other_figures_of_the_car_are_told(spaced: tuple[Sheet, Answer], check: str) -> None:
    sheet, answer = spaced
    assert (("narrower", check)) in sorts(with_value(sheet, check, 0.001, 0.0), answer)


@pytest.mark.parametrize("check", ["front-share", "pedal-effort", "stop", "torque-change"])
def test_figures_of_the_car_may_lie_apart_by_little(
    spaced: tuple[Sheet, Answer], check: str
) -> None:
    sheet, answer = spaced
    leave, (low, high) = CAR[check], answer.have[check]
    value = next(row.value for row in sheet.rows if row.check == check)
    assert value is not None
    narrow, wide = leave.narrower * 2.5, leave.wider * 1.5
    inside = low + narrow - value.lo, high - narrow - value.hi
    assert ("narrower", check) in sorts(with_value(sheet, check, *inside), answer)
    assert ("wider", check) in sorts(with_value(sheet, check, -wide, wide), answer)
    assert check not in {about for _, about in sorts(sheet, answer)}


def test_another_stack_is_told(spaced: tuple[Sheet, Answer]) -> None:
    sheet, answer = spaced
    kind, thickness = answer.stack[0]
    other = replace(answer, stack=[(kind, thickness + 0.1), *answer.stack[1:]])
    assert ("stack", "stack") in sorts(sheet, other)
    assert ("stack", "stack") in sorts(replace(sheet, stack=sheet.stack * 2), answer)


def test_another_bolt_is_told(spaced: tuple[Sheet, Answer]) -> None:
    sheet, answer = spaced
    assert sorts(sheet, replace(answer, bolt="original")) == {("bolt", "bolt")}


def test_another_limiting_check_is_told(fitted: tuple[Sheet, Answer]) -> None:
    sheet, answer = fitted
    scopes = tuple(replace(scope, limiting="adapter") for scope in sheet.scopes)
    assert ("limiting", "brake") in sorts(replace(sheet, scopes=scopes), answer)


@pytest.mark.parametrize("entry", ALLOWED, ids=lambda entry: entry.name)
def test_no_entry_lets_one_side_pass_what_the_other_does_not(
    fitted: tuple[Sheet, Answer], entry: object
) -> None:
    """With every other row as it is on a sound setup, no entry hides a pass beside a failing."""
    sheet, answer = fitted
    words = {"n/a": "does not apply"}
    for check in CHECKS:
        for ours, theirs in product(("holds", "fails", "cannot tell"), repeat=2):
            if (ours in PASSES) == (theirs in PASSES):
                continue
            rows = {
                row.check: replace(row, state=words.get(ours, ours)) if row.check == check else row
                for row in sheet.rows
            }
            pair = Pair(sheet, with_states(answer, **{check: theirs}), rows)
            assert not (check in entry.checks and entry.when(pair, check))  # type: ignore[attr-defined]
