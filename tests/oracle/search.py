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


def _climbed(
    of: Function, ends: Array, turning: Sequence[Span], rows: Array, values: Array
) -> float:
    """The greatest of the values over a first grid, and over finer ones about the best place."""
    around, best = list(turning), -np.inf
    for _ in range(ROUNDS):
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
        rows = beside(ends, _grid(around))
        values = of(rows)
    return best


def beside(left: Array, right: Array) -> Array:
    """Every row of the one with every row of the other; a column lies in one piece."""
    columns = np.empty((left.shape[1] + right.shape[1], len(left), len(right)))
    columns[: left.shape[1]] = left.T[:, :, None]
    columns[left.shape[1] :] = right.T[:, None, :]
    return columns.reshape(len(columns), -1).T


def extremes(of: Function, one_way: Sequence[Span] | Array, turning: Sequence[Span] = ()) -> Span:
    """Bounds of ``of(rows)``, a column a fact: those that run one way, then those that may turn.

    Of the former their spans, or the rows of ends that can come up together.
    """
    ends = one_way if isinstance(one_way, np.ndarray) else corners(one_way)
    if not turning:
        values = of(ends)
        return float(values.min()), float(values.max())
    rows = beside(ends, _grid(turning))
    values = of(rows)
    low = -_climbed(lambda rows: -of(rows), ends, turning, rows, -values)
    return low, _climbed(of, ends, turning, rows, values)


def upper(of: Function, ends: Array, turning: Sequence[Span] = ()) -> float:
    """The upper one of ``extremes``."""
    if not turning:
        return float(of(ends).max())
    rows = beside(ends, _grid(turning))
    return _climbed(of, ends, turning, rows, of(rows))


def lower(of: Function, ends: Array, turning: Sequence[Span] = ()) -> float:
    """The lower one of ``extremes``."""
    return -upper(lambda rows: -of(rows), ends, turning)


def greatest_of_least(
    one: Function, other: Function, ends: Array, turning: Sequence[Span] = ()
) -> float:
    """The greatest of the lesser of two functions, which may stand between the rows of ends.

    Where the one is the lesser at one row and the other at another, both meet between them: the
    pair that meets highest, if both ran straight, is looked at all along.
    """
    places = _grid(turning) if turning else np.zeros((1, 0))
    rows = beside(ends, places)
    a, b = (of(rows).reshape(len(ends), len(places)) for of in (one, other))
    best, d = float(np.minimum(a, b).max()), a - b
    for at in np.flatnonzero((d > 0).any(axis=0) & (d < 0).any(axis=0)):
        i, j = np.nonzero((d[:, at] > 0)[:, None] & (d[:, at] < 0)[None])
        met = a[i, at] + d[i, at] / (d[i, at] - d[j, at]) * (a[j, at] - a[i, at])
        pair = int(met.argmax())
        first, last = (rows[n * len(places) + at] for n in (i[pair], j[pair]))
        line = first + np.linspace(0, 1, ALONG)[:, None] * (last - first)
        best = max(best, float(np.minimum(one(line), other(line)).max()))
    return best
