"""The matcher in plain Python: third opinion, and the one that answers "why not"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

from lugplane.deduce.firing import Fire, WorkingMemory
from lugplane.deduce.grammar import Pattern, Rule
from lugplane.deduce.memory import Fact


def fills(fact: Fact, pattern: Pattern) -> bool:
    """Whether a fact has every word that the pattern asks for."""
    return all(pair in fact.words for pair in pattern.equals)


def match(rules: Sequence[Rule], facts: Iterable[Fact], fire: Fire) -> frozenset[Fact]:
    """All that follows. A fact is tried, as it joins, with those that joined before it, so no
    tuple of facts comes up twice. Raises EngineError with the rule's id where its work fails."""
    memory = WorkingMemory(facts, fire)
    fillers: list[list[list[Fact]]] = [[[] for _ in rule.when] for rule in rules]
    for fact in memory.facts:  # grows while it is walked
        for rule, places in zip(rules, fillers, strict=True):
            filled = [place for place, pattern in enumerate(rule.when) if fills(fact, pattern)]
            for place in filled:
                for chosen in product(*places[:place], (fact,), *places[place + 1 :]):
                    if len(set(chosen)) == len(chosen):
                        memory.fire(rule, chosen)
            for place in filled:
                places[place].append(fact)
    return frozenset(memory.facts)


def missing(rule: Rule, facts: Iterable[Fact]) -> Pattern | None:
    """The first pattern that keeps a rule from firing: it and those before it cannot be filled
    with distinct facts. None where the rule fires."""
    candidates = list(dict.fromkeys(facts))
    taken: dict[Fact, int] = {}

    def seat(place: int, asked: set[Fact]) -> bool:
        """Find a fact for a pattern, if need be by seating an earlier pattern elsewhere."""
        for fact in candidates:
            if fact not in asked and fills(fact, rule.when[place]):
                asked.add(fact)
                if fact not in taken or seat(taken[fact], asked):
                    taken[fact] = place
                    return True
        return False

    for place, pattern in enumerate(rule.when):
        if not seat(place, set()):
            return pattern
    return None
