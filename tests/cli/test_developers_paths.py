"""What DEVELOPERS.md says to type is typed, word for word, in an empty folder of facts."""

from __future__ import annotations

import re
import shlex
import subprocess
from collections.abc import Callable
from pathlib import Path

DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"
Run = Callable[..., subprocess.CompletedProcess[str]]


def commands() -> list[list[str]]:
    """The commands of all blocks that a shell takes, in their order."""
    blocks = re.findall(r"```sh\n(.*?)```", DEVELOPERS.read_text("utf-8"), re.DOTALL)
    joined = "\n".join(blocks).replace("\\\n", " ")
    return [shlex.split(line) for line in joined.splitlines() if line.strip()]


def test_the_paths_are_followable(lugplane: Run, tmp_path: Path) -> None:
    own = tmp_path / "kb"
    own.mkdir()
    said = commands()
    assert len(said) >= 5
    for program, *args in said:
        assert program == "lugplane"
        done = lugplane(*args, cwd=tmp_path, LUGPLANE_KB=str(own))
        assert done.returncode == 0, (args, done.stdout, done.stderr)
    written = {path.relative_to(own).as_posix() for path in own.rglob("*.yaml")}
    assert written == {
        "sources/bench-77.yaml",
        "discs/newt-302.yaml",
        "trials/kessarin-newt.yaml",
    }
    checked = lugplane("facts", "check", "kb", "--on", "2026-11-25", cwd=tmp_path)
    assert checked.returncode == 0
    assert checked.stdout == "3 files: 0 problems, 0 warnings\n"
