"""`fits`, `takes` and `same` at the command line: exit 0 for a list, 2 for a bad question."""

from __future__ import annotations

import csv
import io
import json
import os
import pty
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from lugplane.cli import progress as progress_module

ROOT = Path(__file__).resolve().parents[2]
NARROW = ("fits", "tammick-van", "front", "--with", "tovan-q4/44")


def schema(name: str) -> Any:
    return json.loads((ROOT / "schemas" / "answers" / f"{name}.json").read_text("utf-8"))


@pytest.fixture(scope="module")
def registry() -> Registry[Any]:
    found: Registry[Any] = Registry().with_resources(
        [(f"{n}.json", Resource.from_contents(schema(n))) for n in ("fits", "takes", "same")]
    )
    return found


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("fits",), "Missing argument"),
        (("fits", "tamick-van"), "close to it: tammick-van"),
        (("fits", "tammick-van", "--with", "tovan-q5"), "close to it: tovan-q6"),
        (("fits", "tammick-van", "--wheel", "tammick-17-cast"), "close to it: tammick-1"),
        (("fits", "tammick-van", "--wheel", "14"), "that do are of 15, 16, 17 inches"),
        (("takes", "tammick-front"), "it stands in tammick-van front"),
        (("fits", "tammick-van", "--verdict", "good"), "there is no verdict 'good': bolts-on"),
        (("fits", "tammick-van", "--csv", "--json"), "one of them"),
        (("fits", "tammick-van", "front", "rear"), "unexpected extra argument"),
        (("takes", "tovan-q7"), "close to it: tovan-q"),
        (("takes", "tammick-front"), "is a knuckle"),
        (("same", "sorel-300"), "close to it: sorrel-300"),
        (("same", "tovan-q4"), "is a family: name one of tovan-q4/41"),
    ],
)
def test_a_bad_question_is_one_clear_message(
    lugplane: Any, words: tuple[str, ...], said: str
) -> None:
    done = lugplane(*words)
    assert done.returncode == 2, (done.stdout[:200], done.stderr)
    assert done.stdout == ""
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stderr.startswith("lugplane: ")
    assert done.stderr.count("\n") == 1


def test_what_fits_is_told_best_first_and_hides_what_does_not(lugplane: Any) -> None:
    done = lugplane(*NARROW)
    assert done.returncode == 0
    assert done.stderr == ""
    assert "\nFits with work (6)\n" in done.stdout
    assert "\nDoes not fit" not in done.stdout
    assert "8 do not fit (--all lists them)" in " ".join(done.stdout.split())
    assert done.stdout.index("Fits with work (6)") < done.stdout.index("Cannot tell (3)")
    lines = done.stdout.splitlines()
    assert max(map(len, lines)) <= 80
    assert "\x1b" not in done.stdout


def test_all_lists_what_does_not_fit_as_well(lugplane: Any) -> None:
    done = lugplane(*NARROW, "--with", "tansy-272", "--all")
    assert done.returncode == 0
    assert "\nDoes not fit (1)\n" in done.stdout
    assert "needs at least 0" in " ".join(done.stdout.split())


def test_a_list_without_a_row_is_no_failure(lugplane: Any) -> None:
    done = lugplane("fits", "tammick-van", "--with", "tovan-q6")
    assert done.returncode == 0
    assert "No combination of parts with tovan-q6 comes into question." in done.stdout
    assert "On tammick-front, tovan-q6: lug spacing" in done.stdout


def test_only_the_verdicts_asked_for_are_listed(lugplane: Any) -> None:
    done = lugplane(*NARROW, "--verdict", "cannot-tell", "--json")
    answer = json.loads(done.stdout)
    assert {r["verdict"] for r in answer["rows"]} == {"cannot tell"}
    assert answer["counts"]["fits with work"] == 6


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("fits", (*NARROW, "--all", "--wheel", "tammick-16-cast")),
        ("fits", ("fits", "tammick-van", "--with", "tovan-q6")),
        ("takes", ("takes", "tovan-q4/44")),
        ("takes", ("takes", "tammick-16-cast")),
        ("same", ("same", "sorrel-300")),
        ("same", ("same", "kite-120/street")),
    ],
)
def test_json_is_as_its_schema_says(
    lugplane: Any, registry: Registry[Any], name: str, words: tuple[str, ...]
) -> None:
    done = lugplane(*words, "--json")
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)
    assert answer["answer"] == name
    checker = Draft202012Validator(schema(name), registry=registry)
    assert list(checker.iter_errors(answer)) == []
    answer["more"] = 1
    assert list(checker.iter_errors(answer))


