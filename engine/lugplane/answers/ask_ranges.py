"""Over which readings of one fact an answer stays the same.

Every judged quantity is affine in a fact for a stretch, so from one judged reading follows the
next at which a quantity meets an edge of its limit. The walk goes from edge to edge, judging each
time, and halves the stretch wherever an answer changed before the edge that was reckoned.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Generic, TypeVar

L = TypeVar("L", bound=Hashable)

_MOST_STEPS = 40
_MOST_HALVINGS = 12


@dataclass(frozen=True, slots=True)
class Stretch(Generic[L]):
    """Readings from `low` to `high` that all give `label`."""

    low: float
    high: float
    label: L


@dataclass(frozen=True, slots=True)
class Crossing:
    """A bound of a quantity, its slope by the fact, and the edges of its limit."""

    bound: float
    slope: float
    edges: Sequence[float]


At = Callable[[float], tuple[L, Sequence[Crossing]]]
"""The answer at a reading, and the bounds that may change it."""
Alike = Callable[[L, L], bool]


def stretches(
    low: float, high: float, at: At[L], grain: float, stride: float, alike: Alike[L]
) -> tuple[Stretch[L], ...]:
    """The stretches of answers that are alike from `low` to `high`, ends good to about `grain`.

    At least every `stride` is looked at; `at` is asked some dozens of times at most. A stretch
    narrower than `grain` may be missed, and so may one that comes and goes within a stride between
    two edges that were reckoned.
    """
    marks: list[tuple[float, L]] = []
    here = low
    for _ in range(_MOST_STEPS):
        label, bounds = at(here)
        marks.append((here, label))
        if here >= high:
            break
        there = min([*_ahead(here, bounds, grain), here + stride])
        if there - grain > here:
            marks.append((before := min(there - grain, high), at(before)[0]))
        here = min(there + grain, high)
    else:
        marks += [(v, at(v)[0]) for v in _evenly(here, high, stride)]
    return _joined(_halved(marks, at, grain, alike), alike)


def _evenly(here: float, high: float, stride: float) -> list[float]:
    """Readings from here to the end, a stride apart, the end among them."""
    count = max(math.ceil((high - here) / stride), 1)
    return [here + (high - here) * n / count for n in range(1, count + 1)]


def _ahead(here: float, bounds: Iterable[Crossing], grain: float) -> list[float]:
    """Where bounds meet edges beyond this reading, as far as they go on as they do here."""
    found: list[float] = []
    for b in bounds:
        if abs(b.slope) > 1e-9:
            found += [v for e in b.edges if (v := here + (e - b.bound) / b.slope) > here + grain]
    return found


def _halved(
    marks: Sequence[tuple[float, L]], at: At[L], grain: float, alike: Alike[L]
) -> list[tuple[float, L]]:
    found = [marks[0]]
    for mark in marks[1:]:
        found += _between(found[-1], mark, at, grain, alike, _MOST_HALVINGS)
    return found


def _between(
    left: tuple[float, L],
    right: tuple[float, L],
    at: At[L],
    grain: float,
    alike: Alike[L],
    halvings: int,
) -> list[tuple[float, L]]:
    """The marks after `left` up to `right`, close on both sides of every change of the answer."""
    if alike(left[1], right[1]) or right[0] - left[0] <= 2.5 * grain or not halvings:
        return [right]
    reading = (left[0] + right[0]) / 2
    middle = (reading, at(reading)[0])
    return [
        *_between(left, middle, at, grain, alike, halvings - 1),
        *_between(middle, right, at, grain, alike, halvings - 1),
    ]


def _joined(marks: Sequence[tuple[float, L]], alike: Alike[L]) -> tuple[Stretch[L], ...]:
    """Marks side by side that are alike become a stretch; neighbours meet halfway."""
    found: list[Stretch[L]] = []
    start, label = marks[0]
    for (left, before), (right, after) in pairwise(marks):
        if not alike(before, after):
            edge = (left + right) / 2
            found.append(Stretch(start, edge, label))
            start, label = edge, after
    found.append(Stretch(start, marks[-1][0], label))
    return tuple(found)
