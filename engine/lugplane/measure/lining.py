"""The lining over the disc: its placed outline, how far out it reaches, what a trim takes."""

from __future__ import annotations

from functools import cache

from lugplane.measure.bench import Bench, DoesNotApply, Reckoned, margin, measure, plain
from lugplane.measure.outline import Outline, polygon, sector
from lugplane.measure.trim import (
    TrimBounds,
    clip,
    innermost_radius,
    outermost_radius,
    share_lost_bounds,
)
from lugplane.quantity.form import (
    Effects,
    Extent,
    Form,
    Missing,
    extent,
    least,
    smooth,
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


def edge_doubt(b: Bench) -> Form:
    """The ± that the pad states for its outline."""
    lining = b.setup.pad.lining
    spread = lining.points_u_v.plus_minus
    return within("pad.lining", -spread, spread, 0.0) if spread else Form()


def outermost_bare(b: Bench) -> Form:
    """Hub radius of the lining's outermost point (often a corner) without a stack."""
    return _outermost(b, b.place.lining_top_bare)


def outermost(b: Bench) -> Form:
    """Hub radius of the lining's outermost point as placed."""
    return _outermost(b, b.lining_top)


def _outermost(b: Bench, top: Form) -> Form:
    shape = outline(b)
    place = b.place.bolt_line_offset
    return smooth("outermost", lambda t, y: outermost_radius(shape, t, y), top, place) + edge_doubt(
        b
    )


def innermost(b: Bench) -> Form:
    """Hub radius of the lining's innermost point as placed."""
    shape = outline(b)
    return smooth(
        "innermost",
        lambda t, y: innermost_radius(shape, t, y),
        b.lining_top,
        b.place.bolt_line_offset,
    ) - edge_doubt(b)


@measure
def overhang(b: Bench) -> Reckoned:
    """Disc edge less outermost lining point: positive is inside (TRADE §2, radial fit)."""
    return plain(b.place.disc_radius - outermost(b))


def trim_circles(b: Bench, running_gap_mm: float) -> tuple[Form, ...]:
    """The inner circles that the lining must stay outside of, one a face (TRADE §2, trim)."""
    disc = b.setup.disc
    return tuple(
        b.place.q(face) + running_gap_mm
        for face in (disc.band_inner_inboard_mm, disc.band_inner_outboard_mm)
    )


def worst_trim(b: Bench, running_gap_mm: float) -> TrimBounds:
    """Bounds of the share lost and of `r_eff`, the worse of the two faces."""

    def make() -> TrimBounds:
        shape, top, y = outline(b), b.lining_top, b.place.bolt_line_offset
        edge, spread = b.place.disc_radius, edge_doubt(b).hi
        bounds = [
            share_lost_bounds(
                shape,
                (top.lo, top.hi),
                (y.lo, y.hi),
                (c.lo - spread, c.hi + spread),
                (edge.lo - spread, edge.hi + spread),
            )
            for c in {(c.lo, c.hi): c for c in trim_circles(b, running_gap_mm)}.values()
        ]
        return max(bounds, key=lambda t: t.share_lost[1])

    return b.place.keep("worst_trim", make)


@measure
def trim(b: Bench, *, running_gap_mm: float) -> Reckoned:
    """Share of the lining outside the band `R_i + 1 .. D/2` (TRADE §2, trim)."""
    circles = trim_circles(b, running_gap_mm)
    low, high = innermost(b), outermost(b)
    inner = max(circles, key=lambda c: c.hi)
    depth = inner - low
    edge = b.place.disc_radius
    clear = max((c - low).hi for c in circles) <= _NONE and (high - edge).hi <= _NONE
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
        _share_effects(b, bounds, depth, high - edge),
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
        "mean_radius_mm": at.mean_radius_mm or 0.0,
        "centroid_radius_mm": at.centroid_radius_mm or 0.0,
    }
    return Reckoned(share, "share", share, None, {k: Extent(v, v, v) for k, v in notes.items()})


def _share_effects(b: Bench, bounds: TrimBounds, *depths: Form) -> Effects:
    """Effects on the share, by the depth's share of it: advice on what to measure."""
    total = sum(max(d.hi, 0.0) for d in depths)
    scale = bounds.share_lost[1] / total if total else 0.0
    effects: Effects = {}
    for d in depths:
        for path, effect in extent(d).effects.items():
            effects[path] = type(effect)(effect.slope * scale, effect.half)
    return effects


@measure
def trim_depth(b: Bench, *, running_gap_mm: float) -> Reckoned:
    """Depth that may be ground off less the depth of the inner trim (TRADE §2: refused beyond)."""
    depth = max(trim_circles(b, running_gap_mm), key=lambda c: c.hi) - innermost(b)
    if depth.hi <= _NONE:
        raise DoesNotApply("no lining has to come off its inner edge")
    room = b.place.q(b.setup.pad.trimmable_mm)
    return margin(depth, room, room - depth)


@measure
def plate_hat(b: Bench) -> Reckoned:
    """Plate's inner edge at mid-pad off the hat: worn, the outboard plate comes over it."""
    inner_edge = b.lining_top - b.place.q(b.setup.pad.plate_depth_mm)
    return plain(inner_edge - b.place.q(b.setup.disc.hat_radius_mm))


@measure
def piston_cover(b: Bench, *, running_gap_mm: float) -> Reckoned:
    """Piston-centre radius over the lining that is left, at mid-pad: least of both sides."""
    p = b.place
    shape = outline(b)
    centre = b.bolt_line + p.lift + p.q(b.setup.caliper.line_to_piston_mm)
    bottom = b.lining_top + shape.lower_at(0.0)
    rims = (bottom, *trim_circles(b, running_gap_mm))
    return plain(least(*(centre - r for r in rims), b.lining_top - centre, p.disc_radius - centre))
