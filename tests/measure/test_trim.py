"""Trim: clipping to the band, radii, and the bounds over intervals, against shapely and scipy."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad, quad
from shapely.geometry import MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from lugplane.measure.outline import Arc, Line, Outline, polygon, sector
from lugplane.measure.trim import (
    clip,
    innermost_radius,
    outermost_radius,
    r_eff_uniform_pressure,
    r_eff_uniform_wear,
    share_lost_bounds,
)

Corner = tuple[float, float]
FLAT = [(-55.0, 0.0), (55.0, 0.0), (45.0, -48.0), (0.0, -56.0), (-45.0, -48.0)]


def disc(radius: float, sides: int = 4096) -> Polygon:
    """A regular polygon of the circle's own area: its clipping error is then second order."""
    step = 2.0 * math.pi / sides
    reach = radius * math.sqrt(step / math.sin(step))
    turn = step * np.arange(sides)
    return Polygon(reach * np.column_stack([np.sin(turn), np.cos(turn)]))


def placed(ring: list[Corner], top: float, y: float) -> Polygon:
    return Polygon([(y + u, top + v) for u, v in ring])


def mean_radius(shape: BaseGeometry) -> float:
    """Mean distance from the origin over a polygon, by its edges: 1/3 of the integral of r³ dθ,
    which along a straight edge at distance p is p/2 (s r + p² asinh(s/p))."""
    total = 0.0
    for part in shape.geoms if isinstance(shape, MultiPolygon) else [shape]:
        assert not part.interiors
        for (ax, az), (bx, bz) in pairwise(part.exterior.coords):
            length = math.hypot(bx - ax, bz - az)
            p = (ax * bz - az * bx) / length
            if p == 0.0:  # an edge along a ray sweeps nothing
                continue
            for sign, (x, z) in ((-1.0, (ax, az)), (1.0, (bx, bz))):
                s = (x * (bx - ax) + z * (bz - az)) / length
                total += sign * p / 6.0 * (s * math.hypot(x, z) + p * p * math.asinh(s / abs(p)))
    return abs(total) / float(shape.area)


@st.composite
def rings(draw: st.DrawFn) -> list[Corner]:
    """A pad about as it is made, with anything from four to ten corners."""
    inside = draw(st.lists(st.integers(-58_000, 58_000), max_size=3, unique=True))
    us = [-60.0, *sorted(n / 1000.0 for n in inside), 60.0]
    upper = [(u, draw(st.floats(-14.0, 5.0))) for u in us]
    lower = [(u, draw(st.floats(-60.0, -20.0))) for u in us]
    return upper + lower[::-1]


@settings(max_examples=120, deadline=None)
@given(
    rings(), st.floats(140.0, 175.0), st.floats(-5.0, 5.0), st.floats(70, 125), st.floats(126, 180)
)
def test_clip_agrees_with_shapely(
    ring: list[Corner], top: float, y: float, inner: float, outer: float
) -> None:
    lining = polygon(ring)
    shape = placed(ring, top, y)
    left = shape.intersection(disc(outer)).difference(disc(inner))
    got = clip(lining, top, y, inner, outer)
    assert got.area_mm2 == pytest.approx(shape.area, abs=1e-8)
    assert got.area_left_mm2 == pytest.approx(left.area, abs=0.01)
    assert got.share_lost == pytest.approx(1.0 - left.area / shape.area, abs=2e-6)
    if left.area > 50.0:
        assert got.mean_radius_mm == pytest.approx(mean_radius(left), abs=1e-3)
        centroid = left.centroid
        assert got.centroid_radius_mm == pytest.approx(math.hypot(centroid.x, centroid.y), abs=1e-3)
        assert got.centroid_radius_mm is not None
        assert got.mean_radius_mm is not None
        assert got.centroid_radius_mm < got.mean_radius_mm


