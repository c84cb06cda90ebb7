"""What several tests share: the command line, called here or in a process of its own."""

from __future__ import annotations

import atexit
import io
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
    """Call the command line, `lugplane("sheet", ...)`, from an empty folder.

    The very `main` of the command, in this process: what a start costs is paid once for all tests.
    `tests/cli/test_process.py` holds it against real processes.
    """
    empty = tmp_path_factory.mktemp("empty")

    def run(*args: str, cwd: Path = empty, **extra: str) -> subprocess.CompletedProcess[str]:
        from lugplane.cli.main import main

        out, error = (io.TextIOWrapper(io.BytesIO(), "utf-8", "surrogateescape") for _ in range(2))
        with pytest.MonkeyPatch.context() as patch:
            patch.delenv("LUGPLANE_KB", raising=False)
            for name, value in {"NO_COLOR": "1", **extra}.items():
                patch.setenv(name, value)
            patch.chdir(cwd)
            patch.setattr(sys, "argv", ["lugplane", *args])
            patch.setattr(sys, "stdin", io.StringIO())
            patch.setattr(sys, "stdout", out)
            patch.setattr(sys, "stderr", error)
            with pytest.raises(SystemExit) as ended:
                main()
        code = ended.value.code
        assert isinstance(code, int)
        return subprocess.CompletedProcess(["lugplane", *args], code, _text(out), _text(error))

    return run


def _text(stream: io.TextIOWrapper) -> str:
    stream.seek(0)
    return stream.read()


@pytest.fixture(scope="session")
def lugplane_process(tmp_path_factory: pytest.TempPathFactory) -> Run:
    """As `lugplane`, but each call is a process of its own, with a cache apart."""
    empty = tmp_path_factory.mktemp("empty")
    cache = tmp_path_factory.mktemp("cache")

    def run(*args: str, cwd: Path = empty, **extra: str) -> subprocess.CompletedProcess[str]:
        environment = {
            **os.environ,
            "PYTHONPATH": str(ROOT / "engine"),
            "LUGPLANE_CACHE": str(cache),
            "NO_COLOR": "1",
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
