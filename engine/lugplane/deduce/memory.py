"""A fact of working memory: words under keys, named by a hash of its content."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from hashlib import blake2s


@dataclass(frozen=True, slots=True)
class Fact:
    """Words under keys, sorted by key.

    Equal words make equal facts, whoever deduced them and when: `id` is a 64-bit hash (16 hex
    digits) of the content and of nothing else.
    Raises TypeError where a key or word is not text, ValueError where keys repeat or are unsorted.
    """

    words: tuple[tuple[str, str], ...]
    id: str = field(init=False, compare=False)

    def __post_init__(self) -> None:
        last: str | None = None
        for key, word in self.words:
            if not (isinstance(key, str) and isinstance(word, str)):
                raise TypeError(f"a fact holds text only, not {key!r}: {type(word).__name__}")
            if last is not None and key <= last:
                raise ValueError(f"keys of a fact are sorted and each comes once: {last}, {key}")
            last = key
        # Lengths come first, so that no two contents run together into the same text.
        text = "".join([f"{len(key)} {len(word)} {key}{word}" for key, word in self.words])
        digest = blake2s(text.encode("utf-8", "surrogatepass"), digest_size=8)
        object.__setattr__(self, "id", digest.hexdigest())

    def __hash__(self) -> int:
        return hash(self.id)

    def get(self, key: str) -> str | None:
        """The word under a key; None where the fact has no such key."""
        for name, word in self.words:
            if name == key:
                return word
        return None


@lru_cache(maxsize=8_192)
def _fact(words: tuple[tuple[str, str], ...]) -> Fact:
    """The few facts of a rulebook come up again with every setup."""
    return Fact(words)


def fact_of(words: Mapping[str, str]) -> Fact:
    """A fact from a mapping of keys to words. Raises as `Fact` does."""
    return _fact(tuple(sorted(words.items())))


def fact_in_order(*words: tuple[str, str]) -> Fact:
    """A fact from keys with their words, sorted by key. Raises as `Fact` does."""
    return _fact(words)


def fact(**words: str) -> Fact:
    """A fact from keywords: `fact(kind="caliper", mount="axial")`. Raises as `Fact` does."""
    return fact_of(words)
