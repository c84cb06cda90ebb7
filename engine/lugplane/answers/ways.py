"""The best way from one stop to another, where what is once bought need not be bought again.

Nothing here knows brakes: a stop needs certain goods, a step may spoil some of those at hand, and
whatever is missing on arrival is bought. What came off earlier on the way is still at hand. So the
cost of a way is not a sum over its steps, and the search keeps for each stop every set of goods
that no other set makes needless.
"""

from __future__ import annotations

import heapq
from collections import deque
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Protocol

from lugplane.errors import LugplaneError

STEPS, GOODS, PRICE = "steps", "parts", "price"
AIMS = (STEPS, GOODS, PRICE)
"""Fewest steps; fewest things bought; cheapest. Each settles its ties by the others."""
MOST_LABELS = 300_000
"""So many partial ways are looked at before the search gives up."""

Cost = tuple[int, ...]


class Net(Protocol):
    """Stops by name and what it takes to go from one to the next."""

    def onward(self, stop: str) -> Sequence[str]:
        """The stops that one step leads to."""

    def goods(self, stop: str) -> frozenset[str]:
        """What has to be at hand at a stop."""

    def spoils(self, here: str, there: str) -> frozenset[str]:
        """The goods that do not outlast a step."""


class TooManyWays(LugplaneError):
    """The search was given up; the text tells what to do."""


@dataclass(frozen=True, slots=True)
class Leg:
    """One step of a way: what is bought for it, and what is at hand from earlier on."""

    here: str
    there: str
    buys: tuple[str, ...]
    kept: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Way:
    """A way from its first stop; without legs it is there already."""

    start: str
    legs: tuple[Leg, ...]

    @property
    def end(self) -> str:
        return self.legs[-1].there if self.legs else self.start

    @property
    def stops(self) -> tuple[str, ...]:
        """Every stop in order, the first one too."""
        return (self.start, *(leg.there for leg in self.legs))

    @property
    def buys(self) -> tuple[str, ...]:
        """Everything bought on the way, in order; what is bought twice stands there twice."""
        return tuple(good for leg in self.legs for good in leg.buys)


@dataclass(frozen=True, slots=True)
class Asked:
    """What a way is asked for.

    It ends at one of `goals` and has passed, in any order, one stop of each set in `through`.
    `owned` is at hand from the beginning beside what the first stop needs. `prices` are whole
    numbers (cents); a good without one has no known price, and `PRICE` never buys it.
    """

    goals: frozenset[str]
    aim: str = STEPS
    through: tuple[frozenset[str], ...] = ()
    owned: frozenset[str] = frozenset()
    prices: Mapping[str, int] | None = None


@dataclass(frozen=True, slots=True)
class _Label:
    cost: Cost
    stop: str
    passed: int
    owned: frozenset[str]
    before: _Label | None


def best_way(net: Net, start: str, asked: Asked) -> Way | None:
    """The best way there is, or None. Raises `TooManyWays`, `ValueError` for an unknown aim."""
    if asked.aim not in AIMS:
        raise ValueError(f"no aim is called '{asked.aim}'")
    return _Search(net, start, asked).run()


def walk(net: Net, stops: Sequence[str], owned: Collection[str] = ()) -> Way:
    """The legs of a way along given stops."""
    here, *rest = stops
    at_hand = frozenset(owned) | net.goods(here)
    legs: list[Leg] = []
    for there in rest:
        at_hand -= net.spoils(here, there)
        needed = net.goods(there)
        # What stays on the car is no news; what lay on the shelf is.
        kept = (needed & at_hand) - net.goods(here)
        legs.append(Leg(here, there, tuple(sorted(needed - at_hand)), tuple(sorted(kept))))
        at_hand |= needed
        here = there
    return Way(stops[0], tuple(legs))


def cost_of(way: Way, aim: str, prices: Mapping[str, int]) -> Cost | None:
    """What the search compares; None where the aim does not allow the way."""
    buys = way.buys
    unknown = sum(good not in prices for good in buys)
    price = sum(prices.get(good, 0) for good in buys)
    if aim == PRICE:
        return None if unknown else (price, len(way.legs), len(buys))
    first = (len(way.legs), len(buys)) if aim == STEPS else (len(buys), len(way.legs))
    return (*first, unknown, price)


