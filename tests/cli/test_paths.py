"""The command `paths`: what it prints, writes and refuses, and the codes it ends with."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from lugplane.answers import survey
from lugplane.workshop import Workshop

FAILS = "gribbet-saloon"
"""What has another caliper or disc than stock shifts the braking of this car too far."""
CAR = "jarrick-hatch"
"""A small axle: six setups that may be driven, two of them by single changes."""
STOCK = "hasket-s1/48 hasket-bracket-120/240 vetch-240 siskin-92"


def test_the_list_ends_with_nought_and_keeps_to_eighty_columns(lugplane: Any) -> None:
    done = lugplane("paths", CAR)
    assert done.returncode == 0
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert "1 other setup" in done.stdout
    assert "caliper hasket-s1/51" in done.stdout
    assert "--at-once" in done.stdout
    assert done.stderr == ""
    assert lugplane("paths", CAR, "front").stdout == done.stdout
    assert lugplane("paths", CAR, "rear").stdout != done.stdout


def test_named_parts_are_reached_or_not(lugplane: Any) -> None:
    light = "hasket-bracket-120/256-light"
    done = lugplane("paths", CAR, "--to", "hasket-s1/51", light, "--at-once")
    assert done.returncode == 0
    assert "2. Change to" in done.stdout
    assert "Fewest steps, fewest things bought" in done.stdout
    said = done.stdout.replace("\n   ", "")
    assert re.search(r"Buy 4 × bolt to the knuckle: .*EUR 1.7..2.1 each", said)
    near = lugplane("paths", CAR, "--to", "hasket-s1/51")
    assert "1 step, 1 thing to buy" in near.stdout
    by = lugplane("paths", CAR, "--to", light, "--through", "hasket-s1/51", "--at-once")
    assert by.returncode == 0
    assert "2 steps, " in by.stdout
    assert light in by.stdout
    unreached = lugplane("paths", CAR, "--to", "vetch-256")
    assert unreached.returncode == 1
    assert "4 such setups fit, but not by single changes: --at-once" in unreached.stdout
    assert lugplane("paths", CAR, "--to", "vetch-256", "--at-once").returncode == 0


def test_what_fails_as_a_car_is_not_reached(lugplane: Any) -> None:
    done = lugplane("paths", FAILS, "--to", "hasket-s1/48", "--at-once")
    assert done.returncode == 1
    assert "yet fail as a car by" in done.stdout
    data = json.loads(lugplane("paths", FAILS, "--json", "--at-once").stdout)
    assert len(data["car_fails"]) == 4
    assert {f["limiting"] for f in data["car_fails"]} == {"front-share"}
    assert not any("hasket-s1/48" in s["key"] for s in data["stops"])


def test_setups_in_doubt_lead_nowhere(lugplane: Any) -> None:
    doubtful = lugplane("paths", "skarrel-4x4", "--to", "nettick-q4")
    assert doubtful.returncode == 3
    assert "Cannot tell." in doubtful.stdout


def test_no_way_starts_from_a_stock_setup_in_doubt(lugplane: Any, tmp_path: Path) -> None:
    shipped = Path(__file__).resolve().parents[2] / "kb" / "discs" / "vetch-240.yaml"
    text = re.sub(r"(?m)^thickness_mm:.*\n", "", shipped.read_text("utf-8"))
    (tmp_path / "discs").mkdir()
    (tmp_path / "discs" / "vetch-240.yaml").write_text(text, "utf-8")
    listed = lugplane("paths", CAR, "--kb", str(tmp_path))
    assert listed.returncode == 0
    assert "No way starts there" in listed.stdout
    named = lugplane("paths", CAR, "--kb", str(tmp_path), "--to", "vetch-256", "--at-once")
    assert named.returncode == 3
    assert json.loads(lugplane("paths", CAR, "--kb", str(tmp_path), "--json").stdout)["stops"] == []
    file = tmp_path / "map.svg"
    drawn = lugplane("paths", CAR, "--kb", str(tmp_path), "--draw", str(file))
    assert drawn.returncode == 2
    assert "nothing to draw" in drawn.stderr
    assert not file.exists()


def test_json_and_csv(lugplane: Any) -> None:
    data = json.loads(lugplane("paths", CAR, "--json", "--by", "parts").stdout)
    assert (data["answer"], data["aim"]) == ("paths", "parts")
    assert data["stock"]["key"] == STOCK
    lines = lugplane("paths", CAR, "--csv").stdout.splitlines()
    assert len(lines) == 1 + len(data["stops"]) == 3


def test_a_map_is_written_whole_and_not_over_another(lugplane: Any, tmp_path: Path) -> None:
    for name, start in (
        ("map.svg", b"<?xml"),
        ("map.png", b"\x89PNG"),
        ("map.dot", b"digraph"),
        ("again.SVG", b"<?xml"),
    ):
        file = tmp_path / name
        done = lugplane("paths", CAR, "--at-once", "--draw", str(file), "--links", "sheets/")
        assert done.returncode == 0, done.stderr
        assert done.stdout.splitlines()[-1] == f"Map: {file}"
        assert file.read_bytes().startswith(start)
    assert 'xlink:href="sheets/?platform=jarrick-hatch' in (tmp_path / "map.svg").read_text()
    again = lugplane("paths", CAR, "--draw", str(tmp_path / "map.svg"))
    assert (again.returncode, again.stdout) == (2, "")
    assert "is there already" in again.stderr
    data = lugplane("paths", CAR, "--draw", str(tmp_path / "map.svg"), "--replace", "--json")
    assert json.loads(data.stdout)["platform"] == CAR
    assert sorted(f.name for f in tmp_path.iterdir()) == [
        "again.SVG",
        "map.dot",
        "map.png",
        "map.svg",
    ]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Missing argument"),
        (("gribet-saloon",), "close to it: gribbet-saloon"),
        ((CAR, "middle"), "say front or rear"),
        ((CAR, "front", "rear"), "say front or rear"),
        ((CAR, "front", "rear", "--to", "vetch-240"), "the axle stands after the platform"),
        ((CAR, "vetch-256"), "name parts with --to"),
        ((CAR, "--to", "vetch-255"), "close to it: vetch-256"),
        ((CAR, "--to", "vetch-256", "vetch-255"), "close to it: vetch-256"),
        ((CAR, "--through", "gribbet-saloon"), "is a platform"),
        ((CAR, "--reuse", "hasket-s1/50"), "close to it: hasket-s1/5"),
        ((CAR, "--by", "beauty"), "is not one of"),
        ((CAR, "--draw", "map.pdf"), "FILE.svg, FILE.png, FILE.dot"),
        ((CAR, "--draw", "map"), "FILE.svg, FILE.png, FILE.dot"),
        ((CAR, "--draw", "no/such/folder/map.svg"), "cannot be written"),
        ((CAR, "--links", "x"), "belong to --draw"),
        ((CAR, "--replace"), "belong to --draw"),
        ((CAR, "--draw", "map.svg", "--links", "javascript:alert(1)"), "an address"),
        ((CAR, "--draw", "map.svg", "--links", " data:x"), "an address"),
        ((CAR, "--json", "--csv"), "one of them"),
        ((CAR, "--kb", "nowhere"), "no folder of facts is there"),
    ],
)
def test_bad_input_is_one_clear_message(lugplane: Any, words: tuple[str, ...], said: str) -> None:
    done = lugplane("paths", *words)
    assert done.returncode == 2, (done.stdout[:200], done.stderr)
    assert done.stdout == ""
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_what_draws_is_loaded_only_to_draw() -> None:
    """Neither the graph library nor that of drawings is on the way of any other command."""
    code = (
        "import sys, lugplane.cli.main, lugplane.answers.survey, lugplane.render.ways\n"
        "print(sorted({'networkx', 'graphviz'} & set(sys.modules)))\n"
        "from lugplane.workshop import Workshop\n"
        "from lugplane.answers.paths import Question\n"
        f"lugplane.answers.survey.paths(Workshop.open(), Question({CAR!r}))\n"
        "print(sorted({'networkx', 'graphviz'} & set(sys.modules)))\n"
    )
    engine = str(Path(__file__).resolve().parents[2] / "engine")
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={"PYTHONPATH": engine, "LUGPLANE_CACHE": os.environ["LUGPLANE_CACHE"]},
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    assert done.stdout.splitlines() == ["[]", "['networkx']"]


@pytest.fixture
def judged_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The setups of a shipped axle are judged by the first command of a test, for all of them.

    What the commands ask of them is another thing each time. That cold processes, which judge for
    themselves, say the same is held in `test_process.py`.
    """
    real: Callable[..., survey.Survey] = survey.Survey
    held: list[Workshop] = []

    @cache
    def once(platform: str, axle: str, adapters: bool) -> survey.Survey:
        return real(held[0], platform, axle, adapters=adapters)

    def judged(workshop: Workshop, platform: str, axle: str, **how: Any) -> survey.Survey:
        held.append(workshop)
        assert workshop.folders == held[0].folders
        return once(platform, axle, how["adapters"])

    monkeypatch.setattr(survey, "Survey", judged)


