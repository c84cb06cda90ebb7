"""A rulebook as plain data, and back: what is kept so that rules need not be read again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from lugplane.deduce.grammar import Pattern, Rule
from lugplane.deduce.rulebook import Check, Rulebook, Step, Steps
from lugplane.quantity.judge import Band, Limit
from lugplane.quantity.limits import Assumed, Constant, Limits


def to_plain(rulebook: Rulebook) -> Mapping[str, Any]:
    """The rulebook as mappings, lists, words and numbers."""
    return asdict(rulebook)


def from_plain(plain: Mapping[str, Any]) -> Rulebook:
    """The reverse of `to_plain`, also after a way through JSON."""
    return Rulebook(
        _limits(plain["limits"]),
        tuple(Check(**{**c, "applies": tuple(c["applies"])}) for c in plain["checks"]),
        tuple(_rule(r) for r in plain["rules"]),
        Steps(
            **{
                name: tuple(Step(**{**s, "before": tuple(s["before"])}) for s in steps)
                for name, steps in plain["steps"].items()
            }
        ),
    )


def _limits(plain: Mapping[str, Any]) -> Limits:
    return Limits(
        {name: Constant(**c) for name, c in plain["constants"].items()},
        {name: Assumed(**a) for name, a in plain["assumed"].items()},
        {
            name: Limit(**{**limit, "bands": tuple(Band(**b) for b in limit["bands"])})
            for name, limit in plain["limits"].items()
        },
    )


def _rule(plain: Mapping[str, Any]) -> Rule:
    when = tuple(Pattern(p["name"], _pairs(p["equals"])) for p in plain["when"])
    then = tuple(_pairs(fact) for fact in plain["then"])
    return Rule(**{**plain, "when": when, "then": then})


def _pairs(plain: Any) -> tuple[tuple[str, str], ...]:
    return tuple((key, word) for key, word in plain)
