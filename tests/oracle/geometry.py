"""Plane geometry of the oracle: bolt line, lining, discs, wheel.

Section and face coordinates are TRADE §1: y along the bolt line, height away from the hub axis.
Positions come as arrays, one entry a vertex of the box of uncertain facts.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
ARC_STEPS = 360
KEPT = 60
BEYOND = 1e6  # a radius that cuts nothing off


def bolt_line(r1: Array, r2: Array, c: Array) -> tuple[Array, Array]:
    """Radius of the bolt line and offset along it from the holes' radii and distance (TRADE §2)."""
    y0 = (r1**2 - r2**2) / (2 * c)
    return np.sqrt(r1**2 - (c / 2 + y0) ** 2), y0


class Triangles:
    """What each edge of a polygon makes with the origin: area and integral of |r| in closed form.

    With h the edge's distance and φ the angle from its foot, ``∫ ρ²/2 dφ`` and ``∫ ρ³/3 dφ`` with
    ``ρ = min(h / cos φ, radius)``. Of an edge that lies within the radius it is the whole triangle,
    of one that lies beyond it the sector of its angle.
    """

    def __init__(self, points: Array) -> None:
        p, q = points, np.vstack([points[1:], points[:1]])
        step = q - p
        length = np.hypot(step[:, 0], step[:, 1])
        keep = length > 1e-12
        p, q, step, length = p[keep], q[keep], step[keep], length[keep]
        cross = (p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]) / length
        keep = np.abs(cross) > 1e-12
        p, q, step, length, cross = p[keep], q[keep], step[keep], length[keep], cross[keep]
        along = step / length[:, None]
        self.h, self.sign = np.abs(cross), np.sign(cross)
        self.f1 = np.arctan2((p * along).sum(axis=1), self.h)
        self.f2 = np.arctan2((q * along).sum(axis=1), self.h)
        ends = np.hypot(p[:, 0], p[:, 1]), np.hypot(q[:, 0], q[:, 1])
        self.far = np.maximum(*ends)
        self.near = np.where((self.f1 < 0) & (self.f2 > 0), self.h, np.minimum(*ends))
        self.turn = self.sign * (self.f2 - self.f1)
        self.area, self.moment = self._whole(self.h, self.f1, self.f2, self.sign)
        self.all = float(self.area.sum())
        self.seen: dict[float, tuple[float, float]] = {}

    @staticmethod
    def _whole(h: Array, f1: Array, f2: Array, sign: Array) -> tuple[Array, Array]:
        t1, t2 = np.tan(f1), np.tan(f2)
        cubic1 = t1 / np.cos(f1) + np.arcsinh(t1)
        cubic2 = t2 / np.cos(f2) + np.arcsinh(t2)
        return sign * h**2 / 2 * (t2 - t1), sign * h**3 / 6 * (cubic2 - cubic1)

    def within(self, radius: float) -> tuple[float, float]:
        """Area and integral of |r| over the polygon's part within `radius` of the origin."""
        if radius not in self.seen:
            self.seen[radius] = self._within(radius)
        return self.seen[radius]

    def _within(self, radius: float) -> tuple[float, float]:
        inside, beyond = self.far <= radius, self.near >= radius
        turned = float(self.turn[beyond].sum())
        area = float(self.area[inside].sum()) + radius**2 / 2 * turned
        moment = float(self.moment[inside].sum()) + radius**3 / 3 * turned
        cut = ~(inside | beyond)
        if not cut.any():
            return area, moment
        h, f1, f2, sign = self.h[cut], self.f1[cut], self.f2[cut], self.sign[cut]
        reach = np.arccos(np.minimum(h / radius, 1.0))
        a1, a2 = np.clip(f1, -reach, reach), np.clip(f2, -reach, reach)
        areas, moments = self._whole(h, a1, a2, sign)
        arc = sign * ((f2 - f1) - (a2 - a1))
        return (
            area + float((areas + radius**2 / 2 * arc).sum()),
            moment + float((moments + radius**3 / 3 * arc).sum()),
        )


