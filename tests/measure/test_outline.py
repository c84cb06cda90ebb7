"""The lining's outline: constructors, what they refuse, and area and columns against shapely."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from lugplane.measure.outline import Arc, Line, Outline, circle_crossings, polygon, sector

Corner = tuple[float, float]
SQUARE = [(-10.0, 0.0), (10.0, 0.0), (10.0, -20.0), (-10.0, -20.0)]


@st.composite
def simple_rings(draw: st.DrawFn) -> list[Corner]:
    """Corners of a shape that is simple in v: an upper row and a lower row, steps included."""
    inside = draw(st.lists(st.integers(-39_000, 39_000), max_size=5, unique=True))
    us = sorted([-40.0, *(n / 1000.0 for n in inside), 40.0])
    if inside and draw(st.booleans()):  # a step: the same column twice
        us = sorted([*us, inside[0] / 1000.0])
    upper = [(u, draw(st.floats(-12.0, 6.0))) for u in us]
    lower = [(u, draw(st.floats(-60.0, -13.0))) for u in us]
    ring = upper + lower[::-1]
    turn = draw(st.integers(0, len(ring) - 1))
    ring = ring[turn:] + ring[:turn]
    return ring[::-1] if draw(st.booleans()) else ring


def test_sector_puts_the_top_of_its_arc_at_the_origin_and_its_centre_below() -> None:
    lining = sector(100.0, 160.0, 60.0)
    assert lining.upper_at(0.0) == 0.0
    assert lining.lower_at(0.0) == pytest.approx(-60.0, abs=1e-12)
    assert (lining.u_min, lining.u_max) == pytest.approx((-80.0, 80.0), abs=1e-12)
    assert lining.area_mm2 == pytest.approx(math.pi / 6.0 * (160.0**2 - 100.0**2), abs=1e-9)
    for u, v in lining.corners:
        assert math.hypot(u, v + 160.0) == pytest.approx(100.0) or math.hypot(
            u, v + 160.0
        ) == pytest.approx(160.0)
    # Half way along the straight end, between (50, .) and (80, .).
    assert lining.lower_at(65.0) == pytest.approx(-160.0 + 65.0 / math.tan(math.pi / 6.0))


def test_a_half_ring_is_the_widest_sector() -> None:
    lining = sector(100.0, 140.0, 180.0)
    assert lining.area_mm2 == pytest.approx(math.pi / 2.0 * (140.0**2 - 100.0**2), abs=1e-9)
    assert lining.lowest_v == pytest.approx(-140.0, abs=1e-9)
    with pytest.raises(ValueError, match="more than once"):
        sector(100.0, 140.0, 180.1)


@pytest.mark.parametrize(
    ("inner", "outer", "angle"),
    [
        (0.0, 100.0, 60.0),
        (100.0, 100.0, 60.0),
        (120.0, 100.0, 60.0),
        (100.0, math.inf, 60.0),
        (100.0, math.nan, 60.0),
        (100.0, 140.0, 0.0),
        (100.0, 140.0, math.nan),
    ],
)
def test_impossible_sectors_are_refused(inner: float, outer: float, angle: float) -> None:
    with pytest.raises(ValueError, match="lining sector"):
        sector(inner, outer, angle)


@pytest.mark.parametrize(
    ("ring", "why"),
    [
        (SQUARE[:2], "three different points"),
        ([SQUARE[0], SQUARE[0], SQUARE[1], SQUARE[0]], "three different points"),
        ([(0.0, math.nan), *SQUARE], "not a point"),
        ([(0.0, 0.0), (0.0, -5.0), (0.0, -9.0)], "no width|doubles back"),
        # A hook: column 8 is met at -2 and again at -12.
        (
            [(-10, 0), (10, 0), (10, -4), (0, -4), (0, -10), (10, -10), (10, -20), (-10, -20)],
            "more than one interval",
        ),
        ([(-10.0, 0.0), (10.0, 0.0), (-10.0, -20.0), (10.0, -20.0)], "more than one|crosses"),
        # Bow tie lying on its side: the rows swap over at u = 0.
        ([(-10.0, 0.0), (10.0, -20.0), (10.0, 0.0), (-10.0, -20.0)], "crosses"),
        # Hourglass: the rows touch at u = 0.
        (
            [(-10, 0), (0, -10), (10, 0), (10, -20), (0, -10.0), (-10, -20)],
            "falls apart",
        ),
        # Two blocks that share only part of an upright line.
        (
            [(-10, 0), (1, 0), (1, -12), (10, -12), (10, -20), (1, -20), (1, -8), (-10, -8)],
            "falls apart",
        ),
        # A hair: up and down the same upright line.
        ([(-10, 0), (3, 0), (3, 9), (3, 0), (10, 0), (10, -20), (-10, -20)], "doubles back"),
        ([(-10, 0), (10, 0), (-10, 0), (-5, 0)], "crosses|more than one|falls"),
        ([(2.0, 0.0), (10.0, 0.0), (10.0, -20.0), (2.0, -20.0)], "mid-pad"),
    ],
)
def test_polygons_that_are_not_simple_in_v_are_refused(ring: list[Corner], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        polygon(ring)


def test_a_polygon_may_be_given_any_way_round_from_anywhere_closed_or_open() -> None:
    expected = polygon(SQUARE)
    assert expected.area_mm2 == 400.0
    for turn in range(4):
        ring = SQUARE[turn:] + SQUARE[:turn]
        assert polygon(ring) == expected
        assert polygon(ring[::-1]) == expected
        assert polygon([*ring, ring[0]]) == expected
        assert polygon([point for point in ring for _ in range(2)]) == expected


def test_a_step_belongs_to_the_column_it_stands_in() -> None:
    lining = polygon(
        [(-10, 0), (2, 0), (2, -5), (10, -5), (10, -20), (-4, -20), (-4, -15), (-10, -15)]
    )
    assert (lining.upper_at(2.0), lining.lower_at(-4.0)) == (0.0, -20.0)
    assert (lining.upper_at(2.1), lining.lower_at(-4.1)) == (-5.0, -15.0)
    assert {(2.0, 0.0), (2.0, -5.0), (-4.0, -15.0), (-4.0, -20.0)} <= set(lining.corners)
    with pytest.raises(ValueError, match="no column"):
        lining.upper_at(10.5)


@settings(max_examples=150, deadline=None)
@given(simple_rings(), st.floats(-39.9, 39.9))
def test_area_and_columns_agree_with_shapely(ring: list[Corner], u: float) -> None:
    shape = Polygon(ring)
    lining = polygon(ring)
    assert lining.area_mm2 == pytest.approx(shape.area, abs=1e-8)
    assert lining.lowest_v == min(v for _, v in ring)
    column = shape.intersection(LineString([(u, -100.0), (u, 100.0)])).bounds
    # Within an ulp of a steep edge the two may see different ends of it: ask for containment too.
    middle = (lining.upper_at(u) + lining.lower_at(u)) / 2.0
    assert shape.buffer(1e-6).contains(Point(u, middle))
    if all(abs(u - corner) > 1e-3 for corner, _ in ring):
        assert (lining.lower_at(u), lining.upper_at(u)) == pytest.approx(
            (column[1], column[3]), abs=1e-6
        )


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(-6, 6).map(float), st.integers(-6, 6).map(float)),
        min_size=3,
        max_size=7,
        unique=True,
    )
)
def test_any_ring_is_kept_whole_or_refused(ring: list[Corner]) -> None:
    """Random rings cross themselves, fold and touch; what is accepted must be the same shape."""
    try:
        lining = polygon(ring)
    except ValueError:
        return
    shape = Polygon(ring)
    assert shape.is_valid
    assert lining.area_mm2 == pytest.approx(shape.area, abs=1e-9)


def test_an_offset_moves_every_piece_and_nothing_else() -> None:
    lining = sector(100.0, 160.0, 60.0)
    moved = lining.offset_v(2.5)
    assert moved.area_mm2 == pytest.approx(lining.area_mm2, abs=1e-9)
    assert moved.upper_at(0.0) == pytest.approx(2.5)
    assert moved.lower_at(65.0) - lining.lower_at(65.0) == pytest.approx(2.5)
    assert moved.lowest_v == pytest.approx(lining.lowest_v + 2.5)
    assert (moved.u_min, moved.u_max) == (lining.u_min, lining.u_max)


def test_a_bottom_arc_is_lowest_at_its_middle() -> None:
    lining = Outline(
        upper=(Line(-6.0, 0.0, 6.0, 0.0),), lower=(Arc(-6.0, 6.0, 0.0, -8.0, 10.0, -1),)
    )
    assert lining.lowest_v == -18.0
    half = math.asin(0.6)
    cap = 100.0 * (half + math.sin(half) * math.cos(half))
    assert lining.area_mm2 == pytest.approx(12.0 * 8.0 + cap)


@pytest.mark.parametrize(
    ("upper", "lower", "why"),
    [
        ((), (Line(-1, -1, 1, -1),), "no piece"),
        ((Line(-1, 0, 1, 0),), (Line(-1, -1, 2, -1),), "different columns"),
        ((Line(-1, 0, 0, 0), Line(0.5, 0, 1, 0)), (Line(-1, -1, 1, -1),), "gap or an overlap"),
        ((Line(1, 0, -1, 0),), (Line(-1, -1, 1, -1),), "no width"),
        ((Arc(-2, 2, 0, 0, 1, 1),), (Line(-2, -1, 2, -1),), "beyond its circle"),
        ((Arc(-1, 1, 0, 0, 1, 0),), (Line(-1, -1, 1, -1),), "side"),
        ((Line(-1, -2, 1, -2),), (Line(-1, -1, 1, -1),), "crosses"),
        # The arc's belly comes through the straight top between its ends, off the middle.
        ((Line(-1, 0, 1, 0.9),), (Arc(-1, 1, 0, -0.2, 1, 1),), "crosses|meet"),
        ((Arc(-1, 1, 0, 0.2, 1, -1),), (Line(-1, -1, 1, -0.5),), "crosses|meet"),
    ],
)
def test_boundaries_that_enclose_no_lining_are_refused(
    upper: tuple[Line | Arc, ...], lower: tuple[Line | Arc, ...], why: str
) -> None:
    with pytest.raises(ValueError, match=why):
        Outline(upper, lower)


def test_an_arc_that_pokes_through_away_from_the_middle_is_refused() -> None:
    top = Line(-10.0, -5.0, 10.0, 9.0)
    belly = Arc(-10.0, 10.0, 6.5, -17.6, 20.0, 1)
    assert all(belly.at(u) < top.at(u) for u in (-10.0, 0.0, 10.0))
    assert belly.at(-5.0) > top.at(-5.0)
    with pytest.raises(ValueError, match="meet"):
        Outline((top,), (belly,))


coordinates = st.floats(-50.0, 50.0)


def changes_of_side(offs: list[float]) -> int:
    """How often the sign changes, places on the circle but for rounding left out: such a place at
    the piece's own end need not be found."""
    clear = [off for off in offs if abs(off) > 1e-7]
    return sum(a * b < 0.0 for a, b in pairwise(clear))


