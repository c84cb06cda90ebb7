"""Two cars' braking forces beside each other, no shared doubt counted twice.

Letters as in `balance`: `f` and `r` the braking force of front and rear axle for each bar,
`x = f/r`, so that the front share is `φ = x/(1 + x)`; with a prime the car as it is to be built. A
force is a product of factors, each with a key; factors with one key are one number (the friction of
one compound in front, behind and in the stock pads, say) and cancel where they are divided.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import prod

from lugplane.measure.bench import Bench
from lugplane.measure.corners import Span
from lugplane.measure.whole_car import AxleBrake, CarBrake, Factor, Figure, Pair, use
from lugplane.quantity.form import Effect, Extent, Missing


class Advice(Mapping[str, Effect]):
    """Effects of inputs on a quantity, reckoned when somebody asks: only a doubt needs them."""

    def __init__(self, make: Callable[[], Mapping[str, Effect]]) -> None:
        self._make = make
        self._found: Mapping[str, Effect] | None = None

    @property
    def _effects(self) -> Mapping[str, Effect]:
        if self._found is None:
            self._found = self._make()
        return self._found

    def __getitem__(self, path: str) -> Effect:
        return self._effects[path]

    def __iter__(self) -> Iterator[str]:
        return iter(self._effects)

    def __len__(self) -> int:
        return len(self._effects)


Point = Mapping[tuple[object, ...], float]
Factors = tuple[Factor, ...]


@dataclass(frozen=True, slots=True)
class Fraction:
    """A product of factors over another, equal ones cancelled, times a number."""

    over: Factors
    under: Factors
    scale: float = 1.0

    @property
    def span(self) -> Span:
        """Bounds over the box of its factors, each of which is above zero."""
        low = prod(f.figure.lo for f in self.over) / prod(f.figure.hi for f in self.under)
        high = prod(f.figure.hi for f in self.over) / prod(f.figure.lo for f in self.under)
        return self.scale * low, self.scale * high


def fraction(over: Sequence[Factor], under: Sequence[Factor], scale: float = 1.0) -> Fraction:
    """Cancel equal factors. Raises as `Figure.span` where one is not known."""
    _above_nought((*over, *under))
    left, right = _without(over, under), _without(under, over)
    return Fraction(left, right, scale)


def _above_nought(factors: Sequence[Factor]) -> None:
    """Raises as `Figure.span`, and `Missing` where a factor might be nothing: no share of it."""
    for f in factors:
        if f.figure.span[0] <= 0.0:
            raise Missing(f.path)


def _without(some: Sequence[Factor], others: Sequence[Factor]) -> Factors:
    keys = [f.key for f in others]
    left: list[Factor] = []
    for f in some:
        if f.key in keys:
            keys.remove(f.key)
        else:
            left.append(f)
    return tuple(left)


def _common(some: Sequence[Factor], others: Sequence[Factor]) -> Factors:
    keys = [f.key for f in others]
    found: list[Factor] = []
    for f in some:
        if f.key in keys:
            keys.remove(f.key)
            found.append(f)
    return tuple(found)


def force_n_per_bar(brake: AxleBrake) -> Figure:
    """Braking force at the road of an axle's two wheels for each bar, N."""
    torque, radius = brake.torque_per_bar_nm, brake.rolling_radius_mm
    missing = tuple(dict.fromkeys((*torque.missing, *radius.missing)))
    facts = tuple(dict.fromkeys((*torque.facts, *radius.facts)))
    because = torque.because or radius.because
    if missing or because:
        return Figure(0.0, 0.0, 0.0, facts, missing, because)
    scale = 2000.0 / radius.nominal
    return Figure(torque.lo * scale, torque.hi * scale, torque.nominal * scale, facts)


def ready(b: Bench, car: CarBrake) -> None:
    """Note what the forces of a car rest on. Raises `Missing` or `Undecided`."""
    use(b, *(force_n_per_bar(a) for a in car.axles))
    for axle in car.axles:
        _above_nought(axle.factors)


