"""How much of the braking either axle does beside stock at a given z, a rear valve included.

What both cars have in common is taken once (`car_share.compare`, `valve_box`). How the weight lies
on the axles has no part in it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from lugplane.measure.bench import Bench
from lugplane.measure.car_balance import valve_of
from lugplane.measure.car_share import force_n_per_bar, ready, share, share_ratio, work_ratio
from lugplane.measure.corners import Span
from lugplane.measure.loads import STANDARD_GRAVITY
from lugplane.measure.valve_box import box_of, most_times, share_at
from lugplane.measure.whole_car import Figure, Pair, use
from lugplane.quantity.form import Extent


@dataclass(frozen=True, slots=True)
class Work:
    """Share of the braking over that of stock, in front and behind; stock's front share."""

    front: Extent
    rear: Extent
    stock: Span

    @property
    def axles(self) -> tuple[Extent, Extent]:
        """Front and rear."""
        return self.front, self.rear

    def hardest(self, front: Span, rear: Span) -> Span:
        """Bounds of the greater of both axles' work, each times a factor of its own.

        Greatest is the greater of both. Least: of the same braking the one does more where the
        other does less. With stock's front share y and the front's work g the rear's is
        `(1 - y g)/(1 - y)`, one way in y for each g, so that y lies at an end; and for each y the
        greater of both is least where they meet, at `g = R/(F (1 - y) + R y)`, or at g's nearest
        end.
        """
        if inf in (front[0], rear[0]):
            return inf, inf
        high = max(self.front.hi * front[1], self.rear.hi * rear[1])
        apart = max(self.front.lo * front[0], self.rear.lo * rear[0])
        met = inf
        for y in self.stock:
            level = front[0] * (1 - y) + rear[0] * y
            g = min(max(rear[0] / level if level > 0.0 else 0.0, self.front.lo), self.front.hi)
            behind = (1 - y * g) / (1 - y) if y < 1.0 else self.rear.lo
            met = min(met, max(front[0] * g, rear[0] * behind))
        return min(max(apart, met), high), high

    def front_leads_by(self, front: Span, rear: Span) -> Span:
        """Bounds of the front's work times a factor less the rear's times its own.

        At stock's front share y that is `F g - R (1 - y g)/(1 - y)`, which rises with g; for each g
        it is one way in y, so that both lie at their ends.
        """
        if inf in (*front, *rear):
            return -inf, inf
        ends = []
        for g, mine, theirs in (
            (self.front.lo, front[0], rear[1]),
            (self.front.hi, front[1], rear[0]),
        ):
            behind = [
                max((1 - y * g) / (1 - y), 0.0) if y < 1.0 else self.rear.hi for y in self.stock
            ]
            ends.append([mine * g - theirs * x for x in behind])
        return min(ends[0]), max(ends[1])


def work_at(b: Bench, pair: Pair, z: float) -> Work:
    """Both axles' work at `z` g of the fully laden car. Raises `Missing` or `Undecided`.

    Without other parts, or a valve, neither z nor the car's mass matters, and neither is asked for.
    """
    ready(b, pair.new)
    ready(b, pair.stock)
    valve = None
    if pair.changed:
        valve = valve_of(b, pair.new, pair.new.gross)
    if valve is None:
        return bare_work(pair)
    use(b, pair.new.gross.mass_kg)
    return pair.once(("work", z), lambda: _valved(pair, valve, z))


def bare_work(pair: Pair) -> Work:
    """Both axles' work at equal pressure."""
    return pair.once("bare work", lambda: _bare_work(pair))


def _bare_work(pair: Pair) -> Work:
    stock = share(pair.stock)
    return Work(work_ratio(pair, "front"), work_ratio(pair, "rear"), (stock.lo, stock.hi))


def _valved(pair: Pair, valve: tuple[Figure, Figure], z: float) -> Work:
    knee, slope = valve
    mass, each = pair.new.gross.mass_kg, STANDARD_GRAVITY * z
    need = Figure(each * mass.lo, each * mass.hi, each * mass.nominal)
    box = box_of(pair, (knee.lo / need.hi, knee.hi / need.lo), slope.span)
    if not box.past:
        return bare_work(pair)
    nominal = [
        share_at(
            force_n_per_bar(car.front).nominal / force_n_per_bar(car.rear).nominal,
            force_n_per_bar(car.rear).nominal,
            knee.nominal / need.nominal,
            slope.nominal,
        )
        for car in (pair.new, pair.stock)
    ]
    least, greatest = share_ratio(pair.stock).span
    r = force_n_per_bar(pair.stock.rear)
    stock = (
        share_at(least, r.hi, knee.hi / need.lo, slope.hi),
        share_at(greatest, r.lo, knee.lo / need.hi, slope.lo),
    )
    bare = bare_work(pair)
    front, rear = (
        (1 / most_times(box.turned(), behind), most_times(box, behind)) for behind in (False, True)
    )
    return Work(
        _extent(front, nominal[0] / nominal[1], bare.front),
        _extent(rear, (1 - nominal[0]) / (1 - nominal[1]), bare.rear),
        stock,
    )


def _extent(span: Span, nominal: float, bare: Extent) -> Extent:
    low, high = span
    return Extent(low, high, min(max(nominal, low), high), bare.effects)
