"""Whatever the curve: its bounds hold all friction on it, and a wider ± never narrows a figure."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.facts.value import Points
from lugplane.measure.bench import Bench, run
from lugplane.measure.car_heat import hot_friction
from lugplane.measure.car_share import braking_ratio, share, share_change, torque_ratio
from lugplane.measure.friction_curve import FrictionCurve
from lugplane.measure.whole_car import Pair, brakes_of
from lugplane.quantity.form import Extent, Missing
from lugplane.setup.assemble import Wanted, assemble
from lugplane.workshop import Workshop

KB = Path(__file__).parents[1] / "scenarios" / "kb"
_ROUNDING = 1e-12
PATH = "pad.friction_curve.points_c_ratio"

steps = st.lists(st.floats(5.0, 200.0), min_size=1, max_size=6)
frictions = st.floats(0.2, 0.6)
doubts = st.floats(0.0, 0.08)


@st.composite
def curves(draw: st.DrawFn, first: float | None = None, last: float | None = None) -> FrictionCurve:
    at = [draw(st.floats(-20.0, 150.0)) if first is None else first]
    for step in draw(steps):
        at.append(at[-1] + step)
    if last is not None:
        at = [*(t for t in at if t < last), last]
    return FrictionCurve(tuple((t, draw(frictions)) for t in at), draw(doubts))


@given(curves(), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.data())
def test_every_friction_on_it_lies_within(
    curve: FrictionCurve, one: float, two: float, at: float, data: st.DataObject
) -> None:
    first, last = curve.covers
    low, high = sorted(min(first + x * (last - first), last) for x in (one, two))
    t = min(low + at * (high - low), high)
    (cold, a), (hot, b) = next(x for x in pairwise(curve.points) if x[0][0] <= t <= x[1][0])
    off = data.draw(st.floats(-1.0, 1.0)) * curve.plus_minus
    friction = a + (b - a) * (t - cold) / (hot - cold) + off
    least, most = curve.over(low, high)
    assert least - 1e-9 <= friction <= most + 1e-9


@cache
def shop() -> Workshop:
    return Workshop.open(only=KB)


def pair(points: tuple[tuple[float, float], ...], plus_minus: float) -> Pair:
    """The car on paper whose front pads have this curve, as the rules leave it for the car."""
    setup = assemble(shop().base, Wanted("whole-car", "front", ("sector/measured-cold",)))
    stated = replace(
        setup.pad.friction_curve, points_c_ratio=Points(PATH, points, plus_minus, "drawn")
    )
    setup = replace(setup, pad=replace(setup.pad, friction_curve=stated))
    limits = shop().rulebook.limits
    b = Bench(setup, limits.numbers, limits.limits)
    run(b, "choice", "mount")
    return brakes_of(b)


def pair_of(curve: FrictionCurve) -> Pair:
    return pair(curve.points, curve.plus_minus)


def figures(cars: Pair, hot: float) -> dict[str, Extent]:
    return {
        "share": share(cars.new),
        "change": share_change(cars),
        "torque": torque_ratio(cars.new.front, cars.stock.front),
        "effort": braking_ratio(cars),
        "hot": hot_friction(cars.new.front, (0.0, hot, hot / 2), 93.0),
    }


@given(curves(20.0, 400.0), doubts, st.floats(0.0, 300.0))
def test_a_wider_doubt_never_narrows_a_figure(
    curve: FrictionCurve, more: float, hot: float
) -> None:
    wider = replace(curve, plus_minus=curve.plus_minus + more)
    narrow, wide = figures(pair_of(curve), hot), figures(pair_of(wider), hot)
    for name, one in narrow.items():
        assert wide[name].lo <= one.lo + _ROUNDING, name
        assert wide[name].hi >= one.hi - _ROUNDING, name


@given(curves(20.0, 400.0))
def test_the_figure_is_what_the_curve_reaches_over_the_window(curve: FrictionCurve) -> None:
    assert pair_of(curve).new.front.friction.span == curve.over(93.0, 343.0)


@pytest.mark.parametrize(("first", "last"), [(93.1, 500.0), (20.0, 342.9), (120.0, 300.0)])
def test_a_curve_short_of_the_window_tells_no_friction(first: float, last: float) -> None:
    cars = pair(((first, 0.4), (last, 0.4)), 0.0)
    assert cars.new.front.friction.missing == (PATH,)
    with pytest.raises(Missing, match=PATH):
        share_change(cars)


def test_points_that_do_not_rise_contradict_each_other() -> None:
    front = pair(((20.0, 0.4), (20.0, 0.4), (400.0, 0.4)), 0.0).new.front
    assert "contradict each other" in front.friction.because
    assert front.curves == ()
