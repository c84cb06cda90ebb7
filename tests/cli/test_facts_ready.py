"""`facts ready` at the command line: one counting line or JSON, and lists that come at once."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import replace
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from lugplane.answers import fits as fits_module
from lugplane.answers import ready_spread
from lugplane.answers.ready import CHANGED, ENDED, LEFT, UNKNOWN, AxleReady, Ready
from lugplane.answers.ready_judging import Judging
from lugplane.facts import program
from lugplane.render.ready import cut_short_text, ready_text

ROOT = Path(__file__).parents[2]
KB = ROOT / "kb"
CAR = "throssel-saloon"
Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One car, and all that its record leads to."""
    folder = tmp_path_factory.mktemp("few") / "kb"
    files = {f.stem: f for f in KB.glob("*/*.yaml")}
    waiting, taken = [CAR], set()
    while waiting:
        name = waiting.pop()
        if name in files and name not in taken:
            taken.add(name)
            place = folder / files[name].parent.name
            place.mkdir(parents=True, exist_ok=True)
            shutil.copy(files[name], place)
            waiting += re.findall(r"[a-z0-9][a-z0-9.-]*", files[name].read_text("utf-8"))
    return folder


@pytest.fixture
def call(lugplane: Run, few: Path, tmp_path: Path) -> Run:
    """A command about those facts, with a cache of its own."""
    program.program_seen.cache_clear()

    def run(*words: str, cache: str = "cache") -> subprocess.CompletedProcess[str]:
        return lugplane(*words, "--only-kb", str(few), LUGPLANE_CACHE=str(tmp_path / cache))

    return run


def counts(text: str) -> tuple[str, ...]:
    said = re.fullmatch(
        r"(.*) ready: (\d+) made ready now, (\d+) before; (\d+) verdicts judged anew, (\d+) kept\n",
        text,
    )
    assert said, text
    return said.groups()


def test_the_last_line_counts(call: Run) -> None:
    first = call("facts", "ready", "--jobs", "1")
    assert (first.returncode, first.stderr) == (0, "")
    are, made, before, judged, kept = counts(first.stdout)
    assert (are, made, before, kept) == ("2 axles are", "2", "0", "0")
    assert int(judged) > 2
    again = call("facts", "ready", CAR)
    assert again.returncode == 0
    assert counts(again.stdout) == ("2 axles are", "0", "2", "0", judged)


@pytest.mark.parametrize("form", [(), ("--json",), ("--csv",)])
def test_a_first_list_is_told_and_is_what_it_would_be(
    call: Run, form: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = [("fits", CAR, axle, *form) for axle in ("front", "rear")]
    fresh = [call(*words, cache="other").stdout for words in asked]
    assert call("facts", "ready").returncode == 0

    def never(*_: Any, **__: Any) -> None:
        raise AssertionError("it was judged again")

    monkeypatch.setattr(fits_module, "fits", never)
    assert [call(*words).stdout for words in asked] == fresh


def test_as_json(call: Run) -> None:
    schema = json.loads((ROOT / "schemas" / "answers" / "ready.json").read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    for state in ("made ready", "was ready"):
        done = call("facts", "ready", "--json")
        assert done.returncode == 0
        found = json.loads(done.stdout)
        assert list(validator.iter_errors(found)) == []
        assert [(a["platform"], a["axle"], a["state"]) for a in found["axles"]] == [
            (CAR, "front", state),
            (CAR, "rear", state),
        ]
        assert found["judged"] == sum(a["judged"] for a in found["axles"])
    assert list(validator.iter_errors({**found, "version": 2}))
    assert list(validator.iter_errors({**found, "cut_short": "who knows"}))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("throsel-saloon",), "close to it: throssel-saloon"),
        (("teasel-318",), "is a disc, not a platform"),
        (("--jobs", "0"), "--jobs"),
        (("--kb", "nowhere"), "one of them"),
    ],
)
def test_a_bad_call_is_one_line(call: Run, words: tuple[str, ...], said: str) -> None:
    done = call("facts", "ready", *words)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_a_cache_that_cannot_be_written(call: Run, tmp_path: Path) -> None:
    (tmp_path / "cache").write_text("a file where a folder should be")
    done = call("facts", "ready")
    assert (done.returncode, done.stdout) == (2, "")
    assert re.fullmatch(
        r"lugplane: \S*cache cannot be written: [^;]+; nothing can be made ready\n", done.stderr
    )


def test_interrupted(call: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Judging, "list", stopped)
    done = call("facts", "ready", "--jobs", "1")
    assert done.returncode == 130
    assert done.stderr.startswith("lugplane: interrupted: what was done is kept")
    assert len(done.stderr.splitlines()) == 1
    assert counts(done.stdout)[0] == "0 of 2 axles are"


def test_a_process_that_was_killed(call: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    real = ready_spread._begin
    begun: list[SpawnProcess] = []

    def begin(folders: Any) -> tuple[Connection, SpawnProcess]:
        line, process = real(folders)
        if not begun:
            process.kill()
        begun.append(process)
        return line, process

    monkeypatch.setattr(ready_spread, "_begin", begin)
    done = call("facts", "ready", "--jobs", "2")
    assert len(begun) == 2
    assert done.returncode == 1
    assert done.stderr.startswith("lugplane: a process was ended from outside, which left ")
    assert f" left {CAR} front: " in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert counts(done.stdout)[:2] == ("1 of 2 axles are", "1")


def test_more_axles_than_are_named() -> None:
    axles = tuple(AxleReady(f"car-{n}", "front", LEFT, 3, 0, 0) for n in range(12))
    assert cut_short_text(Ready(1, axles, ENDED)).count("car-") == 10
    assert " and 2 more: " in cut_short_text(Ready(1, axles, ENDED))
    assert "say it again" in cut_short_text(Ready(1, axles, CHANGED))
    unknown = (*axles[:1], replace(axles[1], state=UNKNOWN))
    assert ready_text(Ready(1, unknown, "")).splitlines() == [
        "Nothing can be asked where no knuckle is known: car-1 front.",
        "0 of 1 axle is ready: 0 made ready now, 0 before; 0 verdicts judged anew, 0 kept",
    ]
