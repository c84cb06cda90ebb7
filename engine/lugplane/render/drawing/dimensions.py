"""The dimensions that decide: gaps, stack, engagement, trim, each at its place with its value."""

from __future__ import annotations

import math
from collections.abc import Collection

from lugplane.answers.rows import Row
from lugplane.answers.sheet import Sheet
from lugplane.measure.bench import Bench
from lugplane.render.drawing.around import tightest
from lugplane.render.drawing.body import base_radius, slot
from lugplane.render.drawing.disc import ring
from lugplane.render.drawing.hatch import Point
from lugplane.render.drawing.marks import between, extension
from lugplane.render.drawing.mounting import (
    Mount,
    bolted,
    half_shown,
    is_adapter,
    mount,
    stack_option,
)
from lugplane.render.drawing.pads import PadPlace, lining_reach, pad_places
from lugplane.render.drawing.scene import Shape
from lugplane.render.drawing.sketch import Sketch
from lugplane.render.drawing.values import millimetres, row_of, said, state, told


def draw_dimensions(s: Sketch, b: Bench, sheet: Sheet, limiting: Collection[str]) -> None:
    """All dimensions that the placed parts allow; those of `limiting` checks in bold."""
    with s.part("stack"):
        _stack(s, b, sheet, limiting)
    with s.part("engagement"):
        _engagement(s, b, sheet, limiting)
    with s.part("gap at the bolt's tip"):
        _tip(s, b, sheet, limiting)
    with s.part("overhang"):
        _overhang(s, b, sheet, limiting)
    with s.part("bridge gap"):
        _bridge(s, b, sheet, limiting)
    with s.part("trim"):
        _trim(s, b, sheet, limiting)
    with s.part("wheel gap"):
        _wheel(s, b, sheet, limiting)


def _mark(s: Sketch, key: str, a: Point, z: Point, text: str, bold: bool, *more: str) -> None:
    """A dimension between two places and its text for the margin."""
    shapes, at = between(a, z, s.unit, bold)
    s.add(f"dimension {key}", shapes, {"x0": a[0], "r0": a[1], "x1": z[0], "r1": z[1]})
    s.spots.pop(key, None)
    s.spot(at[0], key)
    s.call(key, text, *more, at=at)


def _row(half: float, n: int, unit: float) -> float:
    """`v` of the n-th row of dimensions beside the lugs, on the side towards the hub or inboard."""
    return -half - (4.0 + 6.0 * n) * unit


def _along(
    s: Sketch, m: Mount, u0: float, u1: float, row: float, foot: float
) -> tuple[Point, Point]:
    """Extension lines from `v = foot` to a dimension row; the two places on it."""
    a, z = m.at(u0, row), m.at(u1, row)
    lines: list[Shape] = [extension(m.at(u, foot), p, s.unit) for u, p in ((u0, a), (u1, z))]
    s.add("extension lines", lines)
    return a, z


def _stack(s: Sketch, b: Bench, sheet: Sheet, limiting: Collection[str]) -> None:
    m, stack = mount(b), b.stack
    k = stack.k.nominal
    half = half_shown(b)
    option = stack_option(stack)
    kinds = {
        "bare": "nothing between ear and lug",
        "washers": f"{option.count if option else 0} washers",
        "ring": "machined ring",
    }
    kind = kinds.get(option.kind, "") if option else "settled at mock-up"
    row = row_of(sheet, "stack")
    if row is not None and row.band == "settle":
        kind = "settled at mock-up"
    if is_adapter(b):
        kind = "adapter plate, designed and proved by an engineer"
    words = f"stack k = {millimetres(stack.k)}, {kind}"
    if k < 0.01:
        place = m.at(m.seat, -half * 0.9)
        s.call("stack", words, at=[place], end="arrow")
        return
    a, z = _along(s, m, m.seat, m.seat + m.way * k, _row(half, 0, s.unit), -half)
    _mark(s, "stack", a, z, words, "stack" in limiting)


def _engagement(s: Sketch, b: Bench, sheet: Sheet, limiting: Collection[str]) -> None:
    m = mount(b)
    at, row = bolted(b, m), row_of(sheet, "engagement")
    if row is None or row.have is None:
        return
    need = "" if row.need is None else f", needs {said(row.need, row.unit)}"
    words = f"thread engagement {said(row.have, row.unit)}{need}{state(row)}"
    v = _row(half_shown(b), 1, s.unit)
    a, z = _along(s, m, at.mouth, at.engaged_to, v, -at.diameter / 2)
    _mark(s, "engagement", a, z, words, "engagement" in limiting)


