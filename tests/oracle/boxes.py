"""Affine forms over a box of uncertain facts, and exact bounds of what is built from them.

Every uncertain fact is one `Var`, told apart by identity, so a fact used twice is counted once.
A form is a constant plus coefficients; its bounds over the box are its vertex values. Least-of
forms (``A - |e| = min(A - e, A + e)``) are bounded below at vertices and above by linear
programming duality, whose breakpoints are enumerated. No iteration, no sampling.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations

Span = tuple[float, float]


class Var:
    """One uncertain quantity with its least and greatest value."""

    __slots__ = ("hi", "lo", "name")

    def __init__(self, name: str, lo: float, hi: float) -> None:
        self.name, self.lo, self.hi = name, min(lo, hi), max(lo, hi)

    def __repr__(self) -> str:
        return f"{self.name}[{self.lo:g}..{self.hi:g}]"


class Aff:
    """A constant plus coefficients on uncertain quantities."""

    __slots__ = ("c", "t")

    def __init__(self, c: float, t: dict[Var, float] | None = None) -> None:
        self.c, self.t = c, t or {}

    def __repr__(self) -> str:
        return f"Aff({self.c:g}, {self.t})"


def known(name: str, lo: float, hi: float) -> Aff:
    """A fact as a form: a plain constant where there is no doubt."""
    return Aff(lo) if lo == hi else Aff(0.0, {Var(name, lo, hi): 1.0})


def total(*terms: tuple[float, Aff | float | None]) -> Aff | None:
    """Sum of factor x form; unknown as soon as one term is unknown."""
    c, t = 0.0, dict[Var, float]()
    for factor, form in terms:
        if form is None:
            return None
        if isinstance(form, Aff):
            c += factor * form.c
            for var, coef in form.t.items():
                t[var] = t.get(var, 0.0) + factor * coef
        else:
            c += factor * form
    return Aff(c, t)


def span(a: Aff) -> Span:
    """Least and greatest value over the box."""
    lo = hi = a.c
    for var, coef in a.t.items():
        if coef >= 0:
            lo += coef * var.lo
            hi += coef * var.hi
        else:
            lo += coef * var.hi
            hi += coef * var.lo
    return lo, hi


def span_abs(a: Aff) -> Span:
    """Bounds of |a|; the kink at zero counts when it lies inside."""
    lo, hi = span(a)
    return (0.0 if lo <= 0 <= hi else min(abs(lo), abs(hi))), max(abs(lo), abs(hi))


def _mix(a: Aff, b: Aff, share: float) -> float:
    mixed = total((share, a), (1 - share, b))
    assert mixed is not None
    return span(mixed)[1]


def _greatest_of_least_two(a: Aff, b: Aff) -> float:
    """Greatest over the box of min(a, b): the dual is convex and piecewise linear in one share."""
    shares = {0.0, 1.0}
    for var in a.t.keys() | b.t.keys():
        pa, pb = a.t.get(var, 0.0), b.t.get(var, 0.0)
        if pa != pb and 0 < (share := pb / (pb - pa)) < 1:
            shares.add(share)
    return min(_mix(a, b, share) for share in shares)


def _greatest_of_least_many(forms: Sequence[Aff]) -> float:
    """The same for more forms, by a linear programme."""
    from scipy.optimize import linprog

    names = sorted({v for f in forms for v in f.t}, key=id)
    rows = [[-f.t.get(v, 0.0) for v in names] + [1.0] for f in forms]
    bounds = [(v.lo, v.hi) for v in names] + [(None, None)]
    cost = [0.0] * len(names) + [-1.0]
    return -float(linprog(cost, A_ub=rows, b_ub=[f.c for f in forms], bounds=bounds).fun)


def _at_best(form: Aff) -> dict[Var, float]:
    return {v: (v.hi if coef > 0 else v.lo) for v, coef in form.t.items()}


def span_least(forms: Sequence[Aff]) -> Span:
    """Bounds over the box of the least of several forms."""
    spans = [span(f) for f in forms]
    lo = min(s[0] for s in spans)
    hi = min(s[1] for s in spans)
    # A form that cannot go below another's greatest value does not limit the upper bound.
    kept: list[Aff] = []
    for form, s in zip(forms, spans, strict=True):
        if s[0] >= hi or any(f.c == form.c and f.t == form.t for f in kept):
            continue
        kept.append(form)
    if len(kept) < 2:
        return lo, hi
    if len(kept) == 2:
        return lo, _greatest_of_least_two(kept[0], kept[1])
    pairs = min(_greatest_of_least_two(a, b) for a, b in combinations(kept, 2))
    lowest = min(kept, key=lambda f: span(f)[1])
    best = _at_best(lowest)
    reached = min(
        f.c + sum(q * best.get(v, v.lo if q < 0 else v.hi) for v, q in f.t.items()) for f in kept
    )
    return lo, pairs if reached >= pairs - 1e-12 else _greatest_of_least_many(kept)


def less_abs(forms: Iterable[Aff | None], e: Aff | None) -> Span | None:
    """Bounds of min(forms) - |e|; None when anything is unknown."""
    pieces: list[Aff] = []
    for form in forms:
        for sign in (1.0, -1.0):
            piece = total((1.0, form), (sign, e))
            if piece is None:
                return None
            pieces.append(piece)
    return span_least(pieces)


def low_given(a: Aff, k: Aff, k1: float, k2: float) -> float:
    """Least value of `a` over that part of the box where `k` lies within k1..k2.

    Lagrange dual of a linear programme with one equality: concave, piecewise linear, so its
    greatest value stands at a breakpoint.
    """
    names = a.t.keys() | k.t.keys()
    points = {0.0}
    for v in k.t:
        if k.t[v] != 0.0:
            points.add(-a.t.get(v, 0.0) / k.t[v])
    best = -float("inf")
    for mu in points:
        value = a.c + mu * k.c - (mu * k2 if mu > 0 else mu * k1)
        for v in names:
            coef = a.t.get(v, 0.0) + mu * k.t.get(v, 0.0)
            value += coef * (v.lo if coef > 0 else v.hi)
        best = max(best, value)
    return best


def high_given(a: Aff, k: Aff, k1: float, k2: float) -> float:
    """Greatest value of `a` where `k` lies within k1..k2."""
    turned = total((-1.0, a))
    assert turned is not None
    return -low_given(turned, k, k1, k2)
