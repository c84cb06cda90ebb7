"""What every matcher shares: firing a rule, and the memory that firing adds to.

Engines only say *which* rule fires for *which* facts. They never call a rule's work themselves:
one host swallows what is raised there and gives up silently after ten seconds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TypeAlias

from lugplane.deduce.grammar import Rule
from lugplane.deduce.memory import Fact, fact_of
from lugplane.errors import EngineError, LugplaneError

Fire: TypeAlias = Callable[[Rule, tuple[Fact, ...]], Iterable[Fact]]
"""The work of a rule: called once for each tuple of distinct facts that fill its patterns, in the
patterns' order; gives the facts that follow."""

Match: TypeAlias = Callable[[Sequence[Rule], Iterable[Fact], Fire], frozenset[Fact]]
"""Rules, facts and the rules' work in; those facts and all that follow from them out."""

MOST_FACTS = 20_000
"""A rule whose conclusion feeds itself would never end; no honest setup comes near this."""


class WorkingMemory:
    """The facts of one match, each once, in the order in which they joined."""

    def __init__(self, facts: Iterable[Fact], fire: Fire) -> None:
        self.facts: list[Fact] = list(dict.fromkeys(facts))
        self._known = {fact.words for fact in self.facts}
        self._fire = fire

    def fire(self, rule: Rule, chosen: tuple[Fact, ...]) -> None:
        """Fire a rule for the facts that fill its patterns; what is new joins at the end.

        Raises EngineError with the rule's id, chained, where the rule's work fails, gives
        something that is no fact, or does not come to an end; a LugplaneError passes unchanged.
        """
        try:
            # Walked here, since work written as a generator fails only while it is walked.
            for found in self._fire(rule, chosen):
                if not isinstance(found, Fact):
                    raise TypeError(f"it gave {found!r:.80}, which is no fact")
                if found.words not in self._known:
                    self._known.add(found.words)
                    self.facts.append(found)
                    if len(self.facts) > MOST_FACTS:
                        raise OverflowError(f"more than {MOST_FACTS} facts: does it feed itself?")
        except LugplaneError:
            raise
        except Exception as error:
            raise failed(rule, error) from error


def failed(rule: Rule, error: Exception) -> EngineError:
    """What is raised where a rule's work failed by something that is no error of the user's."""
    return EngineError(f"rule {rule.id} ({rule.at}) failed: {type(error).__name__}: {error}")


def conclusions(rule: Rule, chosen: tuple[Fact, ...]) -> tuple[Fact, ...]:
    """The facts of a rule's `then`; `$name` becomes the id of the fact that fills that pattern."""
    if not rule.then:
        return ()
    ids = {f"${pattern.name}": filler.id for pattern, filler in zip(rule.when, chosen, strict=True)}
    return tuple(fact_of({key: ids.get(word, word) for key, word in words}) for words in rule.then)
