"""Where an answer cannot be printed, kept or fresh, one line says so; the exit code is no verdict.

Exit 1 would mean that it does not fit.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import IO

import pytest

ROOT = Path(__file__).resolve().parents[2]
FULL = Path("/dev/full")
ASKED = ("same", "sorrel-300")
LIST = ("fits", "jarrick-hatch", "rear")
Start = Callable[..., subprocess.CompletedProcess[bytes]]

needs_full = pytest.mark.skipif(not FULL.exists(), reason="no device that is always full")
posix = pytest.mark.skipif(os.name == "nt", reason="it is done with a POSIX shell")


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache in which the answer to `ASKED` is kept."""
    folder = tmp_path_factory.mktemp("cache")
    done = start(folder, *ASKED)
    assert (done.returncode, done.stderr) == (0, b"")
    return folder


def start(
    cache: Path | None,
    *words: str,
    before: str = "",
    after: str = "",
    cwd: Path | None = None,
    stdout: int | IO[bytes] = subprocess.PIPE,
    **extra: str,
) -> subprocess.CompletedProcess[bytes]:
    """A command in a shell that does what is said `before`, with redirections `after` it."""
    environment = {
        **{k: v for k, v in os.environ.items() if k not in ("LUGPLANE_KB", "LUGPLANE_DEBUG")},
        "PYTHONPATH": str(ROOT / "engine"),
        "LUGPLANE_CACHE": "off" if cache is None else str(cache),
        **extra,
    }
    command = (sys.executable, "-m", "lugplane.cli.start", *words)
    return subprocess.run(
        ["sh", "-c", f'{before} "$@" {after}', "sh", *command],
        env=environment,
        stdout=stdout,
        stderr=subprocess.PIPE,
        cwd=cwd,
        check=False,
        timeout=120,
    )


def one_line(done: subprocess.CompletedProcess[bytes]) -> str:
    """What a command that fails says."""
    said = done.stderr.decode()
    assert done.returncode == 2, said
    assert not done.stdout
    assert said.count("\n") == 1, said
    return said


@posix
@needs_full
@pytest.mark.parametrize("kept", [True, False])
def test_a_full_device(cache: Path, kept: bool) -> None:
    said = one_line(start(cache if kept else None, *ASKED, after=">/dev/full"))
    assert said.startswith("lugplane: cannot write the answer: No space left")


@posix
@needs_full
def test_neither_can_the_complaint_be_written(cache: Path) -> None:
    for known in (cache, None):
        done = start(known, *ASKED, after=">/dev/full 2>&1")
        assert done.returncode not in (0, 1, 3)


@posix
@pytest.mark.parametrize("kept", [True, False])
def test_no_output_at_all(cache: Path, kept: bool) -> None:
    done = start(cache if kept else None, *ASKED, after=">&-")
    assert (done.returncode, done.stderr) == (0, b"")


@posix
def test_no_place_for_complaints(tmp_path: Path) -> None:
    for _ in ("fresh", "kept"):
        done = start(tmp_path / "cache", *LIST, after="2>&-")
        assert done.returncode == 0
        assert done.stdout.startswith(b"What fits")


@posix
@pytest.mark.parametrize("kept", [True, False])
def test_a_reader_that_has_gone(cache: Path, kept: bool) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "wb") as pipe:
        done = start(cache if kept else None, *ASKED, stdout=pipe)
    assert (done.returncode, done.stderr) == (141, b"")


def named(folder: Path, title: str) -> Path:
    """A folder of facts in which the disc of `ASKED` has this title."""
    (folder / "discs").mkdir(parents=True)
    shipped = (ROOT / "kb" / "discs" / "sorrel-300.yaml").read_text("utf-8").split("\n")
    lines = [f"title: {title}" if line.startswith("title:") else line for line in shipped]
    (folder / "discs" / "sorrel-300.yaml").write_text("\n".join(lines), "utf-8")
    return folder


@posix
@pytest.mark.parametrize("encoding", ["ascii", "utf-8"])
def test_characters_that_an_encoding_has_not(tmp_path: Path, encoding: str) -> None:
    words = (*ASKED, "--kb", str(named(tmp_path / "kb", "Größe 300")))
    fresh = start(tmp_path / "cache", *words, PYTHONIOENCODING=encoding)
    kept = start(tmp_path / "cache", *words, PYTHONIOENCODING=encoding)
    assert "Größe".encode() in fresh.stdout
    assert (kept.returncode, kept.stdout, kept.stderr) == (0, fresh.stdout, b"")


@posix
def test_characters_that_cannot_be_printed(tmp_path: Path) -> None:
    words = (*ASKED, "--kb", str(named(tmp_path / "kb", "Ωmega 300")))
    for _ in ("fresh", "kept"):
        said = one_line(start(tmp_path / "cache", *words, PYTHONIOENCODING="latin-1"))
        assert said.startswith("lugplane: cannot write the answer: 'latin-1'")


@posix
@pytest.mark.parametrize("words", [LIST, ("sheet", "tammick-van")])
def test_the_current_folder_has_gone(tmp_path: Path, words: tuple[str, ...]) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    done = start(
        tmp_path / "cache", *words, "--only-kb", ".", before=f"rmdir '{gone}' &&", cwd=gone
    )
    assert "the current folder is not there any more" in one_line(done)


@pytest.mark.parametrize(
    "words",
    [
        ("fits", "jarrick-hatch", "a\nb\x1b[31m"),
        ("fits", "jarrick-hatch", "--kb", "a\nb\x1b[31m"),
        ("fits", "jarrick-hatch", "--verdict", "a\nb\x1b[31m"),
        ("fits", "jarrick-hatch", "rear", "a\nb\x1b[31m"),
        ("sheet", "tammick-van", "--only-kb", "a\nb\x1b[31m"),
        ("why", "a\nb\x1b[31m", "tammick-van"),
        ("facts", "check", "a\nb\x1b[31m"),
    ],
)
def test_what_was_typed_is_shown_and_does_nothing(
    lugplane: Callable[..., subprocess.CompletedProcess[str]], words: tuple[str, ...]
) -> None:
    done = lugplane(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert "a\\nb\\x1b[31m" in done.stderr
    assert done.stderr.count("\n") == 1


def test_an_empty_wheel_is_no_wheel(
    lugplane: Callable[..., subprocess.CompletedProcess[str]],
) -> None:
    assert lugplane(*LIST).returncode == 0  # the list that no wheel narrows is known now
    for words in (("--wheel", ""), ("--wheel=",), ("--wheel", "", "--csv")):
        done = lugplane(*LIST, *words)
        assert (done.returncode, done.stdout) == (2, "")
        assert "no wheel is called ''" in done.stderr
