"""Which setups single changes of parts lead to, as a graph; nothing here knows brakes.

Nodes are setups by their keys, an edge leads where one change of one kind leads, and carries the
`kinds` that change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from networkx import DiGraph

Change = Callable[[str, str], tuple[str, ...]]
"""The kinds in which two setups differ, each to be changed by itself."""


def network(start: str, keys: Sequence[str], change: Change, *, at_once: bool = False) -> DiGraph:
    """All that can be reached from `start`, with every step between.

    With `at_once`, several kinds change in one step where no single changes lead on: always the
    fewest that will do, from everywhere that it can be done. The graph holds `start` even if it is
    not among the keys.
    """
    import networkx as nx

    nodes = list(dict.fromkeys([start, *keys]))
    kinds = {(a, b): change(a, b) for a in nodes for b in nodes if a != b}
    graph = nx.DiGraph()
    graph.add_nodes_from(nodes)
    graph.add_edges_from((a, b, {"kinds": k}) for (a, b), k in kinds.items() if len(k) == 1)
    while at_once:
        reached = nx.descendants(graph, start) | {start}
        jumps = {
            (a, b): k for (a, b), k in kinds.items() if k and a in reached and b not in reached
        }
        if not jumps:
            break
        fewest = min(map(len, jumps.values()))
        for (a, b), k in jumps.items():
            if len(k) == fewest:
                graph.add_edge(a, b, kinds=k)
    return graph.subgraph(nx.descendants(graph, start) | {start}).copy()


def steps_from(graph: DiGraph, start: str) -> dict[str, int]:
    """The least number of steps to each node."""
    import networkx as nx

    found: dict[str, int] = nx.single_source_shortest_path_length(graph, start)
    return found


def nearest(
    reached: Iterable[str], key: str, change: Change, steps: dict[str, int]
) -> tuple[str, tuple[str, ...]]:
    """Where the fewest kinds change at one go: the stop nearest to the start, and the kinds."""
    found = [(len(k := change(here, key)), steps[here], here, k) for here in reached]
    _, _, here, kinds = min(found)
    return here, kinds
