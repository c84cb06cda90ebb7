"""How many times its stock share of the braking an axle does past a rear valve's knee, at most.

With `x = f/r`, the front over the rear force a bar at equal pressure, `K = k/N`, the valve's knee
over the braking force needed, and s its slope, the front share is `α = x/(1 + x)` below the knee,
and `β = x (1 - t)/(x + s)` past it, where `K (f + r) < 1`; `t = r K (1 - s)`. The rear one is
`1/(1 + x)` or `(s + g)/(x + s)`, `g = f K (1 - s)` (mechanics).

Either share, new over stock, is a function of the factors of all forces, K and s, each of which is
one number wherever it occurs. Factors that stand in the same forces are one, their product; one
that stands in all of them does what K does, and is taken into it (`merged`).

How the share's logarithm changes with that of each factor (its elasticity) is bounded over the box.
What has one sign puts its factor at an end of the box, which may show another's sign. For the rest,
across a width w the logarithm falls no faster than the least elasticity a < 0 and rises no faster
than the greatest b > 0; so between two ends it stands above the higher of them by no more than
`w ab/(a - b)`, where both lines meet. The box is halved until that is little.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import exp, log, prod

from lugplane.measure.bench import Undecided
from lugplane.measure.car_share import force_n_per_bar, groups_of
from lugplane.measure.corners import Span
from lugplane.measure.whole_car import Pair

_SLACK = 5e-4
"""Share by which a bound may be too wide before the box is halved."""
_HALVINGS = 7


@dataclass(frozen=True, slots=True)
class Part:
    """A factor of forces: its bounds, and how often it stands in each axle's of each car."""

    span: Span
    new_front: int
    new_rear: int
    front: int
    rear: int

    def turned(self) -> Part:
        """With new and stock changed over."""
        return Part(self.span, self.front, self.rear, self.new_front, self.new_rear)


@dataclass(frozen=True, slots=True)
class There:
    """What one car comes to over a box: `x`, `f K` and `r K`, and whether its valve may be, and
    surely is, past the knee."""

    x: Span
    fk: Span
    rk: Span
    may: bool
    surely: bool


@dataclass(frozen=True, slots=True)
class Box:
    """Factors, K and the slope; `scales` make a product of factors N a bar: new front and rear,
    stock front and rear."""

    parts: tuple[Part, ...]
    knee: Span
    slope: Span
    scales: tuple[float, float, float, float]

    @property
    def spans(self) -> list[Span]:
        """Of every input: of the factors, of K and of the slope."""
        return [*(p.span for p in self.parts), self.knee, self.slope]

    def within(self, spans: Sequence[Span]) -> Box:
        """With other spans of the inputs."""
        parts = tuple(
            Part(span, p.new_front, p.new_rear, p.front, p.rear)
            for p, span in zip(self.parts, spans[:-2], strict=True)
        )
        return Box(parts, spans[-2], spans[-1], self.scales)

    def turned(self) -> Box:
        """With new and stock changed over."""
        a, b, c, d = self.scales
        return replace(self, parts=tuple(p.turned() for p in self.parts), scales=(c, d, a, b))

    @property
    def past(self) -> bool:
        """Whether the valve of either car may be past its knee anywhere in the box."""
        lows = list(self.scales)
        for p in self.parts:
            low, where = p.span[0], (p.new_front, p.new_rear, p.front, p.rear)
            lows = [force * low**n if n else force for force, n in zip(lows, where, strict=True)]
        least = min(lows[0] + lows[1], lows[2] + lows[3])
        return self.knee[0] * least < 1.0 and self.slope[0] < 1.0

    @property
    def cars(self) -> tuple[There, There]:
        """New and stock."""
        a, b, c, d = self.scales
        return (
            self._there(a, b, [(p.span, p.new_front, p.new_rear) for p in self.parts]),
            self._there(c, d, [(p.span, p.front, p.rear) for p in self.parts]),
        )

    def _there(self, front: float, rear: float, parts: Sequence[tuple[Span, int, int]]) -> There:
        x = _power(front / rear, ((span, f - r) for span, f, r in parts))
        f = _power(front, ((span, f) for span, f, _ in parts))
        r = _power(rear, ((span, r) for span, _, r in parts))
        k, s = self.knee, self.slope
        may = k[0] * (f[0] + r[0]) < 1.0 and s[0] < 1.0
        surely = may and k[1] * (f[1] + r[1]) < 1.0
        return There(x, (f[0] * k[0], f[1] * k[1]), (r[0] * k[0], r[1] * k[1]), may, surely)


