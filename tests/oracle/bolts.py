"""Threads and bolts as TRADE §3 states them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from math import pi, sqrt

from screw_thread_lib.threads import Assembly

from .boxes import Aff, Span, Var, high_given, low_given, span, span_least, total
from .read_kb import Kb, Part

# TRADE §3 Needed: steel, ductile iron, grey iron, aluminium.
RULE = {"steel": 1.0, "ductile-iron": 1.25, "grey-iron": 1.5, "aluminium": 2.0}
CLASSES = ("8.8", "9.8", "10.9", "12.9")
# ISO 898-1: least tensile strength, and yield (nominal for 8.8 up to M16) in MPa.
TENSILE = {"8.8": 800.0, "9.8": 900.0, "10.9": 1040.0, "12.9": 1220.0}
YIELD = {"8.8": 640.0, "9.8": 720.0, "10.9": 940.0, "12.9": 1100.0}
LEAST_FACTOR = 0.897  # least value of C2 and C3 of ISO/TR 16224 over their chart
# Below what a limit takes for rounding (1e-9): a stack solved to the edge still reads as on it.
EPS = 1e-10


@cache
def thread(name: str) -> tuple[float, float]:
    """Diameter and pitch in mm of a thread's designation. Raises ValueError."""
    if m := re.fullmatch(r"M(\d+(?:\.\d+)?)x(\d+(?:\.\d+)?)", name):
        return float(m[1]), float(m[2])
    if m := re.fullmatch(r"(\d+)/(\d+)-(\d+) UN[CF]", name):
        return 25.4 * int(m[1]) / int(m[2]), 25.4 / int(m[3])
    raise ValueError(name)


@cache
def stripping_length(name: str, cls: str, tensile: float) -> float:
    """ISO/TR 16224 through screw-thread-lib, basic dimensions, wide member (s >= 1.8 d).

    Off the chart the least factor of the chart stands as a constant (TRADE §3).
    """
    d, p = thread(name)
    asm = Assembly({"n": 1 / p, "dbsc": d}, UTSs=TENSILE[cls], UTSn=tensile, dims_ISO="basic")
    ratio = tensile * asm.ASn_ISO() / (TENSILE[cls] * asm.ASb_ISO())
    c2 = asm.C2_ISO() if ratio < 2.2 else LEAST_FACTOR
    c3 = asm.C3_ISO() if ratio > 0.4 else LEAST_FACTOR
    bolt = asm.As_ISO() / (0.6 * asm.ASb_ISO() * c2)
    member = asm.As_ISO() * TENSILE[cls] / (0.6 * tensile * asm.ASn_ISO() * c3)
    return float(max(bolt, member))


def preload_and_torque_factor(
    name: str, cls: str, friction: float, bearing: float
) -> tuple[float, float]:
    """Preload in kN at 90 % of yield, and N·m of torque a kN of preload (TRADE §3, VDI 2230)."""
    d, p = thread(name)
    d2, d3 = d - 0.64952 * p, d - 1.22687 * p
    d0 = (d2 + d3) / 2
    area = pi / 4 * d0**2
    twist = 1.5 * d2 / d0 * (p / (pi * d2) + 1.155 * friction)
    force = 0.9 * YIELD[cls] * area / sqrt(1 + 3 * twist**2) / 1000
    return force, 0.16 * p + 0.58 * d2 * friction + bearing / 2 * friction


@dataclass(frozen=True)
class Joint:
    """What a bolt meets: every length without the stack, and how the stack enters the tip."""

    thread: str
    grip: Aff | None  # clamped thickness and head washer, without the stack
    depth: Aff | None  # usable thread
    through: bool | None
    material: str | None
    tensile: Aff | None
    tip: Aff | None  # distance of the tip to the disc for a bolt of no length, without the stack
    tip_length: float  # what a mm of bolt does to it
    tip_stack: float  # what a mm of stack does to it
    tip_counts: bool  # whether the tip can meet the disc at all


@dataclass(frozen=True)
class Bolt:
    """A bolt that is tried."""

    name: str
    cls: str
    length: Aff | None
    plain: Aff | None  # length - thread length
    head: Aff | None
    order: tuple[float, int, str]


Margin = list[tuple[Aff, float]]  # the least of forms, each with its factor on the stack


def needed(joint: Joint, cls: str) -> float | None:
    """Engagement a bolt of this class needs; None when material or strength is unknown."""
    if joint.material is None or joint.tensile is None:
        return None
    rule = RULE[joint.material] * thread(joint.thread)[0]
    return max(rule, stripping_length(joint.thread, cls, span(joint.tensile)[0]))


def margins(joint: Joint, bolt: Bolt) -> dict[str, Margin | None]:
    """Engagement, shank, bottoming and tip (its limit of 2 mm taken off); None when unknown."""
    need = needed(joint, bolt.cls)
    pitch = thread(joint.thread)[1]
    out: dict[str, Margin | None] = {}
    reach = total((1, bolt.length), (-1, joint.grip), (-1, pitch), (-1, need))
    thread_left = total((1, joint.depth), (-1, need))
    known = reach is not None and thread_left is not None
    out["engagement"] = [(reach, -1.0), (thread_left, 0.0)] if known else None  # type: ignore[list-item]
    shank = total((1, joint.grip), (-1, bolt.plain))
    out["shank"] = None if shank is None else [(shank, 1.0)]
    if joint.through:
        out["bottoming"] = []
    else:
        room = total((1, joint.depth), (-1, bolt.length), (1, joint.grip))
        out["bottoming"] = None if room is None or joint.through is None else [(room, 1.0)]
    if not joint.tip_counts:
        out["tip"] = []
    else:
        tip = total((1, joint.tip), (joint.tip_length, bolt.length), (-1, 2.0))
        out["tip"] = None if tip is None else [(tip, joint.tip_stack)]
    return out


