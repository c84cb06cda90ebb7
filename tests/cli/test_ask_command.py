"""`lugplane ask` from outside: exit codes, JSON by its schema, the message, bad input."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

SCHEMAS = Path(__file__).resolve().parents[2] / "schemas" / "answers"
DEMO = ("ask", "tammick-van", "front", "tovan-q4/44", "sorrel-300", "kite-120")
DOUBT = (*DEMO, "--set", "caliper.line_to_bridge_mm=37±3")


def schema(name: str) -> Any:
    return json.loads((SCHEMAS / f"{name}.json").read_text("utf-8"))


def errors(answer: Any) -> list[Any]:
    registry: Registry[Any] = Registry().with_resources(
        [(f"{n}.json", Resource.from_contents(schema(n))) for n in ("ask", "sheet")]
    )
    return list(Draft202012Validator(schema("ask"), registry=registry).iter_errors(answer))


def test_what_is_asked_can_be_given_back(lugplane: Any) -> None:
    done = lugplane(*DOUBT, "--json")
    assert done.returncode == 3, done.stderr
    assert done.stderr == ""
    answer = json.loads(done.stdout)
    assert answer["answer"] == "ask"
    assert errors(answer) == []
    fit = answer["lists"][0]
    assert [i["facts"] for i in fit["items"]] == [["caliper.line_to_bridge_mm"]]
    again = [w for item in fit["items"] for s in item["set"] for w in ("--set", s)]
    sheet = json.loads(lugplane("sheet", *DEMO[1:], *again, "--json").stdout)
    brake = next(s for s in sheet["scopes"] if s["name"] == "brake")
    assert brake["verdict"] == fit["outcome"] == "fits with work"
    answer["more"] = 1
    assert errors(answer)


def test_the_page_says_what_to_type_next(lugplane: Any) -> None:
    done = lugplane(*DOUBT)
    assert done.returncode == 3
    assert "This one measurement settles: disc edge to the bridge." in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    flat = " ".join(done.stdout.split())
    (typed,) = set(re.findall(r"--set ('[^']*')", flat))
    assert shlex.split(typed)[0].startswith("caliper.line_to_bridge_mm=")


def test_a_sheet_that_cannot_tell_leads_here(lugplane: Any) -> None:
    doubt = lugplane("sheet", *DOUBT[1:])
    assert doubt.returncode == 3
    last = " ".join(doubt.stdout.split()).rpartition(": ")[2]
    assert shlex.split(last) == ["lugplane", *DOUBT]
    assert "lugplane ask" not in lugplane("sheet", "tammick-van").stdout


def test_the_message_is_plain(lugplane: Any) -> None:
    done = lugplane(*DOUBT, "--message")
    assert done.returncode == 3
    assert done.stdout.startswith("Hello,\n")
    assert "1. Measure" in done.stdout
    assert "line_to_bridge" not in done.stdout


def test_where_only_the_compound_is_wanting_it_is_asked_for(lugplane: Any) -> None:
    said = " ".join(lugplane(*DEMO, "--message").stdout.split())
    assert "I need to know one thing from you. 1. Which pads are fitted, or will be" in said
    assert "two letters at the end, such as FF" in said
    assert errors(json.loads(lugplane(*DEMO, "--json").stdout)) == []
    named = (*DEMO[:-1], "kite-120/street")
    assert "Which pads" not in lugplane(*named, "--message").stdout
    letters = ("--set", "pad.friction_ratio=unknown", "--set", "pad.friction_letters=unknown")
    unknown = lugplane(*named, *letters, "--message").stdout
    assert "Which pads are fitted" in " ".join(unknown.split())


def test_what_does_not_fit_asks_nothing(lugplane: Any) -> None:
    done = lugplane(*DEMO, "tammick-15-steel")
    assert done.returncode == 0, done.stdout
    assert "it does not fit, whatever is measured" in " ".join(done.stdout.split())
    answer = json.loads(lugplane(*DEMO, "tammick-15-steel", "--json").stdout)
    assert answer["lists"] == []
    assert errors(answer) == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("ask",), "Missing argument"),
        (("ask", "tamick-van"), "close to it: tammick-van"),
        (("ask", "tammick-van", "front", "rear"), "one axle"),
        ((*DEMO, "--set", "disc.heigth_mm=3"), "disc.height_mm"),
        ((*DEMO, "--message", "--json"), "one of them"),
        ((*DEMO, "--wheel-spacer", "-1"), "0 to 100"),
    ],
)
def test_a_bad_question_is_one_clear_message(
    lugplane: Any, words: tuple[str, ...], said: str
) -> None:
    done = lugplane(*words)
    assert done.returncode == 2
    assert done.stdout == ""
    assert said in done.stderr
    assert done.stderr.startswith("lugplane: ")
    assert done.stderr.count("\n") == 1
