"""How far the figures of the whole car may lie apart, check by check, and why.

Of the oracle they are exact over the whole box. The engine may be wider by so much and narrower by
so little; the unit is the check's own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .boxes import Span

INF = float("inf")
_OUTLINE = (
    "narrower: of a lining that is not cut the engine leaves the outline's ± out of r_eff and area"
)
_CUT = "wider: a lining cut by two circles is bounded apart in both setups"
_HOTTER = (
    "wider: both axles are bounded apart, though where the one warms more the other warms less, "
    "and so are the steps of the repeated stops, though heat capacity and cooling are the same"
)


@dataclass(frozen=True)
class Leave:
    """What a bound may be off: narrower, wider."""

    narrower: float
    wider: float
    why: str


CAR: Mapping[str, Leave] = {
    "front-share": Leave(0.06, 0.3, f"{_OUTLINE}; {_CUT}"),
    "front-first": Leave(0.06, 0.3, f"{_OUTLINE}; {_CUT}"),
    "grip-use": Leave(0.006, 0.006, f"{_OUTLINE}; {_CUT}; the greatest of a least is looked for"),
    "pedal-effort": Leave(0.004, 0.06, f"{_OUTLINE}; {_CUT}"),
    "stop": Leave(0.03, 0.6, f"{_OUTLINE}; {_CUT}"),
    "torque-change": Leave(0.006, 0.12, f"{_OUTLINE}; {_CUT}"),
    "heat-stop": Leave(0.6, INF, f"{_OUTLINE}; {_HOTTER}"),
    "heat-repeated": Leave(0.6, INF, f"{_OUTLINE}; {_HOTTER}"),
    "heat-descent": Leave(0.6, INF, f"{_OUTLINE}; {_HOTTER}"),
    "unsprung": Leave(1e-6, INF, "wider: what two members of a family inherit counts twice"),
    "pad-life": Leave(0.06, INF, f"{_OUTLINE}; {_CUT}; {_HOTTER}"),
}
NOT_BELOW_NOUGHT = frozenset({"unsprung", "ring-inertia"})
"""The engine tells the greater of both axles, and the other one gains nothing."""


def figures(check: str, engine: Span, oracle: Span) -> str | None:
    """`narrower`, `wider`, or None where the engine's bounds lie about the oracle's as they may."""
    leave = CAR[check]
    low, high = oracle[0] - engine[0], engine[1] - oracle[1]
    if min(low, high) < -leave.narrower - 1e-6:
        return "narrower"
    return "wider" if max(low, high) > leave.wider + 1e-6 else None


def above_nought(check: str, oracle: Span) -> Span:
    """The oracle's figure as the engine tells it."""
    if check not in NOT_BELOW_NOUGHT:
        return oracle
    return max(0.0, oracle[0]), max(0.0, oracle[1])
