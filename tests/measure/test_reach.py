"""How far the lining reaches out and in, with its own ±: against points drawn from the box."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

import pytest

from lugplane.measure.outline import Outline, polygon, sector
from lugplane.measure.reach import RIGID, Play, PointPlay, SectorPlay, inner_parts, outer_parts
from lugplane.measure.trim import innermost_radius, outermost_radius
from lugplane.quantity.form import Form, least, most, within

RING = [(-61.0, -3.0), (-50, 0), (50, 0), (61, -3), (52, -42), (38, -46), (-38, -46), (-52, -42)]


def sector_play(inner: float, outer: float, spread: float) -> SectorPlay:
    return SectorPlay(
        outer,
        inner,
        within("pad.lining", -spread, spread, 0.0),
        within("(lining: inner radius)", -spread, spread, 0.0),
    )


def reach(
    shape: Outline, tops: tuple[float, float], ys: tuple[float, float], play: Play
) -> tuple[tuple[float, float], tuple[float, float]]:
    top, y = Form.of("top", *tops), Form.of("y", *ys)
    out, inn = most(*outer_parts(shape, top, y, play)), least(*inner_parts(shape, top, y, play))
    return (out.lo, out.hi), (inn.lo, inn.hi)


def spans_of(
    shapes: Sequence[Outline], tops: tuple[float, float], ys: tuple[float, float]
) -> tuple[tuple[float, float], tuple[float, float]]:
    """What is reached at corners and middles of the box."""
    out, inn = [], []
    for shape in shapes:
        for top in (tops[0], sum(tops) / 2, tops[1]):
            for y in (ys[0], sum(ys) / 2, ys[1]):
                out.append(outermost_radius(shape, top, y))
                inn.append(innermost_radius(shape, top, y))
    return (min(out), max(out)), (min(inn), max(inn))


# Concentric with the hub, about it, out of the sector's own directions, far above and below.
PLACES = [(142.8, 0.0), (143.6, 0.3), (147.2, 2.2), (152.0, 0.0), (135.0, -1.5), (160.0, 6.0)]


@pytest.mark.parametrize(("top", "y"), PLACES)
@pytest.mark.parametrize("spread", [0.0, 0.1])
def test_a_sector_reaches_as_far_as_its_forms_and_hardly_further(
    top: float, y: float, spread: float
) -> None:
    tops, ys = (top - 0.2, top + 0.2), (y - 0.1, y + 0.1)
    shapes = [
        sector(98.8 + i * spread, 142.8 + o * spread, 52.0) for i in (-1, 0, 1) for o in (-1, 0, 1)
    ]
    play = sector_play(98.8, 142.8, spread) if spread else RIGID
    out, inn = reach(sector(98.8, 142.8, 52.0), tops, ys, play)
    seen_out, seen_in = spans_of(shapes, tops, ys)
    for (low, high), (least_seen, most_seen) in ((out, seen_out), (inn, seen_in)):
        assert low <= least_seen + 1e-9
        assert high >= most_seen - 1e-9
    assert out[1] <= seen_out[1] + 0.003
    assert inn[0] >= seen_in[0] - 0.003
    # The greatest of a least (and the least of a greatest) of many forms is bounded in pairs.
    assert out[0] >= seen_out[0] - 0.03
    assert inn[1] <= seen_in[1] + 0.03


def test_an_arc_that_only_may_face_the_hub_does_not_raise_the_least_of_the_outermost() -> None:
    # The centre lies at 26.7° from the hub, past the sector's 26°: a corner is outermost there.
    tops, ys = (147.084, 147.463), (2.109, 2.305)
    shape = sector(98.8, 142.8, 52.0)
    (low, _), _ = reach(shape, tops, ys, RIGID)
    assert low <= outermost_radius(shape, 147.084, 2.2045) < math.hypot(2.2045, 4.284) + 142.8


def test_wide_doubt_about_the_hub_keeps_its_bounds() -> None:
    shape = sector(104.7, 138.7, 36.0)
    tops, ys = (136.7, 140.7), (-0.1, 0.1)
    found = reach(shape, tops, ys, RIGID)
    for (low, high), (least_seen, most_seen) in zip(
        found, spans_of([shape], tops, ys), strict=True
    ):
        assert low <= least_seen + 1e-9
        assert high >= most_seen - 1e-9
        assert high - low <= most_seen - least_seen + 0.06


@pytest.mark.parametrize(("top", "y"), [(150.0, 0.0), (149.0, 3.0), (120.0, -2.0)])
def test_each_coordinate_of_a_polygon_has_a_doubt_of_its_own(top: float, y: float) -> None:
    rnd = random.Random(7)
    spread, tops, ys = 0.2, (top - 0.1, top + 0.1), (y - 0.1, y + 0.1)
    shapes = [
        polygon(
            [(u + rnd.choice((-1, 1)) * spread, v + rnd.choice((-1, 1)) * spread) for u, v in RING]
        )
        for _ in range(60)
    ]
    (out_lo, out_hi), (in_lo, in_hi) = reach(polygon(RING), tops, ys, PointPlay(spread))
    (least_out, most_out), (least_in, most_in) = spans_of(shapes, tops, ys)
    assert out_lo <= least_out <= most_out <= out_hi
    assert in_lo <= least_in <= most_in <= in_hi
    # The flat inner edge moves by its ±, not by √2 of it.
    assert in_lo == pytest.approx(top - 0.1 - 46 - spread, abs=0.005)
    corner = max(math.hypot(abs(y) + 0.1 + u + spread, top + 0.1 + v + spread) for u, v in RING)
    assert out_hi == pytest.approx(corner, abs=0.005)


def test_a_foot_that_may_miss_its_edge_does_not_lower_the_greatest_of_the_innermost() -> None:
    # From the axis the foot on the right-hand slope meets its end or misses it.
    shape = polygon([(-50, 0), (50, 0), (40, -40), (10, -50), (-40, -40)])
    tops, ys = (79.5, 80.5), (-1.5, 1.5)
    (_, _), (low, high) = reach(shape, tops, ys, RIGID)
    seen = spans_of([shape], tops, ys)[1]
    assert low <= seen[0]
    assert high >= seen[1]
    assert high <= seen[1] + 0.05
