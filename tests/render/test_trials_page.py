"""Trials on a page, and as JSON; a sheet to fill in."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from lugplane.answers import observed, solve, suspects, trials
from lugplane.answers.mock_up import mock_up
from lugplane.answers.trials import Checked, check_trials
from lugplane.data import data_folder
from lugplane.render.layout import columns
from lugplane.render.mock_up import record_yaml, sheet_to_fill
from lugplane.render.trials import trials_json, trials_text
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[2] / "kb"
NAMED = {"TrialLine": "trial", "UnsolvedLine": "unsolved"}
PARTS = [
    observed.FactId, observed.Pull, observed.Observed, solve.Share, solve.Inferred,
    suspects.Explains, suspects.Suspected, suspects.Case, trials.Gaps, trials.Rival,
    trials.Differs, trials.TrialLine, trials.UnsolvedLine,
]  # fmt: skip


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    """The shipped facts with one wrong, one taken away, and a trial of what is not known."""
    folder = tmp_path_factory.mktemp("harmed")
    for path, line, new in (
        ("knuckles/hobbrin-front.yaml", "ear_face_mm", "ear_face_mm: -99.5 ±0.1"),
        ("discs/medick-302.yaml", "height_mm", ""),
    ):
        text = (KB / path).read_text("utf-8")
        lines = [new if x.startswith(f"{line}:") else x for x in text.splitlines()]
        (folder / path).parent.mkdir(parents=True)
        (folder / path).write_text("\n".join(x for x in lines if x) + "\n", "utf-8")
    return Workshop.open((folder,), None)


@pytest.fixture(scope="module")
def checked(shop: Workshop) -> Checked:
    return check_trials(shop.base, shop.rulebook)


def schema() -> dict[str, Any]:
    file = data_folder() / "schemas" / "answers" / "trial.json"
    found: dict[str, Any] = json.loads(file.read_text("utf-8"))
    return found


def test_the_harmed_facts_give_every_kind_of_trial(checked: Checked) -> None:
    assert {t.state for t in checked.trials} == {"agrees", "disagrees", "tells"}
    assert checked.cases
    assert checked.state == "disagrees"


def test_json_is_as_its_schema_says(checked: Checked) -> None:
    Draft202012Validator.check_schema(schema())
    good = json.loads(trials_json(checked))
    validator = Draft202012Validator(schema())
    assert [f"{list(e.path)}: {e.message}" for e in validator.iter_errors(good)] == []
    for harm in ({"version": 2}, {"state": "fine"}, {"more": 1}, {"cases": [{}]}):
        assert list(validator.iter_errors({**good, **harm})) != []


@pytest.mark.parametrize("part", PARTS, ids=lambda c: c.__name__)
def test_the_schema_names_every_field(part: type[Any]) -> None:
    assert is_dataclass(part)
    defined = schema()["$defs"][NAMED.get(part.__name__, part.__name__.lower())]
    names = [f.name for f in fields(part)]
    assert list(defined["properties"]) == names
    assert defined["required"] == names


@pytest.mark.parametrize("width", [80, 48, 100])
def test_no_line_of_the_page_is_too_wide(checked: Checked, width: int) -> None:
    text = trials_text(checked, width=width)
    yaml = {"readings:", "  wessock-d2:", "    locator: trial wessock-d2"}
    wide = [x for x in text.splitlines() if columns(x) > width]
    assert all("(wessock-d2)" in x or x in yaml for x in wide)
    assert width < 80 or not wide
    assert "\u00a0" not in text


def test_the_page_says_what_is_suspect_and_what_to_paste(checked: Checked) -> None:
    text = trials_text(checked)
    assert "knuckle.ear_face_mm of hobbrin-front" in text
    assert "\nheight_mm: " in text
    assert "Recorded otherwise: instrument:" in text
    assert "1. " in text.partition("Suspects")[2]
    states = [t.state for t in checked.trials]
    head = text.splitlines()[0]
    assert f"{states.count('agrees')} agree" in head
    assert f"{states.count('disagrees')} disagree" in head


def test_no_trials_is_said(checked: Checked) -> None:
    assert trials_text(replace(checked, trials=(), cases=())).startswith("There are no trials")


def axles(shop: Workshop) -> Iterator[tuple[str, str]]:
    for platform in shop.base.ids("platform"):
        yield from ((platform, "front"), (platform, "rear"))


def test_every_axle_has_a_sheet_on_one_page(shop: Workshop) -> None:
    for platform, axle in axles(shop):
        asked = mock_up(shop.base, shop.rulebook, platform, axle, ())
        lines = sheet_to_fill(asked).splitlines()
        assert max(map(columns, lines)) <= 80
        assert len(lines) <= 62
        assert len(record_yaml(asked).splitlines()) <= 62
        assert max(map(columns, record_yaml(asked).splitlines())) <= 80
        named = {m.measure for m in asked.measures}
        assert "lift" not in named
        assert "overhang" in named
        assert ("spacing" in named) != asked.radial


def test_a_sheet_shows_no_figure_that_could_lead_the_hand(shop: Workshop) -> None:
    asked = mock_up(shop.base, shop.rulebook, "tammick-van", "front", ("tovan-q4/44", "sorrel-300"))
    shown = sheet_to_fill(asked)
    for figure in ("5 ±", "5.0 ±", "1.26", "1.3"):
        assert figure not in shown


def untitled(node: Any) -> list[str]:
    if isinstance(node, list):
        return [x for v in node for x in untitled(v)]
    if not isinstance(node, dict):
        return []
    props = node.get("properties", {})
    lacking = [n for n, v in props.items() if isinstance(v, dict) and not v.get("title")]
    return lacking + [x for v in node.values() for x in untitled(v)]


def test_every_property_of_the_schema_has_a_title() -> None:
    assert untitled(schema()) == []


def test_the_notes_of_a_trial_are_shown(checked: Checked) -> None:
    (line,) = (t for t in checked.trials if t.id == "hobbrin-q6-second")
    assert line.notes.startswith("Differs from the first trial")
    alone = replace(checked, trials=(line,), cases=())
    page = " ".join(trials_text(alone).split())
    assert f"Notes: {line.notes}" in page
    bare = trials_text(replace(alone, trials=(replace(line, notes=""),)))
    assert "Notes:" not in bare
