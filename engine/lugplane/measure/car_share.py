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
    return brake.force_n_per_bar


def ready(b: Bench, car: CarBrake) -> None:
    """Note what the forces of a car rest on. Raises `Missing` or `Undecided`."""
    use(b, *(force_n_per_bar(a) for a in car.axles))
    car.once("ready", lambda: _above_nought([f for a in car.axles for f in a.factors]))


def share_ratio(car: CarBrake) -> Fraction:
    """`x = f/r` of a car, at equal line pressure."""
    radii = car.rear.rolling_radius_mm.nominal / car.front.rolling_radius_mm.nominal
    return car.once("ratio", lambda: fraction(car.front.factors, car.rear.factors, radii))


def share(car: CarBrake) -> Extent:
    """`φ`, the front share of the braking at equal line pressure."""
    return car.once("share", lambda: _share(car))


def _share(car: CarBrake) -> Extent:
    low, high = share_ratio(car).span
    at = _share_of(car)
    return Extent(
        low / (1 + low),
        high / (1 + high),
        at(_torques(car.axles)),
        Advice(lambda: effects_of(at, car.axles)),
    )


Torques = Sequence[float]
"""Torques of a wheel for each bar, in any one unit, of some brakes."""


def _torques(brakes: Sequence[AxleBrake]) -> Torques:
    """At the factors' nominal values."""
    return [prod(f.figure.nominal for f in brake.factors) for brake in brakes]


def _forces_of(brakes: Sequence[AxleBrake]) -> Callable[[Torques], list[float]]:
    """What makes braking forces at the road, in any one unit, of the brakes' torques."""
    radii = [brake.rolling_radius_mm.nominal for brake in brakes]
    return lambda torques: [t / r for t, r in zip(torques, radii, strict=True)]


def _share_of(car: CarBrake) -> Callable[[Torques], float]:
    """What makes the front share of the front and the rear torque."""
    forces = _forces_of(car.axles)

    def share_at(torques: Torques) -> float:
        front, rear = forces(torques)
        return front / (front + rear)

    return share_at


def effects_of(f: Callable[[Torques], float], brakes: Sequence[AxleBrake]) -> dict[str, Effect]:
    """How each factor of some brakes, changed alone, moves `f` of their torques: advice on what to
    measure."""
    found: dict[str, Effect] = {}
    seen: set[tuple[object, ...]] = set()
    middle = _torques(brakes)
    for factor in (x for a in brakes for x in a.factors):
        figure = factor.figure
        if figure.lo == figure.hi or factor.key in seen:
            continue
        seen.add(factor.key)
        within = [any(x.key == factor.key for x in a.factors) for a in brakes]
        high, low = (
            f(
                [
                    t * end / figure.nominal if has else t
                    for t, has in zip(middle, within, strict=True)
                ]
            )
            for end in (figure.hi, figure.lo)
        )
        wide = figure.hi - figure.lo
        if abs(high - low) > 1e-12:
            found[factor.path] = Effect((high - low) / wide, wide / 2)
    return found


@dataclass(frozen=True, slots=True)
class Compared:
    """`x' = ρu` and `x = ρv`: what both owe to one number alike is in `ρ`.

    Every other factor moves u against v: `most` are (u, v) where all raise `x'` beside `x`, `least`
    where all lower it.
    """

    rho: Span
    most: tuple[float, float]
    least: tuple[float, float]


Where = tuple[int, int, int, int]
"""How often a factor stands in the force of new front, new rear, stock front and stock rear."""


def groups_of(pair: Pair, linked: bool) -> Mapping[Where, Span]:
    """The factors of both cars' forces, new ones by themselves or `linked` to stock's: what stands
    in the same forces is one, their product. Raises as `fraction`.
    """
    return pair.once(("groups", linked), lambda: _groups(pair, linked))


def _groups(pair: Pair, linked: bool) -> Mapping[Where, Span]:
    forces = [a.beside_stock if linked else a.factors for a in pair.new.axles]
    forces += [a.factors for a in pair.stock.axles]
    _above_nought([f for factors in forces for f in factors])
    spans: dict[tuple[object, ...], Span] = {}
    often: dict[tuple[object, ...], list[int]] = {}
    for n, factors in enumerate(forces):
        for f in factors:
            spans[f.key] = f.figure.span
            often.setdefault(f.key, [0, 0, 0, 0])[n] += 1
    groups: dict[Where, Span] = {}
    for key, (low, high) in spans.items():
        a, b, c, d = often[key]
        least, most = groups.get((a, b, c, d), (1.0, 1.0))
        groups[a, b, c, d] = least * low, most * high
    return groups


def _ways(pair: Pair) -> tuple[bool, ...]:
    """Whether the new forces' factors are taken by themselves, or linked to stock's: either bounds
    what hangs on both cars, and where nothing is linked they are one."""
    return (False,) if all(a.linked is None for a in pair.new.axles) else (False, True)


def compare(pair: Pair) -> tuple[Compared, ...]:
    """Set both cars beside each other, once for each of the ways to take their factors."""
    return pair.once("compared", lambda: tuple(_compare(pair, linked) for linked in _ways(pair)))


