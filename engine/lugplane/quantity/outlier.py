"""Which one of many numbers is wrong, told by what was measured of their sums.

Each observation is `residual = Σ slope · error of a number + error of the measurement`. Every error
is taken as even within its ±, so with variance `half² / 3`; the observations' covariance `C`
follows, with all that they share. A number that is wrong by an unknown `g` shifts the residuals by
`g · s`, `s` being its slopes; the likelihood then grows by `w² / 2` against none being wrong, with
`w = s' C⁻¹ r / sqrt(s' C⁻¹ s)` at the best `g = s' C⁻¹ r / (s' C⁻¹ s)`. This is the test of one
outlier of geodetic networks: W. Baarda, A testing procedure for use in geodetic networks,
Netherlands Geodetic Commission, Publications on Geodesy 2(5), 1968 (cited from memory).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from operator import mul

_ALIKE = 1e-6
_LEAST_HALF = 1e-6


@dataclass(frozen=True, slots=True)
class Observation:
    """What was measured less what the numbers give; slopes by the numbers' names.

    `half` is the ± that this observation has to itself.
    """

    residual: float
    half: float
    slopes: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Suspect:
    """A number, the test value `w` (never negative) and the error that explains most.

    `likelihood` is that of this one being wrong against the likeliest one, 0 to 1. `alike` names
    those that no observation tells from it: their slopes are in one proportion throughout.
    """

    name: str
    w: float
    error: float
    likelihood: float
    alike: tuple[str, ...] = ()


def suspects(
    observations: Sequence[Observation],
    halves: Mapping[str, float],
    among: Collection[str] | None = None,
) -> tuple[Suspect, ...]:
    """The numbers that have a slope, the likeliest to be wrong first, those alike by name.

    `halves` gives the ± of each number; `among` the numbers to look at, None: all. Raises
    `KeyError` for a number without a ±.
    """
    if not observations:
        return ()
    lower = _cholesky(_covariance(observations, halves))
    rest = _solved(lower, [o.residual for o in observations])
    names = sorted({n for o in observations for n, k in o.slopes.items() if k})
    names = [n for n in names if among is None or n in among]
    columns = {n: [o.slopes.get(n, 0.0) for o in observations] for n in names}
    found: list[tuple[str, float, float]] = []
    for name, column in columns.items():
        white = _solved(lower, column)
        size = sum(x * x for x in white)
        along = sum(a * b for a, b in zip(white, rest, strict=True))
        found.append((name, abs(along) / math.sqrt(size), along / size))
    top = max((w for _, w, _ in found), default=0.0)
    alike = _groups(columns)
    told = [
        Suspect(n, w, g, math.exp((w * w - top * top) / 2), tuple(x for x in alike[n] if x != n))
        for n, w, g in found
    ]
    return tuple(sorted(told, key=lambda s: (-round(s.w, 6), s.name)))


def _covariance(
    observations: Sequence[Observation], halves: Mapping[str, float]
) -> list[list[float]]:
    rows = [{n: k * halves[n] for n, k in o.slopes.items()} for o in observations]
    count = len(rows)
    found = [[0.0] * count for _ in range(count)]
    for i, a in enumerate(rows):
        for j in range(i + 1):
            b = rows[j]
            found[i][j] = sum(k * b[n] for n, k in a.items() if n in b) / 3
        own = max(observations[i].half, _LEAST_HALF)
        found[i][i] += own * own / 3
    return found


def _cholesky(matrix: list[list[float]]) -> list[list[float]]:
    """The lower triangle `L` of `matrix = L L'`; only the matrix's lower triangle is read."""
    lower: list[list[float]] = []
    for i, row in enumerate(matrix):
        made: list[float] = []
        for j in range(i):
            other = lower[j]
            made.append((row[j] - sum(map(mul, made, other))) / other[j])
        made.append(math.sqrt(row[i] - sum(x * x for x in made)))
        lower.append(made)
    return lower


def _solved(lower: list[list[float]], right: Sequence[float]) -> list[float]:
    """`L⁻¹ right`."""
    found: list[float] = []
    for row, value in zip(lower, right, strict=True):
        found.append((value - sum(map(mul, row, found))) / row[-1])
    return found


def _groups(columns: Mapping[str, Sequence[float]]) -> dict[str, tuple[str, ...]]:
    """Names by what has slopes in the same proportion."""
    alike: dict[tuple[tuple[int, float], ...], list[str]] = {}
    for name, column in columns.items():
        size = math.sqrt(sum(x * x for x in column))
        held = [(n, x / size) for n, x in enumerate(column) if abs(x) > _ALIKE * size]
        sign = math.copysign(1.0, held[0][1])
        alike.setdefault(tuple((n, round(sign * x, 5)) for n, x in held), []).append(name)
    return {n: tuple(names) for names in alike.values() for n in names}