@pytest.mark.usefixtures("judged_once")
def test_where_single_changes_lead_nowhere_several_kinds_are_changed_unasked(
    lugplane: Any,
) -> None:
    done = lugplane("paths", "tammick-van")
    assert done.returncode == 0
    said = " ".join(done.stdout.replace("\xa0", " ").split())
    head = said.partition("What can be reached")[0]
    assert "Changing one kind of part at a time leads nowhere here. 47 other setups" in head
    assert "by changing several kinds at one go, as --at-once does." in head
    asked = json.loads(lugplane("paths", "tammick-van", "--at-once", "--json").stdout)
    unasked = json.loads(lugplane("paths", "tammick-van", "--json").stdout)
    assert (asked.pop("widened"), unasked.pop("widened")) == (False, True)
    assert unasked == asked
    # Where single changes lead on, nothing else is tried.
    near = json.loads(lugplane("paths", CAR, "--json").stdout)
    assert (near["widened"], near["at_once"]) == (False, False)
    assert near["apart"]
    named = lugplane("paths", "tammick-van", "--to", "tovan-q4/44", "sorrel-300")
    assert named.returncode == 0
    assert "(caliper and disc at one go)" in " ".join(named.stdout.replace("\xa0", " ").split())


@pytest.mark.usefixtures("judged_once")
def test_the_best_are_told_in_full_and_the_rest_a_line_each(lugplane: Any) -> None:
    few = lugplane("paths", "kessarin-estate").stdout.replace("\xa0", " ")
    whole = lugplane("paths", "kessarin-estate", "--all").stdout.replace("\xa0", " ")
    data = json.loads(lugplane("paths", "kessarin-estate", "--json").stdout)
    keys = [s["key"] for s in data["stops"] if s["key"] != data["stock"]["key"]]
    assert len(keys) == 47
    assert "37 more, by the parts that a sheet is asked for with; --all tells all." in few
    assert "Fits with work (5 of 42)" in few
    rest = few.partition("37 more")[2].partition("All of them alike")[0]
    lines = [line.strip() for line in rest.splitlines()]
    assert all(sum(line.startswith(f"{key}  ") for line in lines) == 1 for key in keys[10:])
    assert not any(line.startswith(f"{key}  ") for line in lines for key in keys[:10])
    assert len(lines) <= 37 + 12, "a line each, but for a long price"
    unsure = rest.partition("the car cannot be told")[2]
    doubtful = {s["key"] for s in data["stops"] if s["car"] == "cannot tell"}
    assert {k for k in keys[10:] if f"{k} " in unsure} == doubtful & {*keys[10:]}
    assert " more, by the parts" not in whole
    assert "Fits with work (42)" in whole
    assert len(few.splitlines()) < len(whole.splitlines()) / 2
    assert max(map(len, few.splitlines())) <= 80
