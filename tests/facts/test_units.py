"""A number is in the unit of its key, of the mapping that it stands in, or of its measure."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from lugplane.check.numbers import Numbers
from lugplane.data import data_folder
from lugplane.deduce.rulebook import read_rulebook
from lugplane.facts.decode import Decoder
from lugplane.facts.families import Single, singles
from lugplane.facts.raw import Positions, Raw
from lugplane.facts.records import Trial
from lugplane.facts.units import unit_of, units_of_measures
from lugplane.facts.value import Value
from lugplane.measure.bench import MEASURES

RULES = read_rulebook(data_folder() / "rules")
ASSUMED = RULES.limits.assumed
BARE: Mapping[str, Any] = {
    "kind": "trial",
    "id": "a",
    "title": "A trial",
    "platform": "p",
    "axle": "front",
    "date": "2026-06-01",
    "readings": {
        "gauge": {"basis": "measured"},
        "rule": {"basis": "measured", "plus_minus_mm": 0.5, "plus_minus_percent": 7},
    },
    "unless_said": "gauge",
    "notes": "One wheel nut on.",
    "stack_mm": 5,
    "gaps_mm": {"end_1_outboard": 3, "end_1_inboard": "3 (rule)", "end_2_inboard": "3 ±0.1"},
    "measured": {
        "spacing": 0,
        "wheel_gap": 40,
        "trim": 0.1,
        "tilt": "0.1 (rule)",
        "slip_reserve": "2 (rule)",
        "lift": "2 ±0",
        "no_measure": 10,
    },
}


def half(value: Value) -> float:
    return (value.reading.hi - value.reading.lo) / 2


@pytest.fixture
def trial() -> Trial:
    decoder = Decoder(ASSUMED, lambda path: ("trials/a.yaml", 1, 1))
    made = decoder.record("trial", "a", BARE)
    assert not decoder.problems
    assert isinstance(made, Trial)
    return made


def test_a_bare_figure_of_a_trial_is_in_doubt_in_the_unit_of_its_measure(trial: Trial) -> None:
    mm, percent = ASSUMED["measured"].mm, ASSUMED["measured"].percent
    found = {v.path: v for v in trial.measured}
    wanted = {
        "spacing": ("mm", mm, True),
        "wheel_gap": ("mm", mm, True),
        "trim": ("share", 0.1 * percent / 100, True),
        "tilt": ("mm", 0.5, False),
        "slip_reserve": ("1", 2 * 0.07, False),
        "lift": ("mm", 0.0, False),
        "no_measure": ("", 10 * percent / 100, True),
    }
    assert set(found) == set(wanted)
    for name, (unit, spread, assumed) in wanted.items():
        value = found[name]
        assert value.unit == unit, name
        assert half(value) == pytest.approx(spread), name
        assert value.reading.assumed is assumed, name


def test_a_bare_gap_is_in_doubt_by_millimetres(trial: Trial) -> None:
    mm = ASSUMED["measured"].mm
    gaps = trial.gaps_mm
    assert half(trial.stack_mm) == pytest.approx(mm)
    assert half(gaps.end_1_outboard) == pytest.approx(mm)
    assert half(gaps.end_1_inboard) == pytest.approx(0.5)
    assert half(gaps.end_2_inboard) == pytest.approx(0.1)
    assert gaps.end_1_outboard.unit == "mm"
    assert not gaps.end_2_outboard.known


def test_what_is_checked_of_facts_has_the_same_doubt(trial: Trial) -> None:
    raw = Raw("trial", "a", dict(BARE), Positions(), Path("a.yaml"), "trials/a.yaml")
    single: Single = next(iter(singles(raw)))
    numbers = Numbers(single, ASSUMED)
    for value in (*trial.measured, trial.gaps_mm.end_1_outboard, trial.gaps_mm.end_1_inboard):
        name = value.path.removeprefix("trial.")
        noted = numbers.first(name) or numbers.first(f"measured.{name}")
        assert noted is not None, name
        assert (noted.lo, noted.hi) == pytest.approx((value.reading.lo, value.reading.hi)), name


def test_every_measure_has_the_unit_that_it_is_judged_in() -> None:
    judged: dict[str, set[str]] = {}
    for rule in RULES.rules:
        if rule.measure and rule.judge:
            judged.setdefault(rule.measure, set()).add(RULES.limits.limits[rule.judge].unit)
    said = units_of_measures()
    assert set(said) == set(MEASURES) == set(judged)
    assert {m: u for m, u in said.items() if u not in judged[m]} == {}


@pytest.mark.parametrize(
    ("kind", "path", "unit"),
    [
        ("disc", "height_mm", "mm"),
        ("caliper", "lug.hole_1_radius_mm", "mm"),
        ("platform", "kerb_front_share", "share"),
        ("platform", "pedal.ratio", ""),
        ("trial", "gaps_mm.end_2_outboard", "mm"),
        ("trial", "stack_mm", "mm"),
        ("trial", "measured.unsprung", "kg"),
    ],
)
def test_the_unit_of_a_path(kind: str, path: str, unit: str) -> None:
    assert unit_of(kind, path.split(".")) == unit


def test_a_trial_has_its_notes(trial: Trial) -> None:
    assert trial.notes.text == "One wheel nut on."
