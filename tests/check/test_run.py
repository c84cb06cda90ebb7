"""A check as a whole: from the cache as from the files, and only what was asked for."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from lugplane.check.run import Asked, check
from lugplane.check.yardsticks import assumed, plausible
from lugplane.facts import scan

EXAMPLES = Path(__file__).parents[1] / "kb" / "invalid"
DAY = date(2026, 11, 25)


def kb_of(tmp_path: Path, *examples: str) -> Path:
    """The files of several examples in one folder, each with a name of its own."""
    for n, example in enumerate(examples):
        for file in (EXAMPLES / example / "kb").glob("*/*.yaml"):
            place = tmp_path / "kb" / file.parent.name / f"n{n}-{file.name}"
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_text(file.read_text().replace(f"id: {file.stem}", f"id: n{n}-{file.stem}"))
    return tmp_path / "kb"


def test_the_cache_changes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LUGPLANE_CACHE", str(tmp_path / "cache"))
    kb = kb_of(tmp_path, "inches-for-millimetres", "slip-in-a-member", "hat-inside-out")
    read: list[str] = []
    record = scan.record

    def noted(source: scan.SourceFile, *rest: Any) -> Any:
        read.append(source.id)
        return record(source, *rest)

    monkeypatch.setattr(scan, "record", noted)
    first = check(Asked((kb,)), assumed(), plausible(), DAY)
    assert len(read) == len(first.findings) == 3
    again = check(Asked((kb,)), assumed(), plausible(), DAY)
    assert again == first
    assert len(read) == 3
    torn = kb / "discs" / "n0-d1.yaml"
    torn.write_text(torn.read_text().replace("11.81", "[11.81"))
    third = check(Asked((kb,)), assumed(), plausible(), DAY)
    assert len(read) == 4
    assert [f.problem.code for f in third.findings] == ["syntax", "unit-slip", "facts-disagree"]


def test_dates_are_held_against_the_day_asked_for(tmp_path: Path) -> None:
    kb = kb_of(tmp_path, "reading-gone-stale")
    shutil.rmtree(kb / "sources")
    file = kb / "discs" / "n0-d1.yaml"
    file.write_text(file.read_text().replace(", source: bench-14", ""))

    def codes(day: date) -> list[str]:
        found = check(Asked((kb,)), assumed(), plausible(), day).findings
        return [f.problem.code for f in found if f.problem.code != "no-source"]

    assert codes(date(2006, 3, 12)) == ["future-date"]
    assert codes(date(2006, 3, 13)) == []  # a day of grace for time zones
    assert codes(date(2016, 3, 14)) == []
    assert codes(date(2016, 3, 15)) == ["stale-date"]


def test_what_is_covered() -> None:
    asked = Asked((), frozenset({"kb/discs/a.yaml"}), ("kb/pads",))
    assert asked.covers("kb/discs/a.yaml")
    assert asked.covers("kb/pads/x.yaml")
    assert not asked.covers("kb/discs/ab.yaml")
    assert not asked.covers("kb/pads-not/x.yaml")
    assert Asked(()).covers("anything")
