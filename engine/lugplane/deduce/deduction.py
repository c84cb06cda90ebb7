"""One setup through the rules: what was found, how it was judged, and why.

`fire` is the work that all matchers share: run a rule's measure or choice on the bench, judge it
against the rule's limit, and give back words. Numbers stay on the bench.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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
from lugplane.quantity.form import Extent
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


@dataclass(frozen=True, slots=True)
class Deduction:
    """All that was deduced of one setup."""

    bench: Bench
    rulebook: Rulebook
    facts: frozenset[Fact]
    judged: Mapping[str, Judged]
    ledger: Ledger
    index: Mapping[tuple[str, str], Sequence[Fact]]
    by_id: Mapping[str, Fact]
    seeds: tuple[Mapping[str, str], ...]

    def matching(self, pattern: Mapping[str, str]) -> list[Fact]:
        """The facts that hold all of a pattern's words, in a settled order."""
        (first, word), *rest = pattern.items()
        found = self.index.get((first, word), ())
        return [f for f in found if all(f.get(k) == v for k, v in rest)] if rest else [*found]

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
    bench = Bench(setup, rulebook.limits.numbers, rulebook.limits.limits, shared)
    judged: dict[str, Judged] = {}

    def fire(rule: Rule, chosen: tuple[Fact, ...]) -> tuple[Fact, ...]:
        found: list[Fact] = []
        name = rule.measure or rule.choose
        if name:
            bench.matched(lambda: _premises(rule, chosen))
            kind = "measure" if rule.measure else "choice"
            found.append(_word(judged, bench, rule, kind, name))
        return (*found, *conclusions(rule, chosen))

    words = words_of(setup)
    seeds = tuple(fact_of(w) for w in words)
    ledger = Ledger(seeds, fire)
    facts = (match or matcher())(rulebook.rules, seeds, ledger.fire)
    index: dict[tuple[str, str], list[Fact]] = {}
    for f in sorted(facts, key=lambda f: f.words):
        for pair in f.words:
            index.setdefault(pair, []).append(f)
    by_id = {f.id: f for f in facts}
    return Deduction(bench, rulebook, facts, judged, ledger, index, by_id, words)


def _premises(rule: Rule, chosen: tuple[Fact, ...]) -> Mapping[str, Mapping[str, str]]:
    return {p.name: dict(f.words) for p, f in zip(rule.when, chosen, strict=True)}


def _judge(bench: Bench, finding: Finding, value: Extent, limit: Limit) -> Judgement:
    if bench.shared is None:
        return judge(value, limit)
    return bench.shared.judgement(finding, limit, lambda: judge(value, limit))


def _word(judged: dict[str, Judged], bench: Bench, rule: Rule, kind: str, name: str) -> Fact:
    """Run a measure or a choice, and say its outcome in words."""
    finding = run(bench, kind, name)
    limit = bench.limits[rule.judge] if rule.judge else None
    if finding.not_applying:
        judgement = Judgement(DOES_NOT_APPLY, DOES_NOT_APPLY)
    elif finding.missing or finding.blocked:
        judgement = unknown(*finding.missing)
    elif finding.choice is not None:
        judgement = Judgement(finding.choice.state, finding.choice.state)
    elif finding.reckoned is not None and limit is not None:
        judgement = _judge(bench, finding, finding.reckoned.judged, limit)
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
