"""README.md shows what the commands really print."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]


def test_the_answer_shown_is_the_answer_given(lugplane: Any) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    command, shown = re.findall(r"```\n\$ lugplane ([^\n]+)\n\n(.*?)\n\.\.\.\n```", text, re.S)[0]
    done = lugplane(*command.split())
    assert done.returncode == 0
    assert done.stdout.startswith(shown + "\n")
    assert len(shown.splitlines()) > 20


def shown() -> list[str]:
    """The commands of the part on asking, each without its comment."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    asking = text[text.index("## Asking") : text.index("## How it decides")]
    lines = "".join(re.findall(r"```sh\n(.*?)```", asking, re.S)).splitlines()
    return [line.split("#")[0].strip() for line in lines if line.strip()]


@pytest.mark.parametrize("command", shown())
def test_every_command_shown_runs(lugplane: Any, tmp_path: Path, command: str) -> None:
    name, *words = command.split()
    assert name == "lugplane"
    done = lugplane(*words, cwd=tmp_path)
    assert done.returncode in (0, 1, 3), (words, done.stderr)
    assert done.stdout


def test_commands_are_shown() -> None:
    assert len(shown()) >= 6


def test_it_opens_with_the_job_in_one_paragraph() -> None:
    title, blank, *rest = (ROOT / "README.md").read_text(encoding="utf-8").splitlines()
    assert title.startswith("# ")
    assert blank == ""
    paragraph = rest[: rest.index("")]
    assert len(paragraph) > 3
    assert "cannot tell: measure this" in " ".join(paragraph)
