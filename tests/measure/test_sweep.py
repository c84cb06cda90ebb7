"""The wheel's room round a caliper: worked places, conventions, and shapely as second opinion."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from lugplane.measure.sweep import (
    Gap,
    Inside,
    greatest_gaps,
    signed_gap,
    swept_radius,
    wheel_gaps,
)

Place = tuple[float, float]
BARREL = [(-120.0, 190.0), (2.5, 190.0)]
SPOKE = [(2.5, 190.0), (2.5, 80.0)]


def at(points: list[Place], dx: float) -> list[Place]:
    return [(x + dx, r) for x, r in points]


def test_base_setup_leaves_three_and_a_half_to_the_spoke() -> None:
    """The base setup of the worked setups, by hand: the plate puts the wheel's seat at x = 7, the
    spoke back then stands at 9.5, the caliper's outboard face at -29 + 35 = 6."""
    outline = [(-50.0, 55.0), (35.0, 55.0), (35.0, 20.0)]
    points = [(-29.0 + x, swept_radius(124.0, r, 0.0, 0.0)) for x, r in outline]
    gaps = wheel_gaps(points, at(BARREL, 7.0), at(SPOKE, 7.0))
    assert gaps.spoke == Gap(3.5, 1, "spoke", (9.5, 179.0))
    assert gaps.barrel.gap_mm == 11.0
    assert gaps.barrel.side == "barrel"
    assert signed_gap(points, at(BARREL, 7.0), at(SPOKE, 7.0)) == gaps.spoke


def test_swept_radius_is_the_distance_from_the_axis() -> None:
    assert swept_radius(124.0, 55.0, 0.0, 0.0) == 179.0
    assert swept_radius(120.0, 40.0, 5.0, 25.0) == pytest.approx(math.sqrt(160.0**2 + 30.0**2))
    assert swept_radius(120.0, 40.0, 5.0, -5.0) == 160.0


@pytest.mark.parametrize(
    ("point", "barrel", "spoke"),
    [
        ((-50.0, 180.0), 10.0, 52.5),
        ((-50.0, 190.0), 0.0, 52.5),
        ((-50.0, 194.0), -4.0, math.hypot(52.5, 4.0)),  # beyond the barrel
        ((5.5, 150.0), math.hypot(3.0, 40.0), -3.0),  # beyond the spoke back
        ((5.5, 194.0), -5.0, -5.0),  # beyond the corner of both
        ((-123.0, 194.0), 5.0, math.hypot(125.5, 4.0)),  # inboard of the lip: free, 3-4-5
        ((-120.0, 150.0), 40.0, 122.5),
        ((-2.5, 60.0), 130.0, 5.0),  # below the measured spoke back
        ((4.5, 60.0), math.hypot(2.0, 130.0), -2.0),  # beyond its carrying on
    ],
)
def test_signs_and_depths_of_single_points(point: Place, barrel: float, spoke: float) -> None:
    for turned in (False, True):
        gaps = wheel_gaps(
            [point], BARREL[::-1] if turned else BARREL, SPOKE[::-1] if turned else SPOKE
        )
        assert gaps.barrel.gap_mm == pytest.approx(barrel)
        assert gaps.spoke.gap_mm == pytest.approx(spoke)
        assert signed_gap([point], BARREL, SPOKE).gap_mm == pytest.approx(min(barrel, spoke))


def test_foot_and_point_name_the_place() -> None:
    points = [(-60.0, 150.0), (-60.0, 184.0), (-20.0, 182.0), (-20.0, 140.0)]
    assert signed_gap(points, BARREL, SPOKE) == Gap(6.0, 1, "barrel", (-60.0, 190.0))
    deep = [(-60.0, 150.0), (-60.0, 191.0), (-20.0, 193.0), (-20.0, 140.0)]
    got = signed_gap(deep, BARREL, SPOKE)
    assert (got.gap_mm, got.point_index, got.side) == (pytest.approx(-3.0), 2, "barrel")
    assert got.foot == pytest.approx((-20.0, 190.0))


def test_the_lip_counts_by_its_distance_to_a_straight_line_of_the_caliper() -> None:
    """A caliper that stands out past a narrow rim: both its points are far from the lip's edge."""
    slanting = [(-150.0, 180.0), (-100.0, 130.0)]
    got = signed_gap(slanting, BARREL, SPOKE)
    assert got.foot == (-120.0, 190.0)
    assert got.gap_mm == pytest.approx(40.0 / math.sqrt(2.0))
    assert got.gap_mm < min(signed_gap([p], BARREL, SPOKE).gap_mm for p in slanting)


