"""A rulebook that was read before is the same rulebook, for as long as its files are."""

from __future__ import annotations

import os
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from lugplane.deduce import rulebook
from lugplane.deduce.rulebook import Rulebook, read_rulebook
from lugplane.deduce.rulebook_text import from_plain, to_plain
from lugplane.errors import BadFacts
from lugplane.facts import program, remembered

ROOT = Path(__file__).parents[2]
read = read_rulebook.__wrapped__


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """A copy of the rules."""
    copytree(ROOT / "rules", tmp_path / "rules")
    return tmp_path / "rules"


@pytest.fixture
def readings(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The folders that were read, once for each time."""
    found: list[Path] = []
    made = rulebook._read

    def noted(folder: Path) -> Rulebook:
        found.append(folder)
        return made(folder)

    monkeypatch.setattr(rulebook, "_read", noted)
    return found


def test_the_shipped_rules_come_back_whole(readings: list[Path]) -> None:
    first, second = read(ROOT / "rules"), read(ROOT / "rules")
    assert len(readings) == 1
    assert first == second
    assert repr(first) == repr(second)  # types and order too
    assert len(second.rules) > 50
    assert from_plain(to_plain(first)) == first


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("limits.yaml", "{value: 0", "{value: 9"),
        ("checks.yaml", "title: ", "title: A "),
        ("steps.yaml", 'text: "', 'text: "A '),
        ("mount.yaml", 'say: "', 'say: "A '),
    ],
)
def test_a_changed_file_is_read_again(
    rules: Path, readings: list[Path], name: str, old: str, new: str
) -> None:
    first = read(rules)
    path = rules / name
    text, times = path.read_text(), path.stat()
    changed = text.replace(old, new, 1)
    assert changed != text
    path.write_text(changed)
    os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
    assert read(rules) != first
    path.write_text(text)
    assert read(rules) == first
    assert len(readings) == 3


def test_a_broken_file_is_never_kept(rules: Path, readings: list[Path]) -> None:
    first = read(rules)
    (rules / "more.yaml").write_text("- id: x\n")
    for _ in range(2):
        with pytest.raises(BadFacts):
            read(rules)
    (rules / "more.yaml").unlink()
    assert read(rules) == first


def test_a_damaged_file_is_made_again(rules: Path, cache: Path, readings: list[Path]) -> None:
    first = read(rules)
    (file,) = cache.glob("rules-*.sqlite")
    good = file.read_bytes()
    for bad in (good.replace(b"spacing", b"spicing"), good[:5000], b""):
        file.write_bytes(bad)
        assert read(rules) == first
    assert len(readings) == 4
    assert read(rules) == first
    assert len(readings) == 4


def test_another_measure_is_another_program(
    rules: Path, readings: list[Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "engine"
    for room in ("deduce", "facts", "measure", "quantity"):
        (home / room).mkdir(parents=True)
    monkeypatch.setattr(program, "_HOME", home)
    program.program_seen.cache_clear()
    try:
        read(rules)
        read(rules)
        assert len(readings) == 1
        (home / "measure" / "new.py").write_text("@measure\n")
        program.program_seen.cache_clear()  # it is begun anew
        read(rules)
        assert len(readings) == 2
    finally:
        program.program_seen.cache_clear()


def test_off(rules: Path, readings: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LUGPLANE_CACHE", "off")
    assert read(rules) == read(rules)
    assert len(readings) == 2


def test_what_would_not_come_back_the_same_is_not_kept(rules: Path, cache: Path) -> None:
    def ask() -> Any:
        return remembered.remembered("rules", rules, ".yaml", (), (), lambda: (1,), list, list)

    assert ask() == (1,)
    assert not cache.exists()


def test_what_changes_while_it_is_read_is_not_kept(rules: Path, cache: Path) -> None:
    def make() -> list[int]:
        (rules / "more.yaml").write_text("")
        return [1]

    assert remembered.remembered("rules", rules, ".yaml", (), (), make, list, list) == [1]
    assert not cache.exists()
