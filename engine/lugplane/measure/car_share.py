"""Two cars' braking forces beside each other, no shared doubt counted twice.

Letters as in `balance`: `f` and `r` the braking force of front and rear axle for each bar,
`x = f/r`, so that the front share is `φ = x/(1 + x)`; with a prime the car as it is to be built. A
force is a product of factors, each with a key; factors with one key are one number (the friction of
one compound in front, behind and in the stock pads, say) and cancel where they are divided.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
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
    return _torque_at(brake, at) / brake.rolling_radius_mm.nominal


def _torque_at(brake: AxleBrake, at: Point) -> float:
    """Torque of a wheel for each bar, in the same way."""
    return prod(at.get(f.key, f.figure.nominal) for f in brake.factors)


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
    """`x' = ρu` and `x = ρv`: what both owe to one number alike is in `ρ`.

    Every other factor moves u against v: `most` are (u, v) where all raise `x'` beside `x`, `least`
    where all lower it.
    """

    rho: Span
    most: tuple[float, float]
    least: tuple[float, float]


def compare(pair: Pair) -> tuple[Compared, ...]:
    """Set both cars beside each other, once: by their own factors, and by those linked to stock's.

    Either bounds what hangs on both.
    """
    if "compared" not in pair.kept:
        pair.kept["compared"] = tuple(_compare(pair, linked) for linked in (False, True))
    found: tuple[Compared, ...] = pair.kept["compared"]
    return found


def _compare(pair: Pair, linked: bool) -> Compared:
    new, stock = pair.new, pair.stock
    front, rear = (a.beside_stock if linked else a.factors for a in new.axles)
    _above_nought((*front, *rear, *stock.front.factors, *stock.rear.factors))
    spans: dict[tuple[object, ...], Span] = {}
    powers: dict[tuple[object, ...], list[int]] = {}
    for factors, car, power in (
        (front, 0, 1),
        (rear, 0, -1),
        (stock.front.factors, 1, 1),
        (stock.rear.factors, 1, -1),
    ):
        for f in factors:
            spans[f.key] = f.figure.span
            powers.setdefault(f.key, [0, 0])[car] += power
    scale = share_ratio(stock).scale
    rho, most, least = [scale, scale], [1.0, 1.0], [1.0, 1.0]
    for key, (high, low) in powers.items():
        if high == low:
            shared = sorted(x**high for x in spans[key])
            rho = [rho[0] * shared[0], rho[1] * shared[1]]
            continue
        falls, raises = spans[key][:: 1 if high > low else -1]
        for at, end in ((least, falls), (most, raises)):
            at[0] *= end**high
            at[1] *= end**low
    return Compared((rho[0], rho[1]), (most[0], most[1]), (least[0], least[1]))


def share_change(pair: Pair) -> Extent:
    """`φ' - φ`: above zero the front's share has grown.

    With `x' = ρu` and `x = ρv` the difference `ρu/(1 + ρu) - ρv/(1 + ρv)` rises with u, falls with
    v, keeps the sign of `u - v` and is furthest from zero at `ρ = 1/sqrt(uv)`.
    """
    ways = compare(pair)
    low = max(min(_gained(r, c.least) for r in _turns(c.rho, *c.least)) for c in ways)
    high = min(max(_gained(r, c.most) for r in _turns(c.rho, *c.most)) for c in ways)

    def at(point: Point) -> float:
        return _share_at(pair.new, point) - _share_at(pair.stock, point)

    return _within(low, high, at, pair)


def _phi(x: float) -> float:
    return x / (1 + x)


def _gained(rho: float, both: tuple[float, float]) -> float:
    return _phi(rho * both[0]) - _phi(rho * both[1])


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
    front = axle == "front"

    def part(x: float) -> float:
        return _phi(x) if front else 1 / (1 + x)

    def ends(c: Compared, both: tuple[float, float]) -> tuple[float, ...]:
        return tuple(part(r * both[0]) / part(r * both[1]) for r in c.rho)

    ways = compare(pair)
    low = max(min(ends(c, c.least if front else c.most)) for c in ways)
    high = min(max(ends(c, c.most if front else c.least)) for c in ways)

    def at(point: Point) -> float:
        new, stock = _share_at(pair.new, point), _share_at(pair.stock, point)
        return new / stock if front else (1 - new) / (1 - stock)

    return _within(low, high, at, pair)


def torque_ratio(new: AxleBrake, stock: AxleBrake) -> Extent:
    """Torque per bar of a wheel beside stock."""
    low, high = fraction(new.beside_stock, stock.factors).span

    def at(point: Point) -> float:
        return _torque_at(new, point) / _torque_at(stock, point)

    return Extent(
        low, high, _between(low, at({}), high), Advice(lambda: effects_of(at, (new, stock)))
    )


def braking_ratio(pair: Pair) -> Extent:
    """Braking force of the whole car for each bar beside stock, `(f' + r')/(f + r)`.

    Each factor stands once at most in each force, so that the quotient is one of two straight lines
    in it and runs one way: the bounds stand at corners of the box of all factors.
    """
    found = [_braking_corners(pair, linked) for linked in (False, True)]

    def at(point: Point) -> float:
        new, stock = (sum(_force_at(a, point) for a in c.axles) for c in (pair.new, pair.stock))
        return new / stock

    return _within(max(f[0] for f in found), min(f[1] for f in found), at, pair)


def _braking_corners(pair: Pair, linked: bool) -> Span:
    """Bounds of the ratio over the box of the forces' factors, new ones `linked` to stock's."""
    axles = [(a, a.beside_stock if linked else a.factors) for a in pair.new.axles]
    axles += [(a, a.factors) for a in pair.stock.axles]
    spans = {f.key: f.figure.span for _, factors in axles for f in factors}
    _above_nought([f for _, factors in axles for f in factors])
    open_ = [key for key, (low, high) in spans.items() if low < high]
    fixed = [
        prod(f.figure.lo for f in factors if f.key not in open_) / a.rolling_radius_mm.nominal
        for a, factors in axles
    ]
    where = [[open_.index(f.key) for f in factors if f.key in open_] for _, factors in axles]
    found: list[float] = []
    for ends in product(*(spans[key] for key in open_)):
        forces = [one * prod(ends[n] for n in at) for one, at in zip(fixed, where, strict=True)]
        found.append((forces[0] + forces[1]) / (forces[2] + forces[3]))
    return min(found), max(found)


def _within(low: float, high: float, at: Callable[[Point], float], pair: Pair) -> Extent:
    brakes = (*pair.new.axles, *pair.stock.axles)
    return Extent(
        low, max(low, high), _between(low, at({}), high), Advice(lambda: effects_of(at, brakes))
    )


def _between(low: float, value: float, high: float) -> float:
    return min(max(value, low), max(low, high))
