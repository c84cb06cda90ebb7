"""How many times its stock share of the braking an axle does past a rear valve's knee, at most.

With `x = f/r`, the front over the rear force a bar at equal pressure, `K = k/N`, the valve's knee
over the braking force needed, and s its slope, the front share is `α = x/(1 + x)` below the knee,
and `β = x (1 - t)/(x + s)` past it, where `K (f + r) < 1`; `t = r K (1 - s)`. The rear one is
`1/(1 + x)` or `(s + g)/(x + s)`, `g = f K (1 - s)` (mechanics).

Either share, new over stock, is a function of the factors of all forces, K and s, each of which is
one number wherever it occurs. How its logarithm changes with that of each factor (its elasticity)
is bounded over the box. What has one sign puts its factor at an end of the box; for the rest no
point is further from a corner than half the box, which bounds what lies between, and the box is
halved until that is little.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import exp, log, prod

from lugplane.measure.bench import Undecided
from lugplane.measure.car_share import force_n_per_bar
from lugplane.measure.corners import Span
from lugplane.measure.whole_car import AxleBrake, Pair

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

    def turned(self) -> Box:
        """With new and stock changed over."""
        a, b, c, d = self.scales
        return replace(self, parts=tuple(p.turned() for p in self.parts), scales=(c, d, a, b))

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
    """The box of two cars; `knee` bounds K."""
    axles = (*pair.new.axles, *pair.stock.axles)
    spans = {f.key: f.figure.span for a in axles for f in a.factors}
    parts = tuple(
        Part(span, *(sum(f.key == key for f in a.factors) for a in axles))
        for key, span in spans.items()
    )
    a, b, c, d = (_scale(axle) for axle in axles)
    return Box(parts, knee, slope, (a, b, c, d))


def _scale(axle: AxleBrake) -> float:
    return force_n_per_bar(axle).nominal / prod(f.figure.nominal for f in axle.factors)


def most_times(box: Box, rear: bool) -> float:
    """Greatest share of the front (or rear) axle over that of stock.

    Raises `Undecided` where stock's rear axle may do nothing at all.
    """
    return _most(box, rear, 0.0, _HALVINGS)


def _most(box: Box, rear: bool, reached: float, halvings: int) -> float:
    """A bound for the box, no closer than need be where it stays below what is `reached`."""
    bounds = _elasticities(box, rear)
    spans = [p.span for p in box.parts] + [box.knee, box.slope]
    ends: list[tuple[float, ...]] = []
    reach: list[float] = []
    for n, ((low, high), span) in enumerate(zip(bounds, spans, strict=True)):
        wide = span[1] - span[0] if n == len(spans) - 1 else _log_width(span)
        open_ = low < 0.0 < high and wide > 0.0
        reach.append(max(-low, high) * wide / 2 if open_ else 0.0)
        ends.append(span if open_ else (span[1] if low >= 0.0 else span[0],))
    found = max(_times(box, at, rear) for at in product(*ends))
    bound = found * exp(sum(reach))
    worst = max(range(len(reach)), key=reach.__getitem__)
    if bound <= max(found, reached) * (1 + _SLACK) or not halvings:
        return bound
    one, two = _halved(box, worst)
    first = _most(one, rear, max(found, reached), halvings - 1)
    return max(first, _most(two, rear, max(found, reached), halvings - 1))


def _halved(box: Box, n: int) -> tuple[Box, Box]:
    """The box cut in two across its n-th input."""

    def halves(span: Span) -> tuple[Span, Span]:
        middle = (span[0] + span[1]) / 2
        return (span[0], middle), (middle, span[1])

    if n < len(box.parts):
        before, part, after = box.parts[:n], box.parts[n], box.parts[n + 1 :]
        one, two = (
            replace(box, parts=(*before, replace(part, span=half), *after))
            for half in halves(part.span)
        )
    elif n == len(box.parts):
        one, two = (replace(box, knee=half) for half in halves(box.knee))
    else:
        one, two = (replace(box, slope=half) for half in halves(box.slope))
    return one, two


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
