"""`rules/plausible.yaml` speaks of every number of every kind, and of nothing else."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from lugplane.check.numbers import Numbers, value_facts
from lugplane.check.plausible import Plausible, plausible_of, read_plausible
from lugplane.check.values import value_findings
from lugplane.errors import LugplaneError
from lugplane.facts import yaml12
from lugplane.facts.decode import fact_paths
from lugplane.facts.families import Single
from lugplane.facts.raw import Positions, Raw
from lugplane.facts.records import RECORDS

ROOT = Path(__file__).parents[2]
FILE = ROOT / "rules" / "plausible.yaml"
PLAUSIBLE = read_plausible(FILE)
DATA = yaml12.read(FILE.read_bytes(), "plausible.yaml").data
POINTS: dict[str, Sequence[str]] = {
    "points_x_r_y": "xry",
    "points_u_v": "uv",
    "barrel_x_r": "xr",
    "spoke_x_r": "xr",
    "points_c_ratio": ("c", "ratio"),
}


def wanted() -> set[str]:
    """All facts that are numbers, from the records' classes and the schemas."""
    shared = json.loads((ROOT / "schemas" / "shared.json").read_text("utf-8"))["$defs"]
    found = set()
    for kind in RECORDS:
        schema = json.loads((ROOT / "schemas" / f"{kind}.json").read_text("utf-8"))
        for path in fact_paths(kind):
            node: Any = schema
            for key in path.split(".")[1:]:
                node = node["properties"][key]
                if "$ref" in node and key not in POINTS:
                    node = shared.get(node["$ref"].rsplit("/")[-1], node)
            last = path.rsplit(".", 1)[-1]
            if last in POINTS:
                found |= {f"{path}.{letter}" for letter in POINTS[last]}
            elif (
                path in value_facts(kind)
                or node.get("type") in ("number", "integer")
                or (node.get("type") == "array" and node["items"].get("type") == "number")
            ):
                found.add(path)
    return {path for path in found if not path.endswith(".plus_minus_mm")}


def test_every_number_has_a_range_and_every_range_a_number() -> None:
    ranges = {path for path in PLAUSIBLE.facts if not path.startswith("trial.measured.")}
    assert len(ranges) > 110
    assert wanted() - ranges == set()
    assert ranges - wanted() == set()


def test_units_are_those_of_the_names() -> None:
    for path, fact in PLAUSIBLE.facts.items():
        last = path.rsplit("_", 1)[-1]
        if last in ("mm", "kg", "nm", "mpa", "in", "kmh", "wk", "bar", "deg", "hv"):
            assert fact.unit == last, path


def test_every_entry_states_a_source() -> None:
    assert isinstance(DATA, dict)
    sections = [*DATA["facts"].values(), *DATA["slips"], *DATA["stale"].values()]
    for body in [*sections, *DATA["sums"].values()]:
        assert len(body["source"]) > 3


def part(kind: str, path: str, value: float) -> Numbers:
    """A part that states one number."""
    keys = path.split(".")[1:]
    letters = POINTS.get(keys[-2], "") if len(keys) > 1 else ""
    stated: Any = value
    if letters:
        stated = [[value if letter == keys[-1] else 0.0 for letter in letters]]
        keys = keys[:-1]
    for key in reversed(keys):
        stated = {key: stated}
    data = {"kind": kind, "id": "x", **stated}
    raw = Raw(kind, "x", data, Positions(), Path("x.yaml"), "x.yaml")
    return Numbers(Single(raw, "x", "", data), {})


def said_of(path: str, value: float) -> list[str]:
    found = value_findings(part(path.split(".")[0], path, value), PLAUSIBLE)
    return [
        each.problem.code + ": " + each.problem.found
        for each in found
        if path in each.problem.found
    ]


@pytest.mark.parametrize("path", sorted(PLAUSIBLE.facts))
def test_the_ends_of_a_range_are_in_it_and_what_is_beyond_is_not(path: str) -> None:
    fact = PLAUSIBLE.facts[path]
    width = fact.most - fact.least
    for value in (fact.least, fact.most, (fact.least + fact.most) / 2):
        assert said_of(path, value) == []
    for value in (fact.least - width / 1000, fact.most + width / 1000, fact.most * 1e6 + 1e6):
        (said,) = said_of(path, value)
        assert said.startswith(("implausible: ", "unit-slip: "))


def test_each_slip_is_told_wherever_it_leads_out_of_the_range() -> None:
    told = 0
    for slip in PLAUSIBLE.slips:
        own = 0
        for path, fact in PLAUSIBLE.facts.items():
            for share in (0.2, 0.5, 0.8):
                right = fact.least + share * (fact.most - fact.least)
                slipped = right / slip.times
                if slip.befalls(fact) and slipped and not fact.holds(slipped):
                    (said,) = said_of(path, slipped)
                    assert said.startswith("unit-slip: ")
                    assert slip.said in said
                    own += 1
        assert own > 0, slip
        told += own
    assert told > 300


def broken(change: Callable[[Any], None]) -> Any:
    data = copy.deepcopy(DATA)
    change(data)
    return data


@pytest.mark.parametrize(
    "change",
    [
        lambda d: d["facts"]["disc.bore_mm"].pop("source"),
        lambda d: d["facts"]["disc.bore_mm"].update(source=""),
        lambda d: d["facts"]["disc.bore_mm"].pop("from"),
        lambda d: d["facts"]["disc.bore_mm"].update({"from": 900}),
        lambda d: d["facts"]["disc.bore_mm"].update(about=3),
        lambda d: d["slips"][0].update(times=1),
        lambda d: d["slips"][0].update(source=""),
        lambda d: d["evidence"]["measured"].update(source="stop"),
        lambda d: d["evidence"]["measured"].update(colour="error"),
        lambda d: d["stale"]["offer"].pop("days"),
        lambda d: d["stale"]["offer"].update(source=""),
        lambda d: d["orders"][0].pop("large"),
        lambda d: d["sums"]["circle_plus_minus_mm"].update(value="wide"),
        lambda d: d.pop("sums"),
        lambda d: d.update(more={}),
    ],
)
def test_what_is_wrong_with_the_file_itself_is_refused(change: Callable[[Any], None]) -> None:
    assert isinstance(plausible_of(copy.deepcopy(DATA)), Plausible)
    with pytest.raises((KeyError, TypeError, ValueError)):
        plausible_of(broken(change))


def test_a_broken_file_is_one_error(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("facts: [\n")
    (tmp_path / "b.yaml").write_text("facts: {}\n")
    for name in ("a.yaml", "b.yaml", "gone.yaml"):
        with pytest.raises(LugplaneError, match=name):
            read_plausible(tmp_path / name)


def test_orders_and_evidence_name_what_exists() -> None:
    for order in PLAUSIBLE.orders:
        assert {f"{order.kind}.{order.small}", f"{order.kind}.{order.large}"} <= wanted()
    basis = json.loads((ROOT / "schemas" / "shared.json").read_text("utf-8"))["$defs"]["basis"]
    assert set(PLAUSIBLE.evidence) == set(basis["enum"])
    assert set(PLAUSIBLE.stale) <= {*basis["enum"], "offer"}
