"""What several tests share: the command line in a child process, and the shipped facts."""

from __future__ import annotations

import atexit
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

# Compiled facts of the tests stay out of the user's own cache.
os.environ["LUGPLANE_CACHE"] = tempfile.mkdtemp(prefix="lugplane-tests-")
atexit.register(shutil.rmtree, os.environ["LUGPLANE_CACHE"], ignore_errors=True)

# The machine may be busy: time is no property of the code. The same examples are drawn in every
# run, so that a pull request is judged by what it changes; LUGPLANE_RANDOM=1 draws others.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.register_profile("random", deadline=None)
settings.load_profile("random" if os.environ.get("LUGPLANE_RANDOM") else "steady")

ROOT = Path(__file__).resolve().parent.parent
Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture(scope="session")
def lugplane(tmp_path_factory: pytest.TempPathFactory) -> Run:
    """Run the command line, `lugplane("sheet", ...)`, from an empty folder, with its own cache."""
    empty = tmp_path_factory.mktemp("empty")
    cache = tmp_path_factory.mktemp("cache")

    def run(*args: str, cwd: Path = empty, **extra: str) -> subprocess.CompletedProcess[str]:
        environment = {
            **os.environ,
            "PYTHONPATH": str(ROOT / "engine"),
            "LUGPLANE_CACHE": str(cache),
            "NO_COLOR": "1",
            **extra,
        }
        environment.pop("LUGPLANE_KB", None)
        environment.update(extra)
        return subprocess.run(
            [sys.executable, "-m", "lugplane.cli.main", *args],
            cwd=cwd,
            env=environment,
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )

    return run
