"""Folders of facts looked at from end to end: every finding of every file in one run."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from lugplane.check.exceptions import Excepted, Excused, read_exceptions, sift
from lugplane.check.finding import Finding, is_error
from lugplane.check.numbers import Numbers
from lugplane.check.one import Yardstick, part_findings
from lugplane.check.plausible import Plausible
from lugplane.check.twins import twin_findings
from lugplane.facts.families import Single
from lugplane.facts.store import checked_facts
from lugplane.quantity.limits import Assumed

VERSION = 1
"""Version of the form of the answer; raised when a field goes or changes its meaning."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What to look at: `folders` in their order; findings of `files` and within `within` count.

    Both are named as problems show them; None and empty: all.
    """

    folders: tuple[Path, ...]
    files: frozenset[str] | None = None
    within: tuple[str, ...] = ()

    def covers(self, file: str) -> bool:
        """Whether findings in this file are asked for."""
        if self.files is None:
            return True
        return file in self.files or any(file.startswith(f"{each}/") for each in self.within)


@dataclass(frozen=True, slots=True)
class Checked:
    """What came of it. `day` is the day that dates were held against."""

    version: int
    day: str
    files: int
    findings: tuple[Finding, ...]
    excused: tuple[Excused, ...]

    @property
    def sound(self) -> bool:
        """Whether there is no error; warnings do not count."""
        return not any(map(is_error, self.findings))


def check(
    asked: Asked, assumed: Mapping[str, Assumed], plausible: Plausible, today: date
) -> Checked:
    """Look at folders of facts. Raises `LugplaneError` only for faults of schemas and rules."""
    made = checked_facts(asked.folders, assumed)
    by = Yardstick(plausible, assumed, today, source_days(made.parts))
    broken = {problem.file for problem in made.problems}
    files: dict[str, list[Numbers]] = defaultdict(list)
    for single in made.parts:
        files[single.raw.shown].append(Numbers(single, assumed))
    found = [Finding(problem) for problem in dict.fromkeys(made.problems)]
    for shown, parts in files.items():
        if asked.covers(shown):
            found += part_findings(parts, by)
    least = int(plausible.sums["twin_least_facts"])
    found += twin_findings((n for parts in files.values() for n in parts), least)
    entries: list[Excepted] = []
    for folder in asked.folders:
        own, wrong = read_exceptions(folder)
        entries += own
        found += wrong
    looked_at = {f for f in {*files, *broken} if asked.covers(f)}
    entries = [entry for entry in entries if asked.covers(entry.file)]
    found = [f for f in found if asked.covers(f.problem.file)]
    # A file that is not read shows no findings; its exceptions are not needless for that.
    certain = None if asked.files is None and not broken else frozenset(looked_at - broken)
    sifted = sift(found, entries, today, certain)
    return Checked(
        VERSION,
        today.isoformat(),
        len(looked_at),
        tuple(sorted(set(sifted.findings))),
        tuple(sifted.excused),
    )


def source_days(parts: Sequence[Single]) -> dict[str, str]:
    """Id of every source -> its date, or ""."""
    return {s.id: str(s.data.get("date") or "") for s in parts if s.kind == "source"}
