"""Short safe tokens for the words of a ruleset, so that no engine ever reads a user's text.

Quotes, braces, line ends and a megabyte of text are all the same to an engine that sees `w7`.
A pair of key and word that no pattern asks for cannot matter and is left out.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from lugplane.deduce.grammar import Pattern
from lugplane.deduce.memory import Fact

Pair = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Tokens:
    """Tokens of every pair of key and word that some pattern asks for."""

    keys: tuple[str, ...]
    pairs: dict[Pair, Pair]

    def of_pattern(self, pattern: Pattern) -> list[Pair]:
        """A pattern's equalities as tokens, one for each."""
        return [self.pairs[pair] for pair in pattern.equals]

    def of_fact(self, fact: Fact) -> list[Pair]:
        """What of a fact any pattern asks for, as tokens; often less than the fact holds."""
        return [self.pairs[pair] for pair in fact.words if pair in self.pairs]


def tokens(patterns: Iterable[Pattern]) -> Tokens:
    """Give each key and each word of the patterns a token of its own."""
    keys: dict[str, str] = {}
    words: dict[str, str] = {}
    pairs: dict[Pair, Pair] = {}
    for pattern in patterns:
        for key, word in pattern.equals:
            key_token = keys.setdefault(key, f"k{len(keys)}")
            pairs[key, word] = (key_token, words.setdefault(word, f"w{len(words)}"))
    return Tokens(tuple(keys.values()), pairs)