@settings(max_examples=60, deadline=None)
@given(
    st.floats(70.0, 110.0),
    st.floats(25.0, 70.0),
    st.sampled_from([20.0, 60.0, 110.0, 150.0]),
    st.floats(0.0, 8.0),
    st.floats(-4.0, 4.0),
    st.floats(-3.0, 12.0),
    st.floats(-3.0, 12.0),
)
def test_clip_of_a_sector_out_of_place_agrees_with_shapely(
    ri: float, wide: float, angle: float, up: float, y: float, cut_in: float, cut_out: float
) -> None:
    ro = ri + wide
    lining = sector(ri, ro, angle)
    top, inner, outer = ro + up, ri + cut_in, ro + up - cut_out
    half = math.radians(angle) / 2.0
    wedge = Polygon([(0, 0), (-500 * math.sin(half), 500 * math.cos(half)), (0, 9e3),
                     (500 * math.sin(half), 500 * math.cos(half))])  # fmt: skip
    ring = disc(ro).difference(disc(ri)).intersection(wedge)
    moved = Polygon([(x + y, z + up) for x, z in ring.exterior.coords])
    left = moved.intersection(disc(outer)).difference(disc(inner))
    got = clip(lining, top, y, inner, outer)
    assert got.area_left_mm2 == pytest.approx(left.area, abs=0.01)
    assert got.mean_radius_mm == pytest.approx(mean_radius(left), abs=1e-3)


def test_mean_radius_and_centroid_agree_with_a_double_integral() -> None:
    got = clip(polygon(FLAT), 160.0, 1.5, 100.0, 200.0)

    def floor(u: float) -> float:
        return 160.0 + max(-56.0 + abs(u) * 8.0 / 45.0, -48.0 + (abs(u) - 45.0) * 4.8)

    over = [
        dblquad(f, -55.0, 55.0, floor, 160.0, epsabs=1e-6)[0]
        for f in (
            lambda z, u: 1.0,
            lambda z, u: math.hypot(1.5 + u, z),
            lambda z, u: 1.5 + u,
            lambda z, u: z,
        )
    ]
    assert got.share_lost == 0.0
    assert got.area_left_mm2 == pytest.approx(over[0], abs=1e-4)
    assert got.mean_radius_mm == pytest.approx(over[1] / over[0], abs=1e-6)
    assert got.centroid_radius_mm == pytest.approx(math.hypot(*over[2:]) / over[0], abs=1e-6)


@pytest.mark.parametrize("angle", [10.0, 60.0, 110.0, 160.0])
@pytest.mark.parametrize(("inner", "outer"), [(90.0, 150.0), (104.0, 150.0), (104.0, 137.0)])
def test_a_sector_in_place_meets_the_closed_forms(angle: float, inner: float, outer: float) -> None:
    got = clip(sector(100.0, 140.0, angle), 140.0, 0.0, inner, outer)
    ri, ro = max(inner, 100.0), min(outer, 140.0)
    half = math.radians(angle) / 2.0
    area = half * (ro**2 - ri**2)
    assert got.area_left_mm2 == pytest.approx(area, abs=1e-8)
    assert got.share_lost == pytest.approx(1.0 - area / (half * (140.0**2 - 100.0**2)), abs=1e-12)
    pressure = r_eff_uniform_pressure(ro, ri)
    good = 1e-6 if angle <= 120.0 else 1e-4  # as the module states
    assert got.mean_radius_mm == pytest.approx(pressure, abs=good)
    assert got.centroid_radius_mm == pytest.approx(pressure * math.sin(half) / half, abs=good)
    assert got.inner_depth_mid_mm == pytest.approx(ri - 100.0, abs=1e-9)
    assert got.inner_depth_ends_mm == pytest.approx((ri - 100.0,) * 2, abs=1e-9)
    assert got.outer_depth_mid_mm == pytest.approx(140.0 - ro, abs=1e-9)
    assert got.outer_depth_ends_mm == pytest.approx((140.0 - ro,) * 2, abs=1e-9)


def test_a_lining_that_just_fills_the_band_loses_nothing_at_all() -> None:
    for angle in range(5, 180, 5):  # some corners come out beyond the circles by rounding
        got = clip(sector(103.0, 164.0, angle), 164.0, 0.0, 103.0, 164.0)
        assert got.share_lost == 0.0
        assert got.area_left_mm2 == got.area_mm2
        assert (got.inner_depth_mid_mm, got.outer_depth_mid_mm) == (0.0, 0.0)
        assert got.inner_depth_ends_mm + got.outer_depth_ends_mm == (0.0, 0.0, 0.0, 0.0)


