"""A new record: complete by its schema, readable as written, and passed by a check when filled."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from lugplane.check.finding import is_error
from lugplane.check.one import Yardstick, content_findings
from lugplane.check.yardsticks import assumed, plausible, schemas
from lugplane.draft.fields import Field, Forms, leaves
from lugplane.draft.new import put, reading
from lugplane.draft.scaffold import scaffold
from lugplane.draft.written import scalar, typed
from lugplane.errors import BadInput
from lugplane.facts import scan, yaml12
from lugplane.facts.kinds import FOLDER_OF

ROOT = Path(__file__).parents[2]
FORMS = Forms(ROOT / "schemas")
BY = Yardstick(plausible(), assumed(), date(2026, 11, 25), {"demo-bench": "2026-03-21"})


def shipped(kind: str) -> list[dict[str, Any]]:
    """The shipped records of a kind as plain data."""
    files = sorted((ROOT / "kb" / FOLDER_OF[kind]).glob("*.yaml"))
    found = [yaml12.read(file.read_bytes(), file.name).data for file in files[:4]]
    return [data for data in found if isinstance(data, dict)]


def plain(text: str) -> dict[str, Any]:
    document = yaml12.read(text, "f")
    assert isinstance(document, yaml12.Document), document.problems
    assert isinstance(document.data, dict)
    return document.data


@pytest.mark.parametrize("kind", [k for k in FOLDER_OF if k != "moved"])
def test_a_filled_one_says_what_was_put_in_and_passes(kind: str) -> None:
    records = shipped(kind)
    assert records
    for data in records:
        text = scaffold(FORMS, kind, data, {})
        assert plain(text) == data
        source = scan.SourceFile(kind, str(data["id"]), Path("f"), "f")
        findings, parts = content_findings(source, text.encode(), schemas(), BY)
        assert [str(f.problem) for f in findings if is_error(f)] == []
        assert parts


@pytest.mark.parametrize("kind", FOLDER_OF)
def test_every_fact_is_there_and_taking_the_signs_away_is_enough(kind: str) -> None:
    text = scaffold(FORMS, kind, {"kind": kind, "id": "x", "title": "X"}, {})
    head, *body = text.split("id: x\ntitle: X\n")
    bare = re.sub(r"(?m)^( *)# ", r"\1", body[0])
    bare = bare.replace("source: ID", "source: a-sheet").replace("YYYY-MM-DD", "2026-01-01")
    data = plain(head + bare)
    wanted = {field.path for field in leaves(FORMS.facts(kind))}
    assert {field.path for field in leaves(FORMS.facts(kind)) if stated(data, field)} == wanted
    assert "bench" in data["readings"]


def stated(data: Any, field: Field) -> bool:
    for key in field.path[:-1]:
        data = data.get(key)
        if not isinstance(data, dict):
            return False
    return field.key in data


@pytest.mark.parametrize("kind", FOLDER_OF)
def test_each_fact_has_its_title_unit_and_words_beside_it(kind: str) -> None:
    text = scaffold(FORMS, kind, {"kind": kind, "id": "x", "title": "X"}, {})
    lines = iter(text.splitlines())
    for field in FORMS.facts(kind):
        for each in [field] if not field.fields else leaves((field,)):
            line = next(line for line in lines if re.match(rf"[# ]*{each.key}:", line))
            said = line.partition("  # ")[2]
            assert each.title in said
            assert each.unit in ("", "1", "money") or f"; {each.unit}" in said
            for word in each.words:
                assert word in said


def test_what_is_like_it_stands_as_comments_only() -> None:
    model = {"diameter_mm": "300 ±0.1", "bolts": {"count": 5}, "ring": "vented"}
    given = {"kind": "disc", "id": "x", "title": "X", "bolts": {"circle_mm": 112}}
    text = scaffold(FORMS, "disc", given, model, "other")
    assert plain(text) == given
    for line in ("# diameter_mm: 300 ±0.1 ", "  # count: 5 ", "# ring: vented "):
        assert f"\n{line}" in text
    assert "those of other" in text


@pytest.mark.parametrize(
    "value",
    [
        *("x", "24.6 ±0.15 (bench)", "a: b", "a, b", "[x]", "{x}", "# no", "- a", "yes", "no"),
        *("2026-03-14", "1:30", "8.8", "08", "null", "~", "", " a ", "it's", 'say "x"', "ü ± µ"),
        *("@x", "`x`", "%x", "&a", "*a", "!x", "|", ">", "true", "1e3", ".5", "x: ", "a\tb", "\\"),
        *(0, 1, -2.5, 1e-9, 2**53 - 1, True, False),
        *([1, 2], ["a: b", "c"], [[1.5, 2], [3, 4]], {"a": 1, "b": ["x", {"c": "d, e"}]}),
    ],
)
def test_what_is_written_reads_the_same(value: Any) -> None:
    assert plain(f"v: {scalar(value)}\n") == {"v": value}
    assert plain(f"v: [{scalar(value)}]\nw: {{a: {scalar(value)}}}\n") == {
        "v": [value],
        "w": {"a": value},
    }


def field(kind: str, dotted: str) -> Field:
    return next(f for f in leaves(FORMS.all(kind)) if f.dotted == dotted)


@pytest.mark.parametrize(
    ("kind", "path", "text", "value"),
    [
        ("disc", "diameter_mm", "300±0.1", "300±0.1"),
        ("disc", "diameter_mm", "300", 300),
        ("disc", "diameter_mm", "[300, 301 (cat)]", [300, "301 (cat)"]),
        ("disc", "bolts.count", "5", 5),
        ("disc", "cracked", "yes", True),
        ("disc", "cracked", "false", False),
        ("disc", "title", "8.8", "8.8"),
        ("disc", "title", "true: or not", "true: or not"),
        ("knuckle", "bolt.class", "10.9", "10.9"),
        ("caliper", "pistons.bores_mm", "[36, 40]", [36, 40]),
        ("caliper", "lug.depth_mm", "through", "through"),
        ("offer", "date", "2026-03-14", "2026-03-14"),
        ("trial", "measured", "{spacing: 5.0±0.1}", {"spacing": "5.0±0.1"}),
    ],
)
def test_what_is_typed(kind: str, path: str, text: str, value: Any) -> None:
    assert typed(text, field(kind, path)) == value


def test_a_list_typed_wrong_is_told() -> None:
    with pytest.raises(BadInput, match="write a list"):
        typed("[36, ", field("caliper", "pistons.bores_mm"))


def test_readings_as_flags() -> None:
    said = "bench=measured,source=s-1,date=2026-03-14,plus_minus_mm=0.15"
    body = {"basis": "measured", "source": "s-1", "date": "2026-03-14", "plus_minus_mm": 0.15}
    assert reading(said) == ("bench", body)
    for wrong in ("bench", "bench=", "=measured", "b=measured,source", "b=m,plus_minus_mm=x"):
        with pytest.raises(BadInput, match="--reading"):
            reading(wrong)


def test_nothing_is_stated_twice() -> None:
    data: dict[str, Any] = {}
    put(data, ("bolts", "count"), 5)
    for keys in (("bolts",), ("bolts", "count"), ("bolts", "count", "more")):
        with pytest.raises(BadInput):
            put(data, keys, 4)
    assert data == {"bolts": {"count": 5}}
