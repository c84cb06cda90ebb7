"""Whatever the numbers: an axle's work beside stock lies within its bounds, a valve included."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import prod

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.measure.balance import Brakes, front_share_at
from lugplane.measure.bench import Undecided
from lugplane.measure.car_work import Work
from lugplane.measure.loads import STANDARD_GRAVITY, Loading
from lugplane.measure.valve import Valve
from lugplane.measure.valve_box import Box, Part, merged, most_times
from lugplane.quantity.form import Extent

_ROUNDING = 1e-9
# How often each factor stands in new front and rear and in stock front and rear: one friction in
# all of stock and the new rear, one of its own in front; areas of each.
PARTS = ((0, 1, 1, 1), (1, 0, 0, 0), (1, 0, 0, 0), (0, 1, 0, 1), (0, 0, 1, 0))
SCALES = (100.0, 100.0, 100.0, 100.0)

amounts = st.floats(0.5, 2.0)
places = st.floats(0.0, 1.0)


def spread(middle: float, doubt: float) -> tuple[float, float]:
    return middle * (1 - doubt), middle * (1 + doubt)


@st.composite
def boxes(draw: st.DrawFn) -> Box:
    doubts = st.floats(0.0, 0.2)
    parts = tuple(Part(spread(draw(amounts), draw(doubts)), *where) for where in PARTS)
    # 1/K of up to the force at which all of it is below the knee, and down to all past it
    knee = spread(1 / (200.0 * draw(st.floats(0.3, 6.0))), draw(doubts))
    low = draw(st.floats(0.0, 0.9))
    return Box(parts, knee, (low, min(low + draw(st.floats(0.0, 0.2)), 1.0)), SCALES)


def share(f: float, r: float, knee: float, slope: float) -> float:
    """Front share by the module of balance: a car of 1000 N that brakes with 1 g."""
    car = Loading(1000.0 / STANDARD_GRAVITY, 0.5, 500.0, 2500.0)
    brakes = Brakes(f, r, 2000.0, 2000.0, Valve(knee * 1000.0, slope))
    return front_share_at(brakes, car, 1.0)


@given(boxes(), st.lists(places, min_size=7, max_size=7))
def test_no_point_of_the_box_does_more(box: Box, at: list[float]) -> None:
    spans = [*(p.span for p in box.parts), box.knee, box.slope]
    *values, knee, slope = (s[0] + t * (s[1] - s[0]) for s, t in zip(spans, at, strict=True))
    forces = [
        scale * prod(v ** where[n] for v, where in zip(values, PARTS, strict=True))
        for n, scale in enumerate(SCALES)
    ]
    new, stock = (share(forces[n], forces[n + 1], knee, slope) for n in (0, 2))
    assert new / stock <= most_times(box, False) * (1 + _ROUNDING)
    assert stock / new <= most_times(box.turned(), False) * (1 + _ROUNDING)
    behind = (1 - new) / (1 - stock)
    assert behind <= most_times(box, True) * (1 + _ROUNDING)
    assert 1 / behind <= most_times(box.turned(), True) * (1 + _ROUNDING)


@given(boxes(), st.sampled_from([(1, 1, 1, 1), (1, 0, 0, 0), (1, 1, 0, 1), (0, 0, 2, 0)]))
def test_a_box_with_fewer_inputs_spans_the_same_cars(
    box: Box, where: tuple[int, int, int, int]
) -> None:
    whole = replace(box, parts=(*box.parts, Part((0.9, 1.2), *where)))
    fewer = merged(whole)
    assert len(fewer.parts) < len(whole.parts)
    for one, two in zip(whole.cars, fewer.cars, strict=True):
        for name in ("x", "fk", "rk"):
            assert getattr(one, name) == pytest.approx(getattr(two, name), rel=1e-9)


@given(boxes())
def test_the_bound_is_nearly_reached(box: Box) -> None:
    """With one doubt alone: a friction that the new rear and all of stock have in common."""
    parts = tuple(
        p if n == 0 else Part((p.span[0], p.span[0]), *PARTS[n]) for n, p in enumerate(box.parts)
    )
    knee, slope = box.knee[0], box.slope[0]
    one = Box(parts, (knee, knee), (slope, slope), SCALES)
    low, high = parts[0].span
    reached = []
    for n in range(201):
        mu = low + (high - low) * n / 200
        values = [mu, *(p.span[0] for p in parts[1:])]
        f1, r1, f0, r0 = (
            scale * prod(v ** where[k] for v, where in zip(values, PARTS, strict=True))
            for k, scale in enumerate(SCALES)
        )
        reached.append(share(f1, r1, knee, slope) / share(f0, r0, knee, slope))
    assert most_times(one, False) <= max(reached) * 1.002


def test_a_valve_that_may_hold_all_back_is_not_told() -> None:
    parts = tuple(Part((1.0, 1.0), *where) for where in PARTS)
    with pytest.raises(Undecided, match="hold back all"):
        most_times(Box(parts, (0.0, 0.001), (0.0, 0.1), SCALES), True)


@given(st.floats(0.3, 0.9), places, amounts, amounts, st.floats(0.0, 0.1))
def test_of_two_axles_one_does_more(
    y: float, place: float, front: float, rear: float, doubt: float
) -> None:
    """Every y and g within the spans, and both factors, lie within the bounds of the harder."""
    g_most = min(1.3, 0.99 / y)
    g = 0.7 + place * (g_most - 0.7)
    spans = [(max(y - doubt / 2, 0.01), min(y + doubt / 2, 0.95)), spread(g, doubt)]
    behind = [(1 - a * b) / (1 - a) for a in spans[0] for b in spans[1]]
    work = Work(
        Extent(*spans[1], g), Extent(min(behind), max(behind), (1 - y * g) / (1 - y)), spans[0]
    )
    low, high = work.hardest(spread(front, doubt), spread(rear, doubt))
    at = max(front * g, rear * (1 - y * g) / (1 - y))
    assert low - _ROUNDING <= at <= high + _ROUNDING
    assert work.hardest((1.0, 1.0), (1.0, 1.0))[0] >= min(1.0, spans[1][0]) - _ROUNDING
    factors = spread(front, doubt), spread(rear, doubt)
    least, most = work.front_leads_by(*factors)
    corners = [
        f * a - r * max(1 - b * a, 0.0) / (1 - b)
        for a, b, f, r in product(spans[1], spans[0], *factors)
    ]
    assert (least, most) == pytest.approx((min(corners), max(corners)))
    assert least - _ROUNDING <= front * g - rear * (1 - y * g) / (1 - y) <= most + _ROUNDING
