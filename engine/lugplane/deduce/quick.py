"""The matcher in plain Python over rules that are set up once, for many small deductions.

It walks as `plain` does and asks, of each new fact, only the patterns that name one of its words.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

from lugplane.deduce.firing import Fire, WorkingMemory
from lugplane.deduce.grammar import Rule
from lugplane.deduce.memory import Fact


class Quick:
    """A matcher of these very rules."""

    def __init__(self, rules: Sequence[Rule]) -> None:
        self.rules = tuple(rules)
        # Under the first word that a pattern asks for: the rule, the place, the other words.
        self._asking: dict[tuple[str, str], list[tuple[int, int, tuple[tuple[str, str], ...]]]] = {}
        for number, rule in enumerate(self.rules):
            for place, pattern in enumerate(rule.when):
                first, *rest = pattern.equals
                self._asking.setdefault(first, []).append((number, place, tuple(rest)))

    def match(self, rules: Sequence[Rule], facts: Iterable[Fact], fire: Fire) -> frozenset[Fact]:
        """All that follows, as `plain.match` has it. Raises `ValueError` for other rules."""
        if tuple(rules) is not self.rules and tuple(rules) != self.rules:
            raise ValueError("these are not the rules that were set up")
        memory = WorkingMemory(facts, fire)
        fillers: list[list[list[Fact]]] = [[[] for _ in rule.when] for rule in self.rules]
        for fact in memory.facts:  # grows while it is walked
            filled: dict[int, list[int]] = {}
            words = fact.words
            for pair in words:
                for number, place, rest in self._asking.get(pair, ()):
                    if all(other in words for other in rest):
                        filled.setdefault(number, []).append(place)
            for number in sorted(filled):
                places, rule = fillers[number], self.rules[number]
                for place in sorted(filled[number]):
                    for chosen in product(*places[:place], (fact,), *places[place + 1 :]):
                        if len(chosen) == 1 or len(set(chosen)) == len(chosen):
                            memory.fire(rule, chosen)
                for place in filled[number]:
                    places[place].append(fact)
        return frozenset(memory.facts)
