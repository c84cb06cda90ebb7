"""The lining over the disc: its placed outline, how far out it reaches, what a trim takes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from lugplane.measure.bench import Bench, DoesNotApply, Reckoned, margin, measure, plain
from lugplane.measure.common import common
from lugplane.measure.edge_play import Between, Doubt, of_polygon, of_sector
from lugplane.measure.grown import Forms, SectorDoubt, polygon_forms, sector_forms, strip_mm2
from lugplane.measure.outline import Outline, polygon, sector
from lugplane.measure.reach import (
    RIGID,
    Play,
    PointPlay,
    SectorPlay,
    inner_parts,
    outer_parts,
)
from lugplane.measure.trim import (
    Span,
    TrimBounds,
    area_lost_bounds,
    clip,
    share_bounds,
    share_lost_bounds,
)
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
_LIFTS = 8


def outline(b: Bench) -> Outline:
    """The lining's outline in pad coordinates. Raises `Missing` where the pad states none."""
    p, lining = b.place, b.setup.pad.lining
    if lining.points_u_v.known:
        return _polygon(tuple((x[0], x[1]) for x in p.points(lining.points_u_v)))
    s = lining.sector
    if not s.inner_mm.known:
        raise Missing("pad.lining.sector")
    return sector_of(p.number(s.inner_mm), p.number(s.outer_mm), p.number(s.angle_deg))


@cache
def _polygon(points: tuple[tuple[float, float], ...]) -> Outline:
    return polygon(points)


@cache
def sector_of(inner: float, outer: float, angle: float) -> Outline:
    return sector(inner, outer, angle)


def play(b: Bench) -> Play:
    """What the pad's ± does to its edges: one of each radius of a sector, of each coordinate."""
    lining = b.setup.pad.lining
    spread = lining.points_u_v.plus_minus
    if not spread:
        return RIGID
    if lining.points_u_v.known:
        return PointPlay(spread)
    return SectorPlay(
        b.place.number(lining.sector.outer_mm),
        b.place.number(lining.sector.inner_mm),
        within("pad.lining", -spread, spread, 0.0),
        within("(lining: inner radius)", -spread, spread, 0.0),
    )


Parts = Callable[[Outline, Form, Form, Play], tuple[Form, ...]]


def outermost_bare(b: Bench) -> tuple[Form, ...]:
    """Hub radii of the lining without a stack, the greatest of which is its outermost point's."""
    top = b.place.lining_top_bare
    return outer_parts(outline(b), top, b.place.bolt_line_offset, play(b))


def outermost(b: Bench) -> tuple[Form, ...]:
    """The same as placed."""
    return _placed(b, "outermost", outer_parts)


def innermost(b: Bench) -> tuple[Form, ...]:
    """Hub radii the least of which is that of the lining's innermost point, as placed."""
    return _placed(b, "innermost", inner_parts)


def _placed(b: Bench, name: str, parts: Parts) -> tuple[Form, ...]:
    def make() -> tuple[Form, ...]:
        return parts(outline(b), b.lining_top, b.place.bolt_line_offset, play(b))

    _ = b.lining_top  # read each time: the bench notes that the stack matters
    return common(b, name, make)


@measure
def overhang(b: Bench) -> Reckoned:
    """Disc edge less outermost lining point: positive is inside (TRADE §2, radial fit)."""
    return plain(least(*(b.place.disc_radius - r for r in outermost(b))))


def trim_circles(b: Bench, running_gap_mm: float) -> tuple[Form, ...]:
    """The inner circles that the lining must stay outside of, one a face (TRADE §2, trim)."""

    def make() -> tuple[Form, ...]:
        disc = b.setup.disc
        faces = disc.band_inner_inboard_mm, disc.band_inner_outboard_mm
        return tuple(b.place.q(face) + running_gap_mm for face in faces)

    return b.place.keep("trim circles", make)


def _inner_circle(b: Bench, running_gap_mm: float) -> Form:
    """The worse of the two inner circles."""
    return max(trim_circles(b, running_gap_mm), key=lambda c: c.hi)


def _past_circles(b: Bench, running_gap_mm: float) -> tuple[Extent, Extent]:
    """How far the lining reaches past the inner circle and past the disc's edge."""

    inner, edge = _inner_circle(b, running_gap_mm), b.place.disc_radius
    _, depth = _depths(b, inner)
    outward = outermost(b)

    def make() -> Extent:
        return most(*(r - edge for r in outward))

    return depth, b.place.keep(f"past the edge {b.regime}", make)


