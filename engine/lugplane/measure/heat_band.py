"""Bounds of what a disc reaches in each stop of a list, not of the hottest alone.

At one moment a heavier ring may be the hotter one, since it keeps its heat: the temperature there
has no direction in the ring's capacity C. It has one in everything else. So C's
stretch is cut into short pieces, each of which is bounded from its two ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import log

from lugplane.measure.arguments import positive
from lugplane.measure.corners import Span
from lugplane.measure.fade import OwnStop, stop_list_c
from lugplane.measure.heat import BrakedMass, Ring

_PIECE = 0.004
"""Greatest share by which the capacity grows over a piece, and with it the bounds' slack."""
_MOST_PIECES = 400


def stop_peaks_bounds_c(
    stops: Sequence[OwnStop],
    mass_kg: Span,
    axle_share: Span,
    disc_share: Span,
    ring_kg: Span,
    specific_heat_j_kgk: Span,
    cooling_wk: Span,
    ambient_c: Span,
) -> tuple[Span, ...]:
    """Bounds of the hottest during each stop of a list, begun at the air's temperature, °C.

    The excess over the air is `θ(t) = ∫ P(s) e^(-h(t-s)/C)/C ds`, P >= 0. It rises with P, so with
    mass and shares, and falls with h. For C from C1 to C2, `1/C >= 1/C2` and
    `e^(-h(t-s)/C) >= e^(-h(t-s)/C1)` give `θ >= θ(C1) C1/C2`; likewise `θ <= θ(C2) C2/C1`. Both
    hold at every moment, and so of the hottest of a stop. What they leave too wide is a share
    C2/C1 - 1 of the excess, 0.4 %. Errors as `heat.Ring` and `heat.BrakedMass`.
    """
    low_c = positive("ring_kg", ring_kg[0]) * positive("specific heat", specific_heat_j_kgk[0])
    high_c = positive("ring_kg", ring_kg[1]) * positive("specific heat", specific_heat_j_kgk[1])
    pieces = min(max(1, round(log(high_c / low_c) / _PIECE)), _MOST_PIECES)
    step = (high_c / low_c) ** (1.0 / pieces)
    ends = [low_c * step**n for n in range(pieces + 1)]
    least = BrakedMass(mass_kg[0], axle_share[0], disc_share[0])
    most = BrakedMass(mass_kg[1], axle_share[1], disc_share[1])
    lows = [_excess(stops, least, Ring(c, 1.0, cooling_wk[1])) for c in ends[:-1]]
    highs = [_excess(stops, most, Ring(c, 1.0, cooling_wk[0])) for c in ends[1:]]
    return tuple(
        (ambient_c[0] + min(low) / step, ambient_c[1] + max(high) * step)
        for low, high in zip(zip(*lows, strict=True), zip(*highs, strict=True), strict=True)
    )


def _excess(stops: Sequence[OwnStop], braked: BrakedMass, ring: Ring) -> tuple[float, ...]:
    """The hottest of each stop above the air, K; `ring` has its whole capacity as its mass."""
    return tuple(reached.peak_c for reached in stop_list_c(stops, braked, ring, 0.0))