def share_at(x: float, r: float, knee: float, slope: float) -> float:
    """Front share; `knee` is K."""
    if knee * r * (1 + x) >= 1.0 or slope >= 1.0:
        return x / (1 + x)
    return x * (1 - r * knee * (1 - slope)) / (x + slope)


def box_of(pair: Pair, knee: Span, slope: Span) -> Box:
    """The box of two cars, with no more inputs than need be; `knee` bounds K."""
    # Of K there stands what all forces have in common.
    found = pair.once("box", lambda: merged(_box_of_factors(pair)))
    common = knee[0] * found.knee[0], knee[1] * found.knee[1]
    return Box(found.parts, common, slope, found.scales)


def _box_of_factors(pair: Pair) -> Box:
    """The factors of both cars' forces, with K and slope 1."""
    parts = tuple(Part(span, *where) for where, span in groups_of(pair, linked=True).items())
    axles = [(a, a.beside_stock) for a in pair.new.axles]
    axles += [(a, a.factors) for a in pair.stock.axles]
    a, b, c, d = (
        force_n_per_bar(axle).nominal / prod(f.figure.nominal for f in factors)
        for axle, factors in axles
    )
    return Box(parts, (1.0, 1.0), (1.0, 1.0), (a, b, c, d))


def most_times(box: Box, rear: bool) -> float:
    """Greatest share of the front (or rear) axle over that of stock.

    Raises `Undecided` where stock's rear axle may do nothing at all.
    """
    return _most(merged(box), rear, 0.0, _HALVINGS)


def merged(box: Box) -> Box:
    """The same box with no more inputs than need be: the product of what stands in the same forces,
    K with what stands in all of them, and what is not in doubt in the scales."""
    spans: dict[tuple[int, int, int, int], Span] = {}
    scales, knee = list(box.scales), box.knee
    for p in box.parts:
        where = (p.new_front, p.new_rear, p.front, p.rear)
        if p.span[0] == p.span[1]:
            scales = [scale * p.span[0] ** n for scale, n in zip(scales, where, strict=True)]
        elif len(set(where)) == 1:
            knee = knee[0] * p.span[0] ** where[0], knee[1] * p.span[1] ** where[0]
        else:
            low, high = spans.get(where, (1.0, 1.0))
            spans[where] = low * p.span[0], high * p.span[1]
    parts = tuple(Part(span, *where) for where, span in spans.items())
    a, b, c, d = scales
    return Box(parts, knee, box.slope, (a, b, c, d))


def _most(box: Box, rear: bool, reached: float, halvings: int) -> float:
    """A bound for the box, no closer than need be where it stays below what is `reached`."""
    box, above = _narrowed(box, rear)
    ends = [tuple(dict.fromkeys(span)) for span in box.spans]
    found = max(_times(box, at, rear) for at in product(*ends))
    bound = found * exp(sum(above))
    if bound <= max(found, reached) * (1 + _SLACK) or not halvings:
        return bound
    one, two = _halved(box, max(range(len(above)), key=above.__getitem__))
    first = _most(one, rear, max(found, reached), halvings - 1)
    return max(first, _most(two, rear, max(found, reached), halvings - 1))


def _narrowed(box: Box, rear: bool) -> tuple[Box, list[float]]:
    """The box with each input that only raises or only lowers the quotient at its better end, again
    until none is left; and how far above its ends each other input may lift the logarithm."""
    while True:
        bounds, spans = _elasticities(box, rear), box.spans
        above, ends = [0.0] * len(spans), list(spans)
        for n, ((low, high), span) in enumerate(zip(bounds, spans, strict=True)):
            if span[0] == span[1]:
                continue
            if low < 0.0 < high:
                wide = span[1] - span[0] if n == len(spans) - 1 else _log_width(span)
                above[n] = low * high / (low - high) * wide
            else:
                ends[n] = (span[1],) * 2 if low >= 0.0 else (span[0],) * 2
        if ends == spans:
            return box, above
        box = box.within(ends)


def _halved(box: Box, n: int) -> tuple[Box, Box]:
    """The box cut in two across its n-th input."""
    one, two = box.spans, box.spans
    low, high = one[n]
    middle = (low + high) / 2
    one[n], two[n] = (low, middle), (middle, high)
    return box.within(one), box.within(two)


