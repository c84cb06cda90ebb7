"""The area of a whole lining, with what the ± of its outline leaves open."""

from __future__ import annotations

from functools import cache

from lugplane.measure.bench import Bench
from lugplane.measure.corners import Span
from lugplane.measure.grown import polygon_forms, sector_forms, strip_mm2
from lugplane.measure.lining import outline


def whole_area_mm2(b: Bench) -> Span:
    """Least and greatest area before anything is cut off, mm². Raises `Missing`."""
    middle, lining = outline(b).area_mm2, b.setup.pad.lining
    spread = lining.points_u_v.plus_minus
    if not spread:
        return middle, middle
    if lining.points_u_v.known:
        points = tuple((x[0], x[1]) for x in b.place.points(lining.points_u_v))
        return _of_polygon(points, spread, middle)
    s = lining.sector
    inner, outer, angle = (b.place.number(x) for x in (s.inner_mm, s.outer_mm, s.angle_deg))
    return _of_sector(inner, outer, angle, spread)


@cache
def _of_polygon(points: tuple[tuple[float, float], ...], spread: float, middle: float) -> Span:
    try:
        forms = polygon_forms(points, spread)
    except ValueError:  # an edge is short beside its ±
        strip = strip_mm2(points, spread)
        return max(middle - strip, 0.0), middle + strip
    return forms.small.area_mm2, forms.large.area_mm2


@cache
def _of_sector(inner: float, outer: float, angle: float, spread: float) -> Span:
    forms = sector_forms(inner, outer, angle, spread)
    return forms.small.area_mm2, forms.large.area_mm2
