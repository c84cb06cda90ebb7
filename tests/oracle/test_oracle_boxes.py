"""The oracle's bounds against a linear programme, and its plane geometry against shapely."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle.boxes import Aff, Var, high_given, low_given, span_least
from oracle.geometry import WheelInside, polygon_in_disc
from scipy.optimize import linprog
from shapely.geometry import Point, Polygon

COEF = st.sampled_from([-2.0, -1.0, -0.5, 0.0, 0.5, 1.0, 2.0])


@st.composite
def boxes(draw: st.DrawFn) -> tuple[list[Var], list[Aff]]:
    names = [
        Var(f"v{i}", lo, lo + draw(st.floats(0.0, 2.0)))
        for i, lo in enumerate(draw(st.lists(st.floats(-3, 3), min_size=1, max_size=4)))
    ]
    forms = [
        Aff(draw(st.floats(-2, 2)), {v: draw(COEF) for v in names})
        for _ in range(draw(st.integers(1, 4)))
    ]
    return names, forms


@settings(max_examples=60, deadline=None)
@given(boxes())
def test_least_of_forms(case: tuple[list[Var], list[Aff]]) -> None:
    names, forms = case
    rows = [[-f.t[v] for v in names] + [1.0] for f in forms]
    bounds = [(v.lo, v.hi) for v in names] + [(None, None)]
    cost = [0.0] * len(names) + [-1.0]
    most = -linprog(cost, A_ub=rows, b_ub=[f.c for f in forms], bounds=bounds).fun
    corners = np.array(np.meshgrid(*[(v.lo, v.hi) for v in names])).reshape(len(names), -1).T
    least = min(f.c + (corners @ np.array([f.t[v] for v in names])).min() for f in forms)
    assert span_least(forms) == pytest.approx((least, most), abs=1e-7)


@settings(max_examples=60, deadline=None)
@given(boxes(), st.floats(0, 1), st.floats(0, 1))
def test_bounds_where_the_stack_is_given(
    case: tuple[list[Var], list[Aff]], one: float, two: float
) -> None:
    names, forms = case
    a, k = forms[0], forms[-1]
    ends = [k.c + sum(q * (v.lo, v.hi)[(q > 0) == up] for v, q in k.t.items()) for up in (0, 1)]
    k1, k2 = sorted(ends[0] + share * (ends[1] - ends[0]) for share in (one, two))
    row = [k.t[v] for v in names]
    both = {"A_ub": [row, [-x for x in row]], "b_ub": [k2 - k.c, k.c - k1]}
    bounds = [(v.lo, v.hi) for v in names]
    low = linprog([a.t[v] for v in names], bounds=bounds, **both)
    high = linprog([-a.t[v] for v in names], bounds=bounds, **both)
    if low.status != 0 or high.status != 0:
        return  # rounding left the band just empty
    assert low_given(a, k, k1, k2) == pytest.approx(low.fun + a.c, abs=1e-6)
    assert high_given(a, k, k1, k2) == pytest.approx(-high.fun + a.c, abs=1e-6)


@pytest.mark.parametrize("radius", [104.5, 131.0, 170.0])
def test_polygon_in_disc(radius: float) -> None:
    points = np.array([[-52.0, 108.0], [48.0, 101.0], [60.0, 150.0], [0.0, 166.0], [-55.0, 149.0]])
    whole = Polygon(points)

    def within(r: float) -> float:
        return float(whole.intersection(Point(0, 0).buffer(r, quad_segs=1024)).area)

    area, moment = polygon_in_disc(points, radius)
    assert abs(area) == pytest.approx(within(radius), abs=0.01)
    # By parts: the integral of r over the area is R A(R) less the integral of A(r) up to R.
    shells = np.linspace(100.0, radius, 201)
    expected = radius * within(radius) - np.trapezoid([within(r) for r in shells], shells)
    assert abs(moment) == pytest.approx(expected, rel=1e-4)


def test_wheel_gap_is_signed_and_sees_corners_of_the_wheel() -> None:
    wheel = WheelInside(
        [[-120, 190], [-20, 190], [-10, 182], [0, 190], [2.5, 190]], [[2.5, 190], [2.5, 80]]
    )
    free = np.array([[-79.0, 179.0], [-40.0, 179.0]])
    assert wheel.gap(free, free)[0] == pytest.approx(11.0)
    past = np.array([[-79.0, 179.0], [-1.0, 179.0]])  # runs under the bulge at 182
    assert wheel.gap(past, past)[0] == pytest.approx(3.0)
    through = np.array([[-79.0, 195.0], [-40.0, 179.0]])
    assert wheel.gap(through, through)[0] == pytest.approx(-5.0)
    wide = wheel.gap(past - 0.1, past + 0.1)
    assert wide[0] == pytest.approx(2.9)
    assert wide[1] == pytest.approx(3.1, abs=0.03)
