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
from typing import Final, NamedTuple


class Missing(Exception):
    """A fact that is not known stands in the way. `facts` names each such fact's path."""

    def __init__(self, *facts: str) -> None:
        self.facts = tuple(dict.fromkeys(facts))
        super().__init__(", ".join(self.facts))


class Input(NamedTuple):
    """One uncertain input: a fact's path, its bounds and the value it was given as.

    A tuple, since forms look their inputs up all the time: it is hashed and compared natively.
    """

    path: str
    lo: float
    hi: float
    nominal: float

    @property
    def half(self) -> float:
        """Half the width of the interval."""
        return (self.hi - self.lo) / 2


@dataclass(slots=True)
class Form:
    """`constant + Σ slope · input`, with exact bounds over the box of the inputs.

    Never changed once it is made, which the types see to: tens of thousands are made for one list,
    and a frozen dataclass takes some three times as long to make.
    """

    constant: Final[float] = 0.0
    terms: Final[Mapping[Input, float]] = field(default_factory=dict)
    # Asked for far more often than forms are made.
    _bounds: tuple[float, float] | None = field(default=None, init=False, repr=False, compare=False)

    @classmethod
    def of(cls, path: str, lo: float, hi: float, nominal: float | None = None) -> Form:
        """A form of one input. `nominal` defaults to the middle.

        Raises `ValueError` where it does not lie within the bounds.
        """
        middle = (lo + hi) / 2 if nominal is None else nominal
        if not lo <= middle <= hi:
            raise ValueError(f"{path}: {middle} is not within {lo}..{hi}")
        return cls(0.0, {Input(path, lo, hi, middle): 1.0})

    @property
    def bounds(self) -> tuple[float, float]:
        """Least and greatest value over the box of the inputs."""
        if self._bounds is None:
            low = high = self.constant
            for (_, lo, hi, _), k in self.terms.items():
                if k > 0:
                    low += k * lo
                    high += k * hi
                else:
                    low += k * hi
                    high += k * lo
            self._bounds = low, high
        return self._bounds

    @property
    def lo(self) -> float:
        return (self._bounds or self.bounds)[0]

    @property
    def hi(self) -> float:
        return (self._bounds or self.bounds)[1]

    @property
    def nominal(self) -> float:
        return self.constant + sum([k * i.nominal for i, k in self.terms.items()])

    def plus(self, other: Form | float, scale: float = 1.0) -> Form:
        """`self + scale · other`."""
        if not isinstance(other, Form):
            return Form(self.constant + scale * other, self.terms)
        constant = self.constant + scale * other.constant
        if not other.terms:
            return Form(constant, self.terms)
        if not self.terms and scale == 1.0:
            return Form(constant, other.terms)
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
        if factor == 1:
            return self
        return Form(self.constant * factor, {i: k * factor for i, k in self.terms.items()})

    __rmul__ = __mul__

    def __truediv__(self, divisor: float) -> Form:
        return self * (1.0 / divisor)

    def __neg__(self) -> Form:
        return self * -1.0


def within(path: str, lo: float, hi: float, nominal: float | None = None) -> Form:
    """A result bounded elsewhere, taken as an input of its own (its inner links are given up)."""
    return Form.of(path, lo, hi, nominal)


class Effect(NamedTuple):
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
    return Extent(*value.bounds, value.nominal, _effects(value))


def _effects(form: Form, way: float = 1.0) -> Effects:
    """The inputs' effects on `way` times a form."""
    effects: Effects = {}
    for i, k in form.terms.items():
        half = (i.hi - i.lo) / 2
        if i.path in effects:  # a spacing that was measured and one still to be settled
            half += effects[i.path].half
        effects[i.path] = Effect(way * k, half)
    return effects


_PAIRED = 4