def test_csv_has_one_line_a_candidate_and_the_wheels_columns(lugplane: Any) -> None:
    plain = json.loads(lugplane(*NARROW, "--json").stdout)
    done = lugplane(*NARROW, "--csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    kinds = ("caliper", "disc", "pad")
    parts = [{p["kind"]: p["id"] for p in r["parts"]} for r in plain["rows"]]
    assert [[r[k] for k in kinds] for r in rows] == [[p[k] for k in kinds] for p in parts]
    assert [r["verdict"] for r in rows] == [r["verdict"] for r in plain["rows"]]
    assert rows[0]["tammick-15-steel verdict"] == "does not fit"
    assert float(rows[0]["tammick-16-cast gap_mm"]) > 2
    assert "\xa0" not in done.stdout
    assert rows[0]["needs"].startswith("2 washers of 2.5 mm")


@pytest.mark.parametrize("words", [("takes", "hasket-bracket-142"), ("same", "sorrel-300")])
def test_the_other_lists_have_csv_too(lugplane: Any, words: tuple[str, ...]) -> None:
    done = lugplane(*words, "--csv")
    assert done.returncode == 0
    rows = list(csv.reader(io.StringIO(done.stdout)))
    assert len(rows) > 2
    assert {len(r) for r in rows} == {len(rows[0])}


@pytest.mark.parametrize("command", ["fits", "takes", "same"])
def test_help_is_short_and_exits_0(lugplane: Any, command: str) -> None:
    done = lugplane(command, "--help")
    assert done.returncode == 0
    assert "--csv" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def on_a_terminal(columns: int, *words: str, **extra: str) -> str:
    """What a terminal of that width is shown."""
    out, out_end = pty.openpty()
    environment = {
        **os.environ, "PYTHONPATH": str(ROOT / "engine"), "COLUMNS": str(columns),
        "TERM": "xterm", **extra,
    }  # fmt: skip
    process = subprocess.Popen(
        [sys.executable, "-m", "lugplane.cli.main", *words],
        stdout=out_end, stderr=subprocess.DEVNULL, stdin=subprocess.DEVNULL, env=environment,
    )  # fmt: skip
    os.close(out_end)
    text = _all(out)
    assert process.wait(120) == 0
    return text


def _all(end: int) -> str:
    taken = b""
    while True:
        try:
            piece = os.read(end, 65536)
        except OSError:  # the other end is closed
            piece = b""
        if not piece:
            os.close(end)
            return taken.decode().replace("\r\n", "\n")
        taken += piece


def test_a_narrow_terminal_gets_narrow_lines_and_no_pager() -> None:
    shown = on_a_terminal(40, *NARROW, NO_COLOR="1")
    assert "\x1b" not in shown
    lines = shown.splitlines()
    assert max(map(len, lines)) <= 40
    assert any(line == "Fits with work (6)" for line in lines)


def test_colour_only_adds_to_the_words() -> None:
    shown = on_a_terminal(80, "same", "sorrel-316")
    bare = on_a_terminal(80, "same", "sorrel-316", NO_COLOR="1")
    assert "\x1b[1m" in shown
    assert re.sub(r"\x1b\[[0-9;]*m", "", shown) == bare


class Screen(io.StringIO):
    """A stderr that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_progress_is_one_line_that_goes_away(monkeypatch: pytest.MonkeyPatch) -> None:
    clock = iter([0.0, 0.5, 1.5, 1.6, 2.0])
    monkeypatch.setattr(progress_module.time, "monotonic", lambda: next(clock))
    screen = Screen()
    monkeypatch.setattr(sys, "stderr", screen)
    with progress_module.progress("judging") as tell:
        assert tell is not None
        tell(1, 200)  # before a second has passed
        assert screen.getvalue() == ""
        tell(50, 200)
        tell(51, 200)  # too soon after the last
        tell(90, 200)
    assert screen.getvalue() == "\rjudging: 50 of 200\rjudging: 90 of 200\r" + " " * 18 + "\r"


def test_no_progress_is_written_into_a_pipe(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    with progress_module.progress("judging") as tell:
        assert tell is None
