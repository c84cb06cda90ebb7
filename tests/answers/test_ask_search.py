"""The least set against all sets, on doubts made up: each is a sum that must be brought down."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import pytest

from lugplane.answers.ask_search import least_set


@dataclass(frozen=True)
class Sums:
    """Doubts: what each name takes off, and how much must be taken off."""

    doubts: tuple[tuple[Mapping[str, int], int], ...]

    def standing(self, names: frozenset[str]) -> tuple[frozenset[str], ...]:
        return tuple(
            frozenset(off)
            for off, need in self.doubts
            if sum(k for n, k in off.items() if n in names) < need
        )


def made_up(rnd: random.Random) -> tuple[list[str], Sums]:
    names = [chr(97 + n) for n in range(rnd.randint(2, 7))]
    doubts = []
    for _ in range(rnd.randint(1, 4)):
        read = rnd.sample(names, rnd.randint(1, len(names)))
        off = {n: rnd.randint(1, 5) for n in read}
        doubts.append((off, rnd.randint(1, sum(off.values()))))
    return names, Sums(tuple(doubts))


def before(names: list[str], sums: Sums) -> dict[str, frozenset[str]]:
    def more(y: str, x: str) -> bool:
        pairs = [(off.get(y, 0), off.get(x, 0)) for off, _ in sums.doubts if x in off]
        return all(a >= b for a, b in pairs) and (any(a > b for a, b in pairs) or y < x)

    return {x: frozenset(y for y in names if y != x and more(y, x)) for x in names}


@pytest.mark.parametrize("number", range(60))
@pytest.mark.parametrize("ordered", [False, True])
def test_no_smaller_set_settles(number: int, ordered: bool) -> None:
    names, sums = made_up(random.Random(number))
    worth = {n: sum(off.get(n, 0) for off, _ in sums.doubts) for n in names}
    found = least_set(names, sums.standing, worth, before(names, sums) if ordered else None)
    assert sums.standing(found.taken) == ()
    assert found.proven
    for fewer in combinations(names, len(found.taken) - 1):
        assert sums.standing(frozenset(fewer))


def test_of_equally_short_ones_the_worthiest_is_taken() -> None:
    sums = Sums((({"a": 1, "b": 1, "c": 1}, 1),))
    assert least_set("abc", sums.standing, {"a": 1.0, "b": 3.0, "c": 2.0}).taken == {"b"}


def test_what_must_be_in_is_in() -> None:
    sums = Sums((({"a": 1, "b": 1}, 1), ({"c": 1, "d": 1}, 1)))
    found = least_set("abcd", sums.standing, {"a": 5.0}, first=frozenset({"b"}))
    assert found.taken == {"b", "c"}


def test_a_search_that_is_cut_short_says_so_and_still_settles() -> None:
    names = [f"n{n:02}" for n in range(12)]
    sums = Sums(((dict.fromkeys(names, 1), 6),))
    found = least_set(names, sums.standing, {}, most_judged=5)
    assert not found.proven
    assert sums.standing(found.taken) == ()
    assert len(found.taken) == 6  # none of it can be spared
