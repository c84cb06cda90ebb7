"""What of a setup weighs on the whole car: pistons, friction, radius of the lining, tyre."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import pi

import numpy as np

from .bands import constant
from .boxes import Aff, Span, Var, known, span
from .braking import letters_span, piston_area
from .geometry import BEYOND, Array
from .lining_fit import Fitted
from .read_kb import Part

_TYRE = re.compile(r"(\d+)\s*/\s*(\d+)\s*Z?R\s*(\d+(?:\.\d+)?)")
TURNS = np.linspace(0, 2 * pi, 24, endpoint=False)  # ways to look at a cloud of pairs from


def tyre_radius(size: object) -> float | None:
    """Rolling radius in mm (TRADE §4); None for what is no tyre size."""
    match = _TYRE.search(str(size or ""))
    if match is None:
        return None
    across = float(match[3]) * 25.4 + 2 * float(match[1]) * float(match[2]) / 100
    return constant("tyre_radius_factor") * across / (2 * pi)


@dataclass(frozen=True)
class Brake:
    """One axle's brake; None: not known. `radii` has a row (R_b, y_0, a, form, r_eff) a vertex."""

    case: Fitted
    area: float | None  # mm², of one side (fixed) or of all pistons
    friction: Aff | None
    radii: Array | None
    whole: bool  # the lining surely stays whole

    @property
    def lengths(self) -> Span | None:
        """Bounds of r_eff in mm."""
        if self.radii is None:
            return None
        return float(self.radii[:, 4].min()), float(self.radii[:, 4].max())


def brake_of(case: Fitted) -> Brake:
    """The brake of a setup that has been placed and whose lining has been fitted."""
    bores, many = case.caliper.get("pistons.bores_mm"), case.caliper.get("pistons.a_side")
    counted = bores is not None and (many is None or many == len(bores))
    area = piston_area(bores) if counted and case.body in ("fixed", "floating") else None
    rows, whole = _radii(case)
    return Brake(case, area, friction(case.pad), rows, whole)


def friction(pad: Part) -> Aff | None:
    """A pad's friction: all that its curve reaches, else measured, else what its letters leave."""
    if pad.get("friction_curve.points_c_ratio") is not None:
        return _of_curve(pad)
    given = pad.num("friction_ratio")
    if given is not None:
        return given
    letters = pad.get("friction_letters")
    found = None if letters is None else letters_span(letters)
    if found is None:
        return None
    if "letters" not in pad.cache:
        pad.cache["letters"] = Aff(0.0, {Var(f"{pad.id}:letters", *found): 1.0})
    return pad.cache["letters"]  # type: ignore[no-any-return]


def _of_curve(pad: Part) -> Aff | None:
    """The friction over a window of temperature, straight between points; None past its ends."""
    points, off = (pad.get(f"friction_curve.{x}") for x in ("points_c_ratio", "plus_minus_ratio"))
    at, mu = np.array(points, dtype=float).T
    low, high = (constant(f"friction_curve_{end}_c") for end in ("from", "to"))
    if off is None or low < at[0] or high > at[-1]:
        return None
    if "curve" not in pad.cache:
        inside = mu[(at > low) & (at < high)]
        seen = [*inside, *np.interp([low, high], at, mu)]
        pad.cache["curve"] = known(f"{pad.id}:curve", min(seen) - off, max(seen) + off)
    return pad.cache["curve"]  # type: ignore[no-any-return]


def _radii(case: Fitted) -> tuple[Array | None, bool]:
    if case.trim_left is None or case.states["mount"] == "cannot tell":
        return None, False  # a disc from behind stands outside the frame (TRADE §1)
    if case.answer.trim_share != (0.0, 0.0):  # cut, or perhaps cut: its bounds alone
        return np.array([[np.nan, np.nan, np.nan, np.nan, r] for r in case.trim_left]), False
    rows: list[list[float]] = []
    places = np.round(np.column_stack([case.v_rb, case.v_y0, case.v_a]), 9)
    for rb, y0, a in np.unique(places, axis=0):
        for n, form in enumerate(case.lining()):
            rows.append([rb, y0, a, n, form.clipped(y0, rb + a, 0.0, BEYOND).mean_radius])
    return np.array(rows), True


def pairs(new: Brake, stock: Brake) -> Array | None:
    """Rows (r_eff new, r_eff stock) that bound what can come up together at one knuckle."""
    a, b = new.radii, stock.radii
    if a is None or b is None:
        return None
    if same_place(new, stock):
        lengths = stock.lengths
        return np.array([[r, r] for r in lengths or ()])
    match = np.ones((len(a), len(b)), dtype=bool)
    same_knuckle = new.case.knuckle is stock.case.knuckle
    bolted = new.case.states["adapter"] != "work" and not new.case.open_plate
    if new.whole and stock.whole and same_knuckle and bolted and new.case.mount == "axial":
        columns = [0, 1]
        if new.case.seat is stock.case.seat:
            columns.append(2)
        if one_shape(new.case.pad, stock.case.pad):
            columns.append(3)
        for column in columns:
            match &= np.abs(a[:, column][:, None] - b[:, column][None]) < 1e-8
    i, j = np.nonzero(match)
    return _around(np.column_stack([a[i, 4], b[j, 4]]))


def same_parts(new: Brake, stock: Brake) -> bool:
    """Whether the very same parts sit in the same place."""
    kinds = ("caliper", "carrier", "disc", "pad", "knuckle")
    return all(getattr(new.case, k) is getattr(stock.case, k) for k in kinds)


def same_place(new: Brake, stock: Brake) -> bool:
    """Whether a lining of one shape sits in the same place: its compound may be another, and the
    caliper over a carrier that holds the pad."""
    kinds = ("seat", "disc", "knuckle")
    same = all(getattr(new.case, k) is getattr(stock.case, k) for k in kinds)
    return same and one_shape(new.case.pad, stock.case.pad)


def one_shape(a: Part, b: Part) -> bool:
    return a.family == b.family and a.get("lining") == b.get("lining")


def _around(points: Array) -> Array:
    """The points of a cloud that stand furthest out, whatever way one looks."""
    kept = {int((points @ np.array([np.cos(t), np.sin(t)])).argmax()) for t in TURNS}
    return points[sorted(kept)]


def one_friction(brakes: list[Brake]) -> list[Aff | None]:
    """The friction of some brakes; pads of one compound have the same (pad schema).

    Where it is stated differently, as of pads measured anew, each has its own.
    """
    found: list[Aff | None] = []
    seen: dict[tuple[str, Span], Aff] = {}
    for brake in brakes:
        name, mu = brake.case.pad.get("compound"), brake.friction
        if name is not None and mu is not None:
            low, high = span(mu)  # of a curve and of a figure: equal but for rounding
            mu = seen.setdefault((name, (round(low, 9), round(high, 9))), mu)
        found.append(mu)
    return found