def _times(box: Box, at: Sequence[float], rear: bool) -> float:
    """The share over that of stock at one point of the box."""
    *values, knee, slope = at
    a, b, c, d = box.scales
    for value, p in zip(values, box.parts, strict=True):
        a *= value**p.new_front
        b *= value**p.new_rear
        c *= value**p.front
        d *= value**p.rear
    new, stock = share_at(a / b, b, knee, slope), share_at(c / d, d, knee, slope)
    return (1 - new) / (1 - stock) if rear else new / stock


def _elasticities(box: Box, rear: bool) -> list[Span]:
    """Of the quotient: of each factor, of K, and the slope's (for a unit of it, not a share)."""
    new, stock = (_of_share(there, box.slope, rear) for there in box.cars)
    found = [
        _sum(
            (new[0], p.new_front),
            (new[1], p.new_rear),
            (stock[0], -p.front),
            (stock[1], -p.rear),
        )
        for p in box.parts
    ]
    return [*found, *(_sum((new[n], 1), (stock[n], -1)) for n in (2, 3))]


def _of_share(car: There, slope: Span, rear: bool) -> list[Span]:
    """Elasticities of one car's share with f, r, K and s, where either line may count."""
    one = 1 / (1 + car.x[1]), 1 / (1 + car.x[0])
    if rear:
        one = -(1 - one[0]), -(1 - one[1])
        one = min(one), max(one)
    bare = [one, (-one[1], -one[0]), (0.0, 0.0), (0.0, 0.0)]
    if not car.may:
        return bare
    past = _past_rear(car, slope) if rear else _past_front(car, slope)
    if car.surely:
        return past
    return [(min(a[0], b[0]), max(a[1], b[1])) for a, b in zip(bare, past, strict=True)]


def _past_front(car: There, s: Span) -> list[Span]:
    """Of `β = f (1 - t)/(f + s r)`; past the knee `r K < 1/(1 + x)`."""
    rk = car.rk[0], min(car.rk[1], 1 / (1 + car.x[0]))
    held = [t / (1 - t) for t in (rk[0] * (1 - s[1]), rk[1] * (1 - s[0]))]
    share = s[0] / (car.x[1] + s[0]), s[1] / (car.x[0] + s[1])
    freed = rk[0] / (1 - rk[0] * (1 - s[1])), rk[1] / (1 - rk[1] * (1 - s[0]))
    return [
        share,
        (-held[1] - share[1], -held[0] - share[0]),
        (-held[1], -held[0]),
        (freed[0] - 1 / (car.x[0] + s[0]), freed[1] - 1 / (car.x[1] + s[1])),
    ]


def _past_rear(car: There, s: Span) -> list[Span]:
    """Of `1 - β = (s + g)/(x + s)`; past the knee `f K < x/(1 + x)`."""
    fk = car.fk[0], min(car.fk[1], car.x[1] / (1 + car.x[1]))
    g = fk[0] * (1 - s[1]), fk[1] * (1 - s[0])
    if s[0] + g[0] <= 0.0:
        raise Undecided("the rear valve may hold back all that the rear axle would brake")
    kept = g[0] / (s[1] + g[0]), g[1] / (s[0] + g[1])
    other = car.x[0] / (car.x[0] + s[1]), car.x[1] / (car.x[1] + s[0])
    freed = (1 - fk[1]) / (s[1] + g[1]), (1 - fk[0]) / (s[0] + g[0])
    return [
        (kept[0] - other[1], kept[1] - other[0]),
        other,
        kept,
        (freed[0] - 1 / (car.x[0] + s[0]), freed[1] - 1 / (car.x[1] + s[1])),
    ]


def _sum(*terms: tuple[Span, int]) -> Span:
    low = sum(n * (span[0] if n > 0 else span[1]) for span, n in terms)
    high = sum(n * (span[1] if n > 0 else span[0]) for span, n in terms)
    return low, high


def _power(scale: float, powers: Iterable[tuple[Span, int]]) -> Span:
    low = high = scale
    for (least, most), n in powers:
        low *= (least if n > 0 else most) ** n
        high *= (most if n > 0 else least) ** n
    return low, high


def _log_width(span: Span) -> float:
    return log(span[1] / span[0]) if span[0] > 0.0 else float(span[1] > span[0]) * 50.0
