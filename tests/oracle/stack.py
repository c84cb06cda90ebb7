"""What goes between ear and lug: none, matched washers, one machined ring, or settled later."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import floor

from .bands import constant
from .boxes import Span, span
from .read_kb import Kb

# TRADE §2 "Spacing": |e| <= 0.5 holds. "Stack": 2 washers, 6 mm, rings from 1 mm, 300 HV.
WINDOW, WASHER_COUNT, WASHER_TOTAL, RING_LEAST, WASHER_HV = 0.5, 2, 6.0, 1.0, 300.0


@dataclass(frozen=True)
class Option:
    """What goes between ear and lug: state word, range of thickness, its pieces, listed parts."""

    state: str
    parts: tuple[tuple[str, float], ...]
    pieces: tuple[Span, ...]
    nominal: float
    tolerance: float


def _washers(kb: Kb, diameter: float | None) -> list[tuple[float, float]]:
    """(total, one) of the washer stacks that may be used, fewest first."""
    if diameter is None:
        return []
    out = []
    for part in kb.of("washer"):
        hv, one = part.get("hardness_hv"), part.num("thickness_mm")
        if part.get("bolt_mm") != diameter or hv is None or hv < WASHER_HV or one is None:
            continue
        lo, hi = span(one)
        nominal = round((lo + hi) / 2, 6)
        out += [(n, nominal) for n in range(1, WASHER_COUNT + 1) if n * nominal <= WASHER_TOTAL]
    return [(n * t, t) for n, t in sorted(set(out))]


def choose_stack(
    kb: Kb, s: Span, diameter: float | None, bare: float, window: float
) -> Option | None:
    """TRADE §2 Stack over a whole interval of s; `settle` when no one option serves it all."""
    lo, hi = round(s[0], 9), round(s[1], 9)
    each = constant("washer_plus_minus_mm")
    tol = constant("ring_plus_minus_mm")
    if hi <= bare:
        return Option("none", (("none", 0.0),), ((0.0, 0.0),), 0.0, 0.0)
    if diameter is None:
        return None
    washers = _washers(kb, diameter)

    def land(k: float, doubt: float, a: float, b: float) -> bool:
        return max(abs(k - a), abs(k - b)) + doubt <= window + 1e-9

    for k, one in washers:
        n = round(k / one)
        if land(k, n * each, lo, hi):
            piece = (k - n * each, k + n * each)
            return Option("washers", (("washer", one),) * n, (piece,), k, n * each)
    k = max(RING_LEAST, floor((lo + hi) / 2 * 10 + 0.5 + 1e-9) / 10)
    if land(k, tol, lo, hi):
        return Option("ring", (("ring", k),), ((k - tol, k + tol),), k, tol)
    # Settles at mock-up: what may be chosen at each s.
    edges = {lo, hi, bare}
    for k, one in washers:
        slack = window - round(k / one) * each
        edges |= {k - slack, k + slack}
    cuts = sorted(x for x in edges if lo <= x <= hi)
    parts: list[tuple[str, float]] = []
    for a, b in pairwise(cuts):
        at = (a + b) / 2
        found = next(((k, t) for k, t in washers if land(k, round(k / t) * each, at, at)), None)
        if at <= bare:
            parts.append(("none", 0.0))
        elif found is not None:
            parts.append(("washers", found[0]))
        else:
            parts += [("ring", max(RING_LEAST, a)), ("ring", max(RING_LEAST, b))]
    pieces: list[Span] = [(0.0, 0.0)] if lo <= bare else []
    pieces.append((max(RING_LEAST, lo - window), max(RING_LEAST, hi + window)))
    return Option("settle", tuple(dict.fromkeys(parts)), tuple(pieces), 0.0, 0.0)
