"""The least set that settles everything in doubt: a search of bounded length.

Which sets settle is only known by judging them, and that is dear. So a set is judged only if it
may be the least one: every doubt that a judged set leaves standing must be met by something it
left out (a clause), and nothing is taken before what narrows every doubt at least as much.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

Standing = Callable[[frozenset[str]], tuple[frozenset[str], ...]]
"""For a set that is measured: what each doubt left standing hangs on, by the names of candidates.

Measuring more must never leave more standing. Empty: all is settled.
"""
MOST_JUDGED = 160
_MOST_NODES = 5_000
_LAST_RESORT = 40


@dataclass(frozen=True, slots=True)
class Least:
    """The set found. `proven`: no shorter one settles, as far as the search's two rules hold."""

    taken: frozenset[str]
    proven: bool


def least_set(
    names: Sequence[str],
    standing: Standing,
    worth: Mapping[str, float],
    before: Mapping[str, frozenset[str]] | None = None,
    first: frozenset[str] = frozenset(),
    most_judged: int = MOST_JUDGED,
) -> Least:
    """The smallest set of `names` that leaves nothing standing; of several, the worthiest.

    `before[x]` are names that narrow every doubt at least as much as `x`: they are taken before it.
    `first` is taken in any case. Everything together must settle all that can be settled. Where
    `most_judged` sets were judged without an end, a set is given that can do without none of its
    members.
    """
    before = before or {}
    clauses: list[frozenset[str]] = [frozenset({name}) for name in sorted(first)]
    judged: set[frozenset[str]] = set()
    size = len(first)
    while size <= len(names):
        found = _best_of_size(names, clauses, size, worth, before, judged)
        if found is None:
            size += 1
            continue
        if found is _TOO_MANY or len(judged) >= most_judged:
            return Least(_irredundant(names, standing, worth, first), False)
        judged.add(found)
        left = standing(found)
        if not left:
            return Least(found, True)
        for hangs_on in left:
            clause = (hangs_on - found) or (frozenset(names) - found)
            if not any(other <= clause for other in clauses):
                clauses = [c for c in clauses if not clause <= c] + [clause]
    return Least(frozenset(names), False)


_TOO_MANY: frozenset[str] = frozenset({""})


def _best_of_size(
    names: Sequence[str],
    clauses: Sequence[frozenset[str]],
    size: int,
    worth: Mapping[str, float],
    before: Mapping[str, frozenset[str]],
    judged: set[frozenset[str]],
) -> frozenset[str] | None:
    """The worthiest set of a size that meets every clause and was not judged; None: none does."""
    found = list(islice(_sets(names, clauses, size, before), _MOST_NODES))
    if len(found) >= _MOST_NODES:
        return _TOO_MANY
    fresh = [s for s in dict.fromkeys(found) if s not in judged]
    return min(fresh, key=lambda s: (-sum(worth.get(x, 0.0) for x in s), sorted(s)), default=None)


def _sets(
    names: Sequence[str],
    clauses: Sequence[frozenset[str]],
    size: int,
    before: Mapping[str, frozenset[str]],
) -> Iterator[frozenset[str]]:
    """Every set of a size that meets the clauses and takes nothing before what comes before it.

    Branches on an unmet clause, else on what may be added; each set comes once for each way that
    it is put together, and every branch that can no longer be met is cut.
    """
    seen: set[frozenset[str]] = set()

    def grown(taken: frozenset[str]) -> Iterator[frozenset[str]]:
        if taken in seen:
            return
        seen.add(taken)
        unmet = [c for c in clauses if not c & taken]
        if len(taken) + _apart(unmet) > size:
            return
        if len(taken) == size:
            if not unmet:
                yield taken
            return
        pool = min(unmet, key=len) if unmet else frozenset(names)
        for name in sorted(pool - taken):
            wider = taken | before.get(name, frozenset()) | {name}
            if len(wider) <= size:
                yield from grown(wider)

    yield from grown(frozenset())


def _apart(clauses: Sequence[frozenset[str]]) -> int:
    """How many clauses share nothing, taken greedily: no fewer names can meet them all."""
    met: set[str] = set()
    count = 0
    for clause in sorted(clauses, key=len):
        if not clause & met:
            met |= clause
            count += 1
    return count


def _irredundant(
    names: Sequence[str],
    standing: Standing,
    worth: Mapping[str, float],
    first: frozenset[str],
) -> frozenset[str]:
    """All names without those that can be spared, the least worthy spared first."""
    taken = frozenset(names)
    spare = sorted(taken - first, key=lambda x: (worth.get(x, 0.0), x))
    for name in spare[:_LAST_RESORT]:
        if not standing(taken - {name}):
            taken = taken - {name}
    return taken