@settings(max_examples=200, deadline=None)
@given(coordinates, coordinates, coordinates, coordinates, st.floats(1.0, 60.0))
def test_crossings_of_a_line_lie_on_both_and_miss_none(
    u0: float, v0: float, v1: float, centre: float, radius: float
) -> None:
    line = Line(u0, v0, u0 + 20.0, v1)
    found = circle_crossings(line, 0.0, centre, radius)
    for u in found:
        assert math.hypot(u, line.at(u) - centre) == pytest.approx(radius, abs=2e-6)
    steps = [u0 + 20.0 * k / 400 for k in range(401)]
    assert len(found) >= changes_of_side(
        [math.hypot(u, line.at(u) - centre) - radius for u in steps]
    )


@settings(max_examples=200, deadline=None)
@given(
    coordinates,
    coordinates,
    st.floats(12.0, 60.0),
    st.sampled_from([-1, 1]),
    coordinates,
    st.floats(1.0, 60.0),
)
def test_crossings_of_an_arc_lie_on_both_and_miss_none(
    u: float, v: float, own: float, side: int, centre: float, radius: float
) -> None:
    arc = Arc(u - 10.0, u + 11.0, u, v, own, side)
    found = circle_crossings(arc, 0.0, centre, radius)
    for at in found:
        assert math.hypot(at, arc.at(at) - centre) == pytest.approx(radius, abs=1e-4)
    steps = [arc.u0 + 21.0 * k / 400 for k in range(401)]
    assert len(found) >= changes_of_side(
        [math.hypot(at, arc.at(at) - centre) - radius for at in steps]
    )