def _depths(b: Bench, inner: Form) -> tuple[tuple[Form, ...], Extent]:
    """How deep the lining reaches within the inner circle: forms, and the greatest of them."""
    inward = innermost(b)

    def make() -> tuple[tuple[Form, ...], Extent]:
        depths = tuple(inner - r for r in inward)
        return depths, most(*depths)

    return b.place.keep(f"depths {b.regime}", make)


def stays_whole(b: Bench, running_gap_mm: float) -> bool:
    """Whether nothing of the lining is lost, wherever it lies."""
    return all(past.hi <= _NONE for past in _past_circles(b, running_gap_mm))


@dataclass(frozen=True, slots=True)
class Loss:
    """What a trim takes: bounds of the share lost and, where the outline has a largest and a
    smallest form, of the area left in mm².

    `edge` is the part of a sector's inner edge that surely is lost, `parts` the number of parts
    that the intervals were looked at in.
    """

    share: Span
    left_mm2: Span | None
    edge: Span
    parts: int


def worst_loss(b: Bench, running_gap_mm: float) -> Loss:
    """Bounds of what a lining that need not stay whole loses, the worse of the two faces.

    Coarse bounds are cheap and never too narrow; finer ones are reckoned only where the coarse
    ones reach across an edge of the trim's limit.
    """

    def make() -> Loss:
        limit = b.limits["trim"]
        every = [band.to for band in limit.bands if band.to is not None]
        loss = _loss(b, running_gap_mm, 1)
        # Between two good bands it makes little odds; from a good one to a failing one it does.
        for parts, edges in ((4, every), (16, limit.edges())):
            low, high = loss.share
            if not any(low < edge <= high for edge in edges):
                break
            loss = _loss(b, running_gap_mm, parts)
        return loss

    return b.place.keep(f"worst_loss {b.regime}", make)


def worst_trim(b: Bench, running_gap_mm: float) -> TrimBounds:
    """Bounds of the share lost and of `r_eff`: these are dear, and asked for by few."""

    def make() -> TrimBounds:
        if stays_whole(b, running_gap_mm):
            mean = _mean_radius(b, running_gap_mm, _loss(b, running_gap_mm, 1))
            return TrimBounds((0.0, 0.0), mean)
        loss = worst_loss(b, running_gap_mm)
        return TrimBounds(loss.share, _mean_radius(b, running_gap_mm, loss), loss.left_mm2)

    return b.place.keep(f"worst_trim {b.regime}", make)


def _box(b: Bench, running_gap_mm: float) -> tuple[Span, Span, Span, Span]:
    """Where the lining may lie, outward and along, and the circles: the arguments of a trim."""
    top, y, edge = b.lining_top, b.place.bolt_line_offset, b.place.disc_radius
    circle = most(*trim_circles(b, running_gap_mm))
    return top.bounds, y.bounds, (circle.lo, circle.hi), edge.bounds


def _few(parts: int) -> int:
    """In so many parts each of an outline's two forms is looked at."""
    return min(parts, 4)


def _loss(b: Bench, running_gap_mm: float, parts: int) -> Loss:
    """What is lost, with the intervals in so many parts.

    What is lost, and what is left, is the more the larger the outline is. So the share lost,
    `lost / (lost + left)`, is bounded by the lost of one extreme form and the left of the other; of
    a sector of which enough of the inner edge is cut off, the very share of each form bounds it
    (see `rises_below`).
    """
    box, forms = _box(b, running_gap_mm), forms_of(b)
    if not isinstance(forms, Forms):
        shape = outline(b)
        share = _loosened(share_bounds(shape, *box, parts), forms, shape.area_mm2)
        return Loss(share, None, (0.0, 0.0), parts)
    most_area, least_area = forms.large.area_mm2, forms.small.area_mm2
    large, small = (share_bounds(x, *box, _few(parts)) for x in (forms.large, forms.small))
    lost = small[0] * least_area, large[1] * most_area
    left = least_area * (1.0 - small[1]), most_area * (1.0 - large[0])
    if parts > _few(parts):
        finer = [area_lost_bounds(x, *box, parts) for x in (forms.small, forms.large)]
        lost = finer[0][0], finer[1][1]
        left = least_area - finer[0][1], most_area - finer[1][0]
    low = lost[0] / (lost[0] + left[1]) if lost[0] > 0.0 else 0.0
    high = lost[1] / (lost[1] + left[0]) if lost[1] > 0.0 else 0.0
    known, cut = forms.sector, (0.0, 0.0)
    if known is not None and high > 0.0:
        cut = known.lost(box[0], box[1], box[2][0])
        if known.rises_below(cut) >= high:
            low, high = lost[0] / least_area, lost[1] / most_area
    if parts > _few(parts):
        finest = _finest(b, known, *box)
        low, high = max(low, finest[0]), min(high, finest[1])
    return Loss((low, high), left, cut, parts)


