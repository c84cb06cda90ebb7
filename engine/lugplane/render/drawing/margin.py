"""Texts in two margin columns beside the section, with leaders that do not cross.

Each text goes to the column that its place is nearer to, as high as its place where there is room;
texts keep their distance, and their order is changed where two leaders would cross.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from lugplane.render.drawing.hatch import Point
from lugplane.render.drawing.lettering import SPACING, width, wrap
from lugplane.render.drawing.marks import ARROW_MM, BOLD_ARROW_MM, arrow, corners
from lugplane.render.drawing.pens import BOLD, NARROW, WIDE
from lugplane.render.drawing.scene import Anchor, Dot, Group, Shape, Text, path
from lugplane.render.drawing.sketch import Callout

HEIGHT_MM = 2.5
_LINE_MM = HEIGHT_MM * SPACING
_GAP_MM, _PAD_MM = 2.2, 1.5
_ELBOW_MM = 4.0


@dataclass(frozen=True, slots=True)
class Margins:
    """The two columns: their inner edges, width, and span along r, all in the section frame."""

    left: float
    right: float
    room: float
    low: float
    high: float
    unit: float


@dataclass(frozen=True, slots=True)
class _Label:
    call: Callout
    lines: tuple[str, ...]
    side: int
    at: Point | None
    level: float = 0.0

    def height(self, unit: float) -> float:
        extra = 2 * _PAD_MM if self.call.bold else 0.0
        return ((len(self.lines) - 1) * _LINE_MM + HEIGHT_MM * 1.5 + extra) * unit


def margin_groups(calls: Sequence[Callout], m: Margins) -> tuple[Group, ...] | None:
    """The texts with their leaders, or None where the columns are too short for them."""
    labels = [label for label in (_label(c, m) for c in calls) if label.lines]
    sides = _sides(labels, m)
    if sides is None:
        return None
    placed = [label for side in sides for label in side]
    return tuple(_group(label, m) for label in placed)


def _label(call: Callout, m: Margins) -> _Label:
    room = m.room - (2 * _PAD_MM * m.unit if call.bold else 0.0)
    lines = [w for line in call.lines for w in wrap(line, room / m.unit, HEIGHT_MM, call.bold, 5)]
    middle = (m.left + m.right) / 2
    if not call.at:
        return _Label(call, tuple(lines), 1, None)
    mean = sum(p[0] for p in call.at) / len(call.at)
    side = -1 if mean < middle else 1
    at = min(call.at, key=lambda p: -side * p[0])
    return _Label(call, tuple(lines), side, at)


def _sides(labels: list[_Label], m: Margins) -> tuple[list[_Label], list[_Label]] | None:
    """Both columns from the top; one too full gives up what lies nearest the middle."""
    middle = (m.left + m.right) / 2
    for _ in range(len(labels) + 1):
        left = [label for label in labels if label.side < 0]
        right = [label for label in labels if label.side > 0]
        over = [_load(side, m) - (m.high - m.low) for side in (left, right)]
        if max(over) <= 0:
            return _column(left, m), _column(right, m)
        if min(over) > 0:
            return None
        crowded = left if over[0] > 0 else right
        mover = min(crowded, key=lambda label: abs(label.at[0] - middle) if label.at else 0.0)
        labels = [_turned(label) if label is mover else label for label in labels]
    return None


def _turned(label: _Label) -> _Label:
    side = -label.side
    at = min(label.call.at, key=lambda p: -side * p[0]) if label.call.at else None
    return replace(label, side=side, at=at)


def _load(labels: Sequence[_Label], m: Margins) -> float:
    gaps = _GAP_MM * m.unit * max(len(labels) - 1, 0)
    return sum(label.height(m.unit) for label in labels) + gaps


def _column(labels: list[_Label], m: Margins) -> list[_Label]:
    """One column from the top, spread out, with as few crossings as swaps of neighbours allow."""
    order = sorted(labels, key=lambda n: -n.at[1] if n.at else -m.low)
    placed = _spread(order, m)
    best = _crossings(placed, m)
    improved = True
    while best and improved:
        improved = False
        for n in range(len(order) - 1):
            tried = [*order[:n], order[n + 1], order[n], *order[n + 2 :]]
            spread = _spread(tried, m)
            count = _crossings(spread, m)
            if count < best:
                order, placed, best, improved = tried, spread, count, True
    return placed


def _spread(order: Sequence[_Label], m: Margins) -> list[_Label]:
    """Levels as near to the places as the order and the gaps allow (pooling of neighbours).

    Least squares under an order: blocks of texts that touch move to the mean of their wishes.
    """
    gap = _GAP_MM * m.unit
    offsets, down = [], 0.0
    for label in order:
        height = label.height(m.unit)
        offsets.append(down + height / 2)
        down += height + gap
    total = down - gap if order else 0.0
    blocks: list[tuple[float, int]] = []
    for label, offset in zip(order, offsets, strict=True):
        wish = m.high - (label.at[1] if label.at else m.low)
        mean, count = wish - offset, 1
        while blocks and blocks[-1][0] > mean:
            last, many = blocks.pop()
            mean = (mean * count + last * many) / (count + many)
            count += many
        blocks.append((mean, count))
    starts = [mean for mean, count in blocks for _ in range(count)]
    limit = (m.high - m.low) - total
    found = []
    for label, offset, start in zip(order, offsets, starts, strict=True):
        found.append(replace(label, level=m.high - offset - min(max(start, 0.0), limit)))
    return found


def _leader(label: _Label, m: Margins) -> tuple[Point, ...]:
    if label.at is None:
        return ()
    edge = m.left if label.side < 0 else m.right
    elbow = edge - label.side * _ELBOW_MM * m.unit
    return ((edge, label.level), (elbow, label.level), label.at)


def _crossings(labels: Sequence[_Label], m: Margins) -> int:
    lines = [_leader(label, m)[1:] for label in labels if label.at is not None]
    return sum(_cross(lines[i], lines[j]) for i in range(len(lines)) for j in range(i))


def _cross(one: Sequence[Point], two: Sequence[Point]) -> bool:
    def side(a: Point, b: Point, c: Point) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = one, two
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _group(label: _Label, m: Margins) -> Group:
    call, unit = label.call, m.unit
    pad = _PAD_MM * unit if call.bold else 0.0
    edge = m.left if label.side < 0 else m.right
    x = edge + label.side * (pad + (0.0 if call.bold else 1.0 * unit))
    top = label.level + label.height(unit) / 2 - pad
    shapes: list[Shape] = []
    anchor: Anchor = "end" if label.side < 0 else "start"
    for n, line in enumerate(label.lines):
        base = top - (HEIGHT_MM * 1.15 + n * _LINE_MM) * unit
        shapes.append(Text((x, base), line, anchor, HEIGHT_MM, call.bold))
    if call.bold:
        shapes.append(_frame(label, m, x))
    leader = _leader(label, m)
    if leader and label.at is not None:
        shapes.append(path(leader, WIDE if call.bold else NARROW))
        if call.end == "dot":
            shapes.append(Dot(label.at))
        elif call.end == "arrow":
            shapes.append(
                arrow(label.at, leader[1], unit, BOLD_ARROW_MM if call.bold else ARROW_MM)
            )
    return Group(f"callout {call.key}", tuple(shapes))


def _frame(label: _Label, m: Margins, x: float) -> Shape:
    unit = m.unit
    long = max(width(line, HEIGHT_MM, True) for line in label.lines) * unit
    half, pad = label.height(unit) / 2, _PAD_MM * unit
    near, far = x - label.side * pad, x + label.side * (long + pad)
    box = corners(min(near, far), label.level - half, max(near, far), label.level + half)
    return path(box, BOLD, closed=True)