def test_a_hump_that_pokes_through_between_two_points_is_seen() -> None:
    humped = [(-120.0, 190.0), (-62.0, 190.0), (-60.0, 176.0), (-58.0, 190.0), (2.5, 190.0)]
    flat = [(-90.0, 180.0), (-30.0, 180.0)]
    assert all(signed_gap([p], humped, SPOKE).gap_mm > 9.0 for p in flat)
    got = signed_gap(flat, humped, SPOKE)
    assert got.side == "barrel"
    # The line's place under the hump's tip, 4 above it; the nearest flank falls 14 in 2.
    assert got.gap_mm == pytest.approx(-4.0 * 2.0 / math.hypot(2.0, 14.0))


def test_crossing_lines_leave_no_room() -> None:
    across = [(-130.0, 185.0), (-119.0, 195.0), (-130.0, 205.0)]
    assert signed_gap(across, BARREL, SPOKE).gap_mm < 0.0
    through = [(-125.0, 200.0), (-115.0, 180.0)]  # from free inboard of the lip, past its edge
    assert signed_gap(through, BARREL, SPOKE).gap_mm <= 0.0


def test_a_straight_line_through_a_hump_touches_it_even_if_all_its_points_stay_free() -> None:
    spiked = [(-120.0, 190.0), (-82.0, 190.0), (-81.0, 150.0), (-80.0, 190.0), (2.5, 190.0)]
    assert signed_gap([(-100.0, 150.0), (-70.0, 180.0)], spiked, SPOKE).gap_mm == 0.0


def test_of_a_folded_barrel_the_surface_met_first_counts() -> None:
    folded = [(-120.0, 190.0), (-62.0, 190.0), (-50.0, 176.0), (-58.0, 190.0), (2.5, 190.0)]
    got = signed_gap([(-55.0, 183.0)], folded, SPOKE)  # inside the leaning hump
    # From the nearer flank, 14 down in 12, past which it lies 7 on and 7 down.
    assert got.gap_mm == pytest.approx(-(7.0 * 14.0 - 7.0 * 12.0) / math.hypot(12.0, 14.0))


def test_an_unmeasured_corner_is_joined_straight() -> None:
    spoke = [(4.5, 180.0), (4.5, 80.0)]
    assert signed_gap([(-5.0, 185.0)], BARREL, spoke).gap_mm == 5.0  # to the barrel
    inside = wheel_gaps([(2.5, 180.0)], BARREL, spoke).spoke
    assert inside.gap_mm == pytest.approx(20.0 / math.hypot(2.0, 10.0))
    # 1.5 on along the line's slope of 2 across in 10 down leaves 3 above it at x = 4, r = 185.5.
    beyond = wheel_gaps([(4.0, 185.5)], BARREL, spoke).spoke
    assert beyond.gap_mm == pytest.approx(-3.0 * 2.0 / math.hypot(2.0, 10.0))


def test_a_stepped_barrel_and_a_dished_spoke_back() -> None:
    barrel = [(-120.0, 195.0), (-70.0, 195.0), (-70.0, 185.0), (0.0, 185.0)]
    spoke = [(0.0, 185.0), (30.0, 120.0), (20.0, 70.0)]
    assert wheel_gaps([(-70.0, 188.0)], barrel, spoke).barrel.gap_mm == 0.0
    assert wheel_gaps([(-72.0, 190.0)], barrel, spoke).barrel.gap_mm == 2.0
    assert wheel_gaps([(-69.0, 188.0)], barrel, spoke).barrel.gap_mm == -1.0
    assert wheel_gaps([(20.0, 120.0)], barrel, spoke).spoke.gap_mm > 0.0
    assert wheel_gaps([(29.0, 100.0)], barrel, spoke).spoke.gap_mm < 0.0


