"""Checks asked in turn name what the sheet's rows name, whatever was asked of others before."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from lugplane.deduce import deduction
from lugplane.deduce.deduction import Work
from lugplane.deduce.grammar import Rule
from lugplane.deduce.memory import Fact
from lugplane.errors import EngineError
from lugplane.links import turns as module
from lugplane.links.candidates import candidates
from lugplane.links.links import Links
from lugplane.links.partial import Some
from lugplane.links.sieve import CHECKS
from lugplane.links.turns import Turns
from lugplane.measure import bench
from lugplane.measure.bench import Bench, Finding
from lugplane.quantity.judge import FAILS
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.parts import Setup
from lugplane.setup.shared import Shared
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[2] / "kb"


@cache
def shop() -> Workshop:
    return Workshop.open(only=KB)


def of_an_axle(platform: str, axle: str, step: int, adapters: bool) -> Iterator[Setup]:
    links = Links(shop().base, shop().rulebook)
    for c in candidates(links, platform, axle, adapters=adapters).items[::step]:
        yield assemble(shop().base, c.wanted())


@cache
def several() -> tuple[Setup, ...]:
    """Candidates of axial and of radial mounts, with adapters, and facts that are not known."""
    found = [
        *of_an_axle("kessarin-estate", "front", 7, True),
        *of_an_axle("kessarin-estate", "rear", 5, False),
        *of_an_axle("wambry-hatch", "front", 1, False),
        *of_an_axle("skarrel-4x4", "front", 9, True),
    ]
    for fact in (
        *("caliper.opening_mm", "disc.diameter_mm", "caliper.hose", "knuckle.ear_face_mm"),
        *("knuckle.mount", "caliper.body", "knuckle.ear.hole", "pad.lining_mm"),
    ):
        wanted = Wanted("kessarin-estate", "front", ("tovan-q4/44",), (f"{fact}=unknown",))
        found.append(assemble(shop().base, wanted))
    return tuple(found)


@cache
def by_rows() -> tuple[str, ...]:
    """The first check of each setup's rows that fails."""
    some = Some(shop().rulebook, CHECKS)
    return tuple(
        next((row.check for row in some.rows(setup) if row.state == FAILS), "")
        for setup in several()
    )


@pytest.mark.parametrize("common", [False, True])
@pytest.mark.parametrize("way", [1, -1])
def test_they_name_the_first_failing_row(common: bool, way: int) -> None:
    turns = Turns(shop().rulebook, CHECKS, Shared() if common else None)
    first = [turns.failing(setup) for setup in several()[::way]]
    again = [turns.failing(setup) for setup in several()]
    assert tuple(first[::way]) == tuple(again) == by_rows()
    assert len(set(again)) > 6  # many a check turns one down, and some pass


def test_the_order_of_the_checks_is_that_of_the_turns() -> None:
    turned = CHECKS[::-1]
    some, turns = Some(shop().rulebook, turned), Turns(shop().rulebook, turned)
    for setup in several():
        rows = some.rows(setup)
        assert turns.failing(setup) == next((r.check for r in rows if r.state == FAILS), "")


def test_it_starts_anew_when_it_is_full(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_KEPT", 30)
    turns = Turns(shop().rulebook, CHECKS)
    assert tuple(turns.failing(setup) for setup in several()) == by_rows()


class Noted(Work):
    """Work that tells what was measured."""

    measured: list[str]

    def outcome(self, rule: Rule, chosen: tuple[Fact, ...]) -> Fact:
        self.measured.append(rule.measure or rule.choose or "")
        return super().outcome(rule, chosen)


@pytest.fixture
def measured(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    found: list[str] = []
    monkeypatch.setattr(Noted, "measured", found, raising=False)
    monkeypatch.setattr(module, "Work", Noted)
    return found


def test_nothing_is_measured_after_the_check_that_fails(measured: list[str]) -> None:
    turns = Turns(shop().rulebook, ("hose-thread", "cheek", "bridge"))
    for word, check in (("3/8-24 UNF", "hose-thread"), ("M10x1", "")):
        set_ = (f"caliper.hose={word}", "disc.diameter_mm=280 ±0.1")
        wanted = Wanted("kessarin-estate", "front", ("tovan-q4/44",), set_)
        setup = assemble(shop().base, wanted)
        for _ in range(2):  # with matching, then along the course that is known
            measured.clear()
            assert turns.failing(setup) == check
            assert (measured == ["hose_thread"]) == bool(check)
            assert ("bridge" in measured) == (not check)


def test_a_setup_of_the_same_words_is_measured_for_itself() -> None:
    turns = Turns(shop().rulebook, ("bridge",))
    found = []
    for diameter in ("300 ±0.1", "420 ±0.1", "300 ±0.1"):
        wanted = Wanted("kessarin-estate", "front", (), (f"disc.diameter_mm={diameter}",))
        found.append(turns.failing(assemble(shop().base, wanted)))
    assert found == ["", "bridge", ""]


def test_a_measure_of_ours_that_breaks_is_told_with_its_rule(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    turns = Turns(shop().rulebook, ("cheek",))
    setup = several()[0]

    def broken(b: Bench, kind: str, name: str) -> Finding:
        if name == "cheek":
            raise RuntimeError("ours")
        return bench.run(b, kind, name)

    def asked() -> None:
        with pytest.raises(EngineError, match=r"rule cheek .*RuntimeError: ours"):
            turns.failing(setup)

    with monkeypatch.context() as patch:
        patch.setattr(deduction, "run", broken)
        asked()  # with matching
    turns.failing(setup)
    monkeypatch.setattr(deduction, "run", broken)
    asked()  # along the course that is known


def test_a_check_that_is_not_on_the_list_is_refused() -> None:
    with pytest.raises(KeyError):
        Turns(shop().rulebook, ("no-such-check",))
