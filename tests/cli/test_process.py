"""Each command begun cold, in a process of its own, says just what it says in a warm one.

The other tests call the command in their own process, where whatever one test imported or read is
there for the next; these show that no answer, file or exit code leans on that.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ENGINE = Path(__file__).resolve().parents[2] / "engine"
Run = Callable[..., subprocess.CompletedProcess[str]]

BRAKE = ("tammick-van", "front", "tovan-q4/44", "sorrel-300")
SMALL = ("jarrick-hatch", "rear")
NEWT = ("facts", "new", "disc", "newt-300", "--title", "Newt disc")


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--help",), 0),
        (("--version",), 0),
        (("sheet", "tammick-van", "front"), 0),
        (("sheet", *BRAKE, "tammick-15-steel", "--json"), 1),
        (("sheet", *BRAKE, "kessarin-17-cast"), 3),
        (("sheet", *BRAKE, "--markdown", "--drawing", "section.svg"), 0),
        (("sheet", "tammick-van", "front", "sorrel-300", "rear"), 1),
        (("why", "spacing", *BRAKE), 0),
        (("why", "spacing", *BRAKE, "--json"), 0),
        (("ask", *BRAKE, "kessarin-17-cast"), 3),
        (("ask", *BRAKE, "kessarin-17-cast", "--message"), 3),
        (("ask", *BRAKE, "--json"), 0),
        (("fits", *SMALL), 0),
        (("fits", *SMALL, "--csv"), 0),
        (("fits", *SMALL, "--json"), 0),
        (("takes", "tammick-16-cast", "--json"), 0),
        (("takes", "tansy-272"), 0),
        (("takes", "tansy-272", "--csv"), 0),
        (("same", "sorrel-300"), 0),
        (("same", "sorrel-300", "--csv"), 0),
        (("paths", *SMALL), 0),
        (("paths", *SMALL, "--json"), 0),
        (("paths", *SMALL, "--csv", "--draw", "map.svg"), 0),
        (("car", *BRAKE[:1], "--front", "sorrel-300", "--plots", "plots"), 1),
        (("car", *BRAKE[:1], "--json"), 0),
        (("trial", "check", "kessarin-thin"), 0),
        (("trial", "new", *BRAKE, "--output", "own-trial.yaml"), 0),
        ((*NEWT, "--into", "."), 0),
        (("facts", "check", "--on", "2026-11-25"), 0),
        (("facts", "show", "sorrel-300"), 0),
        (("facts", "changes", "none", "."), 2),
        (("sheet", "tamick-van"), 2),
        (("why", "spaceing", "tammick-van"), 2),
        (("wy", "spacing"), 2),
        (("fits", "tammick-van", "--kb", "nowhere"), 2),
    ],
)
def test_a_cold_process_says_the_same(
    lugplane: Run, lugplane_process: Run, tmp_path: Path, words: tuple[str, ...], code: int
) -> None:
    cold, warm = tmp_path / "cold", tmp_path / "warm"
    cold.mkdir()
    warm.mkdir()
    done = lugplane_process(*words, cwd=cold)
    assert done.returncode == code, (done.stdout[:400], done.stderr)
    assert "Traceback" not in done.stderr
    if code == 2:
        assert (done.stdout, done.stderr.count("\n")) == ("", 1)
    else:
        assert (bool(done.stdout), done.stderr) == (True, "")
    same = lugplane(*words, cwd=warm)
    assert (same.returncode, same.stdout, same.stderr) == (code, done.stdout, done.stderr)
    assert _files(warm) == _files(cold)


def _files(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*.*")}


def test_a_reader_that_goes_away_is_no_complaint(tmp_path: Path) -> None:
    script = f"{sys.executable} -m lugplane.cli.main sheet tammick-van | head -1"
    done = subprocess.run(
        ["bash", "-c", script],
        env={**os.environ, "PYTHONPATH": str(ENGINE)},
        capture_output=True,
        text=True,
        cwd=tmp_path,
        check=False,
    )
    assert done.stderr == ""
    assert done.stdout.startswith("Tammick")
