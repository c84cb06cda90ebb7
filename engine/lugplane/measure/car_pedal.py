"""Pedal of the whole car: force for a stop, stroke for the calipers' fluid, and what is left of it.

Fluid closes both running gaps and follows what pads, calipers and hoses give under a hard stop:
`A (gap + give)` for each wheel, so that a larger piston area asks for more of both. The booster's
run-out is the force on the master cylinder at which its assist is spent.
"""

from __future__ import annotations

from math import inf

from lugplane.measure.bench import Bench, Reckoned, measure
from lugplane.measure.car_balance import figures, valve_of
from lugplane.measure.car_share import Advice, braking_ratio, force_n_per_bar, ready, torque_ratio
from lugplane.measure.corners import corner_bounds
from lugplane.measure.hydraulics import MPA_PER_BAR, circle_area_mm2, line_pressure_mpa
from lugplane.measure.pedal import available_stroke_mm
from lugplane.measure.valve import Valve
from lugplane.measure.whole_car import AxleBrake, CarBrake, Figure, brakes_of, use, word
from lugplane.quantity.form import Effect, Extent

_CM3 = 1e-3


@measure
def pedal_effort(b: Bench) -> Reckoned:
    """Braking of the whole car for the same line pressure, beside stock.

    Pedal, booster and master cylinder stay, so the same foot gives the same pressure.
    """
    pair = brakes_of(b)
    ready(b, pair.new)
    ready(b, pair.stock)
    return figures("1", braking_ratio(pair))


@measure
def torque_change(b: Bench) -> Reckoned:
    """How far the torque for each bar of either axle is off stock, as a share: the further one."""
    pair = brakes_of(b)
    found = {
        a.axle: _beside(b, a, s) for a, s in zip(pair.new.axles, pair.stock.axles, strict=True)
    }
    off = [_off(r) for r in found.values()]
    worst = max(off, key=lambda e: e.hi)
    judged = Extent(
        max(e.lo for e in off), max(e.hi for e in off), max(e.nominal for e in off), worst.effects
    )
    return figures(
        "share", judged, **{f"{axle}_ratio_percent": _percent(r) for axle, r in found.items()}
    )


def _beside(b: Bench, new: AxleBrake, stock: AxleBrake) -> Extent:
    """Torque of a wheel beside stock; of an axle that stays as it is nothing need be known."""
    if new is stock:
        return Extent(1.0, 1.0, 1.0)
    use(b, new.torque_per_bar_nm, stock.torque_per_bar_nm)
    return torque_ratio(new, stock)


def _percent(e: Extent) -> Extent:
    return Extent(100 * e.lo, 100 * e.hi, 100 * e.nominal)


def _off(ratio: Extent) -> Extent:
    """`|ratio - 1|`."""
    low, high = ratio.lo - 1, ratio.hi - 1
    least = 0.0 if low <= 0.0 <= high else min(abs(low), abs(high))
    sign = 1 if ratio.nominal >= 1 else -1

    def turned() -> dict[str, Effect]:
        return {p: Effect(sign * e.slope, e.half) for p, e in ratio.effects.items()}

    return Extent(least, max(abs(low), abs(high)), abs(ratio.nominal - 1), Advice(turned))


# --- a stop ---------------------------------------------------------------------------------------


def pressure_bar(car: CarBrake, pedal_n: float) -> Figure:
    """Line pressure at a force of the foot, bar."""
    taken = (car.pedal_ratio, car.master_bore_mm, car.booster_gain, car.run_out_n)
    facts = tuple(p for f in taken for p in f.facts)
    missing = tuple(m for f in taken for m in f.missing)
    if missing:
        return Figure(0.0, 0.0, 0.0, facts, missing)

    def bar(ratio: float, bore: float, gain: float, spent_n: float) -> float:
        run_out = spent_n / gain if gain > 1.0 else inf
        return line_pressure_mpa(pedal_n, ratio, bore, gain, run_out) / MPA_PER_BAR

    # The boosted force F + min((g - 1) F, (1 - 1/g) R) rises with g and R.
    low, high = corner_bounds(
        bar,
        rises={
            n: f.span for n, f in (("ratio", taken[0]), ("gain", taken[2]), ("spent_n", taken[3]))
        },
        falls={"bore": taken[1].span},
    )
    return Figure(low, high, bar(*(f.nominal for f in taken)), facts)


