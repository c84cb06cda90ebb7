"""Every fact that a check can read has one way of measuring it, and faults of the file are told."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from lugplane.answers.ask_measuring import read_instruments, read_measuring, ways_of
from lugplane.answers.ask_supposed import whose
from lugplane.data import data_folder
from lugplane.deduce.rulebook import read_rulebook
from lugplane.errors import BadFacts, LugplaneError
from lugplane.facts.decode import fact_paths
from lugplane.setup.assemble import Wanted
from lugplane.setup.override import KINDS, MEASURED
from lugplane.workshop import Workshop

NOT_READ = re.compile(
    r"\.(weights|tyre|season|wear_sensor)$|^hose\.length|^(caliper|carrier)\.lug\.hole_[12]|"
    r"^platform\.(maker|body|front\.|rear\.)"
)
"""What no check reads of that part, or what is the choice of parts itself."""
JARGON = re.compile(
    r"\b(lugs?|ears?|hats?|spigots?|knuckles?|carriers?|shims?|abutments?|bridges?|flanges?|"
    r"runout|bleeders?|torque|engagement|datum|seat radius|σ|x_e)\b"
)


def entry(**changed: Any) -> dict[str, Any]:
    row = {"facts": ["disc.height_mm"], "reaches": 0.1, "how": "Measure.", "ask": "Measure."}
    return {"measuring": [row | changed]}


def test_every_fact_that_can_be_measured_has_a_way() -> None:
    ways = read_measuring(data_folder() / "rules")
    wanted = {*MEASURED, *(f for kind in KINDS for f in fact_paths(kind))}
    lacking = sorted(f for f in wanted - set(ways) if not NOT_READ.search(f))
    assert lacking == []


def test_every_fact_that_a_shipped_sheet_reads_has_a_way() -> None:
    ways, shop = read_measuring(data_folder() / "rules"), Workshop.open()
    read: set[str] = set()
    for platform in shop.base.ids("platform")[:6]:
        for axle in ("front", "rear"):
            for row in shop.judge(Wanted(platform, axle), "plain").sheet.rows:
                read.update(whose(f)[1] for f in (*row.facts, *row.missing))
    groups = {f.rsplit(".", 1)[0] for f in ways}
    odd = {f for f in read if f not in ways and f not in groups}
    odd = {f for f in odd if not f.startswith(("bolt:", "(")) and not NOT_READ.search(f)}
    assert odd == set()


def test_a_customer_is_asked_in_plain_words() -> None:
    for way in read_measuring(data_folder() / "rules").values():
        assert not JARGON.search(way.ask), way.ask
        assert "_mm" not in way.ask
        assert way.ask[-1] in ".?"


def test_the_bolts_asked_of_are_those_to_the_car_and_not_slide_pins() -> None:
    for fact, way in read_measuring(data_folder() / "rules").items():
        assert not re.search(r"caliper bolts?\b", f"{way.how} {way.ask}"), fact
        if re.fullmatch(r"knuckle\.bolt\.(length_mm|thread_length_mm|torque_nm|thread)", fact):
            assert "or its bracket" in way.ask, fact
            assert "guide pins" in way.ask, fact


def test_an_instrument_reaches_what_it_does_by_itself_where_nothing_else_is_said() -> None:
    rules = data_folder() / "rules"
    digital = read_instruments(rules)["digital caliper"]
    ways = read_measuring(rules)
    assert ways["pad.plate_mm"].reaches == digital
    assert ways["knuckle.bolt.length_mm"].reaches == 0.05  # said at its own place


def test_words_name_constants_of_the_limits() -> None:
    rules = data_folder() / "rules"
    how = read_measuring(rules)["pad.friction_curve.points_c_ratio"].how
    numbers = read_rulebook(rules).limits.numbers
    for name in ("friction_curve_from_c", "friction_curve_to_c"):
        assert f"{numbers[name]:g}" in how
    with pytest.raises(BadFacts, match="a constant of limits"):
        ways_of(entry(how="Heat to {no_such_c} °C."), "measuring.yaml", numbers)
    data = entry() | {"instruments": {"digital caliper": 0.04}}
    data["measuring"][0] = {**data["measuring"][0], "with": "digital caliper"}
    del data["measuring"][0]["reaches"]
    assert ways_of(data, "measuring.yaml")["disc.height_mm"].reaches == 0.04


def test_a_worn_disc_is_not_measured_as_a_new_one() -> None:
    ways = read_measuring(data_folder() / "rules")
    new, used = ways["disc.thickness_mm"], ways["disc.measured_thickness_mm"]
    assert new.ask == ways["designed_disc.thickness_mm"].ask
    assert "unworn" in new.how
    assert "disc.measured_thickness_mm" in new.how
    assert "when it is new" in new.ask
    assert "worn lip" in used.how
    assert "used brake disc" in used.ask


def test_the_rear_is_not_turned_from_lock_to_lock() -> None:
    way = read_measuring(data_folder() / "rules")["knuckle.surroundings.clear_radius_mm"]
    assert "in front from lock to lock" in way.how
    assert "in front with the steering" in way.ask


def test_lengths_say_how_well_they_are_measured() -> None:
    for fact, way in read_measuring(data_folder() / "rules").items():
        if fact.endswith("_mm") and "plus_minus" not in fact and fact != "caliper.pistons.bores_mm":
            assert way.reaches or "leading" in fact, fact


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (entry(facts=["disc.heigth_mm"]), "disc.heigth_mm"),
        (entry(facts=["disc.height_mm", "disc.height_mm"]), "stands twice"),
        (entry(reaches=0), "reaches 0"),
        (entry(reach=0.1), "disc.height_mm: reach"),
        ({"measuring": [{"facts": ["disc.height_mm"], "how": "x"}]}, "it says ask"),
    ],
)
def test_faults_are_told(data: dict[str, Any], said: str) -> None:
    with pytest.raises(BadFacts, match=said):
        ways_of(data, "measuring.yaml")


def test_facts_taken_together_are_one_way() -> None:
    facts = ["wheel.outline.barrel_x_r", "wheel.outline.spoke_x_r"]
    ways = ways_of(entry(facts=facts, together=True), "measuring.yaml")
    assert ways[facts[0]] is ways[facts[1]]
    apart = ways_of(entry(facts=facts), "measuring.yaml")
    assert apart[facts[0]].facts == (facts[0],)


def test_a_folder_without_the_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(LugplaneError, match=r"measuring\.yaml cannot be read"):
        read_measuring(tmp_path)
