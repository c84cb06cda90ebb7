"""Ear, lug, what lies between them, and the bolt, drawn at the bolt line."""

from __future__ import annotations

from typing import Literal

from lugplane.facts.records import HoleGroup
from lugplane.measure.bench import Bench
from lugplane.measure.mount import read_thread
from lugplane.render.drawing.hatch import SPACER, Point, of_material
from lugplane.render.drawing.marks import broken
from lugplane.render.drawing.mounting import (
    Bolted,
    Mount,
    bolt_size,
    bolted,
    half_shown,
    mount,
    stack_option,
)
from lugplane.render.drawing.pads import pad_places
from lugplane.render.drawing.pens import CENTRE, HIDDEN, NARROW, WIDE, Pen
from lugplane.render.drawing.scene import Hatched, Path, Shape, area, path
from lugplane.render.drawing.sketch import Sketch, points_of

_HEX_HEAD, _SOCKET_HEAD = 0.64, 1.0
"""Head height over bolt diameter (hexagon: ISO 4014, socket: ISO 4762; from memory)."""


def draw_joint(s: Sketch, b: Bench) -> None:
    """Ear, lug, stack and bolt, in the order in which they hide each other."""
    with s.part("ear and lug"):
        m = mount(b)
        half = half_shown(b)
        _say_beside(s, b, m)
        with s.part("ear"):
            _draw_ear(s, b, m, half)
        with s.part("lug"):
            _draw_lug(s, b, m, half)
        with s.part("stack"):
            _draw_stack(s, b, m, half)
        with s.part("pads behind the lugs"):
            _draw_behind(s, b)
        with s.part("bolt"):
            _draw_bolt(s, b, m, half)
        # Where no bolt could be drawn, what tells of it points into its hole.
        s.spot(
            m.at(m.seat, 0.0), "bolt", "class", "torque", "engagement", "shank", "bottoming", "tip"
        )


def _say_beside(s: Sketch, b: Bench, m: Mount) -> None:
    ear = b.setup.knuckle.ear
    radii = [f"{v.form.nominal:g}" for v in (ear.hole_1_radius_mm, ear.hole_2_radius_mm) if v.known]
    where = f" (holes at radii {', '.join(radii)})" if radii and not m.radial else ""
    s.note(f"Ear, lug, bolt{where} and pistons are projected into the section plane.")


def _member(
    s: Sketch, m: Mount, group: HoleGroup, face: float, far: float, half: float, turned: bool
) -> list[Shape]:
    """A lug in section: its two faces, broken off above and below, with its hole."""
    hatch = of_material(group.material.text)
    whole = m.box(face, far, -half, half)
    shapes: list[Shape] = [area(whole, None), Hatched(whole, hatch.turned() if turned else hatch)]
    shapes += _hole(m, group, face, far)
    for u in (face, far):
        shapes.append(path([m.at(u, -half), m.at(u, half)]))
    for v in (-half, half):
        shapes.append(broken(m.at(face, v), m.at(far, v), s.unit))
    return shapes


def _hole(m: Mount, group: HoleGroup, face: float, far: float) -> list[Shape]:
    """Plain: two wide lines. Threaded (ISO 6410-1): minor diameter wide, major narrow."""
    if group.hole.text == "plain" and group.hole_diameter_mm.known:
        radius = group.hole_diameter_mm.form.nominal / 2
        return [area(m.box(face, far, -radius, radius), None), *_pair(m, face, far, radius, WIDE)]
    if group.hole.text == "threaded" and group.thread.text is not None:
        thread = read_thread(group.thread.text)
        end = far
        if group.depth_mm.known and not group.depth_mm.through:
            depth = group.depth_mm.form.nominal
            end = face + depth if far > face else face - depth
        major = thread.nominal_mm / 2
        minor = major - 0.54127 * thread.pitch_mm  # D1 = D - 1.08253 P (ISO 724)
        shapes: list[Shape] = [area(m.box(face, end, -minor, minor), None)]
        shapes += _pair(m, face, end, minor, WIDE) + _pair(m, face, end, major, NARROW)
        if end != far:
            shapes.append(path([m.at(end, -major), m.at(end, major)]))
        return shapes
    return []


