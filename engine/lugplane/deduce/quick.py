"""The matcher in plain Python over rules that are set up once, for many small deductions.

It walks as `plain` does and asks, of each new fact, only the patterns that name one of its words.
One ruleset after another may go on with a working memory, each when its turn comes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

from lugplane.deduce.firing import Fire, WorkingMemory
from lugplane.deduce.grammar import Rule
from lugplane.deduce.memory import Fact

MOST_KNOWN = 4_096
"""Of so many facts it is kept which patterns they fill."""


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
        self._known: dict[tuple[tuple[str, str], ...], tuple[tuple[int, tuple[int, ...]], ...]] = {}

    def match(self, rules: Sequence[Rule], facts: Iterable[Fact], fire: Fire) -> frozenset[Fact]:
        """All that follows, as `plain.match` has it. Raises `ValueError` for other rules."""
        if tuple(rules) is not self.rules and tuple(rules) != self.rules:
            raise ValueError("these are not the rules that were set up")
        memory = WorkingMemory(facts, fire)
        self.go_on(memory)
        return frozenset(memory.facts)

    def go_on(self, memory: WorkingMemory) -> None:
        """Add to a working memory all that follows from it by these rules.

        What other rules of its would make of that is not asked: none of them may start from what
        these rules give.
        """
        partners: dict[int, list[list[Fact]]] = {}
        for fact in memory.facts:  # grows while it is walked
            for number, filled in self._filled(fact):
                rule = self.rules[number]
                if len(rule.when) == 1:
                    memory.fire(rule, (fact,))
                    continue  # nobody else's partner
                places = partners.get(number)
                if places is None:
                    places = partners[number] = [[] for _ in rule.when]
                for place in filled:
                    choices = [*places[:place], (fact,), *places[place + 1 :]]
                    for chosen in product(*choices) if all(choices) else ():
                        # Each fact is there once, so that one is another only where it is it.
                        if len({*map(id, chosen)}) == len(chosen):
                            memory.fire(rule, chosen)
                for place in filled:
                    places[place].append(fact)

    def _filled(self, fact: Fact) -> tuple[tuple[int, tuple[int, ...]], ...]:
        """The rules, by their numbers, and which of each one's places a fact fills."""
        words = fact.words
        found = self._known.get(words)
        if found is None:
            filled: dict[int, list[int]] = {}
            for pair in words:
                for number, place, rest in self._asking.get(pair, ()):
                    if all(other in words for other in rest):
                        filled.setdefault(number, []).append(place)
            found = tuple((n, tuple(sorted(filled[n]))) for n in sorted(filled))
            if len(self._known) >= MOST_KNOWN:
                self._known.clear()
            self._known[words] = found
        return found
