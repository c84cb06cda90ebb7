"""Facts of one part against each other: told where no ± reconciles them, and only there."""

from __future__ import annotations

from math import pi
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.check.numbers import Numbers
from lugplane.check.sums import sum_findings
from lugplane.check.yardsticks import assumed, plausible
from lugplane.data import data_folder
from lugplane.deduce.rulebook import read_rulebook
from lugplane.facts.families import Single
from lugplane.facts.raw import Path, Positions, Raw

FILE: Any = __file__
IRON = 7200e-9  # kg/mm3, grey cast iron, handbook value (TRADE)


def told(kind: str, **facts: Any) -> list[str]:
    data = {"kind": kind, "id": "x", "title": "X", **facts}
    path: Path = ()
    raw = Raw(kind, "x", data, Positions({}, {path: (1, 1)}), FILE, "x.yaml")
    numbers = Numbers(Single(raw, "x", "", data), assumed())
    return [each.problem.found for each in sum_findings(numbers, plausible())]


@given(
    st.floats(250, 400), st.floats(60, 100), st.floats(8, 40), st.floats(0.0, 3.0), st.booleans()
)
def test_a_ring_of_iron_may_weigh_what_iron_weighs(
    outer: float, band: float, thick: float, times: float, solid: bool
) -> None:
    mass = pi * ((outer / 2) ** 2 - band**2) * thick * IRON * times
    if not 0.8 <= mass <= 22:
        return  # out of its range: told there
    said = told(
        "disc",
        diameter_mm=f"{outer} ±0",
        thickness_mm=f"{thick} ±0",
        band_inner_inboard_mm=f"{band} ±0",
        ring="solid" if solid else "vented",
        ring_mass_kg=f"{mass} ±0",
    )
    least, most = (0.97 if solid else 0.42), 1.03
    if least <= times <= most:
        assert said == []
    elif times > 1.06 or times < (0.94 if solid else 0.38):
        assert len(said) == 1
        assert said[0].startswith("ring_mass_kg")


@pytest.mark.parametrize(
    ("least", "new", "apart"),
    [("26 ±0.1", "25.9 ±0.1", False), ("26 ±0.1", "25.7 ±0.1", True), ("26", "26", False)],
)
def test_the_doubt_of_both_counts(least: str, new: str, apart: bool) -> None:
    assert bool(told("disc", min_thickness_mm=least, thickness_mm=new)) is apart


@given(st.floats(0, 20), st.floats(0, 20))
def test_more_doubt_never_brings_a_disagreement(doubt: float, more: float) -> None:
    def at(spread: float) -> list[str]:
        return told("disc", min_thickness_mm=f"28 ±{spread:f}", thickness_mm="24 ±0.1")

    assert len(at(doubt + more)) <= len(at(doubt))
    assert at(0)


@given(st.floats(70, 250), st.floats(70, 250), st.floats(0.05, 0.95))
def test_any_triangle_closes(r_1: float, r_2: float, share: float) -> None:
    apart = abs(r_1 - r_2) + share * (r_1 + r_2 - abs(r_1 - r_2))
    ear = {
        "spacing_mm": f"{apart} ±0",
        "hole_1_radius_mm": f"{r_1} ±0",
        "hole_2_radius_mm": f"{r_2} ±0",
    }
    assert told("knuckle", ear=ear) == []


def test_what_does_not_close_is_told() -> None:
    ear = {"spacing_mm": "60 ±1", "hole_1_radius_mm": "180 ±1", "hole_2_radius_mm": "100 ±1"}
    assert len(told("knuckle", ear=ear)) == 1
    assert told("knuckle", ear={**ear, "spacing_mm": "78 ±1"}) == []  # within ± and 1 mm


def test_the_first_reading_counts() -> None:
    assert told("disc", min_thickness_mm=["26 ±0.1", "28 ±0.1"], thickness_mm="27 ±0.1") == []
    assert told("disc", min_thickness_mm=["28 ±0.1", "26 ±0.1"], thickness_mm="27 ±0.1") != []


def test_what_is_out_of_its_range_is_not_told_again() -> None:
    assert told("disc", min_thickness_mm="26", thickness_mm="2.4") == []


def test_unknown_facts_disagree_with_nothing() -> None:
    assert told("disc", min_thickness_mm="26") == []
    assert told("caliper", pistons={"a_side": 2}) == []
    assert told("wheel", outline={"barrel_x_r": [[0, 290.0]]}) == []


@pytest.mark.parametrize(
    ("inside", "outside", "thin"),
    [
        ("65 ±0", "67 ±0", False),
        ("65 ±0", "66.9 ±0", True),
        ("65 ±0.05", "66.9 ±0.05", False),
        ("65 ±0.04", "66.9 ±0.04", True),
        ("67 ±0", "65 ±0", False),  # told as a hole wider than the spacer
    ],
)
def test_a_spigot_ring_has_a_wall_that_can_be_made(inside: str, outside: str, thin: bool) -> None:
    facts = {"inside_mm": inside, "outside_mm": outside}
    said = told("spacer", use="spigot-ring", **facts)
    assert [s for s in said if "wall" in s] == said[: int(thin)]
    assert any("wall" in s for s in said) is thin
    assert not any("wall" in s for s in told("spacer", use="caliper-ring", **facts))


def test_the_thinnest_ring_is_that_of_the_limits() -> None:
    """Where the bores' limits begin to ask for a ring: play of two walls."""
    wall = plausible().sums["ring_least_wall_mm"]
    limits = read_rulebook(data_folder() / "rules").limits.limits
    for name in ("hub-bore", "wheel-bore"):
        last = limits[name].bands[-2]
        assert (last.name, last.to) == ("ringless", 2 * wall)
