"""Linings and effective radii against values from outside (CHECKS M1, M2, S4)."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad
from shapely.geometry import Point, Polygon

from lugplane.measure.outline import sector
from lugplane.measure.trim import (
    clip,
    innermost_radius,
    outermost_radius,
    r_eff_uniform_pressure,
    r_eff_uniform_wear,
)


@pytest.mark.parametrize(
    ("ro", "ri", "pressure", "wear"), [(160.0, 100.0, 132.31, 130.0), (140.0, 100.0, 121.11, 120.0)]
)
def test_m1_effective_radius(ro: float, ri: float, pressure: float, wear: float) -> None:
    """M1: closed forms for a sector, computed by an independent script; tolerance 0.01 mm."""
    assert r_eff_uniform_pressure(ro, ri) == pytest.approx(pressure, abs=0.01)
    assert r_eff_uniform_wear(ro, ri) == pytest.approx(wear, abs=0.01)


def test_m2_sector_lining() -> None:
    """M2: 100/140 mm, 110°; shapely and quadrature, tolerance 0.1.

    The 121.11 is the mean of r, not the centroid's distance, which is 15 % lower here.
    """
    got = clip(sector(100.0, 140.0, 110.0), 140.0, 0.0, 50.0, 200.0)
    assert got.area_left_mm2 == pytest.approx(9215.3, abs=0.1)
    assert got.centroid_radius_mm == pytest.approx(103.35, abs=0.1)
    assert got.mean_radius_mm == pytest.approx(121.11, abs=0.1)


def test_m2_by_shapely_and_quadrature_here() -> None:
    """M2 again, the libraries called here and not quoted."""
    half = math.radians(55.0)
    turns = [half * k / 2048 for k in range(-2048, 2049)]
    ring = Polygon(
        [(140.0 * math.sin(a), 140.0 * math.cos(a)) for a in turns]
        + [(100.0 * math.sin(a), 100.0 * math.cos(a)) for a in reversed(turns)]
    )
    got = clip(sector(100.0, 140.0, 110.0), 140.0, 0.0, 50.0, 200.0)
    assert got.area_left_mm2 == pytest.approx(ring.area, abs=0.01)
    assert got.centroid_radius_mm == pytest.approx(
        ring.centroid.distance(Point(0.0, 0.0)), abs=1e-3
    )
    mean = 2.0 * half * quad(lambda r: r * r, 100.0, 140.0)[0] / ring.area
    assert got.mean_radius_mm == pytest.approx(mean, abs=1e-3)


def test_s4_trimmed_all_along() -> None:
    """S4, reckoned by hand: 103-164 mm, 60°, top at 164; band from 104 inward with 1 mm running
    gap (common practice, no source), disc 330. No tolerance stated: the last digit printed."""
    lining = sector(103.0, 164.0, 60.0)
    got = clip(lining, 164.0, 0.0, 104.0 + 1.0, 330.0 / 2.0)
    depths = (got.inner_depth_mid_mm, *got.inner_depth_ends_mm)
    assert depths == pytest.approx((2.0, 2.0, 2.0), abs=1e-9)
    assert (got.outer_depth_mid_mm, *got.outer_depth_ends_mm) == (0.0, 0.0, 0.0)
    assert 100.0 * got.share_lost == pytest.approx(2.554, abs=0.0005)
    assert got.area_left_mm2 == pytest.approx(8310.0, abs=0.05)
    assert got.mean_radius_mm == pytest.approx(136.66, abs=0.005)
    assert got.centroid_radius_mm == pytest.approx(130.50, abs=0.005)
    assert innermost_radius(lining, 164.0, 0.0) == pytest.approx(103.0, abs=1e-9)
    assert outermost_radius(lining, 164.0, 0.0) == pytest.approx(164.0, abs=1e-9)
