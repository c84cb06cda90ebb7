"""The graph of single changes against plain enumeration, on generated axles."""

from __future__ import annotations

import random
from itertools import product

import pytest

from lugplane.answers.network import nearest, network, steps_from

KINDS = ("caliper", "disc", "pad")


def change(here: str, there: str) -> tuple[str, ...]:
    """Setups are named by one letter a kind; a pad `*` goes with the caliper that it is for."""
    kinds = [k for k, a, b in zip(KINDS, here, there, strict=True) if a != b]
    if "caliper" in kinds and "pad" in kinds and "*" in (here[2], there[2]):
        kinds.remove("pad")
    return tuple(kinds)


def generated(seed: int) -> tuple[str, list[str]]:
    rng = random.Random(seed)
    every = ["".join(p) for p in product("abc"[: rng.randint(1, 3)], "xyz", "pq*")]
    share = rng.choice((0.15, 0.3, 0.8))
    kept = [k for k in every if rng.random() < share]
    start = rng.choice(every)
    return start, sorted({start, *kept})


def reached_by_hand(start: str, keys: list[str], pairs: set[tuple[str, str]]) -> set[str]:
    found = {start}
    for _ in keys:
        found |= {b for a, b in pairs if a in found}
    return found


@pytest.mark.parametrize("seed", range(300))
def test_every_reachable_setup_and_every_step(seed: int) -> None:
    start, keys = generated(seed)
    single = {(a, b) for a, b in product(keys, keys) if len(change(a, b)) == 1}
    reached = reached_by_hand(start, keys, single)
    graph = network(start, keys, change)
    assert set(graph) == reached
    assert set(graph.edges) == {(a, b) for a, b in single if a in reached and b in reached}
    assert all(graph.edges[a, b]["kinds"] == change(a, b) for a, b in graph.edges)
    steps = steps_from(graph, start)
    far = {start: 0}
    for n in range(1, len(keys)):
        for a, b in single:
            if far.get(a) == n - 1 and b not in far:
                far[b] = n
    assert steps == far


@pytest.mark.parametrize("seed", range(300))
def test_at_once_reaches_all_by_as_few_kinds_as_will_do(seed: int) -> None:
    start, keys = generated(seed)
    pairs = {(a, b) for a, b in product(keys, keys) if len(change(a, b)) == 1}
    while (reached := reached_by_hand(start, keys, pairs)) != set(keys):
        out = [(a, b) for a, b in product(reached, set(keys) - reached)]
        fewest = min(len(change(a, b)) for a, b in out)
        pairs |= {(a, b) for a, b in out if len(change(a, b)) == fewest}
    graph = network(start, keys, change, at_once=True)
    assert set(graph) == set(keys)
    assert set(graph.edges) == pairs


def test_generated_axles_are_of_all_sorts() -> None:
    sizes = [len(network(*generated(seed), change)) for seed in range(300)]
    whole = [len(generated(seed)[1]) for seed in range(300)]
    assert sum(a < b for a, b in zip(sizes, whole, strict=True)) > 50
    assert max(sizes) > 15


def test_the_nearest_stop_is_where_the_fewest_kinds_change() -> None:
    steps = {"axp": 0, "ayp": 1, "azp": 1}
    assert nearest(steps, "bzq", change, steps) == ("azp", ("caliper", "pad"))
    assert nearest(steps, "bxp", change, steps) == ("axp", ("caliper",))


def test_a_start_that_is_no_stop_leads_nowhere_by_itself() -> None:
    assert set(network("axp", [], change)) == {"axp"}