@settings(max_examples=100, deadline=None)
@given(st.floats(100.0, 200.0), st.sampled_from([-1e-7, -1e-12, 0.0, 1e-12, 1e-7]))
def test_a_circle_that_touches_a_flat_edge_in_its_middle_is_not_misread(
    top: float, near: float
) -> None:
    """Both mid-column and touching place are at u = 0, where the edge and the circle are equal but
    for rounding: which lies further out there says nothing of the rest."""
    block = polygon([(-40.0, 0.0), (40.0, 0.0), (40.0, -20.0), (-40.0, -20.0)])

    def cap(radius: float) -> float:
        """Area between a tangent and its circle, 40 mm to either side."""
        turn = math.asin(40.0 / radius)
        return 80.0 * radius - radius**2 * (turn + math.sin(turn) * math.cos(turn))

    below = clip(block, top, 0.0, 10.0, top + near)
    assert below.area_left_mm2 == pytest.approx(1600.0 - cap(top), abs=1e-4)
    above = clip(block, top, 0.0, top - 20.0 + near, 400.0)
    assert above.area_left_mm2 == pytest.approx(1600.0, abs=1e-4)
    # The same with a round edge of half the circle's radius.
    round_top = Outline(
        upper=(Arc(-40.0, 40.0, 0.0, -top / 2.0, top / 2.0, 1),),
        lower=(Line(-40.0, -60.0, 40.0, -60.0),),
    )
    inside = clip(round_top, top, 0.0, 10.0, top + near)
    assert inside.area_left_mm2 == pytest.approx(inside.area_mm2, abs=1e-4)


def test_flat_edges_reach_past_the_circles_by_different_depths_along_their_length() -> None:
    """Corners of a flat top stand further out than its middle; a flat bottom's ends further out
    too, so there the middle is the deepest."""
    block = polygon([(-40.0, 0.0), (40.0, 0.0), (40.0, -50.0), (-40.0, -50.0)])
    got = clip(block, 150.0, 0.0, 105.0, 149.0)
    assert got.outer_depth_mid_mm == pytest.approx(1.0)
    assert got.outer_depth_ends_mm == pytest.approx((math.hypot(40.0, 150.0) - 149.0,) * 2)
    assert got.inner_depth_mid_mm == pytest.approx(5.0)
    assert got.inner_depth_ends_mm == (0.0, 0.0)  # 107.7 at the corner
    aside = clip(block, 150.0, 3.0, 109.0, 149.0)
    assert aside.outer_depth_ends_mm == pytest.approx(
        (math.hypot(37.0, 150.0) - 149.0, math.hypot(43.0, 150.0) - 149.0)
    )
    assert aside.inner_depth_ends_mm == pytest.approx(
        (109.0 - math.hypot(37.0, 100.0), 109.0 - math.hypot(43.0, 100.0))
    )
    assert aside.inner_depth_mid_mm == pytest.approx(109.0 - math.hypot(3.0, 100.0))


@pytest.mark.parametrize("lean", [-15.0, 0.0, 15.0])
def test_the_edges_end_at_their_corners_however_the_ends_lean(lean: float) -> None:
    shape = polygon([(-50.0, 0.0), (50.0, 0.0), (50.0 - lean, -50.0), (lean - 50.0, -50.0)])
    got = clip(shape, 150.0, 0.0, 112.0, 150.0)
    assert got.outer_depth_ends_mm == pytest.approx((math.hypot(50.0, 150.0) - 150.0,) * 2)
    corner = max(0.0, 112.0 - math.hypot(50.0 - lean, 100.0))
    assert got.inner_depth_ends_mm == pytest.approx((corner,) * 2)


def test_nothing_left_is_said_and_gives_no_radius() -> None:
    got = clip(polygon(FLAT), 160.0, 0.0, 10.0, 50.0)
    assert (got.area_left_mm2, got.share_lost) == (0.0, 1.0)
    assert got.mean_radius_mm is None
    assert got.centroid_radius_mm is None


