"""README.md shows what the commands really print."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]


def test_the_answer_shown_is_the_answer_given(lugplane: Any) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    command, shown = re.findall(r"```\n\$ lugplane ([^\n]+)\n\n(.*?)\n\.\.\.\n```", text, re.S)[0]
    done = lugplane(*command.split())
    assert done.returncode == 0
    assert done.stdout.startswith(shown + "\n")
    assert len(shown.splitlines()) > 20


def test_every_command_shown_runs(lugplane: Any, tmp_path: Path) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    asking = text[text.index("## Asking") : text.index("## How it decides")]
    lines = "".join(re.findall(r"```sh\n(.*?)```", asking, re.S)).splitlines()
    commands = [line.split("#")[0].split() for line in lines if line.strip()]
    assert len(commands) >= 6
    for words in commands:
        assert words[0] == "lugplane"
        done = lugplane(*words[1:], cwd=tmp_path)
        assert done.returncode in (0, 1, 3), (words, done.stderr)
        assert done.stdout


def test_it_opens_with_the_job_in_one_paragraph() -> None:
    title, blank, *rest = (ROOT / "README.md").read_text(encoding="utf-8").splitlines()
    assert title.startswith("# ")
    assert blank == ""
    paragraph = rest[: rest.index("")]
    assert len(paragraph) > 3
    assert "cannot tell: measure this" in " ".join(paragraph)
