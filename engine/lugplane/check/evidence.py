"""Evidence: who says so, when, and how closely."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from lugplane.check.finding import WARNING, Finding
from lugplane.check.numbers import Numbers
from lugplane.check.plausible import Needs, Plausible
from lugplane.check.values import EXCEPT, problem
from lugplane.facts.families import Single
from lugplane.facts.raw import Path

_PRICED = frozenset({"money"})


def evidence_findings(
    numbers: Numbers, plausible: Plausible, today: date, sources: Mapping[str, str]
) -> Iterator[Finding]:
    """What is missing or out of date in the evidence of one part.

    `sources`: id of a source -> its date or "". A reading may leave its date to its source.
    """
    single = numbers.single
    yield from _dates(single, plausible, today)
    readings = single.raw.data.get("readings")
    readings = readings if isinstance(readings, dict) else {}
    for name, said in readings.items():
        if isinstance(said, dict):
            yield from _reading(single, name, said, plausible, today, sources)
    yield from _named(numbers, readings, plausible)
    if single.kind == "trial" and not single.data.get("measured_with"):
        for key in ("measured", "gaps_mm"):
            if single.data.get(key):
                yield Finding(
                    problem(
                        single,
                        (key,),
                        "no-instrument",
                        f"a trial with `{key}` and without `measured_with`",
                        "needed: the instrument",
                        "add `measured_with: ...`",
                    )
                )


def unused_readings(parts: list[Numbers]) -> Iterator[Finding]:
    """Readings of one file that no value of any of its parts names."""
    single = parts[0].single
    readings = single.raw.data.get("readings")
    if not isinstance(readings, dict):
        return
    used = {noted.reading for numbers in parts for noted in numbers.all()}
    used.add(str(single.raw.data.get("unless_said") or ""))
    for name in readings:
        if name not in used:
            yield Finding(
                problem(
                    single,
                    ("readings", name),
                    "unused-reading",
                    f"the reading `{name}`, which no value names",
                    "expected: readings that values rest on",
                    f"write `({name})` behind the values it gave, or delete it",
                ),
                WARNING,
            )


def _reading(
    single: Single,
    name: str,
    said: Mapping[str, Any],
    plausible: Plausible,
    today: date,
    sources: Mapping[str, str],
) -> Iterator[Finding]:
    path: Path = ("readings", name)
    basis = str(said.get("basis", ""))
    needs = plausible.evidence.get(basis, Needs())
    what = f"the reading `{name}` ({basis}) without"
    source = str(said.get("source") or "")
    if needs.source and not source:
        yield Finding(
            problem(
                single,
                path,
                "no-source",
                f"{what} a source",
                "needed: the record of where it comes from",
                "add `source: ID`; `lugplane facts new source` writes one",
            ),
            needs.source,
        )
    day = str(said.get("date") or "")
    if needs.date and not day and not sources.get(source):
        yield Finding(
            problem(
                single,
                path,
                "no-date",
                f"{what} a date",
                "needed: the day it was taken, here or in its source",
                'add `date: "YYYY-MM-DD"`',
            ),
            needs.date,
        )
    if day:
        yield from _day(single, (*path, "date"), day, plausible.stale.get(basis), today)


def _named(
    numbers: Numbers, readings: Mapping[str, Any], plausible: Plausible
) -> Iterator[Finding]:
    """Values that name no reading, and values without ±."""
    for noted in numbers.all():
        if not noted.valued:
            continue
        fact = plausible.facts.get(noted.fact)
        if fact and fact.unit in _PRICED:
            continue  # a price seen is exact; source and day stand in the offer itself
        if not noted.reading:
            yield Finding(
                problem(
                    numbers.single,
                    noted.path,
                    "no-reading",
                    f"{noted.fact} without a reading",
                    "needed: a reading in brackets, or `unless_said` for the file",
                    "declare it under `readings` and name it",
                )
            )
        elif not noted.stated:
            said = readings.get(noted.reading)
            basis = str(said.get("basis", "")) if isinstance(said, dict) else ""
            level = plausible.evidence.get(basis, Needs()).doubt
            if level:
                yield Finding(
                    problem(
                        numbers.single,
                        noted.path,
                        "no-doubt",
                        f"{noted.fact} without ±",
                        f"needed: how closely it is known ({basis})",
                        "write `±` and the accuracy behind it, or state it with the reading",
                    ),
                    level,
                )


def _dates(single: Single, plausible: Plausible, today: date) -> Iterator[Finding]:
    day = single.data.get("date")
    if isinstance(day, str):
        yield from _day(single, ("date",), day, plausible.stale.get(single.kind), today)


def _day(
    single: Single, path: Path, said: str, stale: int | None, today: date
) -> Iterator[Finding]:
    try:
        day = date.fromisoformat(said)
    except ValueError:
        found, mend = f"the day {said}", "write the day it was"
        yield Finding(problem(single, path, "no-such-day", found, "allowed: a day", mend))
        return
    age = (today - day).days
    if age < -1:  # a day of grace for time zones
        yield Finding(
            problem(
                single,
                path,
                "future-date",
                f"the day {said}, {-age} days from {today.isoformat()}",
                "allowed: days up to today",
                "write the day it was, or set the clock",
            ),
            WARNING,
        )
    elif stale is not None and age > stale:
        yield Finding(
            problem(
                single,
                path,
                "stale-date",
                f"the day {said}, {age} days ago",
                f"expected: at most {stale} days",
                f"look again and state the new day; {EXCEPT}",
            ),
            WARNING,
        )
