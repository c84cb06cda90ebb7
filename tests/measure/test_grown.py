"""The largest and smallest forms of a lining with a ±, and the bounds that rest on them."""

from __future__ import annotations

import math
import random
from itertools import product

import pytest
from shapely.geometry import Polygon

from lugplane.measure.grown import Forms, polygon_forms, sector_forms, strip_mm2
from lugplane.measure.outline import Outline, sector
from lugplane.measure.trim import area_lost_bounds, clip

RING = [(-61.0, -3.0), (-50, 0), (50, 0), (61, -3), (52, -42), (38, -46), (-38, -46), (-52, -42)]
NOTCHED = [(-60.0, 0.0), (-5, 2), (0, -4), (5, 2), (60, 0), (50, -45), (0, -40), (-50, -45)]


def ring_of(shape: Outline) -> Polygon:
    upper = [shape.upper[0].u0, *(p.u1 for p in shape.upper)]
    lower = [shape.lower[0].u0, *(p.u1 for p in shape.lower)]
    return Polygon(
        [(u, shape.upper_at(u)) for u in upper] + [(u, shape.lower_at(u)) for u in lower[::-1]]
    )


@pytest.mark.parametrize("ring", [RING, NOTCHED])
@pytest.mark.parametrize("turned", [False, True])
def test_every_polygon_within_its_doubt_lies_between_the_forms(
    ring: list[tuple[float, float]], turned: bool
) -> None:
    rnd = random.Random(3)
    forms = polygon_forms(ring[::-1] if turned else ring, 0.2)
    large, small = ring_of(forms.large), ring_of(forms.small)
    for _ in range(60):
        drawn = Polygon(
            [(u + rnd.choice((-0.2, 0.2)), v + rnd.choice((-0.2, 0.2))) for u, v in ring]
        )
        assert drawn.difference(large).area < 1e-6
        assert small.difference(drawn).area < 1e-6
    assert large.area - small.area == pytest.approx(forms.between_mm2)
    # No further than the ± in each coordinate where edges lie square to it.
    assert large.bounds[3] <= max(v for _, v in ring) + 0.2 * 3


def test_an_edge_too_short_for_its_doubt_is_refused() -> None:
    with pytest.raises(ValueError, match="too great for so short an edge"):
        polygon_forms([(-50, -9), (-0.2, 0), (0.2, 0), (50, -9), (50, -40), (-50, -40)], 0.3)


def test_upright_edges_stay_upright() -> None:
    forms = polygon_forms([(-50, 0), (50, 0), (50, -40), (30, -44), (-50, -44)], 0.1)
    assert (forms.large.u_min, forms.large.u_max) == (-50.1, 50.1)
    assert (forms.small.u_min, forms.small.u_max) == (-49.9, 49.9)


def test_the_strip_about_the_edge_holds_whatever_the_points_do() -> None:
    ring, rnd = [(-50.0, 0.0), (50, 0), (50, -40), (49.8, -40.2), (-50, -40.2)], random.Random(1)
    whole = Polygon(ring)
    for _ in range(40):
        moved = [(u + rnd.choice((-0.3, 0.3)), v + rnd.choice((-0.3, 0.3))) for u, v in ring]
        drawn = Polygon(moved).buffer(0)
        assert drawn.symmetric_difference(whole).area <= strip_mm2(ring, 0.3)
    assert strip_mm2(ring, 0.3) < 0.06 * whole.area


def lost(shape: Outline, top: float, y: float, inner: float, outer: float) -> tuple[float, float]:
    found = clip(shape, top, y, inner, outer)
    return found.area_mm2 - found.area_left_mm2, found.share_lost


@pytest.mark.parametrize(("top", "inner", "outer"), [(147.4, 108.0, 146.0), (139.8, 104.0, 140.0)])
def test_the_lost_of_every_sector_lies_between_those_of_the_forms(
    top: float, inner: float, outer: float
) -> None:
    forms = sector_forms(98.8, 142.8, 52.0, 0.1)
    for i, o in product((-0.1, 0.0, 0.1), repeat=2):
        got, _ = lost(sector(98.8 + i, 142.8 + o, 52.0), top, 0.3, inner, outer)
        assert lost(forms.small, top, 0.3, inner, outer)[0] <= got + 1e-9
        assert got <= lost(forms.large, top, 0.3, inner, outer)[0] + 1e-9


def sector_of(forms: Forms) -> tuple[float, float]:
    assert forms.sector is not None
    return forms.sector.half, forms.sector.inner


@pytest.mark.parametrize("ys", [(-0.2, 0.3), (-0.3, 0.2)])
def test_what_is_said_to_be_lost_of_the_inner_edge_is_lost_everywhere(
    ys: tuple[float, float],
) -> None:
    forms = sector_forms(98.8, 142.8, 52.0, 0.1)
    half, inner = sector_of(forms)
    assert forms.sector is not None
    tops = 144.0, 144.4
    seen = set()
    for radius in (98.0, 99.7, 100.2, 100.34, 100.6, 103.0):
        start, end = forms.sector.lost(tops, ys, radius)
        seen.add((start > 0.0, end == half, start == end))
        for share, side, top, y, i, o in product(
            (0.0, 0.5, 1.0), (-1, 1), tops, ys, (-0.1, 0.1), (-0.1, 0.1)
        ):
            angle = side * (start + (end - start) * share)
            at = (
                y + (inner + i) * math.sin(angle),
                top - 142.8 - o + (inner + i) * math.cos(angle),
            )
            assert start == end or math.hypot(*at) <= radius + 1e-9
    assert (False, True, False) in seen  # all of it
    assert (True, True, False) in seen  # its ends
    assert any(none for *_, none in seen)