def _pair(m: Mount, u0: float, u1: float, v: float, pen: Pen) -> list[Shape]:
    return [path([m.at(u0, w), m.at(u1, w)], pen) for w in (-v, v)]


def _draw_ear(s: Sketch, b: Bench, m: Mount, half: float) -> None:
    ear = b.setup.knuckle.ear
    far = m.seat - m.way * b.place.q(ear.thickness_mm).nominal
    shapes = _member(s, m, ear, m.seat, far, half, turned=True)
    s.add("ear", shapes, _span(m, m.seat, far))
    s.call(
        "ear", f"ear, {b.setup.knuckle.id}", at=[m.at(_mid(m.seat, far), m.aside(half))], end="dot"
    )
    s.spot(m.at(m.seat, half), "mount", "joint", "lug-spacing", "adapter", "surroundings")
    s.spot(m.at(_mid(m.seat, far), 0.0), "bolt-hole")


def _draw_lug(s: Sketch, b: Bench, m: Mount, half: float) -> None:
    p, lug = b.place, b.setup.lug
    face = m.seat + m.way * b.stack.k.nominal
    far = face + m.way * p.q(lug.thickness_mm).nominal
    shapes = _member(s, m, lug, face, far, half, turned=False)
    s.add("lug", shapes, _span(m, face, far))
    owner = "carrier" if b.setup.carrier is not None else "caliper"
    words = f"lug of the {owner}"
    if owner == "carrier":
        words += f" {b.setup.mounted.id}"
    s.call("lug", words, at=[m.at(_mid(face, far), m.aside(half))], end="dot")
    s.spot(m.at(face, half), "carrier-takes", "lift")


def _draw_stack(s: Sketch, b: Bench, m: Mount, half: float) -> None:
    stack = b.stack
    k = stack.k.nominal
    face = m.seat + m.way * k
    s.spot(m.at(_mid(m.seat, face), half), "spacing", "stack", "centring", "slip-reserve")
    if k < 0.01:
        return
    option = stack_option(stack)
    reach, count = half, 1
    if option is not None and option.kind == "washers":
        count = max(option.count, 1)
        reach = _washer_reach(b, k / count, half)
    hole = bolt_size(b) / 2
    shapes: list[Shape] = []
    for n in range(count):
        u0, u1 = (m.seat + m.way * k * i / count for i in (n, n + 1))
        for v0, v1 in ((-reach, -hole), (hole, reach)):
            box = m.box(u0, u1, v0, v1)
            shapes += [area(box, None), Hatched(box, SPACER), area_edge(box)]
    s.add("stack", shapes, _span(m, m.seat, face))


def area_edge(points: tuple[Point, ...]) -> Path:
    """The outline of an area already painted."""
    return path(points, WIDE, closed=True)


def _washer_reach(b: Bench, thickness: float, otherwise: float) -> float:
    for washer in b.setup.washers:
        same = washer.bolt_mm.known and washer.bolt_mm.number == bolt_size(b)
        if not (same and washer.thickness_mm.known and washer.outside_mm.known):
            continue
        if abs(washer.thickness_mm.form.nominal - thickness) < 0.3:
            return washer.outside_mm.form.nominal / 2
    return otherwise


