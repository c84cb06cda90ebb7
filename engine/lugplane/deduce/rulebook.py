"""The folder of rules as one thing: limits, checks and rules, read once and held together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from lugplane.deduce.grammar import Rule, read_rules
from lugplane.errors import BadFacts, LugplaneError, Problem
from lugplane.facts.remembered import remembered
from lugplane.measure.bench import CHOICES, MEASURES
from lugplane.quantity.judge import SEVERITY
from lugplane.quantity.limits import Limits, limits_of

SCOPES = ("brake", "wheel", "car")
NOT_RULES = frozenset({"limits", "checks", "steps", "plausible", "measuring"})


@dataclass(frozen=True, slots=True)
class Check:
    """One entry of the list that is walked; see the head of `rules/checks.yaml`."""

    id: str
    title: str
    scope: str
    source: str
    name: str
    applies: tuple[Mapping[str, str], ...]
    otherwise: str
    states: Mapping[str, str]
    formula: str
    settles: str


@dataclass(frozen=True, slots=True)
class Step:
    """Something to do, buy, hold at or beware of, in the order in which it is listed.

    `before` are the works that a hold point stops, by their ids.
    """

    id: str
    text: str
    always: bool = False
    before: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Steps:
    """`rules/steps.yaml`: works in their order, things to buy, hold points, cautions."""

    work: tuple[Step, ...]
    buy: tuple[Step, ...]
    hold: tuple[Step, ...]
    caution: tuple[Step, ...]
    inspect: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Rulebook:
    """All that follows from facts: limits, the checks that are walked, and the rules."""

    limits: Limits
    checks: tuple[Check, ...]
    rules: tuple[Rule, ...]
    steps: Steps


@cache
def read_rulebook(folder: Path) -> Rulebook:
    """Read a folder of rules, or take what was read before. Raises `BadFacts` with all problems."""
    from lugplane.deduce.rulebook_text import from_plain, to_plain

    rooms = ("deduce", "facts", "measure", "quantity")
    return remembered(
        "rules", folder, ".yaml", rooms, (), lambda: _read(folder), to_plain, from_plain
    )


def _read(folder: Path) -> Rulebook:
    limits = limits_of(_plain(folder / "limits.yaml"), "limits.yaml")
    files = sorted(f for f in folder.glob("*.yaml") if f.stem not in NOT_RULES)
    rules = read_rules(files, measures=MEASURES, choices=CHOICES, limits=limits.limits)
    checks = _checks(folder / "checks.yaml")
    steps = _steps(folder / "steps.yaml")
    _hold_together(checks, rules, limits)
    return Rulebook(limits, checks, rules, steps)


def _plain(file: Path) -> Any:
    from lugplane.facts import yaml12

    try:
        found = yaml12.read(file.read_bytes(), file.name)
    except OSError as error:
        raise LugplaneError(f"{file.name} cannot be read: {error.strerror}") from error
    if isinstance(found, yaml12.Damaged):
        raise BadFacts(tuple(found.problems))
    return found.data


def _checks(file: Path) -> tuple[Check, ...]:
    checks: list[Check] = []
    problems: list[Problem] = []
    for row in _plain(file)["checks"]:
        (source, name), *rest = row["from"].items()
        states = row.get("states", {})
        wrong = [s for s in states.values() if s not in SEVERITY]
        if rest or source not in ("quantity", "choice", "later") or row["scope"] not in SCOPES:
            problems.append(Problem(file.name, 1, 1, "bad-check", f"check {row['id']}"))
        if wrong or (source == "choice") != bool(states):
            problems.append(
                Problem(
                    file.name,
                    1,
                    1,
                    "bad-check",
                    f"check {row['id']}: states {wrong}",
                    "a choice states what each of its words means",
                )
            )
        checks.append(
            Check(
                row["id"],
                row["title"],
                row["scope"],
                source,
                name,
                tuple(row.get("applies", ())),
                row.get("otherwise", ""),
                states,
                row.get("formula", ""),
                row.get("settles", ""),
            )
        )
    ids = [c.id for c in checks]
    for twice in sorted({i for i in ids if ids.count(i) > 1}):
        problems.append(Problem(file.name, 1, 1, "check-twice", f"check {twice}"))
    if problems:
        raise BadFacts(tuple(problems))
    return tuple(checks)


def _steps(file: Path) -> Steps:
    data = _plain(file)
    steps = Steps(
        **{
            name: tuple(
                Step(
                    row["id"],
                    row["text"],
                    bool(row.get("always", False)),
                    tuple(row.get("before", ())),
                )
                for row in data[name]
            )
            for name in ("work", "buy", "hold", "caution", "inspect")
        }
    )
    works = {step.id for step in steps.work}
    problems = [
        Problem(
            file.name,
            1,
            1,
            "bad-step",
            f"hold {hold.id}: before {name}",
            f"a work: {', '.join(sorted(works))}",
        )
        for hold in steps.hold
        for name in hold.before
        if name not in works
    ]
    if problems:
        raise BadFacts(tuple(problems))
    return steps


def _hold_together(checks: tuple[Check, ...], rules: tuple[Rule, ...], limits: Limits) -> None:
    """Every check has a rule that gives its row; every measure's constants are there."""
    problems: list[Problem] = []
    given = {("quantity", r.measure) for r in rules if r.measure and r.judge}
    given |= {("choice", r.choose) for r in rules if r.choose}
    for check in checks:
        if check.source != "later" and (check.source, check.name) not in given:
            problems.append(
                Problem(
                    "checks.yaml", 1, 1, "no-rule", f"check {check.id}: no rule gives {check.name}"
                )
            )
    for name, entry in {**MEASURES, **CHOICES}.items():
        for constant in entry.constants:
            if constant not in limits.constants:
                problems.append(
                    Problem("limits.yaml", 1, 1, "no-constant", f"{name} takes {constant}")
                )
    if problems:
        raise BadFacts(tuple(problems))