def polygon_in_disc(points: Array, radius: float) -> tuple[float, float]:
    """Area and integral of |r| over a polygon's part within `radius` of the origin."""
    return Triangles(points).within(radius)


@dataclass(frozen=True)
class Clip:
    """What is left of a lining between two radii: area, share lost, mean radius."""

    area: float
    share: float
    mean_radius: float


@dataclass(frozen=True)
class Lining:
    """A lining's outline: u along the bolt line, v outward from its outer edge at mid-pad."""

    points: Array
    sector: tuple[float, float, float] | None  # inner, outer, half angle in radians
    depth: float  # outer edge to inner edge at mid-pad
    seen: dict[tuple[float, ...], Clip] = field(default_factory=dict, compare=False)
    lately: dict[tuple[float, float], Triangles] = field(default_factory=dict, compare=False)

    def outermost(self, y0: Array, height: Array) -> Array:
        """Greatest radius from the hub axis with the outer edge at mid-pad at (y0, height)."""
        if self.sector is None:
            y = y0[:, None] + self.points[None, :, 0]
            z = height[:, None] + self.points[None, :, 1]
            return np.asarray(np.hypot(y, z).max(axis=1))
        _, outer, half = self.sector
        centre = height - outer
        ends = np.maximum(
            np.hypot(y0 + outer * np.sin(half), centre + outer * np.cos(half)),
            np.hypot(y0 - outer * np.sin(half), centre + outer * np.cos(half)),
        )
        off = np.hypot(y0, centre)
        faces = np.abs(np.arctan2(y0, centre)) <= half
        return np.where((off > 0) & faces, outer + off, np.where(off > 0, ends, outer))

    def innermost(self, y0: Array, height: Array) -> Array:
        """Least radius from the hub axis of the lining."""
        if self.sector is not None:
            inner, outer, half = self.sector
            centre = height - outer
            ends = np.minimum(
                np.hypot(y0 + inner * np.sin(half), centre + inner * np.cos(half)),
                np.hypot(y0 - inner * np.sin(half), centre + inner * np.cos(half)),
            )
            off = np.hypot(y0, centre)
            away = np.abs(np.arctan2(-y0, -centre)) <= half
            return np.where((off > 0) & away, np.abs(inner - off), np.where(off > 0, ends, inner))
        out = np.empty_like(y0)
        for i, (y, z) in enumerate(zip(y0, height, strict=True)):
            placed = self.points + np.array([y, z])
            out[i] = to_segments(np.zeros((1, 2)), placed, np.roll(placed, -1, axis=0))[0]
        return out

    def placed(self, y0: float, height: float) -> Triangles:
        """The lining in its place; the last few are kept, for every disc that they meet."""
        key = y0, height
        if key not in self.lately:
            if len(self.lately) >= KEPT:
                del self.lately[next(iter(self.lately))]
            self.lately[key] = Triangles(self.points + np.array([y0, height]))
        return self.lately[key]

    def clipped(self, y0: float, height: float, inner: float, outer: float) -> Clip:
        """The lining between two radii about the hub axis."""
        key = tuple(round(x, 9) for x in (y0, height, inner, outer))
        if key in self.seen:
            return self.seen[key]
        placed = self.placed(*key[:2])
        big, big_moment = placed.within(outer)
        small, small_moment = placed.within(min(inner, outer)) if inner > 0 else (0, 0)
        whole = placed.all
        left = abs(big - small)
        mean = abs(big_moment - small_moment) / left if left > 0 else float("nan")
        self.seen[key] = Clip(left, 1 - left / abs(whole), mean)
        return self.seen[key]


