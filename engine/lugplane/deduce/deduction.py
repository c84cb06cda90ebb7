"""One setup through the rules: what was found, how it was judged, and why.

`fire` is the work that all matchers share: run a rule's measure or choice on the bench, judge it
against the rule's limit, and give back words. Numbers stay on the bench.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lugplane.deduce.choose import matcher
from lugplane.deduce.firing import Match, conclusions
from lugplane.deduce.grammar import Rule
from lugplane.deduce.memory import Fact, fact_of
from lugplane.deduce.plain import missing as first_missing
from lugplane.deduce.proof import Ledger
from lugplane.deduce.rulebook import Rulebook
from lugplane.errors import EngineError
from lugplane.measure.bench import Bench, Finding, run
from lugplane.quantity.judge import CANNOT_TELL, Judgement, Limit, judge, unknown
from lugplane.setup.parts import Setup
from lugplane.setup.words import UNKNOWN, words_of

DOES_NOT_APPLY = "does not apply"


@dataclass(frozen=True, slots=True)
class Judged:
    """A finding with the limit it was held against (None for a choice) and the judgement."""

    finding: Finding
    rule: Rule
    limit: Limit | None
    judgement: Judgement
    fact: Fact


@dataclass(frozen=True, slots=True)
class Deduction:
    """All that was deduced of one setup."""

    bench: Bench
    rulebook: Rulebook
    facts: frozenset[Fact]
    judged: Mapping[str, Judged]
    ledger: Ledger

    def matching(self, pattern: Mapping[str, str]) -> list[Fact]:
        """The facts that hold all of a pattern's words."""
        return [f for f in self.facts if all(f.get(k) == v for k, v in pattern.items())]

    def why_not(self, kind: str, name: str) -> tuple[str, ...]:
        """The facts for want of which no rule gave a quantity or a choice.

        Each rule that would give it is asked for its first premise that is missing; a premise
        that other rules would give leads on to them. Empty: nothing unknown is to blame.
        """
        blamed: dict[str, None] = {}
        self._blame({kind: name}, blamed, set())
        return tuple(blamed)

    def _blame(
        self, wanted: Mapping[str, str], blamed: dict[str, None], seen: set[tuple[str, str]]
    ) -> None:
        for rule in self.rulebook.rules:
            if not _gives(rule, wanted):
                continue
            lacking = first_missing(rule, self.facts)
            if lacking is None:
                continue
            asked = dict(lacking.equals)
            for seed in words_of(self.bench.setup):
                if seed["kind"] == asked.get("kind"):
                    for key in asked:
                        if seed.get(key) == "unknown":
                            blamed[UNKNOWN[(seed["kind"], key)]] = None
            for kind in ("quantity", "choice"):
                if kind in asked and (kind, asked[kind]) not in seen:
                    seen.add((kind, asked[kind]))
                    self._blame({kind: asked[kind]}, blamed, seen)


def _gives(rule: Rule, wanted: Mapping[str, str]) -> bool:
    return rule.measure == wanted.get("quantity", "") or rule.choose == wanted.get("choice", "")


def deduce(setup: Setup, rulebook: Rulebook, match: Match | None = None) -> Deduction:
    """Run the rules on a setup with a matcher (the default one if None).

    Raises `EngineError` with the rule's id where a rule or measure of ours fails.
    """
    bench = Bench(setup, rulebook.limits.numbers, rulebook.limits.limits)
    judged: dict[str, Judged] = {}

    def fire(rule: Rule, chosen: tuple[Fact, ...]) -> tuple[Fact, ...]:
        found: list[Fact] = []
        name = rule.measure or rule.choose
        if name:
            premises = zip(rule.when, chosen, strict=True)
            bench.premises = {p.name: dict(f.words) for p, f in premises}
            kind = "measure" if rule.measure else "choice"
            found.append(_word(judged, bench, rule, kind, name))
        return (*found, *conclusions(rule, chosen))

    seeds = tuple(fact_of(words) for words in words_of(setup))
    ledger = Ledger(seeds, fire)
    facts = (match or matcher())(rulebook.rules, seeds, ledger.fire)
    return Deduction(bench, rulebook, facts, judged, ledger)


def _word(judged: dict[str, Judged], bench: Bench, rule: Rule, kind: str, name: str) -> Fact:
    """Run a measure or a choice, and say its outcome in words."""
    finding = run(bench, kind, name)
    limit = bench.limits[rule.judge] if rule.judge else None
    if finding.not_applying:
        judgement = Judgement(DOES_NOT_APPLY, DOES_NOT_APPLY)
    elif finding.missing:
        judgement = unknown(*finding.missing)
    elif finding.choice is not None:
        judgement = Judgement(finding.choice.state, finding.choice.state)
    elif finding.reckoned is not None and limit is not None:
        judgement = judge(finding.reckoned.judged, limit)
    else:
        judgement = Judgement("reckoned", "reckoned")
    word = "quantity" if kind == "measure" else "choice"
    fact = fact_of({word: name, "state": judgement.band})
    before = judged.get(name)
    if before is not None and before.fact != fact:
        raise EngineError(f"{rule.id}: {name} came out two ways, first by {before.rule.id}")
    if before is None or rule.id < before.rule.id:
        judged[name] = Judged(finding, rule, limit, judgement, fact)
    return fact


__all__ = ["CANNOT_TELL", "DOES_NOT_APPLY", "Deduction", "Judged", "deduce"]
