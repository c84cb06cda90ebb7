"""Limits as TRADE states them, and the judging of an interval against bands.

A band is (edge, takes the edge in, state). What TRADE does not give is read from
``rules/limits.yaml`` by name, never copied.
"""

from __future__ import annotations

from typing import Any

from .boxes import Span
from .read_kb import ROOT, read

Band = tuple[float, bool, str]
INF = float("inf")
_FILE: dict[str, Any] = read(ROOT / "rules" / "limits.yaml")


def _at_least(x: float, below: str = "fails") -> list[Band]:
    return [(x, False, below), (INF, True, "holds")]


def _from_file(name: str) -> list[Band]:
    out: list[Band] = []
    for band in _FILE["limits"][name]["bands"]:
        edge = band.get("to", band.get("below", INF))
        out.append((float(edge), "below" not in band, band["state"]))
    return out


def constant(name: str) -> float:
    """A constant that TRADE lacks, from limits.yaml."""
    return float(_FILE["constants"][name]["value"])


def unit(limit: str) -> float:
    """How many of a limit's units make one: percent and percentage points are hundredths."""
    return {"%": 100.0, "points": 100.0}.get(_FILE["limits"][limit]["unit"], 1.0)


LIMITS: dict[str, list[Band]] = {
    # TRADE §2 "Left over after the best stack": <= 0.5 holds, <= 1.0 care, more fails.
    "centring": [(0.5, True, "holds"), (1.0, True, "care"), (INF, True, "fails")],
    # TRADE §2 Mock-up: tilt <= 0.25.
    "tilt": [(0.25, True, "holds"), (INF, True, "fails")],
    # TRADE §2 Adapter: "spacings differ by more than the plain hole's clearance".
    "fit-in-clearance": [(0.0, True, "holds"), (INF, True, "fails")],
    # TRADE §3: margins that must not be negative.
    "margin": _at_least(0.0),
    # TRADE §3: tip >= 2 mm off the disc.
    "tip": _at_least(2.0),
    # TRADE §3: below 1.2 care, never fails.
    "slip-reserve": _at_least(1.2, "care"),
    # TRADE §2 axial stack: cheek >= 1.5.
    "cheek": _at_least(1.5),
    # TRADE §2 radial fit.
    "overhang": [
        (-2.0, False, "fails"),
        (0.0, False, "work"),
        (0.5, False, "care"),
        (2.0, True, "holds"),
        (INF, True, "care"),
    ],
    # TRADE §2 radial fit: bridge gap >= 2.
    "bridge": _at_least(2.0),
    # TRADE §2 trim: to 5 % work, 5-15 % work with caution, more fails.
    "trim": [
        (0.0, True, "holds"),
        (0.05, True, "work"),
        (0.15, True, "work"),
        (INF, True, "fails"),
    ],
    # TRADE §2 trim: plate against hat >= 1.
    "plate-hat": _at_least(1.0),
    # TRADE §2 hub: 0-0.1 holds, to 0.3 care, 0.3-2 fails, above 2 ring, below 0 does not seat.
    "hub-bore": [
        (0.0, False, "fails"),
        (0.1, True, "holds"),
        (0.3, True, "care"),
        (2.0, True, "fails"),
        (INF, True, "work"),
    ],
    # TRADE §2 hub: counts match.
    "same-count": [(0.0, True, "holds"), (INF, True, "fails")],
    # TRADE §2 hub: shield trimmed where the ring and 2 mm reach its lip.
    "shield-lip": _at_least(0.0, "work"),
    # TRADE §4 balance: front share <= 3 points holds, 3-5 care, more, or rearward by over 1, fails.
    "front-share": [
        (-1.0, False, "fails"),
        (3.0, True, "holds"),
        (5.0, True, "care"),
        (INF, True, "fails"),
    ],
    # TRADE §4 pedal: reserve at least one third holds.
    "stroke-reserve": _at_least(1 / 3),
    # TRADE §2 wheel: >= 3 holds, 2-3 care, less fails.
    "wheel-gap": [(2.0, False, "fails"), (3.0, False, "care"), (INF, True, "holds")],
}
# Not in TRADE, so from limits.yaml: outer bands of the spacing, a floating caliper's limits,
# how loose a hole may be, how alike two lengths, rooms, spigot left, used discs.
for _name in (
    "spacing",
    "spacing-floating",
    "spacing-by-adapter",
    "lift",
    "centring-floating",
    "hole-clearance",
    "same-length",
    "hat-room",
    "shield-face",
    "wheel-spigot",
    "wheel-bore",
    "disc-worn",
    "runout",
    "thickness-variation",
    # The whole car: TRADE has edges for the front share and the pedal's reserve only.
    "front-first",
    "grip-use",
    "pedal-effort",
    "stop",
    "torque-change",
    "pedal-travel",
    "heat",
    "unsprung",
    "ring-inertia",
    "pad-life",
):
    LIMITS[_name] = _from_file(_name)

_ORDER = ("holds", "care", "work")


def touched(values: Span, bands: list[Band]) -> list[str]:
    """States of the bands that an interval touches."""
    lo, hi = round(values[0], 9), round(values[1], 9)
    out: list[str] = []
    low_edge, open_edge = -INF, False  # open: the band begins just beyond the edge
    for edge, inclusive, state in bands:
        begins = hi > low_edge if open_edge else hi >= low_edge
        ends = lo <= edge if inclusive else lo < edge
        if begins and ends:
            out.append(state)
        low_edge, open_edge = edge, inclusive
    return out


def judge_span(values: Span | None, limit: str) -> str:
    """TRADE §1: the worse of good bands; touching `fails` but not wholly there, no verdict."""
    if values is None or values[0] != values[0] or values[1] != values[1]:
        return "cannot tell"
    states = touched(values, LIMITS[limit])
    if "fails" in states:
        return "fails" if set(states) == {"fails"} else "cannot tell"
    return max(states, key=_ORDER.index)
