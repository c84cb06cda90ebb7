"""Facts that no car can have: a row says so or cannot tell, and nothing falls over."""

from __future__ import annotations

from functools import cache
from math import isfinite
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.answers.rows import Row
from lugplane.links.fact import paths_of
from lugplane.links.partial import Some
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.parts import Setup
from lugplane.setup.swap import number_at
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[2] / "kb"
CARS = {
    "a valve": ("tammick-van", "front", ("tovan-q4/44", "sorrel-300", "kite-120/street")),
    "trimmed pads": ("kessarin-estate", "front", ("tovan-q4/48", "sedge-300/drum-hat")),
    "floating": ("gribbet-saloon", "front", ("hasket-s1/48",)),
    "behind": ("kessarin-estate", "rear", ()),
}
KINDS = ("platform", "master", "caliper", "carrier", "disc", "pad")
SPANS = ("0", "0..0.5", "0..3000", "1e-9", "1e-9..1e9", "1e9", "0.5..1", "1..2", "100..1e5")
STATES = {"holds", "care", "work", "fails", "cannot tell", "does not apply"}


@cache
def shop() -> Workshop:
    return Workshop.open(only=KB)


@cache
def checks() -> Some:
    rulebook = shop().rulebook
    wanted = [c.id for c in rulebook.checks if c.scope == "car" or c.id == "slip-reserve"]
    return Some(rulebook, wanted)


@cache
def facts(name: str) -> tuple[str, ...]:
    """Every number of the car and of the brake's parts, whether a check of the car reads it."""
    setup = setup_of(name, ())
    records = {kind: getattr(setup, kind) for kind in KINDS}
    return tuple(
        path
        for kind, record in records.items()
        if record is not None
        for path in (f"{kind}.{p}" for p in paths_of(record))
        if number_at(setup, path) is not None
    )


def setup_of(name: str, set_: tuple[str, ...]) -> Setup:
    platform, axle, parts = CARS[name]
    return assemble(shop().base, Wanted(platform, axle, parts, set_))


def rows(name: str, *set_: str) -> tuple[Row, ...]:
    return checks().rows(setup_of(name, set_))


@st.composite
def absurd(draw: st.DrawFn) -> tuple[str, tuple[str, ...]]:
    name = draw(st.sampled_from(sorted(CARS)))
    paths = draw(st.lists(st.sampled_from(facts(name)), min_size=1, max_size=2, unique=True))
    return name, tuple(f"{path}={draw(st.sampled_from(SPANS))}" for path in paths)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(absurd())
def test_no_interval_of_a_number_makes_a_check_fall_over(
    drawn: tuple[str, tuple[str, ...]],
) -> None:
    name, set_ = drawn
    for row in rows(name, *set_):
        assert row.state in STATES
        if row.value is not None:
            assert isfinite(row.value.lo), row.check
            assert isfinite(row.value.hi), row.check
            assert row.value.lo <= row.value.hi, row.check
        if row.state == "cannot tell":
            assert row.missing or row.settles or row.because or row.facts, row.check


@pytest.mark.parametrize(
    ("name", "path", "asked"),
    [
        ("a valve", "pad.friction_ratio", ("front-share", "pedal-effort", "stop", "heat-stop")),
        ("a valve", "platform.gross_kg", ("stop", "front-first", "slip-reserve")),
        ("a valve", "platform.wheelbase_mm", ("front-first", "grip-use", "slip-reserve")),
        ("a valve", "platform.cog_height_mm", ("front-first", "grip-use")),
        ("a valve", "platform.kerb_front_share", ("front-first",)),
        ("a valve", "platform.pedal.ratio", ("pedal-travel", "pedal-reserve", "stop")),
        ("a valve", "master.bore_mm", ("pedal-travel", "pedal-reserve", "master-stroke")),
        ("a valve", "master.first_stroke_mm", ("master-stroke",)),
        ("a valve", "disc.ring_mass_kg", ("heat-stop", "heat-repeated", "ring-inertia")),
        ("floating", "pad.friction_ratio", ("pedal-effort",)),
    ],
)
def test_a_number_that_may_be_nought_is_as_good_as_not_known(
    name: str, path: str, asked: tuple[str, ...]
) -> None:
    """It is named, and no check that divides by it holds or fails."""
    found = {row.check: row for row in rows(name, f"{path}=0..3000")}
    plain = {row.check: row for row in rows(name)}
    for check in asked:
        assert plain[check].state != "does not apply", check
        assert path not in plain[check].missing, check
        assert found[check].state == "cannot tell", check
        assert path in found[check].missing, (check, found[check].missing)


def test_a_disc_smaller_than_its_inner_band_is_told_and_not_reckoned_with() -> None:
    found = {row.check: row for row in rows("a valve", "disc.diameter_mm=100")}
    for check in ("front-share", "heat-stop", "heat-repeated", "ring-inertia"):
        assert found[check].state == "cannot tell", check
        assert found[check].missing or found[check].because