def _sector(inner: float, outer: float, half: float) -> Lining:
    angles = np.linspace(-half, half, ARC_STEPS + 1)
    arc = np.column_stack([np.sin(angles), np.cos(angles)])
    # Chords that hold the area of the arc: a hair further out than the arc's own points.
    arc /= np.sqrt(np.sinc(2 * half / ARC_STEPS / pi))
    points = np.vstack([inner * arc, outer * arc[::-1]]) - np.array([0.0, outer])
    return Lining(points, (inner, outer, half), outer - inner)


def _polygon(points: Array) -> Lining:
    v_at_mid: list[float] = []
    for (u1, v1), (u2, v2) in zip(points, np.roll(points, -1, axis=0), strict=True):
        if min(u1, u2) <= 0 <= max(u1, u2):
            v_at_mid += [v1, v2] if u1 == u2 else [v1 + (v2 - v1) * (0 - u1) / (u2 - u1)]
    return Lining(points, None, -min(v_at_mid) if v_at_mid else float("nan"))


def linings(raw: Any) -> list[Lining]:
    """The lining as stated, and its greatest and least forms where a ± stands; empty if unknown."""
    if not raw:
        return []
    pm = float(raw.get("plus_minus_mm") or 0.0)
    if raw.get("sector"):
        s = raw["sector"]
        if any(s.get(key) is None for key in ("inner_mm", "outer_mm", "angle_deg")):
            return []
        half = s["angle_deg"] * pi / 360
        shifts = [(i, o) for i in (-pm, pm) for o in (-pm, pm)] if pm else [(0.0, 0.0)]
        return [_sector(s["inner_mm"] + i, s["outer_mm"] + o, half) for i, o in shifts]
    if not raw.get("points_u_v"):
        return []
    points = np.array(raw["points_u_v"], dtype=float)
    if points[:, 1].mean() > 0:  # v written as depth: turned, so that v grows outward
        points[:, 1] *= -1
    if not pm:
        return [_polygon(points)]
    off = pm * _outward(points)
    lifted = np.array([0.0, pm])  # every point may lie off the same way
    return [_polygon(points + x) for x in (off, -off, lifted, -lifted)]


def _outward(points: Array) -> Array:
    """Signs by which each point moves away from the middle."""
    return np.asarray(np.sign(points - (points.max(axis=0) + points.min(axis=0)) / 2))


def turned(
    raw: Any, place: tuple[float, float], inner: float, outer: float, seen: dict[Any, Any]
) -> list[Lining]:
    """A polygon with its ± put for and against the share lost and the mean radius, at a place.

    Each coordinate of each point has a ± of its own: which end of it makes either figure more is
    tried, coordinate by coordinate. `seen` keeps the forms; a sector has none.
    """
    pm = float(raw.get("plus_minus_mm") or 0.0)
    if not pm or not raw.get("points_u_v"):
        return []
    points = np.array(raw["points_u_v"], dtype=float)
    if points[:, 1].mean() > 0:
        points[:, 1] *= -1
    more = np.zeros((2, *points.shape))
    for at in np.ndindex(points.shape):
        moved = [points.copy(), points.copy()]
        moved[0][at] -= pm
        moved[1][at] += pm
        low, high = (_polygon(p).clipped(*place, inner, outer) for p in moved)
        more[(0, *at)] = np.sign(high.share - low.share)
        more[(1, *at)] = np.sign(high.mean_radius - low.mean_radius)
    found: list[Lining] = []
    for signs in (*more, *-more):
        key = "turned", signs.tobytes()
        if key not in seen:
            seen[key] = _polygon(points + pm * signs)
        found.append(seen[key])
    return found


def to_segments(points: Array, a: Array, b: Array) -> Array:
    """Distance of each point to the nearest of the segments a-b."""
    ab = b - a
    length2 = np.maximum((ab**2).sum(axis=1), 1e-24)
    ap = points[:, None, :] - a[None, :, :]
    t = np.clip((ap * ab[None]).sum(axis=2) / length2[None], 0.0, 1.0)
    gap = ap - t[..., None] * ab[None]
    return np.asarray(np.sqrt((gap**2).sum(axis=2)).min(axis=1))


