"""`facts check` as it is called, and the shipped facts before it."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lugplane.cli.facts import facts
from lugplane.errors import BadInput

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "tests" / "kb"
ON = ("--on", "2026-11-25")
Run = Callable[..., subprocess.CompletedProcess[str]]


def call(*args: str) -> Result:
    return CliRunner().invoke(facts, ["check", *args], standalone_mode=False)


def refused(*args: str) -> str:
    result = call(*args)
    assert isinstance(result.exception, BadInput), result.output
    return str(result.exception)


def example(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of an example of mistakes; the current folder is the one around it."""
    shutil.copytree(EXAMPLES / name / "kb", tmp_path / "kb")
    monkeypatch.chdir(tmp_path)
    return Path("kb")


def test_the_shipped_facts_pass(lugplane: Run) -> None:
    done = lugplane("facts", "check", *ON)
    assert done.returncode == 0, done.stdout
    shipped = len(list((ROOT / "kb").glob("*/*.yaml")))
    assert done.stdout.startswith(f"{shipped} files: 0 problems, 0 warnings")
    assert done.stderr == ""


def test_exit_1_and_every_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kb = example("invalid/one-part-two-ids", tmp_path, monkeypatch)
    (kb / "wheels" / "w3.yaml").write_text("kind: wheel\nid: w3\ntitle: W\nrim_in: 432\nbore: 3\n")
    result = call(str(kb), "--alone", *ON)
    assert result.return_value == 1
    lines = result.stdout.splitlines()
    assert [line.split(": ")[1] for line in lines[:-1]] == ["twin (warning)", "unknown-key"]
    assert lines[-1] == "3 files: 1 problem, 1 warning"


def test_warnings_alone_pass(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kb = example("invalid/one-part-two-ids", tmp_path, monkeypatch)
    result = call(str(kb), "--alone", *ON)
    assert result.return_value == 0
    assert "twin (warning)" in result.stdout


def test_json_and_annotations(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kb = example("invalid/inches-for-millimetres", tmp_path, monkeypatch)
    data = json.loads(call(str(kb), "--alone", "--json", *ON).stdout)
    assert data["errors"] == 1
    assert data["findings"][0]["code"] == "unit-slip"
    said = call(str(kb), "--alone", "--annotations", *ON)
    assert said.return_value == 1
    assert said.stdout.startswith("::error file=kb/discs/d1.yaml,line=7,col=14,title=unit-slip::")


def test_a_file_or_a_kind_is_looked_at_by_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kb = example("invalid/inches-for-millimetres", tmp_path, monkeypatch)
    (kb / "pads").mkdir()
    (kb / "pads" / "p.yaml").write_text("kind: pad\nid: p\ntitle: P\nlining_mm: 0\n")
    (kb / "discs" / "ok.yaml").write_text("kind: disc\nid: ok\ntitle: Sound\n")
    told = {
        "kb": ["d1", "p", "p"],
        "kb/discs": ["d1"],
        "kb/discs/d1.yaml": ["d1"],
        "kb/discs/ok.yaml": [],
        "kb/pads/": ["p", "p"],
    }
    for target, stems in told.items():
        result = call(target, *ON)
        lines = result.stdout.splitlines()[:-1]
        assert [Path(line.split(":")[0]).stem for line in lines] == stems, target
        assert result.return_value == (1 if stems else 0)
    several = call("kb/discs/ok.yaml", "kb/pads/p.yaml", *ON)
    assert several.stdout.splitlines()[-1] == "2 files: 2 problems, 0 warnings"


def test_what_is_named_stands_on_the_shipped_facts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    offers = tmp_path / "own" / "offers"
    offers.mkdir(parents=True)
    (offers / "o.yaml").write_text(
        "kind: offer\nid: o\ntitle: O\npart: sorrel-300\nprice: 40\ncurrency: EUR\n"
        'date: "2026-11-01"\nsource: demo-market\n'
    )
    assert call("own", *ON).return_value == 0
    alone = call("own", "--alone", *ON)
    assert alone.return_value == 1
    assert alone.stdout.count("unknown-id") == 2


def test_what_others_broke_does_not_hide_an_own_finding(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kb = example("invalid/inches-for-millimetres", tmp_path, monkeypatch)
    (kb / "discs" / "torn.yaml").write_text("kind: [\n")
    assert "unit-slip" in call("kb/discs/d1.yaml", *ON).stdout
    both = call("kb", "--alone", *ON).stdout
    assert "unit-slip" in both
    assert "syntax" in both


def test_exceptions_of_a_broken_file_are_not_called_needless(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kb = example("valid/checked-exception", tmp_path, monkeypatch)
    assert call("kb", "--alone", *ON).stdout == "1 file: 0 problems, 0 warnings, 1 excepted\n"
    (kb / "discs" / "giant.yaml").write_text("kind: [\n")
    assert "exception-needless" not in call("kb", "--alone", *ON).stdout
    (kb / "discs" / "giant.yaml").write_text("kind: disc\nid: giant\ntitle: G\n")
    assert "exception-needless" in call("kb", "--alone", *ON).stdout


def test_fix_writes_what_it_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kb = example("invalid/inches-for-millimetres", tmp_path, monkeypatch)
    file = kb / "discs" / "d1.yaml"
    text = file.read_text("utf-8").replace("11.81", "300,5  # ± rule").replace("title", "Title")
    file.write_text(text)
    file.chmod(0o640)
    first = call(str(kb), "--alone", "--fix", *ON)
    assert first.return_value == 0
    assert first.stdout.splitlines() == [
        "kb/discs/d1.yaml:3:1: fixed unknown-key: `Title` became `title`",
        "kb/discs/d1.yaml:7:14: fixed bad-form: `300,5` became `300.5`",
        "1 file: 0 problems, 0 warnings",
    ]
    assert file.read_text() == text.replace("300,5", "300.5").replace("Title", "title")
    again = call(str(kb), "--alone", "--fix", *ON)
    assert again.stdout == "1 file: 0 problems, 0 warnings\n"
    assert [path.name for path in kb.rglob("*")] == ["discs", "d1.yaml"]


def test_fix_leaves_the_shipped_facts_alone_unless_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kb = example("invalid/inches-for-millimetres", tmp_path, monkeypatch)
    before = {path: path.stat().st_mtime_ns for path in (ROOT / "kb").rglob("*.yaml")}
    call(str(kb), "--fix", *ON)
    assert {path: path.stat().st_mtime_ns for path in (ROOT / "kb").rglob("*.yaml")} == before


def test_plausibility_is_in_nobodys_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lugplane: Run
) -> None:
    """What only a check finds refuses no other command."""
    kb = example("invalid/inches-for-millimetres", tmp_path, monkeypatch)
    done = lugplane("sheet", "kessarin-estate", "--kb", str(kb.absolute()))
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("nowhere",), "nothing is there"),
        (("stray.yaml",), "the folder of its kind"),
        (("--alone",), "name the folder"),
        (("--json", "--annotations"), "one of them"),
        (("--on", "soon"), "a day"),
    ],
)
def test_bad_calls(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, args: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "stray.yaml").write_text("kind: disc\n")
    assert said in refused(*args)


def test_bad_calls_exit_2_in_one_line(lugplane: Run) -> None:
    done = lugplane("facts", "check", "nowhere")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "lugplane: nowhere: nothing is there\n"
