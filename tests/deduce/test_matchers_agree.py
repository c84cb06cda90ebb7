"""Three matchers, one answer: compared on generated rulesets and memories.

What fired is compared, not only what was deduced, and both against a fourth reckoning that looks
at the finished memory alone. Then one lowering at a time is damaged, and the same comparison must
notice; a comparison that cannot fail proves nothing.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

import pytest

from lugplane.deduce import clips, durable, firing, plain
from lugplane.deduce.firing import Fire, Match, conclusions
from lugplane.deduce.grammar import Pattern, Rule
from lugplane.deduce.memory import Fact, fact_of
from lugplane.deduce.proof import Ledger
from lugplane.deduce.quick import Quick
from lugplane.deduce.words import Tokens, tokens
from lugplane.errors import EngineError


def quick_match(rules: Sequence[Rule], facts: Iterable[Fact], fire: Fire) -> frozenset[Fact]:
    return Quick(rules).match(rules, facts, fire)


MATCHERS: dict[str, Match] = {
    "plain": plain.match,
    "clips": clips.match,
    "quick": quick_match,
}
if durable.available():
    MATCHERS["durable"] = durable.match

RULESETS = 40
MEMORIES = 50  # of each ruleset; a build of durable-rules is never given back, so few rulesets

KEYS = ("kind", "state", "side", "of")
WORDS = ("hub", "disc", "cannot tell", "hub ", "$k")


def a_word(rng: random.Random) -> str:
    """Mostly the same few words, so that patterns find facts."""
    return rng.choices(WORDS, (9, 4, 1, 1, 1))[0]


def a_pattern(name: str, rng: random.Random, level: int) -> Pattern:
    if level and rng.random() < 0.3:
        return Pattern(name, (("deduced", f"step {rng.randrange(level)}"),))
    keys = rng.sample(KEYS[:3], rng.choice((1, 1, 2)))
    return Pattern(name, tuple((key, a_word(rng)) for key in keys))


def a_ruleset(seed: int) -> tuple[Rule, ...]:
    """Rules that chain, share patterns, conclude the same, and come to an end: what names its
    premise is only met by rules further down."""
    rng = random.Random(f"rules {seed}")
    rules = []
    for number in range(rng.randint(3, 8)):
        size = rng.choice((1, 1, 2, 2, 3, 4))
        when = [a_pattern("p0", rng, number)]
        when += [a_pattern(f"p{place}", rng, 0) for place in range(1, size)]
        if size > 1 and rng.random() < 0.3:
            when[-1] = Pattern(f"p{size - 1}", when[-2].equals)
        if rng.random() < 0.5:
            when = [
                Pattern(f"p{place}", one.equals)
                for place, one in enumerate(rng.sample(when, len(when)))
            ]
        named = (("deduced", f"step {number}"), ("of", f"$p{rng.randrange(size)}"))
        words = tuple((key, a_word(rng)) for key in rng.sample(KEYS[:3], 2))
        then = rng.choice(((named,), (words,), (named, words), ()))
        rules.append(Rule(f"r{number}", f"r.yaml:{number}", tuple(when), then=then))
    return tuple(rules)


def a_memory(seed: int) -> tuple[Fact, ...]:
    rng = random.Random(f"memory {seed}")
    return tuple(
        fact_of({key: a_word(rng) for key in rng.sample(KEYS, rng.randint(2, 4))})
        for _ in range(rng.randint(0, 11))
    )


@dataclass(frozen=True)
class Outcome:
    """What a match deduced, and how often it fired each rule for each tuple of facts."""

    facts: frozenset[Fact]
    firings: Counter[tuple[str, tuple[str, ...]]]
    error: str = ""


def outcome(match: Match, rules: tuple[Rule, ...], memory: tuple[Fact, ...]) -> Outcome:
    firings: Counter[tuple[str, tuple[str, ...]]] = Counter()

    def fire(rule: Rule, chosen: tuple[Fact, ...]) -> Iterable[Fact]:
        firings[rule.id, tuple(one.id for one in chosen)] += 1
        return conclusions(rule, chosen)

    try:
        return Outcome(match(rules, memory, fire), firings)
    except EngineError as error:
        return Outcome(frozenset(), firings, str(error))


def reckoned(rules: tuple[Rule, ...], facts: frozenset[Fact]) -> Outcome:
    """What must have fired, read off the finished memory without chaining anything."""
    firings: Counter[tuple[str, tuple[str, ...]]] = Counter()
    follow: set[Fact] = set()
    for rule in rules:
        fillers = [
            [one for one in facts if set(pattern.equals) <= set(one.words)] for pattern in rule.when
        ]
        for chosen in product(*fillers):
            if len({one.id for one in chosen}) == len(chosen):
                firings[rule.id, tuple(one.id for one in chosen)] += 1
                follow.update(conclusions(rule, chosen))
    return Outcome(facts | follow, firings)


def disagreements(cases: Iterable[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """The cases in which not all matchers come to the reckoned outcome."""
    for ruleset, memory in cases:
        rules, facts = a_ruleset(ruleset), a_memory(memory)
        outcomes = [outcome(match, rules, facts) for match in MATCHERS.values()]
        expected = reckoned(rules, outcomes[0].facts)
        if any(one != expected for one in outcomes):
            yield ruleset, memory


CASES = [(r, r * MEMORIES + m) for r in range(RULESETS) for m in range(MEMORIES)]
SAMPLE = CASES[::5]


PARTS = 4


@pytest.mark.parametrize("part", range(PARTS))
def test_all_matchers_agree(part: int) -> None:
    assert len(CASES) == 2000
    few = [case for case in CASES if case[0] % PARTS == part]
    assert len({ruleset for ruleset, _ in few}) == RULESETS // PARTS
    assert list(disagreements(few)) == []


def test_the_cases_are_worth_comparing() -> None:
    outcomes = [
        outcome(plain.match, a_ruleset(ruleset), a_memory(memory)) for ruleset, memory in SAMPLE
    ]
    given = [len(set(a_memory(memory))) for _, memory in SAMPLE]
    fired = sum(bool(one.firings) for one in outcomes)
    chained = sum(len(one.facts) > size for one, size in zip(outcomes, given, strict=True))
    assert fired > len(SAMPLE) / 2
    assert chained > len(SAMPLE) / 3
    assert max(len(one.facts) for one in outcomes) > 15
    assert max(one.firings.total() for one in outcomes) > 100


def test_order_of_facts_and_rules_does_not_matter() -> None:
    rng = random.Random(7)
    for ruleset, memory in SAMPLE[::4]:
        rules, facts = a_ruleset(ruleset), a_memory(memory)
        expected = outcome(plain.match, rules, facts)
        turned = tuple(rng.sample(facts, len(facts)))
        assert outcome(plain.match, rules[::-1], turned) == expected
        for match in MATCHERS.values():
            assert outcome(match, rules, turned) == expected


def test_proofs_are_the_same_whoever_matched() -> None:
    for ruleset, memory in SAMPLE[::4]:
        rules, facts = a_ruleset(ruleset), a_memory(memory)
        ledgers = [Ledger(facts, conclusions) for _ in MATCHERS]
        pairs = zip(MATCHERS.values(), ledgers, strict=True)
        closures = [match(rules, facts, ledger.fire) for match, ledger in pairs]
        for one in closures[0]:
            proofs = [ledger.proof_of(one.id) for ledger in ledgers]
            assert proofs.count(proofs[0]) == len(MATCHERS)


# One lowering at a time, damaged in one way at a time.


def less_one_equality(pattern: Pattern) -> Pattern:
    return Pattern(pattern.name, pattern.equals[:1])


Damage = tuple[Any, str, Callable[[Any], Any]]

DAMAGES: dict[str, Damage] = {
    "plain drops an equality": (
        plain,
        "fills",
        lambda whole: lambda fact, pattern: whole(fact, less_one_equality(pattern)),
    ),
    "plain drops a pattern": (
        plain,
        "fills",
        lambda whole: lambda fact, pattern: pattern.name == "p1" or whole(fact, pattern),
    ),
    "clips drops an equality": (
        clips,
        "_condition",
        lambda whole: lambda place, pattern, known: whole(place, less_one_equality(pattern), known),
    ),
    "clips drops a pattern": (
        clips,
        "_condition",
        lambda whole: (
            lambda place, pattern, known: (
                "(fact (number ?n1&~?n0))" if place == 1 else whole(place, pattern, known)
            )
        ),
    ),
    "clips lets a fact fill two patterns": (
        clips,
        "_condition",
        lambda whole: (
            lambda place, pattern, known: whole(place, pattern, known).replace("&~?n0", "")
        ),
    ),
    "clips takes two words for one": (
        clips,
        "tokens",
        lambda whole: lambda patterns: one_word_less(whole(patterns)),
    ),
    "durable drops an equality": (
        durable,
        "_condition",
        lambda whole: lambda pattern, known: whole(less_one_equality(pattern), known),
    ),
    "durable drops a pattern": (
        durable,
        "_condition",
        lambda whole: (
            lambda pattern, known: (
                {"role": "fact"} if pattern.name == "p1" else whole(pattern, known)
            )
        ),
    ),
    "durable takes two words for one": (
        durable,
        "tokens",
        lambda whole: lambda patterns: one_word_less(whole(patterns)),
    ),
    "durable loses a firing": (
        durable._Ruleset,
        "tell",
        lambda whole: lambda self, *told: whole(self, *told)[:-1],
    ),
    "durable fires twice": (
        durable._Ruleset,
        "tell",
        lambda whole: lambda self, *told: whole(self, *told) * 2,
    ),
}


def one_word_less(known: Tokens) -> Tokens:
    pairs = {
        pair: (key, "w0" if word == "w1" else word) for pair, (key, word) in known.pairs.items()
    }
    return Tokens(known.keys, pairs)


@pytest.mark.parametrize("name", DAMAGES)
def test_damage_to_one_lowering_is_noticed(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    where, attribute, damage = DAMAGES[name]
    if name.startswith("durable") and "durable" not in MATCHERS:
        pytest.skip("durable-rules cannot be imported by this Python")
    # Nothing built whole may be used, and nothing built with damage may stay.
    monkeypatch.setattr(clips, "_idle", {})
    monkeypatch.setattr(durable, "_built", {})
    monkeypatch.setattr(firing, "MOST_FACTS", 300)  # damage can make rules feed themselves
    few = [case for case in CASES if case[0] < 4][::4]
    assert list(disagreements(few)) == []
    monkeypatch.setattr(clips, "_idle", {})
    monkeypatch.setattr(durable, "_built", {})
    monkeypatch.setattr(where, attribute, damage(getattr(where, attribute)))
    assert next(disagreements(few), None) is not None


def test_tokens_keep_different_words_apart() -> None:
    patterns = [
        Pattern("a", (("kind", "x"), ("state", "x"))),
        Pattern("b", (("kind", "y"), ("x", "kind"))),
    ]
    known = tokens(patterns)
    assert len(set(known.keys)) == 3
    assert len(set(known.pairs.values())) == 4
    assert known.of_pattern(patterns[0]) != known.of_pattern(patterns[1])
    assert known.of_fact(fact_of({"kind": "z", "state": "x", "colour": "x"})) == [
        known.pairs["state", "x"]
    ]
