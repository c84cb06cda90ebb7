"""The search for ways against going through all of them, on generated nets that know no brakes."""

from __future__ import annotations

import random
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise, permutations

import pytest

from lugplane.answers import ways
from lugplane.answers.ways import AIMS, GOODS, PRICE, STEPS, Asked, TooManyWays, best_way, walk

SEEDS = range(300)


@dataclass(frozen=True)
class Plain:
    """A net written down."""

    edges: Mapping[str, Sequence[str]]
    needs: Mapping[str, frozenset[str]]
    spoiling: Mapping[tuple[str, str], frozenset[str]] = field(default_factory=dict)

    def onward(self, stop: str) -> Sequence[str]:
        return self.edges.get(stop, ())

    def goods(self, stop: str) -> frozenset[str]:
        return self.needs[stop]

    def spoils(self, here: str, there: str) -> frozenset[str]:
        return self.spoiling.get((here, there), frozenset())


@dataclass(frozen=True)
class Case:
    net: Plain
    asked: Asked
    stops: tuple[str, ...]


def generated(seed: int) -> Case:
    """Up to six stops with up to four goods each; some goods are spoiled, some unpriced.

    Where stops are to be passed there are fewer of them: there are so many more ways then.
    """
    rng = random.Random(seed)
    passes = rng.choice((0, 0, 1, 2))
    stops = tuple("abcdef"[: rng.randint(3 if passes else 5, 4 if passes else 6)])
    goods = [f"g{n}" for n in range(rng.randint(2, 7))]
    dense = rng.choice((0.4, 0.8, 0.95))
    reach = rng.choice((1, 2, len(stops)))  # how far a step may lead in the order of the letters
    edges = {
        a: tuple(b for b in stops if 0 < abs(ord(a) - ord(b)) <= reach and rng.random() < dense)
        for a in stops
    }
    needs = {s: frozenset(rng.sample(goods, rng.randint(0, min(4, len(goods))))) for s in stops}
    spoiling = {
        (a, b): frozenset(g for g in needs[a] if rng.random() < 0.3)
        for a in stops
        for b in edges[a]
    }
    through = tuple(frozenset(rng.sample(stops, rng.randint(1, 2))) for _ in range(passes))
    asked = Asked(
        frozenset(rng.sample(stops, rng.randint(1, 2))),
        rng.choice(AIMS),
        through,
        frozenset(g for g in goods if rng.random() < 0.15),
        {g: rng.choice((0, 100, 250, 999)) for g in goods if rng.random() < 0.8},
    )
    return Case(Plain(edges, needs, spoiling), asked, stops)


def bought(net: Plain, route: Sequence[str], owned: Collection[str]) -> list[str]:
    """What is bought along a route, reckoned by going along it."""
    shelf = set(owned) | set(net.needs[route[0]])
    found: list[str] = []
    for here, there in pairwise(route):
        shelf -= net.spoiling.get((here, there), frozenset())
        fresh = sorted(net.needs[there] - shelf)
        found += fresh
        shelf |= set(fresh)
    return found


def cost(case: Case, route: Sequence[str]) -> tuple[int, ...] | None:
    """The cost as the aims say it: first the aim, then what settles ties."""
    asked, prices = case.asked, case.asked.prices or {}
    buys = bought(case.net, route, asked.owned)
    steps, price = len(route) - 1, sum(prices.get(g, 0) for g in buys)
    unknown = sum(g not in prices for g in buys)
    if asked.aim == PRICE:
        return None if unknown else (price, steps, len(buys))
    if asked.aim == STEPS:
        return steps, len(buys), unknown, price
    return len(buys), steps, unknown, price


def routes(case: Case, start: str) -> Iterator[tuple[str, ...]]:
    """Every way that comes to no stop twice."""
    others = [s for s in case.stops if s != start]
    for length in range(len(others) + 1):
        for rest in permutations(others, length):
            route = (start, *rest)
            if all(b in case.net.edges[a] for a, b in pairwise(route)):
                yield route


def tours(case: Case, start: str) -> Iterator[tuple[str, ...]]:
    """Every way that comes to no stop twice without having passed more of what it is to pass."""
    through = case.asked.through

    def passed(route: tuple[str, ...]) -> frozenset[int]:
        return frozenset(n for n, any_of in enumerate(through) if any_of & set(route))

    todo: list[tuple[tuple[str, ...], frozenset[tuple[str, frozenset[int]]]]] = []
    first = (start,)
    todo.append((first, frozenset({(start, passed(first))})))
    while todo:
        route, seen = todo.pop()
        if len(passed(route)) == len(through):
            yield route
        for there in case.net.edges[route[-1]]:
            longer = (*route, there)
            mark = there, passed(longer)
            if mark not in seen:
                todo.append((longer, seen | {mark}))


