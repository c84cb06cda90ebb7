"""The table of codes is complete: nothing is told under another code, and each can be met."""

from __future__ import annotations

import ast
import json
import os
from pathlib import Path

from lugplane.facts import yaml12
from lugplane.facts.codes import CODES
from lugplane.facts.scan import read_all
from lugplane.facts.schema import Schemas

ROOT = Path(__file__).parents[2]
FACTS = ROOT / "engine" / "lugplane" / "facts"
EXAMPLES = ROOT / "tests" / "kb" / "invalid"

# Where a call takes its code: by name of what is called, the place of the argument.
TAKES_CODE = {"Problem": 3, "Fault": 1, "report": 1, "Refused": 0, "_measured": 3}


def codes_in(source: str) -> set[str]:
    """The codes that calls in a module's text state literally."""
    found = set()
    for call in ast.walk(ast.parse(source)):
        if not isinstance(call, ast.Call):
            continue
        name = getattr(call.func, "id", getattr(call.func, "attr", ""))
        arguments = [keyword.value for keyword in call.keywords if keyword.arg == "code"]
        place = TAKES_CODE.get(name)
        if place is not None and not any(isinstance(a, ast.Starred) for a in call.args[:place]):
            arguments += call.args[place : place + 1]
        elif place is not None:  # `Problem(file, *place, code, ...)`: two arguments in one
            arguments += call.args[place - 1 : place]
        found |= {
            argument.value
            for argument in arguments
            if isinstance(argument, ast.Constant) and isinstance(argument.value, str)
        }
    return found


def test_the_search_finds_codes() -> None:
    source = "Problem('f', *p, 'a', 'x')\nProblem('f', 1, 1, 'b', '')\n_Case((), f, code='c')"
    assert codes_in(source) == {"a", "b", "c"}


def test_modules_use_the_codes_of_the_table() -> None:
    used: set[str] = set()
    for path in FACTS.glob("*.py"):
        used |= codes_in(path.read_text("utf-8"))
    assert len(used) > 30
    assert used <= set(CODES), used - set(CODES)


def test_codes_are_short_words_and_their_meanings_one_line() -> None:
    for code, meaning in CODES.items():
        assert code.replace("-", "").isalnum()
        assert code == code.lower()
        assert len(code) <= 20
        assert meaning.isprintable()
        assert len(meaning) <= 90


def test_every_code_can_be_met(tmp_path: Path) -> None:
    met = {
        line.split(": ")[1]
        for path in EXAMPLES.glob("*/expect.txt")
        for line in path.read_text("utf-8").splitlines()
    }
    met |= codes_of_places(tmp_path / "places")
    met |= codes_of_schemas(tmp_path / "schemas")
    assert set(CODES) - met == set()
    assert met - set(CODES) == set()


def codes_of_places(folder: Path) -> set[str]:
    """What cannot be kept as an example: links, pipes, and files too large to keep."""
    discs = folder / "kb" / "discs"
    discs.mkdir(parents=True)
    (folder / "outside.yaml").write_text("kind: disc\n")
    (discs / "away.yaml").symlink_to("../../outside.yaml")
    (discs / "gone.yaml").symlink_to("nowhere.yaml")
    os.mkfifo(discs / "pipe.yaml")
    (discs / "large.yaml").write_text("#" * (yaml12.MAX_BYTES + 1))
    (discs / "many.yaml").write_text("- 1\n" * yaml12.MAX_NODES)
    problems = read_all([folder / "kb"], Schemas(ROOT / "schemas"))[1]
    assert len(problems) == 5
    return {problem.code for problem in problems}


def codes_of_schemas(folder: Path) -> set[str]:
    """What no schema of the project has a use for yet."""
    folder.mkdir()
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "properties": {"a": {"anyOf": [{"const": "x"}, {"type": "string", "minLength": 9}]}},
        "not": {"required": ["b", "c"]},
        "if": {"required": ["d"]},
        "then": {"properties": {"e": False}},
    }
    (folder / "disc.json").write_text(json.dumps(schema))
    document = yaml12.read("a: y\nb: 1\nc: 1\nd: 1\ne: 1\n", "f")
    problems = Schemas(folder).check("disc", document.data, document.positions, "f")
    assert len(problems) == 3
    return {problem.code for problem in problems}
