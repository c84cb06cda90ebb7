"""How far out and how far in the lining reaches over the hub, as forms.

The outermost radius is the greatest of the outline's corners (and of points along an arc), the
innermost the least of corners, feet of straight edges and points along arcs. Each of these is a
form that keeps its links to the facts, so a margin over all of them is a `least` of forms and no
doubt is counted twice or rounded up at the change from one corner to another. What the pad's own ±
does to each is said by its `Play`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import product

from lugplane.measure.outline import Arc, Line, Outline
from lugplane.quantity.form import Form, hypot_of, within

_NONE = Form()
_GRAIN = 1e-9


@dataclass(frozen=True, slots=True)
class Play:
    """How an outline's own ± moves its corners and edges; this one has none."""

    def corner(self, u: float, v: float) -> tuple[Form, Form]:
        """How far a corner may lie off, along and outward, mm."""
        return _NONE, _NONE

    def arc(self, piece: Arc) -> tuple[Form, Form]:
        """How far an arc's centre may lie off outward, and its radius, mm."""
        return _NONE, _NONE

    def line(self, piece: Line) -> tuple[Form, float]:
        """How far a straight edge may lie off outward, and every point of it besides, mm."""
        return _NONE, 0.0

    def inner_edge(self, outline: Outline) -> Form:
        """How far the inner edge at mid-pad may lie off outward, mm."""
        return _NONE

    @property
    def most(self) -> float:
        """The furthest that any point may lie off, mm."""
        return 0.0


RIGID = Play()


@dataclass(frozen=True, slots=True)
class SectorPlay(Play):
    """One ± of each radius of a sector whose outer edge at mid-pad is where the caliper holds it.

    A greater outer radius moves the sector's centre towards the hub by as much, and the inner edge
    with it. `outer_mm` and `inner_mm` are the radii as stated.
    """

    outer_mm: float
    inner_mm: float
    outer: Form
    inner: Form

    def corner(self, u: float, v: float) -> tuple[Form, Form]:
        away = math.hypot(u, v + self.outer_mm)
        longer = self._of(away)
        return longer * (u / away), longer * ((v + self.outer_mm) / away) - self.outer

    def arc(self, piece: Arc) -> tuple[Form, Form]:
        return -self.outer, self._of(piece.radius)

    def line(self, piece: Line) -> tuple[Form, float]:
        return -self.outer, 0.0

    def inner_edge(self, outline: Outline) -> Form:
        return self.inner - self.outer

    @property
    def most(self) -> float:
        return 2 * self.outer.hi + self.inner.hi

    def _of(self, radius: float) -> Form:
        return self.outer if radius > (self.outer_mm + self.inner_mm) / 2 else self.inner


@dataclass(frozen=True, slots=True)
class PointPlay(Play):
    """One ± of each coordinate of each point of a polygon."""

    spread: float

    def corner(self, u: float, v: float) -> tuple[Form, Form]:
        # Every coordinate is an input of its own.
        path = f"corner {u:g}, {v:g}"
        across = within(f"(lining {path}: u)", -self.spread, self.spread, 0.0)
        return across, within(f"pad.lining {path}", -self.spread, self.spread, 0.0)

    def line(self, piece: Line) -> tuple[Form, float]:
        return _NONE, self.spread

    def inner_edge(self, outline: Outline) -> Form:
        over = [x for x in outline.lower if isinstance(x, Line) and x.u0 <= 0.0 <= x.u1]
        steepest = max((abs(x.v1 - x.v0) / (x.u1 - x.u0) for x in over), default=0.0)
        off = self.spread * (1.0 + steepest)
        return within("pad.lining", -off, off, 0.0)

    @property
    def most(self) -> float:
        return self.spread * math.sqrt(2)


def outer_parts(outline: Outline, top: Form, y: Form, play: Play = RIGID) -> tuple[Form, ...]:
    """Hub radii whose greatest is that of the lining's outermost point.

    `top` is the hub radius of the outline's `v = 0`, `y` the tangential place of its `u = 0`, mm.
    Only parts that can be the greatest anywhere in the box are returned.
    """
    parts = _corners(outline, top, y, play, 1.0)
    for piece in outline.upper:
        if isinstance(piece, Arc):
            parts += _along(piece, top, y, play, 1.0)
    floor = max(p.lo for p in parts)
    return tuple(p for p in parts if p.hi >= floor)


def inner_parts(outline: Outline, top: Form, y: Form, play: Play = RIGID) -> tuple[Form, ...]:
    """Hub radii whose least is that of the lining's innermost point; arguments as above."""
    parts = _corners(outline, top, y, play, -1.0)
    for piece in outline.lower:
        if isinstance(piece, Arc):
            parts += _along(piece, top, y, play, -1.0)
        else:
            parts += _foot(piece, top, y, play)
    ceiling = min(p.hi for p in parts)
    return tuple(p for p in parts if p.lo <= ceiling)


