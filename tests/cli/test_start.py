"""What was asked before is said again at once, and only while it is still so."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from shutil import copytree

import pytest

ROOT = Path(__file__).resolve().parents[2]
ASKED = ("same", "sorrel-300")


@pytest.fixture
def kb(tmp_path: Path) -> Path:
    """The shipped discs and what they name."""
    for kind in ("discs", "sources"):
        copytree(ROOT / "kb" / kind, tmp_path / "kb" / kind)
    return tmp_path / "kb"


def run(cache: Path, *words: str, **extra: str) -> tuple[str, set[str]]:
    """What a command prints, and the modules that it imported."""
    environment = {
        **os.environ,
        "PYTHONPATH": str(ROOT / "engine"),
        "LUGPLANE_CACHE": str(cache),
        **extra,
    }
    command = [sys.executable, "-X", "importtime", "-m", "lugplane.cli.start", *words]
    done = subprocess.run(command, capture_output=True, text=True, env=environment, check=True)
    return done.stdout, set(re.findall(r"\|\s+([\w.]+)$", done.stderr, re.MULTILINE))


def test_said_again_without_working_anything_out(kb: Path, tmp_path: Path) -> None:
    cache = tmp_path / "cache"
    first, imported = run(cache, *ASKED, "--only-kb", str(kb))
    assert "click" in imported
    again, imported = run(cache, *ASKED, f"--only-kb={kb}")  # other words: worked out, and alike
    assert again == first
    assert "click" in imported
    again, imported = run(cache, *ASKED, "--only-kb", str(kb))
    assert again == first
    assert "lugplane.facts.again" in imported
    assert not imported & {"click", "yaml", "lugplane.deduce.rulebook", "lugplane.facts.records"}
    told, _ = run(cache, *ASKED, "--json", "--only-kb", str(kb))
    assert told.startswith("{")


def test_a_changed_fact_is_told(kb: Path, tmp_path: Path) -> None:
    cache = tmp_path / "cache"
    first, _ = run(cache, *ASKED, "--only-kb", str(kb))
    path = kb / "discs" / "sorrel-300.yaml"
    path.write_text(path.read_text("utf-8").replace("bore_mm: 65.05", "bore_mm: 55.05"), "utf-8")
    again, _ = run(cache, *ASKED, "--only-kb", str(kb))
    assert again != first
    assert again == run(cache, *ASKED, "--only-kb", str(kb), LUGPLANE_CACHE="off")[0]


def test_nothing_is_kept_where_nothing_may_be(kb: Path, tmp_path: Path) -> None:
    first, _ = run(tmp_path / "none", *ASKED, "--only-kb", str(kb), LUGPLANE_CACHE="off")
    again, imported = run(tmp_path / "none", *ASKED, "--only-kb", str(kb), LUGPLANE_CACHE="off")
    assert again == first
    assert "click" in imported
    assert not (tmp_path / "none").exists()