@pytest.mark.parametrize("miss", [-3e-7, -1e-13, 0.0, 1e-13, 3e-7])
def test_a_near_touch_gives_its_place(miss: float) -> None:
    """Inside, outside and along a straight piece, by the nearest point's place at u = 3."""
    arc = Arc(-5.0, 9.0, 3.0, 0.0, 20.0, 1)
    for centre, radius in ((12.0, 8.0 + miss), (-10.0, 30.0 + miss), (27.0, 7.0 + miss)):
        assert 3.0 in circle_crossings(arc, 3.0, centre, radius)
    assert 3.0 in circle_crossings(Line(-5.0, 20.0, 9.0, 20.0), 3.0, 0.0, 20.0 + miss)


def test_circles_that_miss_give_nothing_and_a_shallow_cut_gives_both_its_ends() -> None:
    arc = Arc(-5.0, 9.0, 3.0, 0.0, 20.0, 1)
    line = Line(-5.0, 20.0, 9.0, 20.0)
    for centre, radius in ((12.0, 7.99), (-10.0, 30.01), (27.0, 6.99)):
        assert circle_crossings(arc, 3.0, centre, radius) == []
    assert circle_crossings(line, 3.0, 0.0, 19.99) == []
    for centre, radius in ((12.0, 8.01), (-10.0, 29.99), (27.0, 7.01)):
        low, high = sorted(circle_crossings(arc, 3.0, centre, radius))
        assert low < 3.0 < high
        assert low + high == pytest.approx(6.0)
        assert math.hypot(low - 3.0, arc.at(low) - centre) == pytest.approx(radius, abs=1e-9)
    assert circle_crossings(line, 3.0, 0.0, 20.01) == pytest.approx(
        [3.0 - math.sqrt(0.4001), 3.0 + math.sqrt(0.4001)]
    )
