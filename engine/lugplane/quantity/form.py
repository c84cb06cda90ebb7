"""A number as a sum of the facts it comes from, so that no doubt is counted twice.

A `Form` is `constant + Σ slope · fact`, each fact an interval. Where a fact is used twice (the
plate of a hat, say) its slopes add up, and the bounds over the whole box of inputs stay exact.
What is not linear is handled in three ways: `least` and `most` of forms (exact for two),
`hypot_of` (convex: the chord and the tangent bound it), and `within` (a fresh input for a result
that was bounded elsewhere).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations, product


class Missing(Exception):
    """A fact that is not known stands in the way. `facts` names each such fact's path."""

    def __init__(self, *facts: str) -> None:
        self.facts = tuple(dict.fromkeys(facts))
        super().__init__(", ".join(self.facts))


@dataclass(frozen=True, slots=True)
class Input:
    """One uncertain input: a fact's path, its bounds and the value it was given as."""

    path: str
    lo: float
    hi: float
    nominal: float

    def __post_init__(self) -> None:
        if not self.lo <= self.nominal <= self.hi:
            raise ValueError(f"{self.path}: {self.nominal} is not within {self.lo}..{self.hi}")

    def __hash__(self) -> int:
        return hash(self.path)

    @property
    def half(self) -> float:
        """Half the width of the interval."""
        return (self.hi - self.lo) / 2


@dataclass(frozen=True, slots=True)
class Form:
    """`constant + Σ slope · input`, with exact bounds over the box of the inputs."""

    constant: float = 0.0
    terms: Mapping[Input, float] = field(default_factory=dict)
    # Asked for far more often than forms are made.
    _bounds: tuple[float, float] | None = field(default=None, init=False, repr=False, compare=False)

    @classmethod
    def of(cls, path: str, lo: float, hi: float, nominal: float | None = None) -> Form:
        """A form of one input. `nominal` defaults to the middle."""
        middle = (lo + hi) / 2 if nominal is None else nominal
        return cls(0.0, {Input(path, lo, hi, middle): 1.0})

    @property
    def bounds(self) -> tuple[float, float]:
        """Least and greatest value over the box of the inputs."""
        if self._bounds is None:
            low = high = self.constant
            for i, k in self.terms.items():
                if k > 0:
                    low += k * i.lo
                    high += k * i.hi
                else:
                    low += k * i.hi
                    high += k * i.lo
            object.__setattr__(self, "_bounds", (low, high))
            return low, high
        return self._bounds

    @property
    def lo(self) -> float:
        return self.bounds[0]

    @property
    def hi(self) -> float:
        return self.bounds[1]

    @property
    def nominal(self) -> float:
        return self.constant + sum(k * i.nominal for i, k in self.terms.items())

    def plus(self, other: Form | float, scale: float = 1.0) -> Form:
        """`self + scale · other`."""
        if not isinstance(other, Form):
            return Form(self.constant + scale * other, self.terms)
        constant = self.constant + scale * other.constant
        if not other.terms:
            return Form(constant, self.terms)
        terms = dict(self.terms)
        for i, k in other.terms.items():
            total = terms.get(i, 0.0) + scale * k
            if -1e-12 < total < 1e-12:
                terms.pop(i, None)
            else:
                terms[i] = total
        return Form(constant, terms)

    def __add__(self, other: Form | float) -> Form:
        return self.plus(other)

    __radd__ = __add__

    def __sub__(self, other: Form | float) -> Form:
        return self.plus(other, -1.0)

    def __rsub__(self, other: float) -> Form:
        return (self * -1.0).plus(other)

    def __mul__(self, factor: float) -> Form:
        if factor == 0:
            return Form(0.0)
        return Form(self.constant * factor, {i: k * factor for i, k in self.terms.items()})

    __rmul__ = __mul__

    def __truediv__(self, divisor: float) -> Form:
        return self * (1.0 / divisor)

    def __neg__(self) -> Form:
        return self * -1.0


def within(path: str, lo: float, hi: float, nominal: float | None = None) -> Form:
    """A result bounded elsewhere, taken as an input of its own (its inner links are given up)."""
    return Form.of(path, lo, hi, nominal)


@dataclass(frozen=True, slots=True)
class Effect:
    """How one input moves a quantity: by `slope` for each unit, and it is in doubt by ±`half`."""

    slope: float
    half: float

    @property
    def reach(self) -> float:
        """How far the input's doubt alone moves the quantity either way."""
        return abs(self.slope) * self.half


Effects = dict[str, Effect]


@dataclass(frozen=True, slots=True)
class Extent:
    """Bounds of a quantity that need not be a form, and the effect of each input on it.

    `effects` maps an input's path to its effect at the end that is nearest the trouble; they
    serve advice, never a verdict. A path in round brackets is a choice of ours (a spacer's make),
    not a fact that could be measured.
    """

    lo: float
    hi: float
    nominal: float
    effects: Mapping[str, Effect] = field(default_factory=dict)


