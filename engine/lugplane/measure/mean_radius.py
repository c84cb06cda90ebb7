"""The mean radius of a lining of which nothing is lost, with its links to what it hangs on.

Two brakes on one knuckle share its bolt line, and two pads of one shape their ±: set beside each
other, their radii are in far less doubt than each is by itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from lugplane.measure.bench import Bench
from lugplane.measure.corners import Span
from lugplane.measure.grown import Forms
from lugplane.measure.lining import (
    forms_of,
    innermost,
    outermost,
    outline,
    sector_of,
    shares_apart,
)
from lugplane.measure.outline import Outline
from lugplane.measure.trim import MeanRadius, whole_mean
from lugplane.quantity.form import Form, within
from lugplane.setup.override import AT


@dataclass(frozen=True, slots=True)
class RadiusForms:
    """The mean radius of a lining of which nothing is lost lies between two forms."""

    least: Form
    most: Form


@dataclass(frozen=True, slots=True)
class LiningPlace:
    """Where a whole lining lies: its top and its offset, its least and its greatest hub radius."""

    top: Form
    y: Form
    nearest: float
    outmost: float

    @property
    def bend(self) -> float:
        """How far above its tangent a mean radius may lie, mm."""
        half = (self.top.hi - self.top.lo) / 2, (self.y.hi - self.y.lo) / 2
        return (half[0] ** 2 + half[1] ** 2) / 2 / self.nearest

    def mean(self, shape: Outline) -> MeanRadius:
        """That of an outline in the middle of the place."""
        return whole_mean(shape, (self.top.lo + self.top.hi) / 2, (self.y.lo + self.y.hi) / 2)

    def tangent(self, at: MeanRadius) -> Form:
        """What the mean radius comes to beside the middle, but for its bend."""
        off_top = self.top - (self.top.lo + self.top.hi) / 2
        off_y = self.y - (self.y.lo + self.y.hi) / 2
        return off_top * at.by_lift + off_y * at.by_offset + at.radius

    def rigid(self, shape: Outline) -> RadiusForms:
        """Of an outline without a ±."""
        found = self.tangent(self.mean(shape))
        return RadiusForms(found, found + self.bend)

    def sector(self, radii: Span, angle: float, spread: float, name: str) -> RadiusForms:
        """Of a sector each of whose radii has a ±, mm: a tangent in both as well.

        Its rest is the greatest miss at the corners of both, doubled, as in `smooth`.
        """
        middle = self.mean(sector_of(*radii, angle))
        ways = tuple(product((-1.0, 1.0), repeat=2))
        at = [
            self.mean(sector_of(radii[0] + i * spread, radii[1] + o * spread, angle))
            for i, o in ways
        ]
        slopes = [
            sum(way[n] * x.radius for way, x in zip(ways, at, strict=True)) / (4 * spread)
            for n in (0, 1)
        ]
        half = (self.top.hi - self.top.lo) / 2, (self.y.hi - self.y.lo) / 2
        rest = max(
            abs(x.radius - middle.radius - spread * (slopes[0] * i + slopes[1] * o))
            + abs(x.by_lift - middle.by_lift) * half[0]
            + abs(x.by_offset - middle.by_offset) * half[1]
            for (i, o), x in zip(ways, at, strict=True)
        )
        found = self.tangent(middle)
        for edge, slope in zip(("inner", "outer"), slopes, strict=True):
            found = found + within(f"({edge} radius of {name})", -spread, spread, 0.0) * slope
        return RadiusForms(found - 2 * rest, found + self.bend + 2 * rest)

    def between(self, forms: Forms) -> RadiusForms:
        """Of an outline that holds all of the smallest form and lies within the largest."""
        one, other = (self.tangent(self.mean(x)) for x in (forms.large, forms.small))
        grown, shrunk = shares_apart(forms.between_mm2, forms.small.area_mm2)
        bend = self.bend
        return RadiusForms(
            max(
                other - grown * (other.hi - self.nearest),
                one - shrunk * (self.outmost - one.lo),
                key=lambda form: form.nominal,
            ),
            min(
                other + bend + grown * (self.outmost - other.lo),
                one + bend + shrunk * (one.hi + bend - self.nearest),
                key=lambda form: form.nominal,
            ),
        )


def whole_radius(b: Bench) -> RadiusForms | None:
    """The mean radius of a lining that surely stays whole, as forms that keep their links to the
    place of the bolt line and to the pad's ±; None where that leaves its outline open.

    A mean of distances is convex in the place: it lies on or above its tangent, and above it by no
    more than half the square of the way over the hub radius of the nearest point. The caliper's own
    part of the place bears the name of the part that holds the pad, so that another's is another;
    so does the pad's.
    """
    p, lining = b.place, b.setup.pad.lining
    y, stated = p.bolt_line_offset, p.q(b.setup.mounted.line_to_lining_top_mm)
    top = b.bolt_line + within(
        f"(lining top of {b.setup.mounted.id})", stated.lo, stated.hi, stated.nominal
    )
    place = LiningPlace(top, y, min(r.lo for r in innermost(b)), max(r.hi for r in outermost(b)))
    if place.nearest <= 0.0:
        return None
    spread = lining.points_u_v.plus_minus
    if not spread:
        return place.rigid(outline(b))
    if lining.points_u_v.known:
        forms = forms_of(b)
        return place.between(forms) if isinstance(forms, Forms) else None
    s = lining.sector
    radii, stand = (p.number(s.inner_mm), p.number(s.outer_mm)), (s.inner_mm.at, s.outer_mm.at)
    name = b.setup.pad.id if AT in stand else " ".join(stand)
    return place.sector(radii, p.number(s.angle_deg), spread, name)
