"""`facts new` as it is called: written whole or not at all, over nothing, and only what passes."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from lugplane.cli.facts import facts
from lugplane.errors import LugplaneError

BENCH = "bench=measured,source=sheet-14,date=2026-03-14,plus_minus_mm=0.1"


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that `kb` empties: under one name, the shipped facts are compiled but once."""
    return tmp_path_factory.mktemp("shop") / "own"


@pytest.fixture
def kb(own: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An own folder of facts with a source in it, named by LUGPLANE_KB."""
    folder = own
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("LUGPLANE_KB", str(folder))
    assert new("source", "sheet-14", "--title", "Bench sheet 14", "--set", "sort=bench") == 0
    return folder


def call(*args: str, said: str | None = None) -> Result:
    return CliRunner().invoke(facts, ["new", *args], input=said, standalone_mode=False)


def new(*args: str) -> int:
    result = call(*args)
    assert result.exception is None, result.exception
    code = result.return_value
    assert isinstance(code, int)
    return code


def refused(*args: str) -> str:
    result = call(*args)
    assert isinstance(result.exception, LugplaneError), result.output
    return str(result.exception)


def files(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): path.read_text("utf-8") if path.is_file() else ""
        for path in sorted(folder.rglob("*"))
    }


def test_a_part_as_measured(kb: Path) -> None:
    made = [
        *("disc", "newt-300", "--title", "Newt disc", "--reading", BENCH, "--like", "sorrel-300"),
        *("--set", "diameter_mm=300", "--set", "disc.height_mm=48.2±0.2", "--set", "bolts.count=5"),
        *("--set", "cracked=no", "--set", "mass_kg=7.1±0.1"),
    ]
    assert new(*made, "--dry-run") == 0
    assert list(files(kb)) == ["sources", "sources/sheet-14.yaml"]
    assert new(*made) == 0
    text = (kb / "discs" / "newt-300.yaml").read_text("utf-8")
    assert text == call(*made[:1], "newt-301", *made[2:], "--dry-run").stdout.replace("301", "300")
    assert "\nheight_mm: 48.2±0.2 " in text
    assert "\ncracked: false " in text
    assert "\n# thickness_mm: 28 ±0.05 " in text
    checked = CliRunner().invoke(facts, ["check", str(kb)], standalone_mode=False)
    assert checked.return_value == 0, checked.output


def test_nothing_is_ever_written_over(kb: Path) -> None:
    before = files(kb)
    assert "there already" in refused("source", "sheet-14", "--title", "X", "--set", "sort=demo")
    assert "there already" in refused("disc", "sorrel-300", "--title", "X")
    assert "there already" in refused("caliper", "tovan-q4", "--title", "X")
    (kb / "discs").mkdir()
    (kb / "discs" / "later.yaml").symlink_to("nowhere")
    assert "there already" in refused("disc", "later", "--title", "X")
    (kb / "discs" / "later.yaml").unlink()
    (kb / "discs").rmdir()
    assert files(kb) == before


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("disk", "x"), "did you mean disc?"),
        (("disc", "New_300", "--title", "X"), "write new-300"),
        (("disc", "-", "--title", "X"), "is no id"),
        (("disc", "../x", "--title", "X"), "is no id"),
        (("disc", "x"), "no key `title`"),
        (("disc", "--title", "X"), "name the record"),
        (("trial", "x", "--title", "X"), "no key `platform`"),
        (("disc", "x", "--title", "X", "--set", "bore_mm"), "write path=value"),
        (("disc", "x", "--title", "X", "--set", "=3"), "write path=value"),
        (("disc", "x", "--title", "X", "--set", "boer_mm=3"), "did you mean bore_mm?"),
        (("disc", "x", "--title", "X", "--set", "kind=pad"), "arguments of the command"),
        (("disc", "x", "--title", "X", "--set", "ring=solidd"), "wrong-word"),
        (("disc", "x", "--title", "X", "--set", "bolts.count=many"), "wrong-type"),
        (("disc", "x", "--title", "X", "--set", "bore_mm=65±0.1"), "no-reading"),
        (("disc", "x", "--title", "X", "--set", "bolts=1", "--set", "bolts.count=5"), "a value"),
        (("disc", "x", "--title", "X", "--reading", "bench"), "--reading"),
        (("disc", "x", "--title", "X", "--reading", "bench=measured"), "no-source"),
        (("disc", "x", "--title", "X", "--reading", "a=measurd,source=sheet-14"), "wrong-word"),
        (("disc", "x", "--title", "X", "--reading", BENCH.replace("14,d", "15,d")), "unknown-id"),
        (("disc", "x", "--title", "X", "--reading", BENCH, "--set", "bore_mm=2.56"), "unit-slip"),
        (("disc", "x", "--title", "X", "--like", "tovan-q4"), "no disc is called"),
        (("disc", "x", "--title", "X", "--like", "sorel-300"), "close to it: sorrel-300"),
        (("caliper", "x", "--title", "X", "--set", "pad=kite-121"), "unknown-id"),
        (("moved", "x", "--title", "X", "--set", "to=y", "--set", "date=2026-01-01"), "unknown-id"),
        (("disc", "x", "--title", "X", "--into", "nowhere"), "no folder of facts"),
    ],
)
def test_what_would_not_pass_is_refused_and_leaves_nothing(
    kb: Path, args: tuple[str, ...], said: str
) -> None:
    before = files(kb)
    assert said in refused(*args)
    assert files(kb) == before


def test_a_dry_run_tells_what_would_be_refused(kb: Path) -> None:
    result = call("disc", "x", "--title", "X", "--set", "bore_mm=65±0.1", "--dry-run")
    assert result.return_value == 1
    assert "bore_mm: 65±0.1" in result.stdout
    assert "no-reading" in result.stderr


def test_members_and_measures_by_set(kb: Path) -> None:
    assert (
        new(
            *("disc", "two", "--title", "Two sizes", "--reading", BENCH, "--set", "bore_mm=65"),
            *("--set", "members.small.diameter_mm=280", "--set", "members.large.diameter_mm=312"),
        )
        == 0
    )
    assert (
        new(
            *("trial", "first", "--title", "Tried", "--reading", BENCH, "--set", "axle=front"),
            *("--set", "platform=kessarin-estate", "--set", "date=2026-05-02"),
            *("--set", "parts.disc=two/large", "--set", "measured.spacing=3.3±0.1"),
            *("--set", "measured_with=depth gauge"),
        )
        == 0
    )
    assert "spacing: 3.3±0.1" in (kb / "trials" / "first.yaml").read_text("utf-8")


def test_a_folder_that_cannot_be_written_stays_as_it_was(
    kb: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    before = files(kb)
    monkeypatch.setattr(os, "link", fails)
    assert "cannot be written" in refused("disc", "x", "--title", "X")
    assert files(kb) == before


def test_into_wins_over_the_variable(kb: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    assert new("disc", "x", "--title", "X", "--into", str(other)) == 0
    assert list(files(other)) == ["discs", "discs/x.yaml"]
    assert "discs" not in files(kb)


def test_asking(kb: Path) -> None:
    said = [
        *("Sorrel_X", "sorrel-x", "A measured disc"),  # a bad id is asked for again
        *("bench", "measured", "no-such", "2026-03-14", "0.1"),  # a source that is not there
        *("bench", "measured", "sheet-14", "2026-03-14", "0.1"),
        *("11.81", "300"),  # inches are asked for again
        *("28", "", "48.2 ±0.2", "upside", "hub-face", "."),
    ]
    result = call("disc", "--ask", "--like", "sorrel-300", said="\n".join(said) + "\n")
    assert result.exception is None, (result.exception, result.output)
    assert result.return_value == 0
    for told in ("write sorrel-x", "unknown-id", "unit-slip", "wrong-word", "(there: 28 ±0.05)"):
        assert told in result.stderr
    text = (kb / "discs" / "sorrel-x.yaml").read_text("utf-8")
    assert 'bench: {basis: measured, source: sheet-14, date: "2026-03-14", ' in text
    for line in ("diameter_mm: 300 ", "thickness_mm: 28 ", "# min_thickness_mm: 26 ±0 "):
        assert f"\n{line}" in text
    assert "\nheight_mm: 48.2 ±0.2 " in text


def test_asking_that_is_broken_off_writes_nothing(kb: Path) -> None:
    before = files(kb)
    result = call("disc", "sorrel-x", "--ask", said="A disc\n")
    assert result.exception is not None
    assert files(kb) == before


def test_without_a_terminal_nothing_is_asked(kb: Path) -> None:
    assert "no key `title`" in refused("disc", "x")