def share_ratio(car: CarBrake) -> Fraction:
    """`x = f/r` of a car, at equal line pressure."""
    radii = car.rear.rolling_radius_mm.nominal / car.front.rolling_radius_mm.nominal
    return fraction(car.front.factors, car.rear.factors, radii)


def share(car: CarBrake) -> Extent:
    """`φ`, the front share of the braking at equal line pressure."""
    low, high = share_ratio(car).span
    return Extent(
        low / (1 + low), high / (1 + high), _share_at(car, {}), Advice(lambda: _effects(car))
    )


def _share_at(car: CarBrake, at: Point) -> float:
    front, rear = (_force_at(a, at) for a in car.axles)
    return front / (front + rear)


def _force_at(brake: AxleBrake, at: Point) -> float:
    """Braking force at the road for each bar, in any one unit, at nominal but for `at`."""
    value = prod(at.get(f.key, f.figure.nominal) for f in brake.factors)
    return value / brake.rolling_radius_mm.nominal


def effects_of(f: Callable[[Point], float], brakes: Sequence[AxleBrake]) -> dict[str, Effect]:
    """How each factor of some brakes, changed alone, moves `f`: advice on what to measure."""
    found: dict[str, Effect] = {}
    seen: set[tuple[object, ...]] = set()
    for factor in (x for a in brakes for x in a.factors):
        figure = factor.figure
        if factor.key in seen or figure.lo == figure.hi:
            continue
        seen.add(factor.key)
        moved = f({factor.key: figure.hi}) - f({factor.key: figure.lo})
        wide = figure.hi - figure.lo
        if abs(moved) > 1e-12:
            found[factor.path] = Effect(moved / wide, wide / 2)
    return found


def _effects(car: CarBrake) -> dict[str, Effect]:
    return effects_of(lambda at: _share_at(car, at), car.axles)


@dataclass(frozen=True, slots=True)
class Compared:
    """`x'` and `x` in two ways, each a valid box: `x'` and `x` by themselves, and as `ρu` and `ρv`
    with what both cars have in common in `ρ`."""

    new: Span
    stock: Span
    rho: Span
    u: Span
    v: Span


def compare(pair: Pair) -> Compared:
    """Set both cars beside each other, once."""
    if "compared" not in pair.kept:
        pair.kept["compared"] = _compare(pair)
    found: Compared = pair.kept["compared"]
    return found


def _compare(pair: Pair) -> Compared:
    new, stock = pair.new, pair.stock
    front = _common(new.front.factors, stock.front.factors)
    rear = _common(new.rear.factors, stock.rear.factors)
    radii = share_ratio(stock).scale

    def rest(car: CarBrake) -> Fraction:
        return fraction(_without(car.front.factors, front), _without(car.rear.factors, rear))

    return Compared(
        share_ratio(new).span,
        share_ratio(stock).span,
        fraction(front, rear, radii).span,
        rest(new).span,
        rest(stock).span,
    )


def share_change(pair: Pair) -> Extent:
    """`φ' - φ`: above zero the front's share has grown.

    In `ρ` the difference `ρu/(1 + ρu) - ρv/(1 + ρv)` keeps the sign of `u - v` and is furthest from
    zero at `ρ = 1/sqrt(uv)`; it rises with `u` and falls with `v`. Both boxes bound it, and so does
    the narrower of each bound.
    """
    c = compare(pair)
    apart = (_phi(c.new[0]) - _phi(c.stock[1]), _phi(c.new[1]) - _phi(c.stock[0]))
    low = min(_phi(r * c.u[0]) - _phi(r * c.v[1]) for r in _turns(c.rho, c.u[0], c.v[1]))
    high = max(_phi(r * c.u[1]) - _phi(r * c.v[0]) for r in _turns(c.rho, c.u[1], c.v[0]))

    def at(point: Point) -> float:
        return _share_at(pair.new, point) - _share_at(pair.stock, point)

    return _within(max(apart[0], low), min(apart[1], high), at, pair)


