"""One part under two ids: every known fact the same within ±."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Any, Final

from lugplane.check.finding import WARNING, Finding
from lugplane.check.numbers import Noted, Numbers
from lugplane.check.values import EXCEPT, problem
from lugplane.facts.families import Single

KINDS: Final = ("knuckle", "caliper", "carrier", "disc", "pad", "wheel", "hose", "master")
_NOT_COMPARED: Final = frozenset(
    {"kind", "id", "title", "notes", "readings", "unless_said", "members"}
)
_MOST_NEIGHBOURS: Final = 200
"""So many are compared with one part, the nearest first."""


def twins(parts: Iterable[Numbers], least_facts: int) -> Iterator[tuple[Single, Single]]:
    """Pairs of different records of which neither says anything that the other contradicts.

    Both know the same facts, at least `least_facts` numbers; numbers agree within ±, words are the
    same. The first of a pair has the smaller id; of many alike parts each is told once. Members of
    one family are not compared: they say what differs.
    """
    alike: dict[tuple[Any, ...], list[Numbers]] = defaultdict(list)
    for numbers in parts:
        if numbers.single.kind in KINDS and len(numbers) >= least_facts:
            alike[_words(numbers)].append(numbers)
    for group in alike.values():
        yield from _within(group)


def twin_findings(parts: Iterable[Numbers], least_facts: int) -> Iterator[Finding]:
    """A finding at the later id of each pair."""
    for first, second in twins(parts, least_facts):
        yield Finding(
            problem(
                second,
                ("id",),
                "twin",
                f"`{second.id}` says of every fact what `{first.id}` says",
                "expected: one id a part",
                f"add what sets them apart, or keep one and retire the other with a `moved`; "
                f"{EXCEPT}",
            ),
            WARNING,
        )


def _within(group: list[Numbers]) -> Iterator[tuple[Single, Single]]:
    """Pairs of a group that knows the same facts, by a window along one of them."""
    if len(group) < 2:
        return
    key = _telling(group)
    ordered = sorted(group, key=lambda each: each[key][0].lo)
    for n, right in enumerate(ordered):
        for left in reversed(ordered[max(0, n - _MOST_NEIGHBOURS) : n]):
            if left[key][0].hi < right[key][0].lo or left.single.raw is right.single.raw:
                continue
            if _agree(left, right):
                first, second = sorted((left.single, right.single), key=lambda s: s.id)
                yield first, second
                break


def _telling(group: list[Numbers]) -> str:
    """The fact that differs most within a group."""
    return max(group[0], key=lambda name: (len({each[name][0].nominal for each in group}), name))


def _agree(left: Numbers, right: Numbers) -> bool:
    return all(_meet(left[name], right[name]) for name in left)


def _meet(left: tuple[Noted, ...], right: tuple[Noted, ...]) -> bool:
    """Whether numbers agree: the readings that count, or all of a list or an outline."""
    if left[0].valued:
        left, right = left[:1], right[:1]
    return len(left) == len(right) and all(
        a.lo <= b.hi and b.lo <= a.hi for a, b in zip(left, right, strict=True)
    )


def _words(numbers: Numbers) -> tuple[Any, ...]:
    """What must be the same word for word: which facts are known, and all that is no number."""
    single = numbers.single
    counted = {noted.path for noted in numbers.all()}
    words = []

    def walk(value: Any, path: tuple[str | int, ...]) -> None:
        if isinstance(value, dict):
            for key in sorted(value):
                walk(value[key], (*path, key))
        elif isinstance(value, list):
            for n, item in enumerate(value):
                walk(item, (*path, n))
        elif path not in counted:
            words.append((path, value))

    for key in sorted(single.data):
        if key not in _NOT_COMPARED:
            walk(single.data[key], (key,))
    return (single.kind, tuple(sorted(numbers)), tuple(words))
