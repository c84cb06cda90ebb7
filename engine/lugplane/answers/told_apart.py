"""Parts that no check of their fit tells apart, and that a whole car does tell apart.

Pads of one shape differ in their compound, so in friction; and a part that stays as the factory
fitted it is one number beside stock, where another of the same dimensions has a doubt of its own.
So of parts taken as one, each sort is judged by itself, and parts stay one only where every setup
that they are in comes out the same.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Generic, TypeVar

from lugplane.facts.base import Base
from lugplane.facts.records import Pad
from lugplane.links.candidates import KINDS, Candidate
from lugplane.links.fact import all_worth

T = TypeVar("T")
Choice = tuple[str, ...]
"""Caliper, carrier, disc and pad by their ids; empty where there is none."""


@dataclass(frozen=True, slots=True)
class Members(Generic[T]):
    """A candidate, by kind and id the part that is judged for each, and what each choice gave."""

    item: Candidate
    first: Mapping[str, Mapping[str, str]]
    judged: Mapping[Choice, T]

    def of(self, kind: str, id_: str) -> Iterator[T]:
        """What every choice with this part gave, in the order of the other parts."""
        taken = [
            [self.first[k][id_]] if k == kind else dict.fromkeys(self.first[k].values()) or [""]
            for k in KINDS
        ]
        return (self.judged[choice] for choice in product(*taken))


def members_of(
    item: Candidate, base: Base, stock: Collection[str], judge: Callable[[Candidate], T]
) -> Members[T]:
    """Judge one part of each sort that a candidate stands for."""
    first = {kind: _firsts(item, kind, base, stock) for kind in KINDS}
    judged = {
        choice: judge(_chosen(item, choice))
        for choice in product(*(dict.fromkeys(first[k].values()) or [""] for k in KINDS))
    }
    return Members(item, first, judged)


def told_apart(
    found: Sequence[Members[T]], stock: Collection[str], outcome: Callable[[T], Hashable]
) -> Iterator[tuple[Candidate, T]]:
    """Candidates with what they gave, a part standing only for others of the same outcome.

    It does so in every candidate that it is in, so that a change of parts is a change everywhere.
    """
    groups = {kind: _groups(found, kind, stock, outcome) for kind in KINDS}
    for each in found:
        choices = [
            dict.fromkeys(groups[kind][i] for i in each.first[kind]) or [""] for kind in KINDS
        ]
        for choice in product(*choices):
            alike = {
                kind: tuple(i for i in each.first[kind] if groups[kind][i] == own and i != own)
                for kind, own in zip(KINDS, choice, strict=True)
            }
            chosen = _chosen(each.item, choice)
            rest = tuple((kind, ids) for kind, ids in alike.items() if ids)
            yield replace(chosen, alike=rest), each.judged[choice]


def ids_of(item: Candidate, kind: str) -> tuple[str, ...]:
    """The part of a kind and those that it stands for, by name."""
    own = getattr(item, kind)
    return tuple(sorted({own, *dict(item.alike).get(kind, ())})) if own else ()


def _chosen(item: Candidate, choice: Choice) -> Candidate:
    caliper, carrier, disc, pad = choice
    return replace(item, caliper=caliper, carrier=carrier or None, disc=disc, pad=pad, alike=())


def _firsts(item: Candidate, kind: str, base: Base, stock: Collection[str]) -> dict[str, str]:
    """For each part the one of its sort that is judged: stock, or the first by name."""
    sorts: dict[Hashable, str] = {}
    found: dict[str, str] = {}
    for id_ in sorted(ids_of(item, kind), key=lambda i: (i not in stock, i)):
        compound = all_worth(base.get(Pad, id_)) if kind == "pad" else None
        found[id_] = sorts.setdefault((id_ in stock, compound), id_)
    return found


def _groups(
    found: Sequence[Members[T]],
    kind: str,
    stock: Collection[str],
    outcome: Callable[[T], Hashable],
) -> dict[str, str]:
    """The one part that each part of a kind stands under: stock, or the first by name."""
    where: dict[str, list[Hashable]] = {}
    for n, each in enumerate(found):
        for id_ in each.first[kind]:
            came_out = tuple(outcome(x) for x in each.of(kind, id_))
            where.setdefault(id_, []).append((n, came_out))
    together: dict[Hashable, list[str]] = {}
    for id_ in sorted(where, key=lambda i: (i not in stock, i)):
        together.setdefault(tuple(where[id_]), []).append(id_)
    return {id_: ids[0] for ids in together.values() for id_ in ids}
