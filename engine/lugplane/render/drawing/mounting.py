"""Where ear, lug and bolt lie in the section plane: one description for both mounts.

`u` runs along the bolt from ear towards lug, `v` across it. Axial mount: `u` is axial and the seat
lies at the ear's face; radial mount: `u` is radial and the seat at the seat radius. The holes lie
beside the section plane, at their own radii; they are projected into it along the bolt line.
"""

from __future__ import annotations

from dataclasses import dataclass

from lugplane.measure.bench import Bench, Bolts, ChosenBolt, DoesNotApply, Stack, StackOption
from lugplane.measure.bolts import engaged, joint
from lugplane.measure.mount import joint_state, read_thread
from lugplane.quantity.form import Form, Missing
from lugplane.render.drawing.hatch import Point

_USUAL_BOLT_MM = 12.0


@dataclass(frozen=True, slots=True)
class Mount:
    """Place and direction of the joint: seat `u`, way from ear to lug, and the bolt's middle."""

    radial: bool
    seat: float
    way: int
    line: float

    def at(self, u: float, v: float) -> Point:
        """A point of the section, `v` from the bolt's middle."""
        return (self.line + v, u) if self.radial else (u, self.line + v)

    def aside(self, half: float) -> float:
        """`v` of a clear place in a lug: the side away from the pads."""
        return -0.7 * half if self.radial else 0.7 * half

    def box(self, u0: float, u1: float, v0: float, v1: float) -> tuple[Point, ...]:
        """A rectangle along the bolt."""
        return (self.at(u0, v0), self.at(u1, v0), self.at(u1, v1), self.at(u0, v1))


def mount(b: Bench) -> Mount:
    """The joint as placed. Raises `Missing`."""
    p = b.place
    if p.mount == "radial":
        return Mount(True, p.bolt_line_bare.nominal, 1, p.ear_face.nominal)
    return Mount(False, p.ear_face.nominal, p.sigma, p.bolt_line_bare.nominal)


@dataclass(frozen=True, slots=True)
class Bolted:
    """A bolt along `u`: under its head, its tip, where its thread begins, and its engagement.

    `way` is the direction from head to tip.
    """

    bolt: ChosenBolt
    way: int
    head: float
    tip: float
    thread_from: float
    mouth: float
    engaged_to: float
    diameter: float
    pitch: float


def bolted(b: Bench, m: Mount) -> Bolted:
    """The bolt that serves the nominal stack. Raises `Missing`, `DoesNotApply`."""
    if "bolt" not in b.findings:
        by = "whoever designs the adapter chooses it" if is_adapter(b) else "none was chosen"
        raise DoesNotApply(by)
    j, state, k = joint(b), joint_state(b), b.stack.k.nominal
    bolt = _serving(b.bolts, k)
    length, threaded = _lengths(b, bolt)
    passed = j.clamped.nominal - b.place.q(b.setup.knuckle.bolt.head_washer_mm).nominal
    washer = j.clamped.nominal - passed
    lug_face = m.seat + m.way * k
    if state == "lug":
        way, seat, mouth = m.way, m.seat - m.way * passed, lug_face
    else:
        way, seat, mouth = -m.way, lug_face + m.way * passed, m.seat
    head = seat - way * washer
    tip = head + way * length
    inside = engaged(j, b, bolt, Form(k)).nominal
    return Bolted(
        bolt,
        way,
        head,
        tip,
        tip - way * threaded,
        mouth,
        mouth + way * max(inside, 0.0),
        j.diameter,
        j.pitch,
    )


def _serving(bolts: Bolts, k: float) -> ChosenBolt:
    options = [o for o in bolts.options if o.bolt is not None]
    if not options:
        raise Missing("a bolt that qualifies")
    best = min(options, key=lambda o: max(o.from_ - k, k - o.to, 0.0))
    if best.bolt is None:
        raise Missing("a bolt that qualifies")
    return best.bolt


def _lengths(b: Bench, bolt: ChosenBolt) -> tuple[float, float]:
    """Length under the head and threaded length, nominal."""
    original = b.setup.knuckle.bolt
    if not bolt.record:
        return (
            b.place.q(original.length_mm).nominal,
            b.place.q(original.thread_length_mm).nominal,
        )
    length = bolt.length or 0.0
    return length, length if bolt.threaded is None else bolt.threaded


def is_adapter(b: Bench) -> bool:
    """Whether an adapter plate goes between ear and lug."""
    found = b.findings.get("adapter")
    return found is not None and found.choice is not None and found.choice.state == "plate"


def half_shown(b: Bench) -> float:
    """How far to either side of the bolt's middle the lugs are shown; they are broken off there."""
    return 1.1 * bolt_size(b)


def bolt_size(b: Bench) -> float:
    """The thread's diameter in mm; a usual one where neither side's thread is known."""
    for word in (b.setup.lug.thread, b.setup.knuckle.ear.thread, b.setup.knuckle.bolt.thread):
        if word.text is not None:
            return read_thread(word.text).nominal_mm
    return _USUAL_BOLT_MM


def stack_option(stack: Stack) -> StackOption | None:
    """The option that serves the nominal stack."""
    k = stack.k.nominal
    for option in stack.options:
        size = option.thickness
        if size is not None and abs(size - k) < 0.3 and option.kind != "bare":
            return option
    return stack.options[0] if len(stack.options) == 1 else None
