"""The forms in which findings are told: text, JSON by its schema, annotations."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from lugplane.check.exceptions import Excused
from lugplane.check.finding import ERROR, WARNING, Finding
from lugplane.check.fixing import Fixed
from lugplane.check.run import Checked
from lugplane.errors import Problem
from lugplane.render.check import check_annotations, check_json, check_text

SCHEMA = Path(__file__).parents[2] / "schemas" / "answers" / "check.json"
CHECKER = Draft202012Validator(json.loads(SCHEMA.read_text("utf-8")))
WRONG = Problem("kb/discs/x, y.yaml", 3, 7, "unit-slip", "a: 100 %\r\nof it", "b", "c")
DOUBT = Problem("kb/discs/z.yaml", 1, 1, "twin", "found")
CHECKED = Checked(
    1,
    date(2026, 11, 25).isoformat(),
    2,
    (Finding(WRONG, ERROR), Finding(DOUBT, WARNING)),
    (Excused(Finding(DOUBT, WARNING), "why", "2027-01-01"),),
)
FIXED = (Fixed("f.yaml", 2, 4, "bom", "this", "that"),)


def test_text() -> None:
    lines = check_text(CHECKED, FIXED).split("\n")
    assert lines[0] == "f.yaml:2:4: fixed bom: this became that"
    assert lines[-2] == "kb/discs/z.yaml:1:1: twin (warning): found"
    assert lines[-1] == "2 files: 1 problem, 1 warning, 1 excepted"
    assert check_text(Checked(1, "2026-11-25", 1, (), ())) == "1 file: 0 problems, 0 warnings"


def test_json_is_as_its_schema_says() -> None:
    data = json.loads(check_json(CHECKED, FIXED))
    assert list(CHECKER.iter_errors(data)) == []
    assert data["errors"] == data["warnings"] == 1
    assert data["findings"][0]["file"] == "kb/discs/x, y.yaml"
    assert data["findings"][1]["means"].startswith("one part under two ids")
    assert data["excused"][0]["reason"] == "why"
    assert data["fixed"][0]["now"] == "that"


@pytest.mark.parametrize("key", ["answer", "findings", "excused", "fixed", "day"])
def test_the_schema_can_fail(key: str) -> None:
    data = json.loads(check_json(CHECKED, FIXED))
    less = {name: value for name, value in data.items() if name != key}
    assert list(CHECKER.iter_errors(less))
    assert list(CHECKER.iter_errors({**data, "more": 1}))
    data["findings"][0]["more"] = 1
    assert list(CHECKER.iter_errors(data))


def test_annotations_keep_to_one_line_each() -> None:
    lines = check_annotations(CHECKED, FIXED).split("\n")
    assert lines == [
        "::notice file=f.yaml,line=2,col=4,title=fixed::this became that",
        "::error file=kb/discs/x%2C y.yaml,line=3,col=7,title=unit-slip"
        "::a: 100 %25%0D%0Aof it; b; c",
        "::warning file=kb/discs/z.yaml,line=1,col=1,title=twin::found",
        "2 files: 1 problem, 1 warning, 1 excepted",
    ]
