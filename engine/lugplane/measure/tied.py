"""Bounds of one form where another, over the same facts, is known to lie within a stretch.

A stack that is made to the measured gap hangs on the spacing, and so does the place of the disc:
where the stack is thin the spacing is small as well. Bounds that leave this out are too wide.
"""

from __future__ import annotations

import math

from lugplane.quantity.form import Form

_GRAIN = 1e-12


def lowest(form: Form, tie: Form, low: float, high: float) -> float:
    """The least value of `form` over that part of the box where `tie` lies within `low..high`.

    Infinite where it lies nowhere in it. The inputs start where the form is least and are moved,
    the cheapest for each unit of the tie first, until the tie is met: a linear programme with one
    bound is a knapsack that may be filled in parts, and there the greedy way is the best.
    """
    value, at = form.constant, tie.constant
    moves: list[tuple[float, float, float]] = []  # cost for a unit of the tie, its way, how far
    for i in {**form.terms, **tie.terms}:
        slope, by = form.terms.get(i, 0.0), tie.terms.get(i, 0.0)
        start = i.hi if slope < 0 else i.lo
        value += slope * start
        at += by * start
        if by and i.hi > i.lo:
            way = by if start == i.lo else -by
            moves.append((abs(slope / by), math.copysign(1.0, way), abs(by) * (i.hi - i.lo)))
    short = low - at if at < low else high - at if at > high else 0.0
    for cost, way, room in sorted(moves):
        if short * way > 0:
            moved = min(room, abs(short))
            value += cost * moved
            short -= way * moved
    return value if abs(short) <= _GRAIN * max(1.0, abs(low), abs(high)) else math.inf


def highest(form: Form, tie: Form, low: float, high: float) -> float:
    """The greatest value in the same way; minus infinite where the tie lies nowhere in it."""
    return -lowest(-form, tie, low, high)
