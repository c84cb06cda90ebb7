"""`exceptions.yaml` in a folder of facts: what is right all the same, why, and until when.

An entry takes away the findings of one code in one file. One that has expired, or that takes
nothing away any more, is an error: exceptions do not gather dust.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any, Final

from lugplane.check.codes import EXCEPTABLE
from lugplane.check.finding import Finding
from lugplane.errors import Problem
from lugplane.facts import show, yaml12
from lugplane.facts.folders import EXCEPTIONS, shown_path

_KEYS: Final = ("code", "file", "reason", "until")
_FORM: Final = 'allowed: `- {code: ..., file: <kind>/<id>.yaml, reason: ..., until: "YYYY-MM-DD"}`'


@dataclass(frozen=True, slots=True)
class Excepted:
    """A sound entry; `file` is shown as problems show it, `at` is its own place."""

    code: str
    file: str
    reason: str
    until: date
    at: tuple[str, int, int]


@dataclass(frozen=True, slots=True)
class Excused:
    """A finding that an entry took away."""

    finding: Finding
    reason: str
    until: str


@dataclass(slots=True)
class Sifted:
    """What is left, and what was taken away."""

    findings: list[Finding] = field(default_factory=list)
    excused: list[Excused] = field(default_factory=list)


def read_exceptions(folder: Path) -> tuple[list[Excepted], list[Finding]]:
    """The sound entries of a folder's `exceptions.yaml`, and what is wrong with the others."""
    file = folder / EXCEPTIONS
    shown = f"{shown_path(folder)}/{EXCEPTIONS}"
    if not file.exists():
        return [], []
    try:
        with file.open("rb") as stream:
            found = yaml12.read(stream.read(yaml12.MAX_BYTES + 1), shown)
    except OSError as error:
        return [], [_bad(shown, (1, 1), f"cannot be read: {(error.strerror or '').lower()}")]
    if isinstance(found, yaml12.Damaged):
        return [], [Finding(each) for each in found.problems]
    data = found.data
    listed = data.get("exceptions") if isinstance(data, dict) else None
    if not isinstance(listed, list) or not isinstance(data, dict) or len(data) != 1:
        return [], [_bad(shown, found.positions.of_value(()), "not `exceptions:` with a list")]
    entries: list[Excepted] = []
    wrong: list[Finding] = []
    for n, item in enumerate(listed):
        place = found.positions.of_value(("exceptions", n))
        made = _entry(item, shown, shown_path(folder), place)
        if isinstance(made, Excepted):
            entries.append(made)
        else:
            wrong.append(made)
    return entries, wrong


def sift(
    findings: Sequence[Finding], entries: Sequence[Excepted], today: date, of: frozenset[str] | None
) -> Sifted:
    """Take away what is excepted; `of`: the files that were looked at, None for all."""
    left = Sifted()
    used: set[Excepted] = set()
    in_force = {(e.code, e.file): e for e in entries if e.until >= today}
    for finding in findings:
        entry = in_force.get((finding.problem.code, finding.problem.file))
        if entry is None:
            left.findings.append(finding)
        else:
            used.add(entry)
            left.excused.append(Excused(finding, entry.reason, entry.until.isoformat()))
    for entry in entries:
        if of is not None and entry.file not in of:
            continue
        if entry.until < today:
            left.findings.append(
                Finding(
                    Problem(
                        *entry.at,
                        "exception-expired",
                        f"{entry.code} in {entry.file}, until {entry.until.isoformat()}",
                        "allowed: days to come",
                        "mend the fact, or give a reason for another term",
                    )
                )
            )
        elif entry not in used:
            left.findings.append(
                Finding(
                    Problem(
                        *entry.at,
                        "exception-needless",
                        f"{entry.code} is not found in {entry.file}",
                        "allowed: exceptions from what is found",
                        "delete this entry",
                    )
                )
            )
    return left


def _entry(item: Any, shown: str, folder: str, place: tuple[int, int]) -> Excepted | Finding:
    if not isinstance(item, dict) or set(item) != set(_KEYS):
        return _bad(shown, place, "an entry without just these four keys")
    if not all(isinstance(item[key], str) and item[key].strip() for key in _KEYS):
        return _bad(shown, place, "an entry with a key that is no text")
    if item["code"] not in EXCEPTABLE:
        near = show.closest(item["code"], sorted(EXCEPTABLE))
        found = f"the code {show.quoted(item['code'])}"
        allowed = f"allowed: {', '.join(sorted(EXCEPTABLE))}"
        mend = f"write {near}" if near else "nothing else can be excepted"
        return Finding(Problem(shown, *place, "bad-exception", found, allowed, mend))
    try:
        until = date.fromisoformat(item["until"])
    except ValueError:
        return _bad(shown, place, f"the day {show.quoted(item['until'])}")
    return Excepted(
        item["code"], f"{folder}/{show.plain(item['file'])}", item["reason"], until, (shown, *place)
    )


def _bad(shown: str, place: tuple[int, int], found: str) -> Finding:
    return Finding(
        Problem(shown, *place, "bad-exception", found, _FORM, "write the four keys in this form")
    )
