"""Twins are parts of which every fact agrees within ±, and no others."""

from __future__ import annotations

from typing import Any

import pytest

from lugplane.check.numbers import Numbers
from lugplane.check.twins import twins
from lugplane.check.yardsticks import assumed
from lugplane.facts.families import singles
from lugplane.facts.raw import Path, Place, Positions, Raw

FACTS: dict[str, Any] = {
    "rim_in": "17 ±0",
    "width_in": "7.5 ±0",
    "offset_mm": "44 ±0.2",
    "bolts": {"count": 5, "circle_mm": "118 ±0.05"},
    "bore_mm": "71.15 ±0.05",
    "seat_thickness_mm": "13 ±0.2",
    "weights": "stuck",
    "outline": {"plus_minus_mm": 0.5, "barrel_x_r": [[-146, 205.5], [20, 196.5]]},
}


def parts(*records: dict[str, Any]) -> list[Numbers]:
    made = []
    for n, record in enumerate(records):
        values: dict[Path, Place] = {(): (1, 1)}
        data = {"kind": "wheel", "id": f"w{n}", "title": f"Wheel {n}", **FACTS, **record}
        data = {key: value for key, value in data.items() if value is not None}
        raw = Raw("wheel", f"w{n}", data, Positions({}, values), __file__, f"w{n}.yaml")  # type: ignore[arg-type]
        made += [Numbers(single, assumed()) for single in singles(raw)]
    return made


def pairs(*records: dict[str, Any], least: int = 6) -> list[tuple[str, str]]:
    return [(a.id, b.id) for a, b in twins(parts(*records), least)]


def test_the_same_facts_are_twins_whatever_they_are_called() -> None:
    assert pairs({}, {"title": "Else", "notes": "Else"}) == [("w0", "w1")]


@pytest.mark.parametrize(
    ("other", "twin"),
    [
        ({"offset_mm": "44.4 ±0.2"}, True),
        ({"offset_mm": "44.5 ±0.2"}, False),
        ({"offset_mm": ["44.1 ±0.2", "60 ±0.2"]}, True),
        ({"weights": "none"}, False),
        ({"weights": None}, False),
        ({"seat_thickness_mm": None}, False),
        ({"bolts": {"count": 4, "circle_mm": "118 ±0.05"}}, False),
        ({"bolts": {"count": 5, "circle_mm": "112 ±0.05"}}, False),
        ({"outline": {"plus_minus_mm": 0.5, "barrel_x_r": [[-146, 205.5], [20, 196]]}}, False),
        ({"outline": {"plus_minus_mm": 0.5, "barrel_x_r": [[-146, 205.5]]}}, False),
    ],
)
def test_one_fact_decides(other: dict[str, Any], twin: bool) -> None:
    assert pairs({}, other) == ([("w0", "w1")] if twin else [])
    assert pairs(other, {}) == ([("w0", "w1")] if twin else [])


def test_few_facts_make_no_twins() -> None:
    assert pairs({}, {}, least=11) == []
    assert pairs({}, {}, least=10) == [("w0", "w1")]


def test_members_of_a_family_are_not_compared_with_each_other() -> None:
    family = {"members": {"a": {}, "b": {}}}
    assert pairs(family) == []
    assert pairs(family, {}) == [("w0/b", "w1")]


def test_of_many_alike_each_is_told_once() -> None:
    assert len(pairs(*[{}] * 300)) == 299


def test_among_many_the_pairs_are_found() -> None:
    many = [{"offset_mm": f"{30 + n / 2} ±0.2"} for n in range(60)]
    assert pairs(*many) == []
    assert pairs(*many, {"offset_mm": "40.3 ±0.1"}) == [("w20", "w60"), ("w21", "w60")]
