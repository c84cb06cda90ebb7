"""Answers as JSON: as their schemas say, stable, and without a number that is none."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from lugplane.answers import evidence, rows
from lugplane.answers import sheet as answers
from lugplane.answers.rows import Span
from lugplane.answers.sheet import Judged, Sheet
from lugplane.data import data_folder
from lugplane.render import reasons
from lugplane.render.plain_json import row_json, sheet_json

NAMED = {"StackLine": "stack", "BoltLine": "bolt", "BandLine": "band", "FactLine": "fact",
         "ReadingLine": "reading"}  # fmt: skip
PARTS = [
    answers.Part, answers.Scope, answers.StackLine, answers.BoltLine, answers.Buying, answers.Line,
    answers.Saying, rows.Row, rows.Span, rows.BandLine, rows.Settles, evidence.FactLine,
    evidence.ReadingLine,
]  # fmt: skip


def schema(name: str) -> dict[str, Any]:
    file = data_folder() / "schemas" / "answers" / name
    found: dict[str, Any] = json.loads(file.read_text("utf-8"))
    return found


@pytest.fixture(scope="module")
def validators() -> dict[str, Draft202012Validator]:
    schemas = {name: schema(name) for name in ("sheet.json", "why.json")}
    registry = Registry().with_resources(
        [(name, Resource.from_contents(s)) for name, s in schemas.items()]
    )
    for s in schemas.values():
        Draft202012Validator.check_schema(s)
    return {name: Draft202012Validator(s, registry=registry) for name, s in schemas.items()}


def faults(validator: Draft202012Validator, text: str) -> list[str]:
    return [f"{list(e.path)}: {e.message}" for e in validator.iter_errors(json.loads(text))]


def test_every_sheet_is_as_its_schema_says(
    judged: Judged, validators: dict[str, Draft202012Validator]
) -> None:
    assert faults(validators["sheet.json"], sheet_json(judged.sheet)) == []


def test_every_row_is_as_its_schema_says(
    judged: Judged, validators: dict[str, Draft202012Validator]
) -> None:
    for row in judged.sheet.rows:
        assert faults(validators["why.json"], row_json(judged, row.check)) == []


def test_the_schema_refuses_what_is_not_a_sheet(
    sheets: dict[str, Sheet], validators: dict[str, Draft202012Validator]
) -> None:
    good = json.loads(sheet_json(sheets["bolts-on"]))
    for harm in (
        {"version": 2}, {"answer": "why"}, {"more": 1}, {"axle": "middle"},
        {"rows": [{**good["rows"][0], "state": "fine"}]},
    ):  # fmt: skip
        assert faults(validators["sheet.json"], json.dumps({**good, **harm})) != []
    del good["torque_nm"]
    assert faults(validators["sheet.json"], json.dumps(good)) != []


@pytest.mark.parametrize("part", PARTS, ids=lambda c: c.__name__)
def test_the_schema_names_every_field(part: type[Any]) -> None:
    assert is_dataclass(part)
    defined = schema("sheet.json")["$defs"][NAMED.get(part.__name__, part.__name__.lower())]
    names = [f.name.rstrip("_") for f in fields(part)]
    assert list(defined["properties"]) == names
    assert defined["required"] == names
    assert defined["additionalProperties"] is False


def test_the_schemas_name_every_field_of_the_answers() -> None:
    sheet = [f.name for f in fields(answers.Sheet)]
    assert list(schema("sheet.json")["properties"]) == ["answer", *sheet]
    why = [f.name for f in fields(reasons.Reasons)]
    assert list(schema("why.json")["properties"])[-len(why) :] == why


def titles(node: Any) -> list[str]:
    if isinstance(node, dict):
        lacking = [
            name
            for name, value in node.get("properties", {}).items()
            if isinstance(value, dict) and not value.get("title")
        ]
        return lacking + [x for v in node.values() for x in titles(v)]
    return [x for v in node for x in titles(v)] if isinstance(node, list) else []


@pytest.mark.parametrize("name", ["sheet.json", "why.json"])
def test_every_property_has_a_title(name: str) -> None:
    assert titles(schema(name)) == []


def test_numbers_are_rounded_and_never_a_minus_nought(sheets: dict[str, Sheet]) -> None:
    sheet = sheets["bolts-on"]
    row = replace(sheet.rows[0], value=Span(0.1 + 0.2, float("inf"), -1e-12))
    text = sheet_json(replace(sheet, rows=(row,)))
    assert json.loads(text)["rows"][0]["value"] == {"lo": 0.3, "hi": None, "nominal": 0.0}
    assert "-0.0" not in text


def test_what_is_not_a_number_is_refused(sheets: dict[str, Sheet]) -> None:
    sheet = sheets["bolts-on"]
    row = replace(sheet.rows[0], margin=float("nan"))
    with pytest.raises(ValueError, match="not a number"):
        sheet_json(replace(sheet, rows=(row,)))


def test_letters_stay_letters(hostile: Sheet) -> None:
    data = json.loads(sheet_json(hostile))
    assert data["platform_title"] == hostile.platform_title
    assert "±" in sheet_json(hostile)


def test_the_same_sheet_gives_the_same_text(sheets: dict[str, Sheet]) -> None:
    sheet = sheets["fits-with-work"]
    turned = replace(sheet, subjects=dict(reversed(list(sheet.subjects.items()))))
    assert sheet_json(turned) == sheet_json(sheet)
