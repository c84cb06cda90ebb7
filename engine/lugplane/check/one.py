"""One file looked at by itself: its form, its values, its evidence, its sums."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from lugplane.check.evidence import evidence_findings, unused_readings
from lugplane.check.finding import Finding
from lugplane.check.numbers import Numbers
from lugplane.check.plausible import Plausible
from lugplane.check.sums import sum_findings
from lugplane.check.values import value_findings
from lugplane.errors import Problem
from lugplane.facts import scan
from lugplane.facts.decode import Decoder
from lugplane.facts.families import Single, singles
from lugplane.facts.schema import Schemas
from lugplane.quantity.limits import Assumed


@dataclass(frozen=True, slots=True)
class Yardstick:
    """What facts are held against: ranges and needs, assumed ±, the day, the sources' days."""

    plausible: Plausible
    assumed: Mapping[str, Assumed]
    today: date
    sources: Mapping[str, str]


def part_findings(parts: Sequence[Numbers], by: Yardstick) -> list[Finding]:
    """What is to be said of the parts of one file, each thing once."""
    found: set[Finding] = set(unused_readings(list(parts)))
    for numbers in parts:
        found.update(value_findings(numbers, by.plausible))
        found.update(evidence_findings(numbers, by.plausible, by.today, by.sources))
        found.update(sum_findings(numbers, by.plausible))
    return sorted(found)


def content_findings(
    source: scan.SourceFile, content: bytes, schemas: Schemas, by: Yardstick
) -> tuple[list[Finding], list[Single]]:
    """All that a file's content shows by itself, and its parts where it is a sound record.

    References are looked at with the other files. Raises `LugplaneError` only for faults of the
    schemas.
    """
    raw, problems = scan.record(source, content, schemas)
    if raw is None:
        return [Finding(problem) for problem in problems], []
    own = list(singles(raw))
    wrong = value_problems(own, by.assumed)
    if wrong:
        return [Finding(problem) for problem in wrong], []
    return part_findings([Numbers(single, by.assumed) for single in own], by), own


def value_problems(parts: Iterable[Single], assumed: Mapping[str, Assumed]) -> list[Problem]:
    """Values that are none, and readings that are not declared, each once."""
    problems: set[Problem] = set()
    for single in parts:
        decoder = Decoder(assumed, single.place)
        decoder.record(single.kind, single.id, single.data)
        problems.update(decoder.problems)
    return sorted(problems)