def _corners(outline: Outline, top: Form, y: Form, play: Play, side: float) -> list[Form]:
    """Radii of those corners that can be the outermost (`side` +1) or innermost (-1) at all."""
    at = {(round(u, 9), round(v, 9)): (u, v) for u, v in outline.corners}.values()
    middle = (y.lo + y.hi) / 2, (top.lo + top.hi) / 2
    radii = [(side * math.hypot(middle[0] + u, middle[1] + v), u, v) for u, v in at]
    # No radius changes by more than its point moves.
    about = math.hypot(y.hi - y.lo, top.hi - top.lo) / 2 + play.most
    least = max(radii)[0] - 2 * about - _GRAIN
    parts: list[Form] = []
    for radius, u, v in radii:
        if radius >= least:
            along, outward = play.corner(u, v)
            parts.append(hypot_of("corner", y + along + u, top + outward + v))
    return parts


_CLOSE_MM = 5e-4
_AT_MOST = 9


def _along(piece: Arc, top: Form, y: Form, play: Play, side: float) -> list[Form]:
    """Points along that part of an arc where its furthest (`side` -1: nearest) point may lie.

    That point lies in the direction of the arc's centre, seen from the hub axis, or against it; or
    it is an end of the arc, which is a corner. Points side by side miss the extreme between them by
    little, and that is added as a doubt of its own: for points of the arc of radius R turned by δ
    from the extreme, the centre being `c` off the axis, `c (1 - cos δ)` outward, and inward
    `hypot(R - c, 2 sqrt(R c) sin(δ/2)) - |R - c|`.
    """
    outward, longer = play.arc(piece)
    t, z = y + piece.centre_u, top + outward + piece.centre_v
    corners = list(product((t.lo, t.hi), (z.lo, z.hi)))
    first, last = (
        math.asin(max(-1.0, min(1.0, (u - piece.centre_u) / piece.radius)))
        for u in (piece.u0, piece.u1)
    )
    if max(side * piece.side * b for _, b in corners) < 0.0:
        return []  # more than a right angle off the arc's middle: one of its ends is furthest
    if not (t.lo <= 0.0 <= t.hi and z.lo <= 0.0 <= z.hi):
        seen = [math.atan2(side * a, side * piece.side * b) for a, b in corners]
        first, last = max(first, min(seen)), min(last, max(seen))
    if first > last:
        return []
    off = max(math.hypot(a, b) for a, b in corners)
    step = 2 * math.acos(1.0 - min(_CLOSE_MM / off, 1.0)) if off > 0.0 else math.pi
    count = 1 if first == last else min(math.ceil((last - first) / step) + 1, _AT_MOST)
    turned = (last - first) / (2 * (count - 1)) if count > 1 else 0.0
    missed = off * (1.0 - math.cos(turned))
    radius = longer + piece.radius
    if side < 0:
        apart = max(radius.lo - off, _least_away(t, z) - radius.hi, 0.0)
        missed = math.sqrt(apart * apart + 2 * radius.hi * missed) - apart
    between = within("(arc: between)", 0.0, missed, 0.0)
    parts: list[Form] = []
    for n in range(count):
        angle = first + 2 * turned * n
        sine, cosine = math.sin(angle), piece.side * math.cos(angle)
        point = hypot_of("arc", t + radius * sine, z + radius * cosine)
        parts.append(point + between * side if missed > _GRAIN else point)
    return parts


def _least_away(t: Form, z: Form) -> float:
    """The least distance of a place in a box from the axis."""
    return math.hypot(max(t.lo, -t.hi, 0.0), max(z.lo, -z.hi, 0.0))


def _foot(piece: Line, top: Form, y: Form, play: Play) -> list[Form]:
    """The perpendicular from the hub axis on a straight edge, where it may meet it.

    Where it may miss the edge by `e`, the nearest point may be an end, further away than the foot
    by `hypot(foot, e) - foot`. Points that lie off by a ± of their own move the foot by its share
    along the perpendicular, and turn the edge.
    """
    outward, spread = play.line(piece)
    du, dv = piece.u1 - piece.u0, piece.v1 - piece.v0
    length = math.hypot(du, dv)
    t, z = y + piece.u0, top + outward + piece.v0
    foot = (t * dv - z * du) / length
    if foot.nominal < 0:
        foot = -foot
    if foot.lo <= 0.0:
        return []  # the edge points at the axis: its ends are nearer
    turned = spread * math.sqrt(2) * (1.0 + 2.0 * foot.hi / length) + play.most
    along = [-(a * du + b * dv) / length for a, b in product((t.lo, t.hi), (z.lo, z.hi))]
    if max(along) < -turned or min(along) > length + turned:
        return []
    beyond = max(0.0, turned - min(along), max(along) + turned - length)
    missed = math.hypot(foot.lo, beyond) - foot.lo
    if spread:
        share = spread * (abs(du) + abs(dv)) / length
        foot = foot + within(f"(edge {piece.u0:g}, {piece.v0:g})", -share, share, 0.0)
        missed += 2 * spread * spread / max(foot.lo, spread)
    return [foot + within("(edge: end)", 0.0, missed, 0.0) if missed > _GRAIN else foot]
