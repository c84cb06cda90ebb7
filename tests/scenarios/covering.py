"""What there is to see in the rules, and what of it the scenarios show and hold on to.

A state of a check counts only where a scenario expects it and it came out so; of two bands with
the same state only the one that the scenario names. Rules, and bands that no check shows, count
where they were seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml
from scenarios.judging import JUDGED, judged, shop
from scenarios.reading import FOLDER, Scenario

from lugplane.answers.sheet import Judged
from lugplane.deduce.rulebook import Check, Rulebook
from lugplane.quantity.judge import Limit

Item = tuple[str, str, str]
"""What can be seen: ("check", spacing, work), ("band", spacing, proud), ("choice", stack, ring),
("rule", washers, ""), ("step", hold, mock-up)."""

STEPS = ("work", "buy", "hold", "caution", "inspect")


def limits_of(rulebook: Rulebook, check: Check) -> list[Limit]:
    """The limits that a check's quantity is held against, by one rule or another."""
    ids = {r.judge for r in rulebook.rules if r.judge and r.measure == check.name}
    return [rulebook.limits.limits[i] for i in sorted(ids)]


def states_of(rulebook: Rulebook, check: Check) -> list[str]:
    """The states that a check could be in as its limits or words allow."""
    if check.source == "later":
        return ["cannot tell"]
    if check.source == "choice":
        good = {*check.states.values()}
    else:
        good = {b.state for limit in limits_of(rulebook, check) for b in limit.bands}
    return [*sorted(good), *({"cannot tell", "does not apply"} - good)]


def everything(rulebook: Rulebook) -> set[Item]:
    """All that there is to see."""
    items: set[Item] = set()
    for check in rulebook.checks:
        items |= {("check", check.id, s) for s in states_of(rulebook, check)}
        if check.source == "choice":
            items |= {("choice", check.name, s) for s in check.states}
    for limit in rulebook.limits.limits.values():
        items |= {("band", limit.id, b.name) for b in limit.bands}
    items |= {("rule", r.id, "") for r in rulebook.rules}
    for kind in STEPS:
        items |= {("step", kind, s.id) for s in getattr(rulebook.steps, kind)}
    return items


@dataclass(slots=True)
class Seen:
    """Where each thing was seen: item -> names of scenarios, in their order."""

    by_item: dict[Item, list[str]] = field(default_factory=dict)

    def note(self, item: Item, scenario: Scenario) -> None:
        places = self.by_item.setdefault(item, [])
        if scenario.id not in places:
            places.append(scenario.id)

    def count(self, item: Item) -> int:
        return len(self.by_item.get(item, ()))


def look(scenarios: Iterable[Scenario] = JUDGED) -> Seen:
    """What the scenarios show. A scenario that shows a defect holds on to nothing."""
    seen = Seen()
    for scenario in scenarios:
        if not scenario.defect:
            _look(seen, scenario, judged(scenario), shop().rulebook)
    return seen


def _look(seen: Seen, scenario: Scenario, found: Judged, rulebook: Rulebook) -> None:
    checks = {c.id: c for c in rulebook.checks}
    shown = {c.name for c in rulebook.checks}
    rows = {r.check: r for r in found.sheet.rows}
    for e in scenario.all_of("checks"):
        state, band = e.value
        row, check = rows[e.about], checks[e.about]
        if row.state != state or band not in ("", row.band):
            continue
        seen.note(("check", check.id, state), scenario)
        judged_ = found.deduction.judged.get(check.name)
        if judged_ is None:
            continue
        if check.source == "choice":
            if band or [*check.states.values()].count(state) == 1:
                seen.note(("choice", check.name, judged_.judgement.band), scenario)
        elif judged_.limit is not None and (
            band or [b.state for b in judged_.limit.bands].count(state) == 1
        ):
            seen.note(("band", judged_.limit.id, judged_.judgement.band), scenario)
    for name, judged_ in found.deduction.judged.items():
        if judged_.limit is not None and name not in shown:
            seen.note(("band", judged_.limit.id, judged_.judgement.band), scenario)
    for derivation in found.deduction.ledger.derivations:
        seen.note(("rule", derivation.rule_id, ""), scenario)
    sheet = found.sheet
    for kind in STEPS:
        ids = [b.what for b in sheet.buy] if kind == "buy" else [x.id for x in getattr(sheet, kind)]
        for id_ in ids:
            seen.note(("step", kind, id_), scenario)


def impossible(file: Path = FOLDER / "impossible.yaml") -> dict[Item, str]:
    """What cannot be seen, and why: item -> reason. Raises `ValueError` for an odd entry."""
    said: dict[Item, str] = {}
    for entry in yaml.safe_load(file.read_text("utf-8"))["impossible"]:
        for item in _items(entry):
            if item in said:
                raise ValueError(f"{file.name}: {item} is listed twice")
            said[item] = entry["because"]
    return said


def _items(entry: Mapping[str, Any]) -> list[Item]:
    kinds = {"check": "state", "band": "of", "choice": "state", "rule": "", "step": "of"}
    kind = next((k for k in kinds if k in entry), None)
    if kind is None or {*entry} - {kind, kinds[kind], "because"} or not entry.get("because"):
        raise ValueError(f"impossible.yaml: {dict(entry)}: kinds are {', '.join(kinds)}")
    names = entry[kind] if isinstance(entry[kind], list) else [entry[kind]]
    other = entry.get(kinds[kind], "") if kinds[kind] else ""
    if kind in ("band", "step"):
        return [(kind, str(other), str(n)) for n in names]
    return [(kind, str(n), str(other)) for n in names]


COLUMNS = ("holds", "care", "work", "fails", "cannot tell", "does not apply")


def table(rulebook: Rulebook, seen: Seen, cannot: Mapping[Item, str]) -> str:
    """How many scenarios hold on to each state of each check; `-` cannot be, blank is not one."""
    lines = [f"{'check':<18}" + "".join(f"{c:>15}" for c in COLUMNS)]
    for check in rulebook.checks:
        possible = states_of(rulebook, check)
        cells = [
            "" if c not in possible else "-" if item in cannot else str(seen.count(item))
            for c in COLUMNS
            for item in [("check", check.id, c)]
        ]
        lines.append(f"{check.id:<18}" + "".join(f"{c:>15}" for c in cells))
    every = everything(rulebook)
    for kind, name in (
        ("band", "bands of limits"),
        ("choice", "states of choices"),
        ("rule", "rules"),
        ("step", "steps"),
    ):
        of_kind = {i for i in every if i[0] == kind}
        there = sum(1 for i in of_kind if seen.count(i))
        never = sum(1 for i in of_kind if i in cannot)
        lines.append(f"{name}: {there} of {len(of_kind)} seen, {never} cannot be")
    lines.append(f"scenarios: {len(JUDGED)} with a sheet")
    return "\n".join(lines)