@pytest.mark.parametrize(
    ("points", "barrel", "spoke", "why"),
    [
        ([], BARREL, SPOKE, "caliper outline"),
        ([(0.0, 100.0)], BARREL[:1], SPOKE, "barrel"),
        ([(0.0, 100.0)], BARREL, SPOKE[:1], "spoke back"),
        ([(math.nan, 100.0)], BARREL, SPOKE, "caliper outline"),
        ([(0.0, -1.0)], BARREL, SPOKE, "caliper outline"),
        ([(0.0, 100.0)], [(-120.0, 190.0), (math.inf, 190.0)], SPOKE, "barrel"),
        ([(0.0, 100.0)], [(2.5, 190.0), (2.5, 180.0)], SPOKE, "same x"),
        ([(0.0, 100.0)], BARREL, [(2.5, 190.0), (9.0, 190.0)], "same r"),
    ],
)
def test_what_is_no_section_is_refused(
    points: list[Place], barrel: list[Place], spoke: list[Place], why: str
) -> None:
    with pytest.raises(ValueError, match=why):
        signed_gap(points, barrel, spoke)


steps = st.lists(st.floats(1.0, 40.0), min_size=1, max_size=4)


@st.composite
def wheels(draw: st.DrawFn) -> tuple[list[Place], list[Place]]:
    """A barrel that goes forward in x and a spoke back that goes inward in r, joined or not."""
    barrel = [(-110.0, 190.0)]
    for dx in draw(steps):
        barrel.append((barrel[-1][0] + dx, draw(st.floats(170.0, 200.0))))
    x, r = barrel[-1]
    spoke = [(x, r)] if draw(st.booleans()) else [(x + draw(st.floats(0.5, 6.0)), r - 4.0)]
    for dr in draw(steps):
        spoke.append((x + draw(st.floats(0.0, 40.0)), max(1.0, spoke[-1][1] - dr)))
    return barrel, spoke


@settings(max_examples=250, deadline=None)
@given(
    wheels(),
    st.lists(st.tuples(st.floats(-140.0, 20.0), st.floats(60.0, 200.0)), min_size=2, max_size=5),
    st.booleans(),
)
def test_gaps_agree_with_shapely(
    wheel: tuple[list[Place], list[Place]], points: list[Place], turned: bool
) -> None:
    barrel, spoke = wheel
    back = [*spoke, (spoke[-1][0], 0.0)]
    if spoke[0] != barrel[-1]:
        back.insert(0, barrel[-1])
    room = Polygon([(-900.0, 0.0), (-900.0, 900.0), (barrel[0][0], 900.0), *barrel, *back[1:]])
    assert room.is_valid
    caliper = LineString(points)
    gaps = wheel_gaps(points, barrel[::-1] if turned else barrel, spoke[::-1] if turned else spoke)
    got = signed_gap(points, barrel, spoke)
    assert got.gap_mm == min(gaps.barrel.gap_mm, gaps.spoke.gap_mm)
    walls = LineString(barrel), LineString(back)
    if room.contains(caliper):
        assert gaps.barrel.gap_mm == pytest.approx(caliper.distance(walls[0]), abs=1e-9)
        assert gaps.spoke.gap_mm == pytest.approx(caliper.distance(walls[1]), abs=1e-9)
    else:
        outside = [p for p in points if not room.buffer(1e-9).contains(Point(p))]
        depths = [min(wall.distance(Point(p)) for wall in walls) for p in outside]
        assert got.gap_mm <= max([0.0, *depths]) * -1.0 + 1e-9
    place = Point(got.foot)
    assert place.distance(walls[0 if got.side == "barrel" else 1]) == pytest.approx(0.0, abs=1e-9)
    assert caliper.distance(place) <= abs(got.gap_mm) + 1e-9


def box(x0: float, x1: float, r0: float, r1: float) -> list[Place]:
    return [(x0, r0), (x1, r0), (x1, r1), (x0, r1)]


def test_how_deep_a_point_surely_stands_in_the_wheel() -> None:
    """Between 4 and 6 beyond a level barrel: 4 at least, so the gap is -4 at most."""
    barrel, spoke = greatest_gaps([box(-60.0, -50.0, 194.0, 196.0)], BARREL, SPOKE)
    assert barrel == -4.0
    assert spoke == pytest.approx(math.hypot(62.5, 6.0))  # its own furthest place
    assert greatest_gaps([box(-60.0, -50.0, 194.0, 194.0)], BARREL, SPOKE)[0] == -4.0
    assert greatest_gaps([box(4.5, 5.5, 100.0, 110.0)], BARREL, SPOKE)[1] == -2.0


def test_a_point_that_may_stand_clear_is_no_sure_clash() -> None:
    assert greatest_gaps([box(-60.0, -50.0, 188.0, 194.0)], BARREL, SPOKE)[0] == 2.0
    # Inboard of the lip there is no barrel: the point may stand there.
    assert greatest_gaps([box(-122.0, -118.0, 194.0, 196.0)], BARREL, SPOKE)[0] > 0.0


