"""Parts that no check can tell apart, taken as one."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from typing import TypeVar

from lugplane.facts.records import Caliper, Carrier, Disc, Pad
from lugplane.links.fact import all_worth

T = TypeVar("T")

COMPOUND = frozenset(
    {"compound", "friction_letters", "friction_ratio", "friction_curve", "mass_kg"}
)
"""What pads of one shape may differ in besides their names: their compound."""
_LISTED = frozenset({"calipers"})


def fold(items: Iterable[T], key: Callable[[T], Hashable]) -> tuple[tuple[T, ...], ...]:
    """Items in groups of the same key, in the order in which each group began."""
    groups: dict[Hashable, list[T]] = {}
    for item in items:
        groups.setdefault(key(item), []).append(item)
    return tuple(tuple(g) for g in groups.values())


def disc_key(disc: Disc) -> Hashable:
    """Discs alike in this differ in name, finish and source only."""
    return all_worth(disc)


def pad_key(pad: Pad) -> Hashable:
    """Pads alike in this differ in name and compound only."""
    return all_worth(pad, COMPOUND)


def caliper_key(caliper: Caliper) -> Hashable:
    """Calipers alike in this differ in name, finish and source only."""
    return all_worth(caliper)


def carrier_key(carrier: Carrier | None) -> Hashable:
    """Carriers alike in this differ in name, and in which calipers they are known to take."""
    return None if carrier is None else (all_worth(carrier, _LISTED), carrier.calipers.known)
