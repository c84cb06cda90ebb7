"""How far out and how far in the lining reaches over the hub, as forms.

The outermost radius is the greatest of the outline's corners (and of an arc beyond its centre),
the innermost the least of corners, feet of straight edges and near points of arcs. Each of these
is a form that keeps its links to the facts, so a margin over all of them is a `least` of forms and
no doubt is counted twice or rounded up at the change from one corner to another.
"""

from __future__ import annotations

import math
from itertools import product

from lugplane.measure.outline import Arc, Outline
from lugplane.quantity.form import Form, hypot_of, within


def outer_parts(outline: Outline, top: Form, y: Form) -> tuple[Form, ...]:
    """Hub radii whose greatest is that of the lining's outermost point.

    `top` is the hub radius of the outline's `v = 0`, `y` the tangential place of its `u = 0`, mm.
    Only parts that can be the greatest anywhere in the box are returned.
    """
    parts = [hypot_of("corner", y + u, top + v) for u, v in outline.corners]
    for piece in outline.upper:
        if isinstance(piece, Arc) and _beyond(piece, top, y):
            away = hypot_of("arc", y + piece.centre_u, top + piece.centre_v)
            parts += _along(piece, top, y, away) if away.hi < _NEAR else [away + piece.radius]
    floor = max(p.lo for p in parts)
    return tuple(p for p in parts if p.hi >= floor)


def inner_parts(outline: Outline, top: Form, y: Form) -> tuple[Form, ...]:
    """Hub radii whose least is that of the lining's innermost point; arguments as above."""
    parts = [hypot_of("corner", y + u, top + v) for u, v in outline.corners]
    for piece in outline.lower:
        if isinstance(piece, Arc):
            if _beyond(piece, top, y, side=-1.0):
                away = hypot_of("arc", y + piece.centre_u, top + piece.centre_v)
                if away.hi < _NEAR:
                    parts += [-p for p in _along(piece, top, y, away, side=-1.0)]
                else:
                    # The centre lies beyond the edge or hubward of it: the near point either way.
                    beyond = away.lo >= piece.radius
                    parts.append(away - piece.radius if beyond else piece.radius - away)
        else:
            du, dv = piece.u1 - piece.u0, piece.v1 - piece.v0
            length = math.hypot(du, dv)
            if _foot_within(piece.u0, piece.v0, du, dv, top, y):
                foot = ((y + piece.u0) * dv - (top + piece.v0) * du) / length
                parts.append(foot if foot.nominal >= 0 else -foot)
    ceiling = min(p.hi for p in parts)
    return tuple(p for p in parts if p.lo <= ceiling)


_NEAR = 2.0
_STEP = math.radians(10)


def _along(piece: Arc, top: Form, y: Form, away: Form, side: float = 1.0) -> list[Form]:
    """Points along an arc whose centre lies near the hub axis, turned by `side`.

    There the direction of the furthest point is anybody's guess, and the distance of the centre
    bends too sharply for a tangent. Points a step apart miss the extreme between them by no more
    than `centre's distance · (1 - cos(step / 2))`, which is added as a doubt of its own.
    """
    first = math.asin(max(-1.0, min(1.0, (piece.u0 - piece.centre_u) / piece.radius)))
    last = math.asin(max(-1.0, min(1.0, (piece.u1 - piece.centre_u) / piece.radius)))
    count = max(2, math.ceil(abs(last - first) / _STEP) + 1)
    missed = away.hi * (1.0 - math.cos(_STEP / 2))
    parts: list[Form] = []
    for n in range(count):
        angle = first + (last - first) * n / (count - 1)
        u = piece.centre_u + piece.radius * math.sin(angle)
        v = piece.centre_v + piece.side * piece.radius * math.cos(angle)
        point = hypot_of("arc", y + u, top + v) * side
        parts.append(point + within("(arc: between)", 0.0, missed, 0.0))
    return parts


def _corners(top: Form, y: Form) -> list[tuple[float, float]]:
    return list(product({top.lo, top.nominal, top.hi}, {y.lo, y.nominal, y.hi}))


def _beyond(piece: Arc, top: Form, y: Form, side: float = 1.0) -> bool:
    """Whether an arc's furthest (or, on the other side, nearest) point may lie on the arc."""
    for t, z in ((b + piece.centre_u, a + piece.centre_v) for a, b in _corners(top, y)):
        away = math.hypot(t, z)
        scale = side * piece.radius / away if away else 0.0
        if piece.holds(piece.centre_u + t * scale, piece.centre_v + z * scale):
            return True
    return False


def _foot_within(u0: float, v0: float, du: float, dv: float, top: Form, y: Form) -> bool:
    """Whether the perpendicular from the hub axis may meet a straight edge within its ends."""
    square = du * du + dv * dv
    return any(0.0 < -((b + u0) * du + (a + v0) * dv) < square for a, b in _corners(top, y))