def _draw_bolt(s: Sketch, b: Bench, m: Mount, half: float) -> None:
    at = bolted(b, m)
    radius = at.diameter / 2
    minor = radius - 0.61344 * at.pitch  # d3 = d - 1.22687 P (ISO 724, ISO 898-1)
    wide, high = _head(b, at)
    top = at.head - at.way * high
    shank = m.box(at.head, at.tip, -radius, radius)
    start = at.thread_from if (at.thread_from - at.head) * at.way > 0 else at.head
    chamfer = at.tip - at.way * at.pitch
    shapes: list[Shape] = [area(shank, None), area(m.box(top, at.head, -wide, wide))]
    shapes += _pair(m, at.head, chamfer, radius, WIDE) + _pair(m, start, at.tip, minor, NARROW)
    for v in (-1.0, 1.0):
        shapes.append(path([m.at(chamfer, v * radius), m.at(at.tip, v * minor)]))
    shapes.append(path([m.at(at.tip, -minor), m.at(at.tip, minor)]))
    shapes.append(path([m.at(chamfer, -radius), m.at(chamfer, radius)]))
    if start != at.head:
        shapes.append(path([m.at(start, -radius), m.at(start, radius)]))
    washer = b.setup.knuckle.bolt.head_washer_mm
    if washer.known and washer.form.nominal > 0.01:
        seat = at.head + at.way * washer.form.nominal
        shapes.append(area(m.box(at.head, seat, -wide * 1.15, wide * 1.15)))
    over = 4.0 * s.unit
    shapes.append(path([m.at(top - at.way * over, 0.0), m.at(at.tip + at.way * over, 0.0)], CENTRE))
    data = {"head": at.head, "tip": at.tip, "thread": start}
    data |= {"mouth": at.mouth, "engaged": at.engaged_to}
    s.add("bolt", shapes, data)
    bolt = at.bolt
    length = abs(at.tip - at.head)
    record = next((x for x in b.setup.bolts if x.id == bolt.record), None)
    kept = "original bolt" if record is None else f"bolt {record.standard.text or record.id}"
    words = f"{kept}, {bolt.thread} x {length:g}, {bolt.class_}"
    s.call("bolt-name", words, at=[m.at(_mid(top, at.head), wide * 0.6)], end="dot")
    s.spot(m.at(_mid(top, at.head), wide), "bolt", "class", "torque")
    s.spot(m.at(start, radius), "shank")
    s.spot(m.at(at.tip, 0.0), "bottoming")


def _draw_behind(s: Sketch, b: Bench) -> None:
    """Outline of the inboard pad where ear or lug hide it."""
    pad = pad_places(b)[0]
    low = pad.low if pad.plate_low is None else pad.plate_low
    shapes: list[Shape] = []
    for hiding in s.groups:
        if hiding.part not in ("ear", "lug"):
            continue
        corners = [p for shape in hiding.shapes[:1] for p in points_of(shape)]
        xs, rs = [x for x, _ in corners], [r for _, r in corners]
        for x, r0, r1 in (
            (pad.back, low, pad.high),
            (pad.bond, low, pad.high),
            (pad.face, pad.low, pad.high),
        ):
            down, up = max(r0, min(rs)), min(r1, max(rs))
            if min(xs) < x < max(xs) and up - down > 0.5:
                shapes.append(path([(x, down), (x, up)], HIDDEN))
        for r, x0, x1 in (
            (low, pad.back, pad.bond),
            (pad.low, pad.bond, pad.face),
            (pad.high, pad.back, pad.face),
        ):
            left, right = max(x0, min(xs)), min(x1, max(xs))
            if min(rs) < r < max(rs) and right - left > 0.5:
                shapes.append(path([(left, r), (right, r)], HIDDEN))
    if shapes:
        s.add("pad behind the lugs", shapes)


def _head(b: Bench, at: Bolted) -> tuple[float, float]:
    """Half the head's diameter and its height."""
    record = next((x for x in b.setup.bolts if x.id == at.bolt.record), None)
    stated = record.head_diameter_mm if record else b.setup.knuckle.bolt.head_diameter_mm
    across = stated.form.nominal if stated.known else 1.5 * at.diameter
    socket = record is not None and record.head.text == "socket"
    return across / 2, at.diameter * (_SOCKET_HEAD if socket else _HEX_HEAD)


def _mid(a: float, b: float) -> float:
    return (a + b) / 2


def _span(m: Mount, u0: float, u1: float) -> dict[str, float]:
    names: tuple[Literal["r0", "x0"], Literal["r1", "x1"]]
    names = ("r0", "r1") if m.radial else ("x0", "x1")
    return {names[0]: min(u0, u1), names[1]: max(u0, u1)}
