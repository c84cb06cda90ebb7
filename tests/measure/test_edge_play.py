"""The bounds of what an outline's ± does hold for every outline within it, and are close."""

from __future__ import annotations

import random
from itertools import product

import pytest

from lugplane.measure.edge_play import Between, Doubt, of_polygon, of_sector
from lugplane.measure.grown import SectorDoubt
from lugplane.measure.outline import Outline, polygon, sector
from lugplane.measure.trim import Span, area_lost_bounds, clip

PM = 0.1
# Two circles at places where both cut, the inner one alone, the outer one alone, or neither.
PLACES = (
    Between((-0.1, 0.1), (139.8, 140.2), (96.9, 97.1), (138.95, 139.05)),
    Between((1.9, 2.1), (139.8, 140.2), (99.4, 99.6), (149.9, 150.1)),
    Between((-0.1, 0.1), (139.8, 140.2), (80.0, 80.1), (135.9, 136.1)),
    Between((-0.1, 0.1), (139.8, 140.2), (60.0, 60.1), (170.0, 170.1)),
)
POINTS = [(-62.0, -3.0), (-45.0, -44.0), (45.0, -44.0), (62.0, -3.0), (52.0, 0.0), (-52.0, 0.0)]
KNOWN = SectorDoubt(95.0, 140.0, 0.48, PM)
DEGREES = 2 * 0.48 * 180 / 3.141592653589793


def bounds(shape: Outline, doubt: Doubt, at: Between) -> Span:
    lost = area_lost_bounds(shape, at.top, at.y, at.inner, at.outer, 16)
    return doubt.widened(lost, shape.area_mm2)


def shares(shape: Outline, at: Between) -> list[float]:
    """Shares lost at the corners of a place."""
    spans = (at.top, at.y, at.inner, at.outer)
    return [clip(shape, *place).share_lost for place in product(*spans)]


@pytest.mark.parametrize("at", PLACES)
def test_no_polygon_within_its_doubt_loses_more_or_less(at: Between) -> None:
    low, high = bounds(polygon(POINTS), of_polygon(POINTS, PM, at), at)
    draw = random.Random(7)
    for _ in range(60):
        moved = [(u + draw.choice((-PM, PM)), v + draw.choice((-PM, PM))) for u, v in POINTS]
        found = shares(polygon(moved), at)
        assert low <= min(found)
        assert max(found) <= high


@pytest.mark.parametrize("at", PLACES)
def test_no_sector_within_its_doubt_loses_more_or_less(at: Between) -> None:
    low, high = bounds(sector(95.0, 140.0, DEGREES), of_sector(KNOWN, at), at)
    for inner, outer in product((-PM, -PM / 3, PM), (-PM, PM / 2, PM)):
        found = shares(sector(95.0 + inner, 140.0 + outer, DEGREES), at)
        assert low <= min(found)
        assert max(found) <= high


def test_where_lost_and_left_grow_alike_the_share_is_in_little_doubt() -> None:
    at = Between((0.0, 0.0), (140.0, 140.0), (80.0, 80.0), (136.0, 136.0))
    shape = polygon(POINTS)
    low, high = bounds(shape, of_polygon(POINTS, PM, at), at)
    draw = random.Random(3)
    moves = (
        [(u + draw.choice((-PM, PM)), v + draw.choice((-PM, PM))) for u, v in POINTS]
        for _ in range(400)
    )
    found = [share for moved in moves for share in shares(polygon(moved), at)]
    assert high - low < 1.35 * (max(found) - min(found))


def test_without_a_cut_nothing_is_lost() -> None:
    shape = polygon(POINTS)
    assert bounds(shape, of_polygon(POINTS, PM, PLACES[3]), PLACES[3])[1] < 1e-4
    assert bounds(sector(95.0, 140.0, DEGREES), of_sector(KNOWN, PLACES[3]), PLACES[3])[1] < 1e-4