class _Search:
    """Labels in the order of what the whole way costs at the least.

    A label at the same stop that costs no more and has no less at hand makes another needless:
    whatever follows costs it no more. Costs are compared part by part, first things first, and the
    least that is still to come is reckoned for each part by itself, so the first label that leaves
    the queue at a goal is a best way.
    """

    def __init__(self, net: Net, start: str, asked: Asked) -> None:
        self.net, self.start, self.asked = net, start, asked
        self.prices = asked.prices or {}
        self.all_passed = (1 << len(asked.through)) - 1
        self.at_first = asked.owned | net.goods(start)
        self.far: dict[str, int] = {}

    def run(self) -> Way | None:
        if not self._possible():
            return None
        label: _Label | None = _Label(
            self._cost(0, ()), self.start, self._passed(self.start), self.at_first, None
        )
        queue: list[tuple[Cost, int, _Label]] = []
        kept: dict[tuple[str, int], list[_Label]] = {}
        turn, pushed = count(), 0
        while label is not None:
            if label.stop in self.asked.goals and label.passed == self.all_passed:
                return walk(self.net, _stops(label), self.asked.owned)
            for step in self._onward(label):
                others = kept.setdefault((step.stop, step.passed), [])
                if any(o.cost <= step.cost and o.owned >= step.owned for o in others):
                    continue
                others[:] = [
                    o for o in others if not (step.cost <= o.cost and step.owned >= o.owned)
                ]
                others.append(step)
                heapq.heappush(queue, (self._least(step), next(turn), step))
                pushed += 1
                if pushed > MOST_LABELS:
                    raise TooManyWays(
                        "too many ways to look at: name parts on the way, or fewer targets"
                    )
            label = heapq.heappop(queue)[2] if queue else None
        return None

    def _onward(self, label: _Label) -> Iterator[_Label]:
        for there in self.net.onward(label.stop):
            if there not in self.far:
                continue
            at_hand = label.owned - self.net.spoils(label.stop, there)
            needed = self.net.goods(there)
            buys = needed - at_hand
            if self.asked.aim == PRICE and any(good not in self.prices for good in buys):
                continue
            cost = tuple(a + b for a, b in zip(label.cost, self._cost(1, buys), strict=True))
            passed = label.passed | self._passed(there)
            yield _Label(cost, there, passed, at_hand | needed, label)

    def _cost(self, steps: int, buys: Collection[str]) -> Cost:
        unknown = sum(good not in self.prices for good in buys)
        price = sum(self.prices.get(good, 0) for good in buys)
        if self.asked.aim == PRICE:
            return price, steps, len(buys)
        first = (steps, len(buys)) if self.asked.aim == STEPS else (len(buys), steps)
        return (*first, unknown, price)

    def _least(self, label: _Label) -> Cost:
        """The least that a way by this label costs in the end, each part by itself."""
        missing = [self.net.goods(goal) - label.owned for goal in self.asked.goals]
        still = [self._cost(0, goods) for goods in missing]
        rest = [min(column) for column in zip(*still, strict=True)]
        rest[0 if self.asked.aim == STEPS else 1] = self.far[label.stop]
        return tuple(a + b for a, b in zip(label.cost, rest, strict=True))

    def _passed(self, stop: str) -> int:
        return sum(1 << n for n, stops in enumerate(self.asked.through) if stop in stops)

    def _possible(self) -> bool:
        """Whether goods aside a way exists; notes how far each stop lies from a goal.

        Without this a search for what cannot be reached would go through every set of goods.
        """
        ahead = {self.start: self._open_after(self.start)}
        todo = deque([self.start])
        while todo:
            for there in ahead[todo.popleft()]:
                if there not in ahead:
                    ahead[there] = self._open_after(there)
                    todo.append(there)
        before: dict[str, list[str]] = {}
        for here, others in ahead.items():
            for there in others:
                before.setdefault(there, []).append(here)
        self.far = {goal: 0 for goal in self.asked.goals if goal in ahead}
        todo = deque(sorted(self.far))
        while todo:
            there = todo.popleft()
            for here in before.get(there, ()):
                if here not in self.far:
                    self.far[here] = self.far[there] + 1
                    todo.append(here)
        return self.start in self.far and self._passes(ahead)

    def _open_after(self, stop: str) -> list[str]:
        """The stops after one whose goods are at hand or may be bought."""
        if self.asked.aim != PRICE:
            return list(self.net.onward(stop))
        return [
            there
            for there in self.net.onward(stop)
            if all(g in self.prices or g in self.at_first for g in self.net.goods(there))
        ]

    def _passes(self, ahead: Mapping[str, Iterable[str]]) -> bool:
        """Whether some way to a goal passes all that it is to pass."""
        first = self.start, self._passed(self.start)
        seen = {first}
        todo = deque([first])
        while todo:
            here, passed = todo.popleft()
            if here in self.asked.goals and passed == self.all_passed:
                return True
            for there in ahead[here]:
                label = there, passed | self._passed(there)
                if there in self.far and label not in seen:
                    seen.add(label)
                    todo.append(label)
        return False


def _stops(label: _Label | None) -> list[str]:
    found: list[str] = []
    while label is not None:
        found.append(label.stop)
        label = label.before
    return found[::-1]
