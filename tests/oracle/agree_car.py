"""How far the figures of the whole car may lie apart, check by check, and why.

Of the oracle they are exact over the whole box. The engine may be wider by so much and narrower by
so little; the unit is the check's own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .boxes import Span

_CUT = "wider: r_eff and area of two linings that are not one are bounded apart"
_HOTTER = "wider: shares of work and rings are bounded apart"
_LEAST = (
    "the greatest of a least: the oracle looks for it at the corners of the box, the engine bounds "
    "what lies between; it only tells a sure failing from a doubtful one, and that is a state"
)


@dataclass(frozen=True)
class Leave:
    """What a bound may be off: narrower, wider. `top_free`: the greatest value by its state."""

    narrower: float
    wider: float
    why: str
    top_free: bool = False


CAR: Mapping[str, Leave] = {
    "front-share": Leave(1e-3, 0.3, _CUT),
    "front-first": Leave(1e-3, 0.1, _CUT),
    "grip-use": Leave(1e-3, 0.002, f"{_CUT}; {_LEAST}", top_free=True),
    "pedal-effort": Leave(1e-4, 0.02, _CUT),
    "stop": Leave(1e-3, 0.2, _CUT),
    "torque-change": Leave(1e-4, 0.02, _CUT),
    "heat-stop": Leave(1e-3, 1.5, f"{_CUT}; {_HOTTER}"),
    "heat-repeated": Leave(1e-3, 1.5, f"{_CUT}; {_HOTTER}"),
    "heat-descent": Leave(1e-3, 1.5, f"{_CUT}; {_HOTTER}"),
    "pad-life": Leave(1e-3, 0.04, f"{_CUT}; {_HOTTER}"),
}


def figures(check: str, engine: Span, oracle: Span) -> str | None:
    """`narrower`, `wider`, or None where the engine's bounds lie about the oracle's as they may."""
    leave = CAR[check]
    low, high = oracle[0] - engine[0], engine[1] - oracle[1]
    if min(low, high) < -leave.narrower - 1e-6:
        return "narrower"
    if leave.top_free:
        high = 0.0
    return "wider" if max(low, high) > leave.wider + 1e-6 else None