def test_clip_refuses_a_band_inside_out_and_a_lining_across_the_axis() -> None:
    lining = polygon(FLAT)
    for inner, outer in ((-1.0, 100.0), (120.0, 120.0), (121.0, 120.0), (math.nan, 120.0)):
        with pytest.raises(ValueError, match="band"):
            clip(lining, 160.0, 0.0, inner, outer)
    with pytest.raises(ValueError, match="axis"):
        clip(lining, 55.9, 0.0, 10.0, 100.0)
    with pytest.raises(ValueError, match="axis"):
        innermost_radius(lining, math.nan, 0.0)


@settings(max_examples=80, deadline=None)
@given(rings(), st.floats(80.0, 180.0), st.floats(-80.0, 80.0))
def test_reach_agrees_with_shapely(ring: list[Corner], top: float, y: float) -> None:
    shape = placed(ring, top, y)
    axis = Point(0.0, 0.0)
    assert innermost_radius(polygon(ring), top, y) == pytest.approx(shape.distance(axis), abs=1e-9)
    assert outermost_radius(polygon(ring), top, y) == pytest.approx(
        shape.hausdorff_distance(axis), abs=1e-9
    )


@settings(max_examples=80, deadline=None)
@given(st.floats(-5.0, 40.0), st.floats(-60.0, 60.0), st.sampled_from([30.0, 110.0, 180.0]))
def test_reach_of_arcs_agrees_with_a_fine_polygon(up: float, y: float, angle: float) -> None:
    assume(angle < 180.0 or up >= 0.0)
    lining = sector(100.0, 140.0, angle)
    half = math.radians(angle) / 2.0
    turns = [half * k / 4000 for k in range(-4000, 4001)]
    rim = [
        math.hypot(y + r * math.sin(a), up + r * math.cos(a)) for r in (100.0, 140.0) for a in turns
    ]
    ends = [
        math.hypot(y + r * math.sin(a), up + r * math.cos(a))
        for a in (-half, half)
        for r in (100.0 + 0.01 * k for k in range(4001))
    ]
    assert innermost_radius(lining, 140.0 + up, y) == pytest.approx(min(rim + ends), abs=1e-4)
    assert outermost_radius(lining, 140.0 + up, y) == pytest.approx(max(rim + ends), abs=1e-4)


def test_a_round_bottom_reaches_in_by_its_belly() -> None:
    lining = Outline(
        upper=(Line(-6.0, 0.0, 6.0, 0.0),), lower=(Arc(-6.0, 6.0, 0.0, -8.0, 10.0, -1),)
    )
    assert innermost_radius(lining, 100.0, 0.0) == pytest.approx(82.0)
    # From far aside the belly's near point is off its lowest one: 92 up, 30 across, less 10.
    assert innermost_radius(lining, 100.0, 4.0) == pytest.approx(math.hypot(4.0, 92.0) - 10.0)


def test_effective_radii_are_the_ratios_of_their_integrals() -> None:
    for ro, ri in ((164.0, 103.0), (140.0, 139.999), (120.0, 0.0)):
        torque = quad(lambda r: r * r, ri, ro)[0] / quad(lambda r: r, ri, ro)[0]
        assert r_eff_uniform_pressure(ro, ri) == pytest.approx(torque, abs=1e-6)
        worn = quad(lambda r: r, ri, ro)[0] / quad(lambda r: 1.0, ri, ro)[0]  # pressure as 1/r
        assert r_eff_uniform_wear(ro, ri) == pytest.approx(worn, abs=1e-6)
    assert r_eff_uniform_pressure(100.0, 100.0) == pytest.approx(100.0)
    for ro, ri in ((100.0, 101.0), (0.0, 0.0), (100.0, -1.0), (math.nan, 1.0), (math.inf, 1.0)):
        for formula in (r_eff_uniform_pressure, r_eff_uniform_wear):
            with pytest.raises(ValueError, match="sector radii"):
                formula(ro, ri)


