"""Damaged facts give findings and nothing else: a few of what `tools/fuzz` does at length."""

from __future__ import annotations

import importlib.util
import os
import sys
from datetime import date
from pathlib import Path
from types import ModuleType

import pytest

from lugplane.check.finding import WARNING, Finding
from lugplane.check.run import Asked, check
from lugplane.check.yardsticks import assumed, plausible
from lugplane.errors import Problem
from lugplane.facts import yaml12

FILES = 1500
FUZZ = Path(__file__).parents[2] / "tools" / "fuzz.py"


@pytest.fixture(scope="module")
def fuzz() -> ModuleType:
    spec = importlib.util.spec_from_file_location("tools_fuzz", FUZZ)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # its dataclasses look themselves up there
    spec.loader.exec_module(module)
    return module


def test_damage_gives_findings_and_nothing_else(fuzz: ModuleType, tmp_path: Path) -> None:
    tally = fuzz.run(FILES, 3, float("inf"), tmp_path)
    assert tally.wrong == []
    assert tally.files == FILES + len(fuzz.bombs())
    assert FILES // 20 < tally.sound < FILES * 3 // 4  # some blows do no harm, most do
    assert len(tally.codes) > 25
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "codes"),
    [
        ("aliases", {"alias", "anchor"}),
        ("merges", {"merge-key", "alias"}),
        ("brackets 5000 deep", {"too-deep"}),
        ("mappings 5000 deep", {"too-deep"}),
        ("blocks 700 deep", {"too-deep"}),
        ("open brackets", {"too-deep"}),
        ("10 MB of one word", {"too-big"}),
        ("10 MB of lines", {"too-big"}),
        ("many points", {"wrong-count"}),
        ("many keys", {"unknown-key"}),
        ("many readings", {"wrong-count"}),
        ("many members", {"wrong-count"}),
        ("noughts", {"control-character"}),
    ],
)
def test_each_bomb_is_refused_for_what_it_is(
    fuzz: ModuleType, tmp_path: Path, name: str, codes: set[str]
) -> None:
    stand = fuzz.Range(tmp_path, float("inf"))
    stand.look("caliper" if name == "many points" else "disc", "d", fuzz.bombs()[name])
    assert codes <= set(stand.tally.codes)
    assert stand.tally.wrong == []


def test_the_harness_sees_what_is_wrong_with_a_finding(fuzz: ModuleType) -> None:
    good = Finding(Problem("f", 1, 1, "tag", "a tag"))
    assert list(fuzz.faults([good], b"x")) == []
    for problem in (
        Problem("f", 1, 1, "no-such-code", "x"),
        Problem("f", 9, 1, "tag", "x"),
        Problem("f", 1, 99, "tag", "x"),
        Problem("f", 0, 1, "tag", "x"),
        Problem("f", 1, 1, "tag", "two\nlines"),
        Problem("f", 1, 1, "tag", "x" * 2000),
        Problem("f", 1, 1, "tag", ""),
    ):
        assert list(fuzz.faults([Finding(problem, WARNING)], b"x")), problem
    assert list(fuzz.faults([good, good], b"x"))


def test_the_harness_counts_what_raises(
    fuzz: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise RecursionError("as a defect would")

    monkeypatch.setattr(fuzz, "content_findings", fails)
    stand = fuzz.Range(tmp_path, float("inf"))
    stand.look("disc", "d", b"kind: disc\n")
    (wrong,) = stand.tally.wrong
    assert "RecursionError" in wrong


def test_links_out_of_the_tree_pipes_and_giants_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("LUGPLANE_CACHE", "off")
    outside = tmp_path / "secret.yaml"
    outside.write_text("kind: disc\nid: away\ntitle: Not to be told\n")
    discs = tmp_path / "kb" / "discs"
    discs.mkdir(parents=True)
    (discs / "away.yaml").symlink_to(outside)
    (discs / "circle.yaml").symlink_to("circle.yaml")
    (discs / "gone.yaml").symlink_to("/no/such/place.yaml")
    os.mkfifo(discs / "pipe.yaml")
    (discs / "giant.yaml").write_bytes(b"#" * 10_000_000)
    (discs / "large.yaml").write_bytes(b"#" * (yaml12.MAX_BYTES + 1))
    (tmp_path / "kb" / "pads").symlink_to("/etc", target_is_directory=True)
    checked = check(Asked((Path("kb"),)), assumed(), plausible(), date(2026, 11, 25))
    found = {each.problem.file: each.problem.code for each in checked.findings}
    assert found == {
        "kb/discs/away.yaml": "link-outside",
        "kb/discs/circle.yaml": "unreadable",
        "kb/discs/gone.yaml": "unreadable",
        "kb/discs/pipe.yaml": "not-a-file",
        "kb/discs/giant.yaml": "too-big",
        "kb/discs/large.yaml": "too-big",
        "kb/pads": "link-outside",
    }
    assert not any("Not to be told" in str(each.problem) for each in checked.findings)
    assert not checked.sound