@measure
def stop(b: Bench, *, pedal_force_n: float) -> Reckoned:
    """Deceleration of the laden car at a given force of the foot, m/s²; tyres may allow less."""
    car = brakes_of(b).new
    ready(b, car)
    pressure = pressure_bar(car, pedal_force_n)
    use(b, pressure, car.gross.mass_kg)
    valve = valve_of(b, car, car.gross)

    def slowed(
        front: float,
        rear: float,
        bar: float,
        kg: float,
        knee: float = 0.0,
        slope: float = 1.0,
    ) -> float:
        behind = Valve(knee, slope).rear_bar(bar) if valve is not None else bar
        return (front * bar + rear * behind) / kg

    inputs = {
        "front": force_n_per_bar(car.front),
        "rear": force_n_per_bar(car.rear),
        "bar": pressure,
        **({} if valve is None else {"knee": valve[0], "slope": valve[1]}),
    }
    low, high = corner_bounds(
        slowed,
        rises={n: f.span for n, f in inputs.items()},
        falls={"kg": car.gross.mass_kg.span},
    )
    nominal = slowed(kg=car.gross.mass_kg.nominal, **{n: f.nominal for n, f in inputs.items()})
    return figures("m/s²", Extent(low, high, nominal), pressure_bar=_extent(pressure))


def _extent(f: Figure) -> Extent:
    return Extent(f.lo, f.hi, f.nominal)


# --- stroke ---------------------------------------------------------------------------------------


def fluid_mm3(brake: AxleBrake, closing_mm: float) -> Figure:
    """Fluid that both calipers of an axle take in a hard stop, mm³: `2 A (gap + give)`."""
    a = brake.area_mm2
    if not a.known:
        return a
    take = 2.0 * closing_mm
    return Figure(a.lo * take, a.hi * take, a.nominal * take, a.facts)


def _used(car: CarBrake, closing_mm: float) -> tuple[Figure, Figure]:
    return fluid_mm3(car.front, closing_mm), fluid_mm3(car.rear, closing_mm)


@measure
def pedal_travel(b: Bench, *, pad_gap_mm: float, pad_give_mm: float) -> Reckoned:
    """Travel that the calipers add at the foot in a hard stop, mm; below zero: they save some."""
    pair = brakes_of(b)
    car, closing = pair.new, pad_gap_mm + pad_give_mm
    changed = [
        (fluid_mm3(n, closing), fluid_mm3(s, closing))
        for n, s in zip(car.axles, pair.stock.axles, strict=True)
        if n.ids["caliper"] != s.ids["caliper"]
    ]
    use(b, *(f for pair_ in changed for f in pair_), car.master_bore_mm, car.pedal_ratio)
    added = (sum(n.lo - s.hi for n, s in changed), sum(n.hi - s.lo for n, s in changed))
    nominal = sum(n.nominal - s.nominal for n, s in changed)

    def foot(mm3: float, bore: float, ratio: float) -> float:
        return mm3 / circle_area_mm2(bore) * ratio

    bores, ratios = car.master_bore_mm.span, car.pedal_ratio.span
    corners = [foot(v, m, r) for v in added for m in bores for r in ratios]
    middle = foot(nominal, car.master_bore_mm.nominal, car.pedal_ratio.nominal)
    return figures(
        "mm",
        Extent(min(corners), max(corners), middle),
        fluid_cm3=Extent(added[0] * _CM3, added[1] * _CM3, nominal * _CM3),
    )


