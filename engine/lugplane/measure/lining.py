"""The lining over the disc: its placed outline, how far out it reaches, what a trim takes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise, product

from lugplane.measure.bench import Bench, DoesNotApply, Reckoned, margin, measure, plain
from lugplane.measure.outline import Outline, polygon, sector
from lugplane.measure.reach import inner_parts, outer_parts
from lugplane.measure.trim import TrimBounds, clip, share_lost_bounds
from lugplane.quantity.form import (
    Effect,
    Effects,
    Extent,
    Form,
    Missing,
    hypot_of,
    least,
    most,
    within,
)

_NONE = 1e-9


def outline(b: Bench) -> Outline:
    """The lining's outline in pad coordinates. Raises `Missing` where the pad states none."""
    p, lining = b.place, b.setup.pad.lining
    if lining.points_u_v.known:
        return _polygon(tuple((x[0], x[1]) for x in p.points(lining.points_u_v)))
    s = lining.sector
    if not s.inner_mm.known:
        raise Missing("pad.lining.sector")
    return _sector(p.number(s.inner_mm), p.number(s.outer_mm), p.number(s.angle_deg))


@cache
def _polygon(points: tuple[tuple[float, float], ...]) -> Outline:
    return polygon(points)


@cache
def _sector(inner: float, outer: float, angle: float) -> Outline:
    return sector(inner, outer, angle)


@dataclass(frozen=True, slots=True)
class EdgeDoubt:
    """How far the lining's outer and inner edges may lie off along a radius, either way, mm."""

    outer: float
    inner: float


def edge_doubt(b: Bench) -> EdgeDoubt:
    """What the pad's ± does to its edges.

    A sector's ± is one of each of its radii, and its outer edge at mid-pad is where the caliper
    holds it: a point at the angle θ of the sector, seen from the hub axis at the angle φ, then
    moves out by `± (cos(θ - φ) - cos φ)`, and the inner edge by no more than both. A polygon's ±
    is one of each coordinate.
    """
    lining = b.setup.pad.lining
    spread = lining.points_u_v.plus_minus
    if lining.points_u_v.known:
        return EdgeDoubt(spread * math.sqrt(2), spread * math.sqrt(2))
    outer = b.place.number(lining.sector.outer_mm)
    half = math.radians(b.place.number(lining.sector.angle_deg) / 2)
    top, y = b.place.lining_top_bare, b.place.bolt_line_offset
    most_moved = 0.0
    for share, height, side in product((-1.0, -0.5, 0.0, 0.5, 1.0), (top.lo, top.hi), (y.lo, y.hi)):
        angle = half * share
        seen = math.atan2(side + outer * math.sin(angle), height - outer + outer * math.cos(angle))
        most_moved = max(most_moved, abs(math.cos(angle - seen) - math.cos(seen)))
    return EdgeDoubt(spread * most_moved, 2 * spread)


def _edge(spread: float) -> Form:
    return within("pad.lining", -spread, spread, 0.0) if spread else Form()


def outermost_bare(b: Bench) -> tuple[Form, ...]:
    """Hub radii of the lining without a stack, the greatest of which is its outermost point's."""
    return _outer(b, b.place.lining_top_bare)


def outermost(b: Bench) -> tuple[Form, ...]:
    """The same as placed."""
    return _outer(b, b.lining_top)


def _outer(b: Bench, top: Form) -> tuple[Form, ...]:
    doubt = _edge(edge_doubt(b).outer)
    return tuple(r + doubt for r in outer_parts(outline(b), top, b.place.bolt_line_offset))


def innermost(b: Bench) -> tuple[Form, ...]:
    """Hub radii the least of which is that of the lining's innermost point, as placed."""
    doubt = _edge(edge_doubt(b).inner)
    parts = inner_parts(outline(b), b.lining_top, b.place.bolt_line_offset)
    return tuple(r - doubt for r in parts)


@measure
def overhang(b: Bench) -> Reckoned:
    """Disc edge less outermost lining point: positive is inside (TRADE §2, radial fit)."""
    return plain(least(*(b.place.disc_radius - r for r in outermost(b))))


def trim_circles(b: Bench, running_gap_mm: float) -> tuple[Form, ...]:
    """The inner circles that the lining must stay outside of, one a face (TRADE §2, trim)."""
    disc = b.setup.disc
    return tuple(
        b.place.q(face) + running_gap_mm
        for face in (disc.band_inner_inboard_mm, disc.band_inner_outboard_mm)
    )


def worst_trim(b: Bench, running_gap_mm: float) -> TrimBounds:
    """Bounds of the share lost and of `r_eff`, the worse of the two faces.

    Coarse bounds are cheap and never too narrow; finer ones are reckoned only where the coarse
    ones reach across an edge of the trim's limit.
    """

    def make() -> TrimBounds:
        coarse = _trim_bounds(b, running_gap_mm, 1)
        low, high = coarse.share_lost
        edges = [band.to for band in b.limits["trim"].bands if band.to is not None]
        if any(low <= edge <= high for edge in edges):
            return _trim_bounds(b, running_gap_mm, 4)
        return coarse

    return b.place.keep(f"worst_trim {b.regime}", make)