def _mean_radius(b: Bench, running_gap_mm: float, loss: Loss) -> Span | None:
    """Bounds of `r_eff` where so much is lost; None where nothing might be left."""
    box, forms = _box(b, running_gap_mm), forms_of(b)
    if not isinstance(forms, Forms):
        shape = outline(b)
        bounds = share_lost_bounds(shape, *box, loss.parts)
        return _loosened_mean(b, bounds, forms, shape.area_mm2)
    few, left = _few(loss.parts), loss.left_mm2
    one, other = (
        share_lost_bounds(x, *box, few).mean_radius_mm for x in (forms.large, forms.small)
    )
    if one is None or other is None or left is None or left[0] <= 0.0:
        return None
    top, y, circle, edge = box
    nearest, furthest = min(r.lo for r in innermost(b)), max(r.hi for r in outermost(b))
    inmost, outmost = max(circle[0], nearest), min(edge[1], furthest)
    known = forms.sector
    between = forms.between_mm2 if known is None else known.between(loss.edge)
    grown, shrunk = shares_apart(between, left[0])
    mean = (
        max(
            other[0] - grown * (other[0] - inmost),
            one[0] - shrunk * (outmost - one[0]),
            inmost,
        ),
        min(
            other[1] + grown * (outmost - other[1]),
            one[1] + shrunk * (one[1] - inmost),
            outmost,
        ),
    )
    if known is None:
        return mean
    if loss.edge == (0.0, known.half):
        across = max(outmost - mean[0], mean[1] - circle[0])
        bends = known.mean_bends(top, y, left[0], circle[0], across, furthest <= edge[0])
        mean = (
            max(mean[0], min(one[0], other[0]) - bends),
            min(mean[1], max(one[1], other[1]) + bends),
        )
    if nearest >= circle[1] and known.mean_falls(top, y, mean[0], furthest):
        mean = one[0], other[1]
    return mean


def _finest(b: Bench, known: SectorDoubt | None, top: Span, y: Span, *circles: Span) -> Span:
    """Bounds of the share lost by what each ± of the outline does, the lift in a few parts.

    What they do anywhere holds in each part; only where that reaches across an edge of the trim's
    limit is it looked at closer.
    """
    shape, edges = outline(b), b.limits["trim"].edges()
    inner, outer = circles
    anywhere, area = _doubt(b, known, Between(y, top, inner, outer)), shape.area_mm2
    found: list[Span] = []
    for n in range(_LIFTS):
        part = tuple(top[0] + (top[1] - top[0]) * k / _LIFTS for k in (n, n + 1))
        tops = part[0], max(part)
        stated = area_lost_bounds(shape, tops, y, inner, outer, 2)
        low, high = anywhere.widened(stated, area)
        if any(low < edge <= high for edge in edges):
            closer = _doubt(b, known, Between(y, tops, inner, outer)).widened(stated, area)
            low, high = max(low, closer[0]), min(high, closer[1])
        found.append((low, high))
    return min(low for low, _ in found), max(high for _, high in found)


def _doubt(b: Bench, known: SectorDoubt | None, place: Between) -> Doubt:
    """What the outline's ± does to the share lost."""
    if known is not None:
        return of_sector(known, place)
    points = b.setup.pad.lining.points_u_v
    return of_polygon([(x[0], x[1]) for x in b.place.points(points)], points.plus_minus, place)


def shares_apart(between: float, least: float) -> Span:
    """What a form has over the smallest one, as a share of itself, and lacks of the largest.

    A mean radius comes no nearer to any radius than by the share of area that is added there, and
    no further off than by that which is taken away.
    """
    return between / (least + between), between / least