def extent(value: Form | Extent) -> Extent:
    """The bounds of a form as an `Extent`; an `Extent` is returned as it is."""
    if isinstance(value, Extent):
        return value
    effects: Effects = {}
    for i, k in value.terms.items():
        before = effects.get(i.path)
        # A spacing that was measured and one still to be settled bear one name.
        effects[i.path] = Effect(k, i.half + (before.half if before else 0.0))
    return Extent(value.lo, value.hi, value.nominal, effects)


_PAIRED = 4


def least(*forms: Form) -> Extent:
    """The smallest of several forms over their common box.

    The lower bound is exact. The upper one is exact for two forms: the greatest value of
    `min(A, B)` over a box is the least upper bound of the mixtures `t·A + (1-t)·B` (linear
    programming duality), and that is reached at `t` 0, 1 or where a mixed slope changes sign. For
    more than two the least over pairs of those with the lowest tops is taken, which is never below
    the truth.
    """
    if not forms:
        raise ValueError("least of nothing")
    lows = [f.lo for f in forms]
    worst = forms[lows.index(min(lows))]
    lowest = sorted(forms, key=lambda f: f.hi)[:_PAIRED]
    hi = lowest[0].hi
    for a, b in combinations(lowest, 2):
        hi = min(hi, _highest_of_pair(a, b))
    nominal = min(f.nominal for f in forms)
    return Extent(min(lows), max(hi, nominal), nominal, extent(worst).effects)


def most(*forms: Form) -> Extent:
    """The largest of several forms over their common box; see `least`."""
    mirrored = least(*(-f for f in forms))
    # Adding nought turns a negative nought into a plain one.
    return Extent(0.0 - mirrored.hi, 0.0 - mirrored.lo, 0.0 - mirrored.nominal, mirrored.effects)


def magnitude(form: Form) -> Extent:
    """`|form|`, exactly."""
    return most(form, -form)


def _highest_of_pair(a: Form, b: Form) -> float:
    inputs = {**a.terms, **b.terms}
    marks = {0.0, 1.0}
    for i in inputs:
        ka, kb = a.terms.get(i, 0.0), b.terms.get(i, 0.0)
        if ka != kb and 0.0 < (t := kb / (kb - ka)) < 1.0:
            marks.add(t)
    return min((a * t + b * (1.0 - t)).hi for t in marks)


def hypot_of(name: str, u: Form, v: Form) -> Form:
    """`sqrt(u² + v²)` as a form: its tangent at the middle plus a bounded remainder.

    A convex function lies on or above its tangent, and its distance from it is greatest at a
    corner of the box, so the remainder `0..corner` is rigorous. `u` and `v` keep their links.
    """
    u0, v0 = (u.lo + u.hi) / 2, (v.lo + v.hi) / 2
    h0 = math.hypot(u0, v0)
    if h0 == 0.0:
        top = max(math.hypot(a, b) for a in (u.lo, u.hi) for b in (v.lo, v.hi))
        return within(name, 0.0, top)
    gu, gv = u0 / h0, v0 / h0
    tangent = ((u - u0) * gu).plus(v - v0, gv) + h0
    rest = max(
        [
            math.hypot(a, b) - (h0 + gu * (a - u0) + gv * (b - v0))
            for a in u.bounds
            for b in v.bounds
        ]
    )
    if rest <= 1e-12:
        return tangent
    nominal = min(max(math.hypot(u.nominal, v.nominal) - tangent.nominal, 0.0), rest)
    return tangent + within(f"({name}: rest)", 0.0, rest, nominal)


def smooth(name: str, f: Callable[..., float], *forms: Form) -> Form:
    """`f(*forms)` for a smooth `f` of few arguments: tangent at the middle plus a remainder.

    The remainder is the greatest miss of the tangent at the corners of the box, doubled and taken
    both ways: what is left out is of the third order, far below a micrometre for doubts under a
    millimetre on radii of a brake. Links to the inputs are kept. Raises what `f` raises.
    """
    if all(x.lo == x.hi for x in forms):
        return Form(f(*(x.nominal for x in forms)))
    middle = [(x.lo + x.hi) / 2 for x in forms]
    at = f(*middle)
    total, slopes = Form(at), []
    for n, x in enumerate(forms):
        step = max((x.hi - x.lo) / 2, 1e-6)
        up, down = list(middle), list(middle)
        up[n], down[n] = middle[n] + step, middle[n] - step
        slopes.append((f(*up) - f(*down)) / (2 * step))
        total = total + (x - middle[n]) * slopes[n]
    rest = 0.0
    for corner in product(*((x.lo, x.hi) for x in forms)):
        line = at + sum(g * (c - m) for g, c, m in zip(slopes, corner, middle, strict=True))
        rest = max(rest, 2 * abs(f(*corner) - line))
    return total if rest <= 1e-12 else total + within(f"({name}: rest)", -rest, rest)


def fold(forms: Iterable[Form]) -> Form:
    """The sum of some forms."""
    total = Form()
    for f in forms:
        total = total + f
    return total


def hull(path: str, parts: Sequence[Form]) -> Form:
    """An input of its own that covers all the parts."""
    return within(path, min(p.lo for p in parts), max(p.hi for p in parts), parts[0].nominal)