spans = st.tuples(st.floats(0.0, 1.5), st.floats(0.0, 1.5)).map(lambda ab: (-ab[0], ab[1]))
weights = st.lists(st.floats(0.0, 1.0), min_size=4, max_size=4)
# Narrow above and wide below: lifting it can let in more low area than it raises, so that its mean
# radius falls.
BELL = [(-4.0, 0.0), (4.0, 0.0), (5.0, -45.0), (40.0, -48.0), (40.0, -60.0),
        (-40.0, -60.0), (-40.0, -48.0), (-5.0, -45.0)]  # fmt: skip


@settings(max_examples=120, deadline=None)
@given(
    st.sampled_from([sector(103.0, 164.0, 60.0), sector(112.0, 164.0, 110.0), polygon(FLAT),
                     polygon(BELL)]),
    spans, spans, spans, spans,
    st.sampled_from([(105.0, 163.0), (50.0, 163.0), (112.0, 400.0), (50.0, 400.0)]),
    st.integers(1, 3),
    st.lists(weights, min_size=6, max_size=6),
)  # fmt: skip
def test_nothing_inside_the_intervals_falls_outside_the_bounds(
    lining: Outline,
    top: tuple[float, float],
    y: tuple[float, float],
    inner: tuple[float, float],
    outer: tuple[float, float],
    band: tuple[float, float],
    parts: int,
    samples: list[list[float]],
) -> None:
    tops = (164.0 + top[0], 164.0 + top[1])
    inners = (band[0] + inner[0], band[0] + inner[1])
    outers = (band[1] + outer[0], band[1] + outer[1])
    got = share_lost_bounds(lining, tops, y, inners, outers, parts)
    assert got.mean_radius_mm is not None
    corners = [[float(n >> bit & 1) for bit in range(4)] for n in range(16)]
    for share in samples + corners:
        values = [
            low + part * (high - low)
            for (low, high), part in zip((tops, y, inners, outers), share, strict=True)
        ]
        inside = clip(lining, *values)
        assert got.share_lost[0] - 1e-12 <= inside.share_lost <= got.share_lost[1] + 1e-12
        assert inside.mean_radius_mm is not None
        # The quadrature's own error, as the module states it for linings up to 120°.
        assert got.mean_radius_mm[0] - 1e-6 <= inside.mean_radius_mm
        assert inside.mean_radius_mm <= got.mean_radius_mm[1] + 1e-6


def test_a_lift_that_lowers_the_mean_radius_is_inside_the_bounds() -> None:
    """What makes the mean radius' ends of an interval no bounds by themselves."""
    bell = polygon(BELL)
    means = [clip(bell, 160.0 + k / 20.0, 0.0, 115.0, 400.0).mean_radius_mm for k in range(121)]
    known = [mean for mean in means if mean is not None]
    assert min(known) < known[0] - 2.0
    bounds = share_lost_bounds(bell, (160.0, 166.0), 0.0, (115.0, 115.0), (400.0, 400.0))
    assert bounds.mean_radius_mm is not None
    assert bounds.mean_radius_mm[0] <= min(known)
    assert bounds.mean_radius_mm[1] >= max(known)


@pytest.mark.parametrize(
    ("inner", "outer"),
    [((104.5, 105.5), (170.0, 171.0)), ((90.0, 91.0), (162.5, 163.0)), ((90, 91), (170, 171))],
)
@pytest.mark.parametrize(("ri", "angle"), [(103.0, 60.0), (103.0, 110.0)])
def test_the_bounds_are_met_exactly_when_one_circle_cuts(
    inner: tuple[float, float], outer: tuple[float, float], ri: float, angle: float
) -> None:
    lining = sector(ri, 164.0, angle)
    tops = (163.6, 164.4)
    got = share_lost_bounds(lining, tops, 0.4, inner, outer)
    assert got.mean_radius_mm is not None
    cuts_in, cuts_out = inner[1] > 95.0, outer[0] < 165.0
    lows = clip(lining, tops[1] if cuts_in else tops[0], 0.4, inner[0], outer[1])
    highs = clip(lining, tops[0] if cuts_in else tops[1], 0.4, inner[1], outer[0])
    assert got.share_lost == pytest.approx((lows.share_lost, highs.share_lost), abs=1e-12)
    assert (got.share_lost == (0.0, 0.0)) == (not cuts_in and not cuts_out)
    least = clip(lining, tops[0], 0.4, inner[0], outer[0]).mean_radius_mm
    most = clip(lining, tops[1], 0.4, inner[1], outer[1]).mean_radius_mm
    assert least is not None
    assert most is not None
    assert got.mean_radius_mm == pytest.approx((least, most), abs=1e-9)


