"""What a caliper shows from outside: the envelope of its swept points, against plain sampling."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.render.drawing.body import envelope
from lugplane.render.drawing.marks import between, broken, corners

Point = tuple[float, float]


def highest(points: list[Point], x: float) -> float:
    """The greatest r of a row of points joined by straight lines, at one x."""
    found = []
    for a, z in pairwise(points):
        low, high = sorted((a, z))
        if low[0] <= x <= high[0] and high[0] > low[0]:
            found.append(low[1] + (high[1] - low[1]) * (x - low[0]) / (high[0] - low[0]))
    return max(found)


def test_dip_is_covered() -> None:
    # a point beside the section plane lies lower: the line back to it is hidden under the next
    points = [(-10.0, 5.0), (0.0, 8.0), (-8.0, 4.0), (10.0, 8.0), (10.0, 2.0)]
    shown = envelope(points)
    assert shown[0] == (-10.0, 5.0)
    assert shown[-1] == (10.0, 8.0)
    assert max(r for _, r in shown) == 8.0


def test_no_length_shows_nothing() -> None:
    assert envelope([(1.0, 2.0)]) == ()
    assert envelope([(1.0, 2.0), (1.0, 5.0)]) == ()


grid = st.integers(-40, 40).map(float)


@given(st.lists(st.tuples(grid, grid), min_size=2, max_size=9))
def test_against_sampling(points: list[Point]) -> None:
    shown = list(envelope(points))
    if not shown:
        assert len({x for x, _ in points}) == 1
        return
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    assert (shown[0][0], shown[-1][0]) == (left, right)
    for n in range(1, 40):
        x = left + (right - left) * (n + 0.317) / 41
        assert highest(shown, x) == pytest.approx(highest(points, x), abs=1e-6)


def test_arrows_stand_where_there_is_room() -> None:
    _, inside = between((0.0, 0.0), (20.0, 0.0), 1.0)
    assert inside == ((10.0, 0.0), (0.0, 0.0), (20.0, 0.0))
    shapes, outside = between((0.0, 0.0), (3.0, 0.0), 1.0)
    assert outside == ((-4.5, 0.0), (7.5, 0.0))
    assert len(shapes) == 5
    # the same gap is wide enough on paper at ten to one
    assert between((0.0, 0.0), (3.0, 0.0), 0.1)[1][0] == (1.5, 0.0)


def test_gap_of_nothing_can_be_drawn() -> None:
    _, ends = between((5.0, 5.0), (5.0, 5.0), 1.0)
    assert all(r == 5.0 for _, r in ends)
    assert broken((0.0, 0.0), (0.0, 0.0), 1.0).points[0] == (0.0, 0.0)


def test_corners() -> None:
    assert corners(0, 1, 2, 3) == ((0, 1), (2, 1), (2, 3), (0, 3))