def _tip(s: Sketch, b: Bench, sheet: Sheet, limiting: Collection[str]) -> None:
    row = row_of(sheet, "tip")
    if row is None or row.value is None:
        return
    m = mount(b)
    at = bolted(b, m)
    face = ring(b).inboard
    v = _row(half_shown(b), 2, s.unit)
    a, z = _along(s, m, at.tip, face, v, -at.diameter / 2)
    _mark(s, "tip", a, z, told(row, s.known), "tip" in limiting)


def _overhang(s: Sketch, b: Bench, sheet: Sheet, limiting: Collection[str]) -> None:
    row = row_of(sheet, "overhang")
    if row is None or row.value is None:
        return
    at, pad, far = ring(b), pad_places(b)[1], lining_reach(b)[1]
    x = pad.middle
    foot, edge = (x, far), (x, at.outer)
    s.add("extension lines", [extension((at.outboard, at.outer), (x, at.outer), s.unit)])
    _mark(s, "overhang", foot, edge, told(row, s.known), "overhang" in limiting)


def _bridge(s: Sketch, b: Bench, sheet: Sheet, limiting: Collection[str]) -> None:
    row = row_of(sheet, "bridge")
    if row is None or row.value is None:
        return
    at = ring(b)
    inside = at.outer + row.value.nominal
    middle = base_radius(b) + b.place.q(b.setup.caliper.line_to_bridge_mm).nominal
    x = at.middle - (at.outboard - at.inboard) * 0.3
    if abs(inside - middle) > 0.01:
        # The corner of an arched bridge is nearer than its middle.
        s.note("Bridge gap: at the arched bridge's corner (hidden line).")
    room = slot(b)
    x = min(max(x, room.inboard), room.outboard)
    _mark(s, "bridge", (x, at.outer), (x, inside), told(row, s.known), "bridge" in limiting)


def _trim(s: Sketch, b: Bench, sheet: Sheet, limiting: Collection[str]) -> None:
    row = row_of(sheet, "trim")
    if row is None or row.value is None or row.value.hi <= 0:
        return
    notes = row.notes

    def depth(name: str) -> str:
        return f"{notes[name].nominal:.1f}" if name in notes else "?"

    more = []
    for edge in ("inner", "outer"):
        middle, by_2, by_1 = (depth(f"{edge}_depth_{n}_mm") for n in ("mid", "end_1", "end_2"))
        if {middle, by_2, by_1} - {"0.0", "?"}:
            ends = f"{by_1} by hole 1, {by_2} by hole 2"
            more.append(f"{edge} edge: {middle} mm in the middle, {ends}")
    pad = max(pad_places(b), key=lambda p: p.kept_low - p.low + p.side.count("out") * 1e-6)
    taken = _taken(pad)
    bold = "trim" in limiting
    if taken is None:
        s.call("trim", told(row, s.known), *more, at=[(pad.middle, pad.low)], end="arrow")
        return
    x = pad.middle
    _mark(s, "trim", (x, taken[0]), (x, taken[1]), told(row, s.known), bold, *more)


def _taken(pad: PadPlace) -> tuple[float, float] | None:
    """The stretch of a lining at mid-pad that comes off, the inner one first."""
    if pad.kept_low - pad.low > 0.005:
        return pad.low, pad.kept_low
    if pad.high - pad.kept_high > 0.005:
        return pad.kept_high, pad.high
    return None


def _wheel(s: Sketch, b: Bench, sheet: Sheet, limiting: Collection[str]) -> None:
    row = row_of(sheet, "wheel-gap")
    found = tightest(b)
    if row is None or row.value is None or found is None:
        return
    gap, place = found
    words = told(row, s.known) + _clash(row)
    if math.dist(place, gap.foot) < 1e-6:
        s.call("wheel-gap", words, at=[place], end="arrow")
        s.spot(place, "wheel-gap")
        return
    _mark(s, "wheel-gap", place, gap.foot, words, "wheel-gap" in limiting)


def _clash(row: Row) -> str:
    value = row.value
    if value is None or value.nominal >= 0:
        return ""
    return ", the caliper stands in the wheel"
