"""Every folder of tests/kb is an example: a tiny folder of facts and the problems it must give.

`invalid/<name>/kb/...` with `invalid/<name>/expect.txt`: one line a problem, in their order, paths
from the example's folder. One `…` in a line leaves open what stands there (mostly what a schema
says is allowed, which grows with the schemas). Folders with a `check.txt` instead are sound facts
in which `facts check` finds something: tests/check looks at them. `valid/<name>/kb/...` must be
read without any problem. Put a folder there and it is tested.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from lugplane.errors import BadFacts, Problem
from lugplane.facts.base import load
from lugplane.facts.scan import read_all
from lugplane.facts.schema import Schemas
from lugplane.quantity.limits import Assumed

EXAMPLES = Path(__file__).parents[1] / "kb"
SCHEMAS = Path(__file__).parents[2] / "schemas"
BASES = json.loads((SCHEMAS / "shared.json").read_text("utf-8"))["$defs"]["basis"]["enum"]
ASSUMED = {basis: Assumed(mm=0.5, percent=5.0) for basis in BASES}


@pytest.fixture(scope="module")
def schemas() -> Schemas:
    return Schemas(SCHEMAS)


def folders(group: str) -> list[Path]:
    return sorted(path for path in (EXAMPLES / group).iterdir() if path.is_dir())


def names(path: Path) -> str:
    return path.name


def problems_of(kb: Path) -> list[Problem]:
    """What is wrong with a folder of facts: its files, its records, their references."""
    try:
        load([kb], ASSUMED)
    except BadFacts as bad:
        return list(bad.problems)
    return []


def agrees(line: str, expected: str) -> bool:
    begin, open_, end = expected.partition("…")
    if not open_:
        return line == expected
    return len(line) > len(begin + end) and line.startswith(begin) and line.endswith(end)


@pytest.mark.parametrize(
    "example", [f for f in folders("invalid") if (f / "expect.txt").exists()], ids=names
)
def test_each_mistake_is_told(
    example: Path, schemas: Schemas, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(example)
    lines = [str(problem) for problem in problems_of(Path("kb"))]
    expected = (example / "expect.txt").read_text("utf-8").splitlines()
    assert expected
    assert len(lines) == len(expected), "\n".join(lines)
    for line, wanted in zip(lines, expected, strict=True):
        assert agrees(line, wanted), f"\n{line}\n{wanted}"
    records, of_files = read_all([Path("kb")], schemas)
    assert {str(problem) for problem in of_files} <= set(lines)
    assert {problem.file for problem in of_files}.isdisjoint(record.shown for record in records)


@pytest.mark.parametrize("example", folders("valid"), ids=names)
def test_what_is_right_is_read(
    example: Path, schemas: Schemas, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(example)
    assert [str(problem) for problem in problems_of(Path("kb"))] == []
    records, _ = read_all([Path("kb")], schemas)
    assert len(records) == len(list(Path("kb").glob("*/*.yaml")))


def test_what_an_expected_line_leaves_open() -> None:
    line = "a:1:1: x: y; allowed: z; w"
    assert agrees(line, line)
    assert agrees(line, "a:1:1: x: y; …; w")
    assert agrees(line, "a:1:1: x: y; …")
    assert not agrees(line, "a:1:2: x: y; …; w")
    assert not agrees(line, "a:1:1: x: y; …; v")
    assert not agrees(line, "a:1:1: x: y")
    assert not agrees("a:1:1: x: y; w", "a:1:1: x: y; …; w")