@measure
def pedal_reserve(b: Bench, *, pad_gap_mm: float, pad_give_mm: float) -> Reckoned:
    """Share of the stroke that is left after a hard stop.

    There is the lesser of the cylinder's own stroke and the pedal's travel over its ratio.
    """
    car = brakes_of(b).new
    fluids = _used(car, pad_gap_mm + pad_give_mm)
    there = (car.master_stroke_mm, car.pedal_travel_mm)
    use(b, *fluids, car.master_bore_mm, *there, car.pedal_ratio)

    def left(mm3: float, bore: float, stroke: float, travel: float, ratio: float) -> float:
        return 1.0 - mm3 / circle_area_mm2(bore) / available_stroke_mm(stroke, travel, ratio)

    rises = {"bore": car.master_bore_mm, "stroke": there[0], "travel": there[1]}
    falls = {"mm3": _sum(*fluids), "ratio": car.pedal_ratio}
    return figures("share", _monotone(left, rises, falls, _PATHS))


_PATHS = {
    "bore": "master.bore_mm",
    "stroke": "master.stroke_mm",
    "travel": "platform.pedal.travel_mm",
    "ratio": "platform.pedal.ratio",
}


def _sum(*some: Figure) -> Figure:
    return Figure(sum(f.lo for f in some), sum(f.hi for f in some), sum(f.nominal for f in some))


def _monotone(
    f: object, rises: dict[str, Figure], falls: dict[str, Figure], paths: dict[str, str]
) -> Extent:
    """Bounds of a function at its two corners, and the effect of each named input."""
    assert callable(f)
    low, high = corner_bounds(
        f,
        rises={n: x.span for n, x in rises.items()},
        falls={n: x.span for n, x in falls.items()},
    )
    every = {**rises, **falls}
    middle = {n: x.nominal for n, x in every.items()}
    effects: dict[str, Effect] = {}
    for name, path in paths.items():
        if name in every and every[name].hi > every[name].lo:
            wide = every[name].hi - every[name].lo
            moved = f(**{**middle, name: every[name].hi}) - f(**{**middle, name: every[name].lo})
            effects[path] = Effect(moved / wide, wide / 2)
    return Extent(low, high, min(max(f(**middle), low), high), effects)


@measure
def master_stroke(b: Bench, *, pad_gap_mm: float, pad_give_mm: float) -> Reckoned:
    """Share of a circuit's own stroke that is left after a hard stop, the worse of both circuits.

    Diagonal: each feeds one front and one rear caliper. Front and rear: each feeds an axle; which
    of both strokes feeds which is not asked, so the bounds hold either way round.
    """
    car = brakes_of(b).new
    fluids = _used(car, pad_gap_mm + pad_give_mm)
    strokes = (car.first_stroke_mm, car.second_stroke_mm)
    use(b, *fluids, car.master_bore_mm, *strokes)
    split = word(b, "platform.split", car.split)
    both = _sum(*fluids)
    half = Figure(both.lo / 2, both.hi / 2, both.nominal / 2)
    ways = [(half, half)] if split == "diagonal" else [fluids, fluids[::-1]]

    def left(mm3: float, bore: float, stroke: float) -> float:
        return 1.0 - mm3 / circle_area_mm2(bore) / stroke

    found: list[Extent] = []
    for way in ways:
        circuits = [
            _monotone(
                left,
                {"bore": car.master_bore_mm, "stroke": stroke},
                {"mm3": fluid},
                {"bore": "master.bore_mm", "stroke": path},
            )
            for fluid, stroke, path in zip(
                way, strokes, ("master.first_stroke_mm", "master.second_stroke_mm"), strict=True
            )
        ]
        low = min(circuits, key=lambda e: e.lo)
        found.append(
            Extent(
                low.lo, min(e.hi for e in circuits), min(e.nominal for e in circuits), low.effects
            )
        )
    worst = min(found, key=lambda e: e.lo)
    judged = Extent(worst.lo, max(e.hi for e in found), worst.nominal, worst.effects)
    return figures("share", judged)