def _compare(pair: Pair, linked: bool) -> Compared:
    scale = share_ratio(pair.stock).scale
    rho, most, least = [scale, scale], [1.0, 1.0], [1.0, 1.0]
    for (new_front, new_rear, front, rear), span in groups_of(pair, linked).items():
        high, low = new_front - new_rear, front - rear
        if high == low:
            shared = sorted(x**high for x in span)
            rho = [rho[0] * shared[0], rho[1] * shared[1]]
            continue
        falls, raises = span[:: 1 if high > low else -1]
        for at, end in ((least, falls), (most, raises)):
            at[0] *= end**high
            at[1] *= end**low
    return Compared((rho[0], rho[1]), (most[0], most[1]), (least[0], least[1]))


def share_change(pair: Pair) -> Extent:
    """`φ' - φ`: above zero the front's share has grown.

    With `x' = ρu` and `x = ρv` the difference `ρu/(1 + ρu) - ρv/(1 + ρv)` rises with u, falls with
    v, keeps the sign of `u - v` and is furthest from zero at `ρ = 1/sqrt(uv)`.
    """
    return pair.once("share change", lambda: _share_change(pair))


def _share_change(pair: Pair) -> Extent:
    ways = compare(pair)
    low = max(min(_gained(r, c.least) for r in _turns(c.rho, *c.least)) for c in ways)
    high = min(max(_gained(r, c.most) for r in _turns(c.rho, *c.most)) for c in ways)

    new, stock = _share_of(pair.new), _share_of(pair.stock)
    return _within(low, high, lambda torques: new(torques[:2]) - stock(torques[2:]), pair)


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
    return pair.once(("work", axle), lambda: _work_ratio(pair, axle))


def _work_ratio(pair: Pair, axle: str) -> Extent:
    front = axle == "front"

    def part(x: float) -> float:
        return _phi(x) if front else 1 / (1 + x)

    def ends(c: Compared, both: tuple[float, float]) -> tuple[float, ...]:
        return tuple(part(r * both[0]) / part(r * both[1]) for r in c.rho)

    ways = compare(pair)
    low = max(min(ends(c, c.least if front else c.most)) for c in ways)
    high = min(max(ends(c, c.most if front else c.least)) for c in ways)

    new_share, stock_share = _share_of(pair.new), _share_of(pair.stock)

    def at(torques: Torques) -> float:
        new, stock = new_share(torques[:2]), stock_share(torques[2:])
        return new / stock if front else (1 - new) / (1 - stock)

    return _within(low, high, at, pair)


def torque_ratio(new: AxleBrake, stock: AxleBrake) -> Extent:
    """Torque per bar of a wheel beside stock."""
    low, high = fraction(new.beside_stock, stock.factors).span

    def at(torques: Torques) -> float:
        return torques[0] / torques[1]

    both = new, stock
    nominal = _between(low, at(_torques(both)), high)
    return Extent(low, high, nominal, Advice(lambda: effects_of(at, both)))


def braking_ratio(pair: Pair) -> Extent:
    """Braking force of the whole car for each bar beside stock, `(f' + r')/(f + r)`.

    Each factor stands once at most in each force, so that the quotient is one of two straight lines
    in it and runs one way: the bounds stand at corners of the box of all factors. With one of the
    new car alone it rises, with one of stock alone it falls; only of one that stands in both are
    both ends tried.
    """
    found = [_braking_corners(pair, linked) for linked in _ways(pair)]
    forces = _forces_of((*pair.new.axles, *pair.stock.axles))

    def at(torques: Torques) -> float:
        f = forces(torques)
        return (f[0] + f[1]) / (f[2] + f[3])

    return _within(max(f[0] for f in found), min(f[1] for f in found), at, pair)


def _braking_corners(pair: Pair, linked: bool) -> Span:
    """Bounds of the ratio over the box of the forces' factors, new ones `linked` to stock's."""
    groups = groups_of(pair, linked)
    bare = [1.0 / a.rolling_radius_mm.nominal for a in (*pair.new.axles, *pair.stock.axles)]

    def ratio(at: Sequence[float]) -> float:
        forces = bare
        for value, where in zip(at, groups, strict=True):
            forces = [f * value if has else f for f, has in zip(forces, where, strict=True)]
        return (forces[0] + forces[1]) / (forces[2] + forces[3])

    def ends(where: Where, span: Span, greatest: bool) -> tuple[float, ...]:
        new, stock = any(where[:2]), any(where[2:])
        if new and stock:
            return tuple(dict.fromkeys(span))
        return (span[new == greatest],)

    least, most = (
        [ratio(at) for at in product(*(ends(w, span, top) for w, span in groups.items()))]
        for top in (False, True)
    )
    return min(least), max(most)


def _within(low: float, high: float, at: Callable[[Torques], float], pair: Pair) -> Extent:
    """`at` is of the torques of new front and rear, stock front and rear."""
    brakes = (*pair.new.axles, *pair.stock.axles)
    nominal = _between(low, at(_torques(brakes)), high)
    return Extent(low, max(low, high), nominal, Advice(lambda: effects_of(at, brakes)))


def _between(low: float, value: float, high: float) -> float:
    return min(max(value, low), max(low, high))