def _trim_bounds(b: Bench, running_gap_mm: float, parts: int) -> TrimBounds:
    shape, top, y = outline(b), b.lining_top, b.place.bolt_line_offset
    edge, spread = b.place.disc_radius, edge_doubt(b)
    bounds = [
        share_lost_bounds(
            shape,
            (top.lo, top.hi),
            (y.lo, y.hi),
            (c.lo - spread.inner, c.hi + spread.inner),
            (edge.lo - spread.outer, edge.hi + spread.outer),
            parts,
        )
        for c in {(c.lo, c.hi): c for c in trim_circles(b, running_gap_mm)}.values()
    ]
    worst = max(bounds, key=lambda t: t.share_lost[1])
    # The share is of an area that is in doubt itself.
    loose = _area_doubt(b, shape)
    low, high = worst.share_lost
    return replace(worst, share_lost=(low / (1 + loose), min(high / (1 - loose), 1.0)))


def _area_doubt(b: Bench, shape: Outline) -> float:
    """Relative doubt of the lining's area from the ± of its outline, either way."""
    lining = b.setup.pad.lining
    spread = lining.points_u_v.plus_minus
    if lining.points_u_v.known:
        ring = [*shape.corners, shape.corners[0]]
        around = sum(math.dist(a, z) for a, z in pairwise(ring))
        return min(around * spread * math.sqrt(2) / shape.area_mm2, 0.5)
    radii = b.place.number(lining.sector.inner_mm) + b.place.number(lining.sector.outer_mm)
    angle = math.radians(b.place.number(lining.sector.angle_deg))
    return min(radii * angle * spread / shape.area_mm2, 0.5)


@measure
def trim(b: Bench, *, running_gap_mm: float) -> Reckoned:
    """Share of the lining outside the band `R_i + 1 .. D/2` (TRADE §2, trim)."""
    circles = trim_circles(b, running_gap_mm)
    inner = max(circles, key=lambda c: c.hi)
    edge = b.place.disc_radius
    depth = most(*(inner - r for r in innermost(b)))
    over = most(*(r - edge for r in outermost(b)))
    clear = depth.hi <= _NONE and over.hi <= _NONE
    if clear:
        return Reckoned(Extent(0.0, 0.0, 0.0, {}), "share", Extent(0.0, 0.0, 0.0))
    bounds = worst_trim(b, running_gap_mm)
    at = clip(
        outline(b),
        b.lining_top.nominal,
        b.place.bolt_line_offset.nominal,
        inner.nominal,
        edge.nominal,
    )
    share = Extent(
        bounds.share_lost[0],
        bounds.share_lost[1],
        min(max(at.share_lost, bounds.share_lost[0]), bounds.share_lost[1]),
        _share_effects(bounds, depth, over),
    )
    notes = {
        "inner_depth_mid_mm": at.inner_depth_mid_mm,
        "inner_depth_end_1_mm": at.inner_depth_ends_mm[0],
        "inner_depth_end_2_mm": at.inner_depth_ends_mm[1],
        "outer_depth_mid_mm": at.outer_depth_mid_mm,
        "outer_depth_end_1_mm": at.outer_depth_ends_mm[0],
        "outer_depth_end_2_mm": at.outer_depth_ends_mm[1],
        "area_mm2": at.area_mm2,
        "area_left_mm2": at.area_left_mm2,
        "mean_radius_mm": at.mean_radius_mm,
        "centroid_radius_mm": at.centroid_radius_mm,
    }
    told = {k: Extent(v, v, v) for k, v in notes.items() if v is not None}
    return Reckoned(share, "share", share, None, told)


def _share_effects(bounds: TrimBounds, *depths: Extent) -> Effects:
    """Effects on the share, by the depths' effects on it: advice on what to measure."""
    total = sum(max(d.hi, 0.0) for d in depths)
    scale = bounds.share_lost[1] / total if total else 0.0
    return {
        path: Effect(effect.slope * scale, effect.half)
        for d in depths
        for path, effect in d.effects.items()
    }


@measure
def trim_depth(b: Bench, *, running_gap_mm: float) -> Reckoned:
    """Depth that may be ground off less the depth of the inner trim (TRADE §2: refused beyond)."""
    circle = max(trim_circles(b, running_gap_mm), key=lambda c: c.hi)
    depths = [circle - r for r in innermost(b)]
    depth = most(*depths)
    if depth.hi <= _NONE:
        raise DoesNotApply("no lining has to come off its inner edge")
    room = b.place.q(b.setup.pad.trimmable_mm)
    return margin(depth, room, least(*(room - d for d in depths)))


@measure
def plate_hat(b: Bench) -> Reckoned:
    """Plate's inner edge at mid-pad off the hat: worn, the outboard plate comes over it."""
    inner_edge = b.lining_top - b.place.q(b.setup.pad.plate_depth_mm)
    return plain(inner_edge - b.place.q(b.setup.disc.hat_radius_mm))


@measure
def piston_cover(b: Bench, *, running_gap_mm: float) -> Reckoned:
    """Piston-centre radius within the lining that is left, at mid-pad: least of both sides."""
    p = b.place
    shape = outline(b)
    y = p.bolt_line_offset
    centre = hypot_of("pistons", y, b.bolt_line + p.lift + p.q(b.setup.caliper.line_to_piston_mm))
    edge = _edge(edge_doubt(b).inner)
    bottom = hypot_of("inner edge", y, b.lining_top + shape.lower_at(0.0) + edge)
    top = hypot_of("outer edge", y, b.lining_top)
    rims = (bottom, *trim_circles(b, running_gap_mm))
    return plain(least(*(centre - r for r in rims), top - centre, p.disc_radius - centre))