def least(*forms: Form) -> Extent:
    """The smallest of several forms over their common box.

    The lower bound is exact. The upper one is exact for two forms: the greatest value of
    `min(A, B)` over a box is the least upper bound of the mixtures `t·A + (1-t)·B` (linear
    programming duality), and that is reached at `t` 0, 1 or where a mixed slope changes sign. For
    more than two the least over pairs of those with the lowest tops is taken, which is never below
    the truth.
    """
    return Extent(*_least_and_effects(forms, 1.0))


def most(*forms: Form) -> Extent:
    """The largest of several forms over their common box; see `least`."""
    lo, hi, nominal, effects = _least_and_effects(forms, -1.0)
    # Adding nought turns a negative nought into a plain one.
    return Extent(0.0 - hi, 0.0 - lo, 0.0 - nominal, effects)


def _least_and_effects(
    forms: Sequence[Form], way: float
) -> tuple[float, float, float, Mapping[str, Effect]]:
    """Bounds, nominal value and effects of the smallest of some forms, `way` (1 or -1) times each.

    Raises `ValueError` where there are none.
    """
    if not forms:
        raise ValueError("least of nothing")
    lows = [_lowest(f, way) for f in forms]
    low = min(lows)
    nominal = min([way * f.nominal for f in forms])
    return (
        low,
        max(_highest_least(forms, way), nominal),
        nominal,
        _effects(forms[lows.index(low)], way),
    )


def magnitude(form: Form) -> Extent:
    """`|form|`, exactly."""
    return most(form, -form)


def _lowest(form: Form, way: float) -> float:
    """The least value of `way` times a form."""
    return form.lo if way > 0 else -form.hi


def _highest_least(forms: Sequence[Form], way: float) -> float:
    """The greatest value of the smallest of some forms, `way` times each, or a bound above it."""
    lowest = sorted(forms, key=lambda f: -_lowest(f, -way))[:_PAIRED]
    pairs = combinations(lowest, 2)
    return min([-_lowest(lowest[0], -way), *(_highest_of_pair(a, b, way) for a, b in pairs)])


def _highest_of_pair(a: Form, b: Form, way: float) -> float:
    """The greatest value of the lesser of two forms, `way` times each, exactly.

    The mixture `t·a + (1-t)·b` is greatest at a corner: first, `t` being 1, at that of `a`. As `t`
    falls an input moves to its other end where its mixed slope changes sign, at the cost of `a` and
    in favour of `b`. The greatest mixture falls with `t` as long as `a` is above `b` there.
    """
    one, other = -_lowest(a, -way), b.constant
    turns: list[tuple[float, float, float]] = []
    slopes = a.terms
    for i, kb in b.terms.items():
        ka = slopes.get(i, 0.0)
        other += kb * (i.hi if way * (ka or kb) > 0 else i.lo)
        if ka * kb < 0:
            wide = i.hi - i.lo
            turns.append((kb / (kb - ka), abs(ka) * wide, abs(kb) * wide))
    other *= way
    if one <= other:
        return one
    for t, lost, won in sorted(turns, reverse=True):
        mixed = t * one + (1.0 - t) * other
        one, other = one - lost, other + won
        if one <= other:
            return mixed
    return other


def hypot_of(name: str, u: Form, v: Form) -> Form:
    """`sqrt(u² + v²)` as a form: its tangent at the middle plus a bounded remainder.

    A convex function lies on or above its tangent, and its distance from it is greatest at a
    corner of the box, so the remainder `0..corner` is rigorous. `u` and `v` keep their links.
    """
    us, vs = u.bounds, v.bounds
    u0, v0 = (us[0] + us[1]) / 2, (vs[0] + vs[1]) / 2
    h0 = math.hypot(u0, v0)
    if h0 == 0.0:
        top = max(math.hypot(a, b) for a in us for b in vs)
        return within(name, 0.0, top)
    gu, gv = u0 / h0, v0 / h0
    slopes = (u * gu).plus(v, gv).terms
    tangent = Form((u.constant - u0) * gu + (v.constant - v0) * gv + h0, slopes)
    rest = max([math.hypot(a, b) - (h0 + gu * (a - u0) + gv * (b - v0)) for a in us for b in vs])
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