def standard_bolts(kb: Kb, name: str, cls: str) -> list[Bolt]:
    """Bolts of the knowledge base with this thread and class, the shortest first."""
    key = "standard-bolts", name, cls
    if key in kb.cache:
        return list(kb.cache[key])
    d = thread(name)[0]
    out: list[Bolt] = []
    for part in kb.of("bolt"):
        if part.get("thread") != name or cls not in (part.get("classes") or ()):
            continue
        for length in part.get("lengths_mm") or ():
            form = part.get("threaded")
            plain: Aff | None = None
            if form == "to-head":
                plain = Aff(0.0)
            elif form == "iso-888":  # ISO 888: 2d + 6 up to 125 mm, 2d + 12 up to 200 mm
                plain = Aff(max(0.0, length - (2 * d + (6 if length <= 125 else 12))))
            order = (float(length), 0 if part.get("head") == "hex" else 1, part.id)
            label = f"{name}x{length:g} {cls}"
            out.append(Bolt(label, cls, Aff(length), plain, part.num("head_diameter_mm"), order))
    kb.cache[key] = sorted(out, key=lambda b: b.order)
    return list(kb.cache[key])


def original_bolt(knuckle: Part) -> Bolt | None:
    """The car's own bolt; None when its class is unknown."""
    cls = knuckle.get("bolt.class")
    if cls is None:
        return None
    length = knuckle.num("bolt.length_mm")
    plain = total((1, length), (-1, knuckle.num("bolt.thread_length_mm")))
    return Bolt("original", cls, length, plain, knuckle.num("bolt.head_diameter_mm"), (0, 0, ""))


@dataclass(frozen=True)
class Stack:
    """Pieces of the stack's range, and whether it settles at mock-up.

    A made stack is one piece, which one bolt serves as a whole. A settling one is cut where the
    bolt changes; `form`, if any, ties its thickness to the facts, `spaced` that of a stack that is
    made, whose error is no more than the window.
    """

    pieces: tuple[Span, ...]
    settles: bool
    form: Aff | None
    spaced: Aff | None = None

    def tie(self, piece: Span) -> Aff | None:
        """What ties the thickness to the facts over a piece: nothing goes between, or a stack."""
        return self.form if self.spaced is None or piece[1] <= 0 else self.spaced


def _on(form: Aff, factor: float, k: Aff) -> Aff:
    joined = total((1.0, form), (factor, k))
    assert joined is not None
    return joined


def margin_span(margin: Margin, stack: Stack, piece: Span) -> Span:
    """Bounds of one margin over one piece of the stack's range (empty margin: no limit)."""
    if not margin:
        return float("inf"), float("inf")
    tied = stack.tie(piece)
    if tied is None or not any(v in tied.t for f, _ in margin for v in f.t):
        k = Aff(0.0, {Var("stack", *piece): 1.0})
        return span_least([_on(f, q, k) for f, q in margin])
    forms = [_on(f, q, tied) for f, q in margin]
    return (
        min(low_given(f, tied, *piece) for f in forms),
        min(high_given(f, tied, *piece) for f in forms),
    )


def serves(margin: Margin, stack: Stack, piece: Span) -> Span | None:
    """The part of a piece over which a margin is surely not short; None if nowhere."""
    lo, hi = piece
    tied = stack.tie(piece)
    for form, factor in margin:
        shared = tied is not None and any(v in tied.t for v in form.t)
        if not shared:
            base = span(form)[0]
            if factor < 0:
                hi = min(hi, (base + EPS) / -factor)
            elif factor > 0:
                lo = max(lo, -(base + EPS) / factor)
            elif base < -EPS:
                return None
        else:
            assert tied is not None
            whole = _on(form, factor, tied)
            if low_given(whole, tied, lo, hi) >= -EPS:
                continue
            ends = [low_given(whole, tied, x, x) >= -EPS for x in (lo, hi)]
            if ends[0] == ends[1]:
                return None
            a, b = (lo, hi) if ends[0] else (hi, lo)
            for _ in range(50):
                mid = (a + b) / 2
                a, b = (mid, b) if low_given(whole, tied, mid, mid) >= -EPS else (a, mid)
            lo, hi = (lo, a) if ends[0] else (a, hi)
        if lo > hi + EPS:
            return None
    return (lo, max(lo, hi)) if lo <= hi + EPS else None


def serves_all(each: dict[str, Margin | None], stack: Stack, piece: Span) -> Span | None:
    """The part of a piece over which all margins surely hold; None if nowhere or unknown."""
    lo, hi = piece
    for margin in each.values():
        found = None if margin is None else serves(margin, stack, (lo, hi))
        if found is None:
            return None
        lo, hi = found
    return lo, hi
