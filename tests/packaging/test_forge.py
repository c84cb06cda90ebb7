"""The workflow and the templates of the forge: shell steps that parse, commands that are there."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path
from typing import Any

import click
import pytest
import yaml

from lugplane.cli.facts import facts
from lugplane.cli.main import commands

ROOT = Path(__file__).parents[2]
FORGE = ROOT / ".github"
WORKFLOW = FORGE / "workflows" / "check.yml"


def steps() -> list[dict[str, Any]]:
    jobs = yaml.safe_load(WORKFLOW.read_text("utf-8"))["jobs"]
    return [step for job in jobs.values() for step in job["steps"]]


def test_steps_are_shell_only_and_parse() -> None:
    assert len(steps()) >= 6
    for step in steps():
        assert set(step) <= {"name", "run", "if"}
        done = subprocess.run(["bash", "-n"], input=step["run"], text=True, capture_output=True)
        assert done.returncode == 0, done.stderr


def test_nothing_of_a_pull_request_is_pasted_into_a_command() -> None:
    for step in steps():
        assert "${{" not in step["run"]


def test_it_may_read_and_no_more() -> None:
    workflow = yaml.safe_load(WORKFLOW.read_text("utf-8"))
    assert workflow["permissions"] == {"contents": "read"}
    for job in workflow["jobs"].values():
        assert job["timeout-minutes"] <= 60


def called(text: str) -> list[list[str]]:
    """The calls of the command line that a text shows, as lists of words."""
    found = re.findall(r"(?:^|[\s`(/])lugplane ((?:[a-z]+ ?)+)((?: ?--[a-z-]+)*)", text, re.M)
    return [[*words.split(), *options.split()] for words, options in found]


def test_the_steps_run_check_changes_and_tests() -> None:
    runs = "\n".join(step["run"] for step in steps())
    assert ["facts", "check", "--annotations"] in called(runs)
    assert ["facts", "changes"] in called(runs)
    assert "bash tools/test" in runs


def options_of(command: click.Command) -> set[str]:
    return {name for parameter in command.params for name in parameter.opts}


@pytest.mark.parametrize(
    "file", sorted(FORGE.rglob("*.*")), ids=lambda path: path.relative_to(FORGE).as_posix()
)
def test_what_is_shown_can_be_called(file: Path) -> None:
    for first, *rest in called(file.read_text("utf-8")):
        assert commands.get_command(click.Context(commands), first) is not None, first
        if first != "facts" or not rest:
            continue
        name, *others = rest
        command = facts.get_command(click.Context(facts), name)
        if name == "changes" and command is None:
            pytest.skip("facts changes is not there yet")
        assert command is not None, f"facts {name}"
        assert {word for word in others if word.startswith("--")} <= options_of(command)


def test_files_that_are_named_are_there() -> None:
    text = "\n".join(path.read_text("utf-8") for path in FORGE.rglob("*.*"))
    for name in ("kb/exceptions.yaml", "tools/test", "tools/setup", "DEVELOPERS.md"):
        assert name in text
        assert (ROOT / name).exists()


def test_templates_have_a_name_and_say_what_they_are_for() -> None:
    templates = sorted((FORGE / "ISSUE_TEMPLATE").glob("*.md"))
    assert len(templates) == 3
    for path in templates:
        _, head, body = path.read_text("utf-8").split("---\n", 2)
        assert set(yaml.safe_load(head)) == {"name", "about"}
        assert "**" in body
