"""Bounds of one form over another, where both hang on the same facts."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from lugplane.quantity.form import Form


def greatest_quotient(over: Form, under: Form) -> float:
    """The greatest value of `over / under` over the box of their inputs, both above nought.

    Along each input the quotient of two straight lines runs one way, so that it is greatest at a
    corner: an input that only one of them has lies at the end that suits, of the others both ends
    are tried. Raises `ValueError` where either may be nought.
    """
    return max(top / bottom for top, bottom in _corners(over, under, 1.0))


def least_quotient(over: Form, under: Form) -> float:
    """The least value in the same way."""
    return min(top / bottom for top, bottom in _corners(over, under, -1.0))


def _corners(over: Form, under: Form, way: float) -> Iterator[tuple[float, float]]:
    if over.lo <= 0.0 or under.lo <= 0.0:
        raise ValueError("a quotient of what may be nought")
    shared = [i for i in over.terms if i in under.terms and i.lo < i.hi]
    top, bottom = (
        Form(f.constant, {i: k for i, k in f.terms.items() if i not in shared})
        for f in (over, under)
    )
    own = (top.hi, bottom.lo) if way > 0.0 else (top.lo, bottom.hi)
    for ends in product(*((i.lo, i.hi) for i in shared)):
        yield (
            own[0] + sum(over.terms[i] * x for i, x in zip(shared, ends, strict=True)),
            own[1] + sum(under.terms[i] * x for i, x in zip(shared, ends, strict=True)),
        )