@pytest.mark.parametrize("seed", SEEDS)
def test_the_best_way_is_the_best_of_all(seed: int) -> None:
    case = generated(seed)
    every = tours(case, "a") if case.asked.through else routes(case, "a")
    costs = [c for r in every if r[-1] in case.asked.goals and (c := cost(case, r)) is not None]
    way = best_way(case.net, "a", case.asked)
    if not costs:
        assert way is None
        return
    assert way is not None
    assert way.end in case.asked.goals
    assert all(any_of & set(way.stops) for any_of in case.asked.through)
    assert all(b in case.net.edges[a] for a, b in pairwise(way.stops))
    assert list(way.buys) == bought(case.net, way.stops, case.asked.owned)
    assert cost(case, way.stops) == min(costs)
    assert ways.cost_of(way, case.asked.aim, case.asked.prices or {}) == min(costs)


def test_generated_nets_are_of_all_sorts() -> None:
    cases = [generated(seed) for seed in SEEDS]
    found = [best_way(c.net, "a", c.asked) for c in cases]
    assert sum(w is None for w in found) > 20
    assert sum(w is not None and len(w.legs) > 2 for w in found) > 20
    assert sum(w is not None and len(w.stops) > len(set(w.stops)) for w in found) > 0
    for aim in AIMS:
        assert sum(c.asked.aim == aim for c in cases) > 50


def test_what_came_off_is_not_bought_again() -> None:
    """From `a` over `b` (which needs x) and `c` (which does not) to `d`, which needs x again."""
    needs = {"a": (), "b": ("x",), "c": ("y",), "d": ("x", "y")}
    net = Plain(
        {"a": "b", "b": "c", "c": "d"}, {stop: frozenset(goods) for stop, goods in needs.items()}
    )
    way = best_way(net, "a", Asked(frozenset("d")))
    assert way is not None
    assert way.buys == ("x", "y")
    assert way.legs[-1].buys == ()
    assert way.legs[-1].kept == ("x",)


def test_what_is_spoiled_is_bought_again() -> None:
    net = Plain(
        {"a": "b", "b": "c"},
        {"a": frozenset(), "b": frozenset("x"), "c": frozenset("x")},
        {("b", "c"): frozenset("x")},
    )
    way = best_way(net, "a", Asked(frozenset("c")))
    assert way is not None
    assert [leg.buys for leg in way.legs] == [("x",), ("x",)]


def test_a_longer_way_may_be_the_cheaper_one() -> None:
    needs = {"a": "", "b": "x", "c": "xy", "d": "w"}
    net = Plain(
        {"a": ("d", "b"), "d": ("c",), "b": ("c",)}, {k: frozenset(v) for k, v in needs.items()}
    )
    goal = frozenset("c")
    by_steps = best_way(net, "a", Asked(goal, STEPS))
    fewest = best_way(net, "a", Asked(goal, GOODS))
    assert by_steps is not None
    assert fewest is not None
    assert fewest.stops == by_steps.stops == ("a", "b", "c")
    dear = Asked(goal, PRICE, prices={"x": 100, "y": 100, "w": 1})
    assert best_way(net, "a", dear) == fewest
    unpriced = Asked(goal, PRICE, prices={"x": 100, "w": 1})
    assert best_way(net, "a", unpriced) is None
    owned = Asked(goal, PRICE, owned=frozenset("y"), prices={"x": 100, "w": 1})
    assert best_way(net, "a", owned) == walk(net, ("a", "b", "c"), "y")


def test_a_search_without_end_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ways, "MOST_LABELS", 3)
    stops = "abcdef"
    net = Plain(
        {a: tuple(b for b in stops if b != a) for a in stops}, {s: frozenset({s}) for s in stops}
    )
    through = tuple(frozenset(s) for s in stops)
    with pytest.raises(TooManyWays, match="name parts"):
        best_way(net, "a", Asked(frozenset("f"), GOODS, through))


def test_an_unknown_aim_is_refused() -> None:
    with pytest.raises(ValueError, match="no aim"):
        best_way(Plain({}, {"a": frozenset()}), "a", Asked(frozenset("a"), "beauty"))


def test_who_is_there_already_takes_no_step() -> None:
    way = best_way(Plain({}, {"a": frozenset("x")}), "a", Asked(frozenset("a")))
    assert way is not None
    assert way.legs == ()
    assert way.end == "a"
