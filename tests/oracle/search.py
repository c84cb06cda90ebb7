"""Least and greatest value of any function over a box, by looking.

For what is not affine. Facts in which the function runs one way are taken at their ends; those in
which it may turn are searched: a grid over all of their range, then finer grids about the best
place found, again and again. Every combination is looked at, so nothing is counted twice.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import product

import numpy as np

from .boxes import Span
from .geometry import Array

GRIDS = {1: 33, 2: 33, 3: 13}  # places an axis, by how many facts may turn
ROUNDS = 14
ALONG = 65

Function = Callable[[Array], Array]


def corners(spans: Sequence[Span]) -> Array:
    """Every combination of ends, a row each; one empty row of no spans."""
    rows = list(product(*(sorted(set(s)) for s in spans)))
    return np.array(rows, dtype=float).reshape(len(rows), len(spans))


def _places(spans: Sequence[Span]) -> int:
    return GRIDS[max(1, sum(hi > lo for lo, hi in spans))]


def _grid(spans: Sequence[Span]) -> Array:
    many = _places(spans)
    axes = [np.linspace(lo, hi, many) if hi > lo else np.array([lo]) for lo, hi in spans]
    return np.stack([a.ravel() for a in np.meshgrid(*axes, indexing="ij")], axis=1)


def _greatest(of: Function, ends: Array, turning: Sequence[Span]) -> float:
    if not turning:
        return float(of(ends).max())
    around, best = list(turning), -np.inf
    for _ in range(ROUNDS):
        inner = _grid(around)
        rows = beside(ends, inner)
        values = of(rows)
        at = int(values.argmax())
        if best > -np.inf and values[at] <= best + 1e-13 * max(1.0, abs(best)):
            break
        best = max(best, float(values[at]))
        place = rows[at, ends.shape[1] :]
        steps = [(hi - lo) / (_places(around) - 1) for lo, hi in around]
        around = [
            (max(lo, x - step), min(hi, x + step))
            for x, (lo, hi), step in zip(place, turning, steps, strict=True)
        ]
    return best


def beside(left: Array, right: Array) -> Array:
    """Every row of the one with every row of the other."""
    return np.hstack([np.repeat(left, len(right), axis=0), np.tile(right, (len(left), 1))])


def extremes(of: Function, one_way: Sequence[Span] | Array, turning: Sequence[Span] = ()) -> Span:
    """Bounds of ``of(rows)``, a column a fact: those that run one way, then those that may turn.

    Of the former their spans, or the rows of ends that can come up together.
    """
    ends = one_way if isinstance(one_way, np.ndarray) else corners(one_way)
    return -_greatest(lambda rows: -of(rows), ends, turning), _greatest(of, ends, turning)


def greatest_of_least(
    one: Function, other: Function, ends: Array, turning: Sequence[Span] = ()
) -> float:
    """The greatest of the lesser of two functions, which may stand between the rows of ends.

    Where the one is the lesser at one row and the other at another, both meet between them: the
    pair that meets highest, if both ran straight, is looked at all along.
    """
    best = -np.inf
    for place in _grid(turning) if turning else np.zeros((1, 0)):
        rows = np.hstack([ends, np.tile(place, (len(ends), 1))])
        a, b = one(rows), other(rows)
        best = max(best, float(np.minimum(a, b).max()))
        i, j = np.nonzero((a > b)[:, None] & (a < b)[None])
        if len(i):
            d = a - b
            met = a[i] + d[i] / (d[i] - d[j]) * (a[j] - a[i])
            at = int(met.argmax())
            first, last = rows[i[at]], rows[j[at]]
            line = first + np.linspace(0, 1, ALONG)[:, None] * (last - first)
            best = max(best, float(np.minimum(one(line), other(line)).max()))
    return best
