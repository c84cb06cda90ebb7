"""One setup through the rules: what was found, how it was judged, and why.

`fire` is the work that all matchers share: run a rule's measure or choice on the bench, judge it
against the rule's limit, and give back words. Numbers stay on the bench.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from lugplane.deduce.choose import matcher
from lugplane.deduce.firing import Match, conclusions
from lugplane.deduce.grammar import Rule
from lugplane.deduce.memory import Fact, fact_in_order, fact_of
from lugplane.deduce.plain import missing as first_missing
from lugplane.deduce.proof import Ledger
from lugplane.deduce.rulebook import Rulebook
from lugplane.errors import EngineError
from lugplane.measure.bench import Bench, Finding, run
from lugplane.quantity.judge import Judgement, Limit, judge, unknown
from lugplane.setup.parts import Setup
from lugplane.setup.shared import Shared
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


@dataclass(frozen=True)
class Deduction:
    """All that was deduced of one setup."""

    bench: Bench
    rulebook: Rulebook
    facts: frozenset[Fact]
    judged: Mapping[str, Judged]
    ledger: Ledger
    seeds: tuple[Mapping[str, str], ...]

    @cached_property
    def by_id(self) -> Mapping[str, Fact]:
        """The facts by their ids."""
        return {f.id: f for f in self.facts}

    @cached_property
    def _by_word(self) -> Mapping[tuple[str, str], Sequence[Fact]]:
        """The facts by each key with its word, in no order."""
        found: dict[tuple[str, str], list[Fact]] = {}
        for f in self.facts:
            for pair in f.words:
                found.setdefault(pair, []).append(f)
        return found

    def matching(self, pattern: Mapping[str, str]) -> list[Fact]:
        """The facts that hold all of a pattern's words, in a settled order."""
        first, *rest = pattern.items()
        found = [f for f in self._by_word.get(first, ()) if all(p in f.words for p in rest)]
        return sorted(found, key=lambda f: f.words) if len(found) > 1 else found

    def why_not(self, kind: str, name: str) -> tuple[str, ...]:
        """The facts for want of which no rule gave a quantity or a choice.

        Each rule that would give it is asked for its first premise that is missing; a premise
        that other rules would give leads on to them. Empty: nothing unknown is to blame.
        """
        blamed: dict[str, None] = {}
        self._blame({kind: name}, blamed, set())
        return tuple(blamed)

    def _blame(
        self,
        wanted: Mapping[str, str],
        blamed: dict[str, None],
        seen: set[tuple[tuple[str, str], ...]],
    ) -> None:
        key = tuple(sorted(wanted.items()))
        if key in seen:
            return
        seen.add(key)
        for seed in self.seeds:
            if seed["kind"] == wanted.get("kind"):
                for word in wanted:
                    if seed.get(word) == "unknown":
                        blamed[UNKNOWN[(seed["kind"], word)]] = None
        for rule in self.rulebook.rules:
            lacking = first_missing(rule, self.facts) if _may_give(rule, wanted) else None
            if lacking is not None:
                self._blame(dict(lacking.equals), blamed, seen)


def _may_give(rule: Rule, wanted: Mapping[str, str]) -> bool:
    """Whether a rule could give a fact with these words; which state it would have is open."""
    if rule.measure and wanted.get("quantity") == rule.measure:
        return True
    if rule.choose and wanted.get("choice") == rule.choose:
        return True
    return any(all(dict(words).get(k) == v for k, v in wanted.items()) for words in rule.then)


def deduce(
    setup: Setup,
    rulebook: Rulebook,
    match: Match | None = None,
    shared: Shared | None = None,
) -> Deduction:
    """Run the rules on a setup with a matcher (the default one if None).

    `shared` holds what setups deduced before have in common with this one. Raises `EngineError`
    with the rule's id where a rule or measure of ours fails.
    """
    work = Work(setup, rulebook, shared)
    words = words_of(setup)
    seeds = tuple(fact_of(w) for w in words)
    ledger = Ledger(seeds, work.fire)
    facts = (match or matcher())(rulebook.rules, seeds, ledger.fire)
    return Deduction(work.bench, rulebook, facts, work.judged, ledger, words)


class Work:
    """The work of rules on one setup: what they measured and chose, and how it was judged."""

    def __init__(self, setup: Setup, rulebook: Rulebook, shared: Shared | None = None) -> None:
        limits = rulebook.limits
        self.bench = Bench(setup, limits.numbers, limits.limits, shared)
        self.judged: dict[str, Judged] = {}

    def fire(self, rule: Rule, chosen: tuple[Fact, ...]) -> tuple[Fact, ...]:
        """Measure or choose, if the rule does, for the facts that fill its patterns; what follows.

        The outcome of a measure or a choice is the first of the facts.
        """
        if not rule.measure and not rule.choose:
            return conclusions(rule, chosen)
        outcome = self.outcome(rule, chosen)
        return (outcome, *conclusions(rule, chosen)) if rule.then else (outcome,)

    def outcome(self, rule: Rule, chosen: tuple[Fact, ...]) -> Fact:
        """Run the rule's measure or choice, and say its outcome in words."""
        self.bench.matched(lambda: _premises(rule, chosen))
        if rule.measure:
            word, name = "quantity", rule.measure
            finding = run(self.bench, "measure", name)
        else:
            word, name = "choice", rule.choose or ""
            finding = run(self.bench, "choice", name)
        shared = self.bench.shared
        if shared is None:
            found = self._judged(word, finding, rule)
        else:
            found = shared.said(finding, rule, lambda: self._judged(word, finding, rule))
        before = self.judged.get(name)
        if before is not None and before.fact != found.fact:
            raise EngineError(f"{rule.id}: {name} came out two ways, first by {before.rule.id}")
        if before is None or rule.id < before.rule.id:
            self.judged[name] = found
        return found.fact

    def _judged(self, word: str, finding: Finding, rule: Rule) -> Judged:
        limit = self.bench.limits[rule.judge] if rule.judge else None
        judgement = _judgement(finding, limit)
        fact = fact_in_order((word, finding.name), ("state", judgement.band))
        return Judged(finding, rule, limit, judgement, fact)


def _judgement(finding: Finding, limit: Limit | None) -> Judgement:
    if finding.not_applying:
        return Judgement(DOES_NOT_APPLY, DOES_NOT_APPLY)
    if finding.missing or finding.blocked:
        return unknown(*finding.missing)
    if finding.choice is not None:
        return Judgement(finding.choice.state, finding.choice.state)
    if finding.reckoned is None or limit is None:
        return Judgement("reckoned", "reckoned")
    return judge(finding.reckoned.judged, limit)


def _premises(rule: Rule, chosen: tuple[Fact, ...]) -> Mapping[str, Mapping[str, str]]:
    return {p.name: dict(f.words) for p, f in zip(rule.when, chosen, strict=True)}
