"""The CLIPS matcher: second opinion, and the engine where durable-rules cannot be had."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from lugplane.deduce.firing import Fire, WorkingMemory
from lugplane.deduce.grammar import Pattern, Rule
from lugplane.deduce.memory import Fact
from lugplane.deduce.words import Tokens, tokens
from lugplane.errors import EngineError

Whens = tuple[tuple[Pattern, ...], ...]
Hit = tuple[int, tuple[int, ...]]

_idle: dict[Whens, list[_Environment]] = {}


def match(rules: Sequence[Rule], facts: Iterable[Fact], fire: Fire) -> frozenset[Fact]:
    """All that follows, by CLIPS. Raises EngineError with the rule's id where its work fails,
    and where the engine does not account for every rule it ran."""
    memory = WorkingMemory(facts, fire)
    whens = tuple(rule.when for rule in rules)
    # One environment serves one match at a time; a match inside a match, or in another thread,
    # finds none idle and builds its own.
    idle = _idle.setdefault(whens, [])
    try:
        environment = idle.pop()
    except IndexError:
        environment = _Environment(whens)
    environment.reset()
    told = 0
    while told < len(memory.facts):
        first, told = told, len(memory.facts)
        for number, chosen in environment.tell(first, memory.facts[first:]):
            memory.fire(rules[number], tuple(memory.facts[one] for one in chosen))
    idle.append(environment)
    return frozenset(memory.facts)


class _Environment:
    """One ruleset in CLIPS. Facts are known to it by their number in working memory."""

    def __init__(self, whens: Whens) -> None:
        from clips import Environment, Symbol

        known = tokens(pattern for when in whens for pattern in when)
        self._tokens = known
        self._hits: list[Hit] = []
        self._clips: Any = Environment()
        self._clips.define_function(self._note, name="note")
        self._clips.build(_deftemplate(known))
        # clipspy 1.0.6 never lets go of a fact that it has shown to Python, and CLIPS slows down
        # over such remains; so facts join by a function of CLIPS and are shown to no one.
        self._clips.build(_deffunction(known))
        self._join: Any = self._clips.find_function("join")
        self._nil: Any = Symbol("nil")
        self._symbols: dict[str, Any] = {word: Symbol(word) for _, word in known.pairs.values()}
        for number, when in enumerate(whens):
            self._clips.build(_defrule(number, when, known))

    def _note(self, rule: int, *facts: int) -> None:
        self._hits.append((int(rule), tuple(int(fact) for fact in facts)))

    def reset(self) -> None:
        """Forget every fact."""
        self._hits.clear()
        self._clips.reset()

    def tell(self, first: int, facts: Iterable[Fact]) -> list[Hit]:
        """Add facts, numbered on from `first`; gives the rules that now fire and for which."""
        for number, fact in enumerate(facts, first):
            words = {key: self._symbols[word] for key, word in self._tokens.of_fact(fact)}
            self._join(number, *(words.get(key, self._nil) for key in self._tokens.keys))
        fired = self._clips.run()
        hits, self._hits = self._hits, []
        if fired != len(hits):
            raise EngineError(f"CLIPS ran {fired} rules and accounted for {len(hits)}")
        return hits


def _deftemplate(known: Tokens) -> str:
    return f"(deftemplate fact (slot number){''.join(f' (slot {key})' for key in known.keys)})"


def _deffunction(known: Tokens) -> str:
    words = "".join(f" ?{key}" for key in known.keys)
    slots = "".join(f" ({key} ?{key})" for key in known.keys)
    return f"(deffunction join (?number{words}) (assert (fact (number ?number){slots})) nil)"


def _condition(place: int, pattern: Pattern, known: Tokens) -> str:
    """One pattern; its fact is none of those that fill the patterns before it."""
    others = "".join(f"&~?n{earlier}" for earlier in range(place))
    words = "".join(f" ({key} {word})" for key, word in known.of_pattern(pattern))
    return f"(fact (number ?n{place}{others}){words})"


def _defrule(number: int, when: Sequence[Pattern], known: Tokens) -> str:
    conditions = " ".join(_condition(place, pattern, known) for place, pattern in enumerate(when))
    chosen = " ".join(f"?n{place}" for place in range(len(when)))
    return f"(defrule r{number} {conditions} => (note {number} {chosen}))"
