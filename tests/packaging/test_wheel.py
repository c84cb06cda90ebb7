"""The wheel holds the facts, rules and schemas, and answers from an empty folder."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DEMO = ("sheet", "tammick-van", "front", "tovan-q4/44", "sorrel-300", "tammick-16-cast")


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from this tree and unpacked: what an installation would hold."""
    made = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [
            sys.executable,
            "-m",
            "pip",
            "wheel",
            "--quiet",
            "--no-deps",
            "--no-build-isolation",
            "--wheel-dir",
            str(made),
            str(ROOT),
        ],
        check=True,
        capture_output=True,
        text=True,
    )
    (wheel,) = made.glob("lugplane-*.whl")
    folder = tmp_path_factory.mktemp("installed")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder)
    return folder


def ask(installed: Path, empty: Path, script: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", script],
        cwd=empty,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(installed), "LUGPLANE_CACHE": str(empty / "cache")},
    )


def command(*words: str) -> str:
    return f"import sys; sys.argv = ['lugplane', *{list(words)!r}]\n" + (
        "from lugplane.cli.main import main\nmain()"
    )


def test_every_fact_rule_and_schema_is_in_it(installed: Path) -> None:
    data = installed / "lugplane" / "_data"
    for folder in ("kb", "rules", "schemas"):
        here = {p.relative_to(ROOT / folder) for p in (ROOT / folder).rglob("*") if p.is_file()}
        there = {p.relative_to(data / folder) for p in (data / folder).rglob("*") if p.is_file()}
        assert there == here


def test_it_answers_from_an_empty_folder(installed: Path, tmp_path: Path) -> None:
    where = ask(installed, tmp_path, "import lugplane; print(lugplane.__file__)")
    assert where.stdout.startswith(str(installed))
    done = ask(installed, tmp_path, command(*DEMO))
    assert done.returncode == 0, done.stderr
    assert "Brake: fits with work." in done.stdout


def test_it_answers_the_same_without_the_default_engine(installed: Path, tmp_path: Path) -> None:
    """Where durable-rules cannot be installed CLIPS takes its place."""
    gone = "import sys\nsys.modules['durable'] = None\nsys.modules['durable.lang'] = None\n"
    with_it = ask(installed, tmp_path, command(*DEMO))
    without = ask(installed, tmp_path, gone + command(*DEMO))
    assert without.returncode == 0, without.stderr
    assert without.stdout == with_it.stdout