def test_single_values_give_the_clip_itself() -> None:
    lining = polygon(FLAT)
    inside = clip(lining, 160.0, 1.0, 106.0, 162.0)
    got = share_lost_bounds(lining, (160.0, 160.0), 1.0, (106.0, 106.0), (162.0, 162.0))
    assert got.share_lost == pytest.approx((inside.share_lost,) * 2, abs=1e-12)
    assert got.mean_radius_mm == pytest.approx((inside.mean_radius_mm,) * 2, abs=1e-9)


def test_more_parts_give_closer_bounds_where_both_circles_cut() -> None:
    lining = polygon(FLAT)
    args = (lining, (159.0, 161.0), (-1.0, 1.0), (106.0, 106.5), (161.0, 161.5))
    widths = []
    for parts in (1, 4, 16):
        got = share_lost_bounds(*args, parts)
        assert got.mean_radius_mm is not None
        widths.append(
            (
                got.share_lost[1] - got.share_lost[0],
                got.mean_radius_mm[1] - got.mean_radius_mm[0],
            )
        )
    assert widths[0][0] > widths[1][0] > widths[2][0]
    assert widths[0][1] > widths[1][1] > widths[2][1]
    truth = [
        clip(lining, top, y, inner, outer).share_lost
        for top in (159.0, 160.0, 161.0)
        for y in (-1.0, 0.0, 1.0)
        for inner in (106.0, 106.5)
        for outer in (161.0, 161.5)
    ]
    assert widths[2][0] < 1.3 * (max(truth) - min(truth))


def test_where_all_may_be_lost_there_is_no_mean_radius() -> None:
    got = share_lost_bounds(polygon(FLAT), (160.0, 161.0), 0.0, (10.0, 10.0), (100.0, 130.0))
    assert got.share_lost[1] == 1.0
    assert got.share_lost[0] < 1.0
    assert got.mean_radius_mm is None


def test_bounds_refuse_what_is_no_interval() -> None:
    lining = polygon(FLAT)
    good = ((160.0, 161.0), (0.0, 0.0), (100.0, 101.0), (163.0, 164.0))
    for place in range(4):
        for bad in ((2.0, 1.0), (math.nan, 200.0), (0.0, math.inf)):
            spans = [*good]
            spans[place] = bad
            with pytest.raises(ValueError, match="interval"):
                share_lost_bounds(lining, *spans)
    with pytest.raises(ValueError, match="inner < outer"):
        share_lost_bounds(lining, good[0], 0.0, (100.0, 163.5), good[3])
    with pytest.raises(ValueError, match="axis"):
        share_lost_bounds(lining, (50.0, 161.0), 0.0, (10.0, 20.0), good[3])
    with pytest.raises(ValueError, match="part"):
        share_lost_bounds(lining, *good, parts=0)


@pytest.mark.parametrize(("inner", "outer"), [(100.0, 160.0), (80.0, 137.0), (100.0, 138.0)])
def test_a_small_offset_of_an_even_lining_leaves_next_to_nothing_in_doubt(
    inner: float, outer: float
) -> None:
    shape, exact = sector(96.0, 140.0, 50.0), ((inner, inner), (outer, outer))
    found = share_lost_bounds(shape, (140.0, 140.0), (-0.1, 0.1), *exact)
    there = clip(shape, 140.0, 0.1, inner, outer)
    assert found.mean_radius_mm is not None
    assert found.share_lost[1] - found.share_lost[0] < 1e-4
    assert found.mean_radius_mm[1] - found.mean_radius_mm[0] < 2e-3
    assert found.share_lost[0] <= there.share_lost <= found.share_lost[1]
    assert there.mean_radius_mm is not None
    assert found.mean_radius_mm[0] <= there.mean_radius_mm <= found.mean_radius_mm[1]