def test_between_two_corners_that_are_beyond_the_surface_may_be_further_out() -> None:
    domed = [(-120.0, 190.0), (-80.0, 190.0), (-60.0, 230.0), (-40.0, 190.0), (2.5, 190.0)]
    assert greatest_gaps([box(-85.0, -35.0, 192.0, 196.0)], domed, SPOKE)[0] > 0.0


@settings(max_examples=250, deadline=None)
@given(
    wheels(),
    st.lists(
        st.tuples(
            st.floats(-140.0, 20.0),
            st.floats(0.0, 12.0),
            st.floats(60.0, 200.0),
            st.floats(0.0, 12.0),
        ),
        min_size=1,
        max_size=4,
    ),
    st.data(),
)
def test_no_place_of_the_caliper_leaves_more_than_the_greatest_gap(
    wheel: tuple[list[Place], list[Place]],
    places: list[tuple[float, float, float, float]],
    data: st.DataObject,
) -> None:
    barrel, spoke = wheel
    tops = greatest_gaps([box(x, x + w, r, r + h) for x, w, r, h in places], barrel, spoke)
    share = st.sampled_from([0.0, 0.25, 0.5, 0.9, 1.0])
    points = [(x + data.draw(share) * w, r + data.draw(share) * h) for x, w, r, h in places]
    gaps = wheel_gaps(points, barrel, spoke)
    assert gaps.barrel.gap_mm <= tops[0] + 1e-9
    assert gaps.spoke.gap_mm <= tops[1] + 1e-9


@settings(max_examples=100, deadline=None)
@given(
    wheels(),
    st.lists(
        st.lists(
            st.tuples(st.floats(-140.0, 20.0), st.floats(60.0, 200.0)), min_size=1, max_size=5
        ),
        min_size=1,
        max_size=4,
    ),
)
def test_the_least_of_several_outlines_is_that_of_the_tightest(
    wheel: tuple[list[Place], list[Place]], outlines: list[list[Place]]
) -> None:
    """What is passed over as too far off was no nearer."""
    inside = Inside.of(*wheel)
    each = [wheel_gaps(points, *wheel) for points in outlines]
    least = inside.least(outlines[1:], each[0])
    assert least.barrel.gap_mm == min(gaps.barrel.gap_mm for gaps in each)
    assert least.spoke.gap_mm == min(gaps.spoke.gap_mm for gaps in each)


@settings(max_examples=100, deadline=None)
@given(
    wheels(),
    st.floats(-140.0, 40.0),
    st.floats(40.0, 210.0),
    st.lists(st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0)), min_size=4, max_size=8),
)
def test_nothing_of_a_rectangle_that_is_clear_lies_beyond(
    wheel: tuple[list[Place], list[Place]], x: float, r: float, places: list[Place]
) -> None:
    inside = Inside.of(*wheel)
    around = (x, x + 15.0, r, r + 10.0)
    for surface in (inside.barrel, inside.spoke):
        if surface.clear_of(around):
            assert not any(surface.beyond((x + 15.0 * u, r + 10.0 * v)) for u, v in places)


@settings(max_examples=100, deadline=None)
@given(
    wheels(),
    st.lists(
        st.tuples(
            st.floats(-140.0, 10.0),
            st.floats(0.0, 6.0),
            st.floats(60.0, 195.0),
            st.floats(0.0, 5.0),
        ),
        min_size=2,
        max_size=6,
    ),
)
def test_the_order_of_the_rectangles_does_not_matter(
    wheel: tuple[list[Place], list[Place]], places: list[tuple[float, float, float, float]]
) -> None:
    around = [(x, x + w, r, r + h) for x, w, r, h in places]
    inside = Inside.of(*wheel)
    assert inside.greatest(around) == inside.greatest(around[::-1])
    alone = [inside.greatest([one]) for one in around]
    assert inside.greatest(around) == (min(a[0] for a in alone), min(a[1] for a in alone))


def test_a_path_of_negative_radius_is_refused() -> None:
    inside = Inside.of(BARREL, SPOKE)
    known = inside.gaps([(-50.0, 150.0)])
    with pytest.raises(ValueError, match="caliper outline"):
        inside.least([[(-50.0, -1.0)]], known)