def _phi(x: float) -> float:
    return x / (1 + x)


def _turns(rho: Span, u: float, v: float) -> tuple[float, ...]:
    """Both ends of `ρ`, and where the difference is greatest if that lies between."""
    turn = 1.0 / (u * v) ** 0.5
    return (*rho, turn) if rho[0] < turn < rho[1] else rho


def work_ratio(pair: Pair, axle: str) -> Extent:
    """How much of the braking an axle does beside stock: `φ'/φ` in front, behind of the rests.

    `φ'/φ = (u/v)(1 + ρv)/(1 + ρu)` rises with `u`, falls with `v` and is monotone in `ρ`; behind
    `(1 + ρv)/(1 + ρu)` falls with `u`, rises with `v` and is monotone in `ρ`.
    """
    if ("work", axle) not in pair.kept:
        pair.kept["work", axle] = _work_ratio(pair, axle)
    found: Extent = pair.kept["work", axle]
    return found


def _work_ratio(pair: Pair, axle: str) -> Extent:
    c = compare(pair)
    front = axle == "front"

    def part(x: float) -> float:
        return _phi(x) if front else 1 / (1 + x)

    def ends(u: float, v: float) -> tuple[float, float]:
        return tuple(part(r * u) / part(r * v) for r in c.rho)  # type: ignore[return-value]

    if front:
        apart = part(c.new[0]) / part(c.stock[1]), part(c.new[1]) / part(c.stock[0])
        low, high = min(ends(c.u[0], c.v[1])), max(ends(c.u[1], c.v[0]))
    else:
        apart = part(c.new[1]) / part(c.stock[0]), part(c.new[0]) / part(c.stock[1])
        low, high = min(ends(c.u[1], c.v[0])), max(ends(c.u[0], c.v[1]))

    def at(point: Point) -> float:
        new, stock = _share_at(pair.new, point), _share_at(pair.stock, point)
        return new / stock if front else (1 - new) / (1 - stock)

    return _within(max(apart[0], low), min(apart[1], high), at, pair)


def torque_ratio(new: AxleBrake, stock: AxleBrake) -> Extent:
    """Torque per bar of a wheel beside stock."""
    low, high = fraction(new.factors, stock.factors).span

    def at(point: Point) -> float:
        return _force_at(new, point) / _force_at(stock, point)

    return Extent(
        low, high, _between(low, at({}), high), Advice(lambda: effects_of(at, (new, stock)))
    )


def braking_ratio(pair: Pair) -> Extent:
    """Braking force of the whole car for each bar beside stock, `(f' + r')/(f + r)`.

    It is `φ p + (1 - φ) q` with the stock share φ and the axles' ratios `p`, `q`: it rises with
    both ratios and is straight in φ.
    """
    p = torque_ratio(pair.new.front, pair.stock.front)
    q = torque_ratio(pair.new.rear, pair.stock.rear)
    phi = share(pair.stock)
    ends = (phi.lo, phi.hi)

    def at(point: Point) -> float:
        new, stock = (sum(_force_at(a, point) for a in c.axles) for c in (pair.new, pair.stock))
        return new / stock

    return _within(
        min(s * p.lo + (1 - s) * q.lo for s in ends),
        max(s * p.hi + (1 - s) * q.hi for s in ends),
        at,
        pair,
    )


def _within(low: float, high: float, at: Callable[[Point], float], pair: Pair) -> Extent:
    brakes = (*pair.new.axles, *pair.stock.axles)
    return Extent(
        low, max(low, high), _between(low, at({}), high), Advice(lambda: effects_of(at, brakes))
    )


def _between(low: float, value: float, high: float) -> float:
    return min(max(value, low), max(low, high))