@pytest.mark.parametrize("inner", [104.0, 108.0, 100.3])
def test_below_the_bound_the_share_rises_with_the_size(inner: float) -> None:
    forms = sector_forms(98.8, 142.8, 52.0, 0.1)
    assert forms.sector is not None
    found = forms.sector.lost((143.0, 143.0), (0.2, 0.2), inner)
    bound = forms.sector.rises_below(found)
    shares = {
        (i, o): lost(sector(98.8 + i, 142.8 + o, 52.0), 143.0, 0.2, inner, 142.9)[1]
        for i, o in product((-0.1, 0.0, 0.1), repeat=2)
    }
    assert max(shares.values()) < bound
    assert max(shares.values()) == shares[-0.1, 0.1]
    assert min(shares.values()) == shares[0.1, -0.1]


def test_two_circles_are_bounded_closely_without_many_parts() -> None:
    shape = sector(98.8, 142.8, 52.0)
    tops, inners, outers = (147.2, 147.6), (107.9, 108.1), (145.95, 146.05)
    seen = [
        lost(shape, tops[0] + (tops[1] - tops[0]) * n / 40, 0.4, inner, outer)[0]
        for n in range(41)
        for inner in inners
        for outer in outers
    ]
    low, high = area_lost_bounds(shape, tops, (0.4, 0.4), inners, outers, 1)
    assert low <= min(seen) + 1e-9
    assert high >= max(seen) - 1e-9
    assert low == pytest.approx(min(seen), abs=1e-6)
    assert high == pytest.approx(max(seen), abs=1e-6)


def test_where_the_sum_of_two_circles_turns_round_the_bounds_hold_and_close_in() -> None:
    # Lifted, the lower ends come free of the inner circle as the corners leave the outer one.
    shape = sector(98.8, 142.8, 52.0)
    tops, inner, outer = (141.0, 146.0), (100.5, 100.5), (143.2, 143.2)
    seen = [
        lost(shape, tops[0] + (tops[1] - tops[0]) * n / 400, 0.0, inner[0], outer[0])[0]
        for n in range(401)
    ]
    assert min(seen) < min(seen[0], seen[-1]) - 1.0  # it does turn round
    widths = []
    for parts in (1, 4, 16, 64):
        low, high = area_lost_bounds(shape, tops, (0.0, 0.0), inner, outer, parts)
        assert low <= min(seen)
        assert max(seen) <= high + 1e-9
        widths.append(high - low)
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] == pytest.approx(max(seen) - min(seen), abs=1.0)


def test_the_mean_radius_falls_as_an_uncut_sector_grows() -> None:
    doubt = sector_forms(112.0, 164.0, 60.0, 0.5).sector
    assert doubt is not None
    means = {
        (i, o): clip(sector(112 + i, 164 + o, 60.0), 164.0, 0.1, 100.0, 170.0).mean_radius_mm
        for i, o in product((-0.5, 0.0, 0.5), repeat=2)
    }
    known = [m for m in means.values() if m is not None]
    assert doubt.mean_falls((164.0, 164.0), (0.1, 0.1), min(known), 164.6)
    assert min(known) == means[-0.5, 0.5]
    assert max(known) == means[0.5, -0.5]
    # A shallow wide pad, all of whose edge lies about the mean: nothing is sure.
    shallow = sector_forms(150.0, 154.0, 120.0, 0.5).sector
    assert shallow is not None
    assert not shallow.mean_falls((154.0, 154.0), (0.0, 0.0), 151.0, 155.0)


@pytest.mark.parametrize("offset", [-2.0, 0.0, 0.7])
@pytest.mark.parametrize("edge", [137.0, 150.0])
def test_with_its_inner_edge_lost_a_sectors_mean_radius_stays_by_those_of_its_forms(
    offset: float, edge: float
) -> None:
    angle, top, circle = 52.0, 141.0, 107.0
    forms = sector_forms(96.0, 140.0, angle, 0.2)
    known = forms.sector
    assert known is not None
    assert known.lost((top, top), (offset, offset), circle) == (0.0, known.half)
    small, large = (clip(x, top, offset, circle, edge) for x in (forms.small, forms.large))
    means = sorted(x.mean_radius_mm or 0.0 for x in (small, large))
    bends = known.mean_bends(
        (top, top), (offset, offset), 0.98 * small.area_left_mm2, circle, 30.0, edge == 150.0
    )
    assert bends < 0.05
    for i, o in product((-0.2, -0.05, 0.1, 0.2), repeat=2):
        found = clip(sector(96.0 + i, 140.0 + o, angle), top, offset, circle, edge)
        assert found.mean_radius_mm is not None
        assert means[0] - bends <= found.mean_radius_mm <= means[1] + bends