def _loosened(share: Span, strip: float, area: float) -> Span:
    """Bounds of the share lost where a strip about the edge may be lining or not (mm²)."""
    if strip == 0.0:
        return share
    lost = max(share[0] * area - strip, 0.0), share[1] * area + strip
    left = max((1.0 - share[1]) * area - strip, 0.0), (1.0 - share[0]) * area + strip
    return lost[0] / (lost[0] + left[1]), lost[1] / (lost[1] + left[0])


def _loosened_mean(b: Bench, bounds: TrimBounds, strip: float, area: float) -> Span | None:
    """Those of the mean radius."""
    mean = bounds.mean_radius_mm
    if strip == 0.0 or mean is None:
        return mean
    left = (1.0 - bounds.share_lost[1]) * area - strip
    if left <= strip:
        return None
    inmost, outmost = min(r.lo for r in innermost(b)), max(r.hi for r in outermost(b))
    slack = strip / left * max(outmost - mean[0], mean[1] - inmost)
    return mean[0] - slack, mean[1] + slack


def forms_of(b: Bench) -> Forms | float:
    """The lining's largest and smallest form, or else the area that may be lining or not, mm²."""
    lining = b.setup.pad.lining
    spread = lining.points_u_v.plus_minus
    if not spread:
        return 0.0
    if lining.points_u_v.known:
        points = b.place.points(lining.points_u_v)
        return _polygon_forms(tuple((x[0], x[1]) for x in points), spread)
    s = lining.sector
    numbers = (b.place.number(x) for x in (s.inner_mm, s.outer_mm, s.angle_deg))
    return _sector_forms(*numbers, spread)


@cache
def _polygon_forms(points: tuple[tuple[float, float], ...], spread: float) -> Forms | float:
    try:
        return polygon_forms(points, spread)
    except ValueError:  # an edge is short beside its ±
        return strip_mm2(points, spread)


@cache
def _sector_forms(inner: float, outer: float, angle: float, spread: float) -> Forms:
    return sector_forms(inner, outer, angle, spread)


@measure
def trim(b: Bench, *, running_gap_mm: float) -> Reckoned:
    """Share of the lining outside the band `R_i + 1 .. D/2` (TRADE §2, trim)."""
    inner, edge = _inner_circle(b, running_gap_mm), b.place.disc_radius
    depth, over = _past_circles(b, running_gap_mm)
    if max(depth.hi, over.hi) <= _NONE:
        return Reckoned(Extent(0.0, 0.0, 0.0, {}), "share", Extent(0.0, 0.0, 0.0))
    lost = worst_loss(b, running_gap_mm).share
    at = clip(
        outline(b),
        b.lining_top.nominal,
        b.place.bolt_line_offset.nominal,
        inner.nominal,
        edge.nominal,
    )
    nominal = min(max(at.share_lost, lost[0]), lost[1])
    share = Extent(*lost, nominal, _share_effects(lost, depth, over))
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


def _share_effects(lost: Span, *depths: Extent) -> Effects:
    """Effects on the share, by the depths' effects on it: advice on what to measure."""
    total = sum(max(d.hi, 0.0) for d in depths)
    scale = lost[1] / total if total else 0.0
    return {
        path: Effect(effect.slope * scale, effect.half)
        for d in depths
        for path, effect in d.effects.items()
    }


@measure
def trim_depth(b: Bench, *, running_gap_mm: float) -> Reckoned:
    """Depth that may be ground off less the depth of the inner trim (TRADE §2: refused beyond)."""
    depths, depth = _depths(b, _inner_circle(b, running_gap_mm))
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
    centre, bottom, top = common(b, "pistons and edges", lambda: _pistons_and_edges(b))
    _ = b.lining_top  # read each time: the bench notes that the stack matters
    rims = (bottom, *trim_circles(b, running_gap_mm))
    return plain(least(*(centre - r for r in rims), top - centre, b.place.disc_radius - centre))


def _pistons_and_edges(b: Bench) -> tuple[Form, Form, Form]:
    """At mid-pad the hub radii of the pistons' centres and of the lining's inner and outer edge."""
    p, shape = b.place, outline(b)
    y = p.bolt_line_offset
    pistons = b.bolt_line + p.lift + p.q(b.setup.caliper.line_to_piston_mm)
    edge, top = play(b).inner_edge(shape), b.lining_top
    return (
        hypot_of("pistons", y, pistons),
        hypot_of("inner edge", y, top + shape.lower_at(0.0) + edge),
        hypot_of("outer edge", y, top),
    )