def _crossing(a: Array, b: Array, c: Array, d: Array) -> bool:
    """Whether any segment a-b properly crosses any segment c-d."""

    def side(p: Array, q: Array, r: Array) -> Array:
        return np.asarray(
            (q[..., 0] - p[..., 0]) * (r[..., 1] - p[..., 1])
            - (q[..., 1] - p[..., 1]) * (r[..., 0] - p[..., 0])
        )

    a, b, c, d = a[:, None], b[:, None], c[None], d[None]
    split1 = side(a, b, c) * side(a, b, d) < -1e-12
    split2 = side(c, d, a) * side(c, d, b) < -1e-12
    return bool((split1 & split2).any())


class WheelInside:
    """The inside of a wheel from its seat: barrel, then the back of the spokes."""

    def __init__(self, barrel: Any, spokes: Any) -> None:
        b, s = np.array(barrel, dtype=float), np.array(spokes, dtype=float)
        if np.hypot(*(s[0] - b[-1])) > np.hypot(*(s[-1] - b[-1])):
            s = s[::-1]
        line = np.vstack([b, s])
        keep = np.append(True, np.hypot(*np.diff(line, axis=0).T) > 1e-9)
        self.line = line[keep]
        self.a, self.b = self.line[:-1], self.line[1:]
        # For the sign only: on past the barrel's inboard end, and from the spokes to the axis.
        far = self.line[0, 0] - 1e3
        self.region = np.vstack(
            [[far, self.line[0, 1]], self.line, [self.line[-1, 0], -1e3], [far, -1e3]]
        )

    def inside(self, points: Array) -> NDArray[np.bool_]:
        """Even-odd test of points against the room within the wheel."""
        x, y = points[:, 0][:, None], points[:, 1][:, None]
        p, q = self.region, np.roll(self.region, -1, axis=0)
        spans = (p[None, :, 1] > y) != (q[None, :, 1] > y)
        with np.errstate(divide="ignore", invalid="ignore"):
            at = (q[None, :, 0] - p[None, :, 0]) * (y - p[None, :, 1]) / (
                q[None, :, 1] - p[None, :, 1]
            ) + p[None, :, 0]
        return np.asarray((spans & (x < at)).sum(axis=1) % 2 == 1)

    def signed(self, points: Array) -> Array:
        """Distance of points to the wheel, negative where they stand outside its room."""
        d = to_segments(points, self.a, self.b)
        return np.where(self.inside(points), d, -d)

    def at(self, points: Array) -> float:
        """Gap of one outline, its points joined in their order."""
        low = float(self.signed(points).min())
        a, b = (points[:-1], points[1:]) if len(points) > 1 else (points, points)
        low = min(low, float(to_segments(self.line, a, b).min()))
        if low > 0 and _crossing(a, b, self.a, self.b):
            return 0.0
        return low

    def gap(self, lo: Array, hi: Array) -> tuple[float, float]:
        """Bounds of the gap to an outline each of whose points lies in a box lo..hi of (x, r)."""
        if bool((hi - lo).max() < 1e-9):
            value = self.at(lo)
            return value, value
        corners = [
            np.column_stack([x, r]) for x in (lo[:, 0], hi[:, 0]) for r in (lo[:, 1], hi[:, 1])
        ]
        each = [self.at(c) for c in corners]
        # Edges of each point's box: a wheel's own corner may stand nearest to one of them.
        a = np.vstack([corners[i] for i in (0, 0, 1, 2)])
        b = np.vstack([corners[i] for i in (1, 2, 3, 3)])
        low = min(*each, float(to_segments(self.line, a, b).min()))
        if low > 0 and _crossing(a, b, self.a, self.b):
            low = 0.0
        return low, max(low, *each)
