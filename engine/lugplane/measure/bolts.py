"""Which bolt: the original where it qualifies, else the shortest standard one that does (TRADE §3).

Every candidate serves a range of stacks: too thick a stack leaves too little engagement, too thin
a one lets the shank or the bottom of a blind hole stop the bolt before it clamps.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

from lugplane.measure.bench import (
    Bench,
    BoltOption,
    Bolts,
    Choice,
    ChosenBolt,
    DoesNotApply,
    Reckoned,
    choice,
    measure,
)
from lugplane.measure.hardware import thread_length_mm
from lugplane.measure.mount import joint_state, plain_member, read_thread, thread, threaded_member
from lugplane.measure.strength import property_class
from lugplane.measure.stripping import LEAST_CHART_FACTOR, needed_engagement
from lugplane.measure.threads import Thread, stress_area_mm2
from lugplane.measure.tied import highest, lowest
from lugplane.measure.tolerances import ThreadSizes, basic_sizes, least_material_sizes
from lugplane.quantity.form import Extent, Form, Missing, extent, least, within
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.quantity.text import number

CLASSES = ("8.8", "9.8", "10.9", "12.9")
_BOUGHT = ("8.8", "10.9")
_SHORT, _SHANK = "too short", "its shank reaches the thread"
_BOTTOM, _TIP = "it bottoms in the blind hole", "its tip comes too near the disc"
_GRAIN = 1e-9
_HALVINGS = 50


def at_least(*classes: str) -> str:
    """The highest of some property classes."""
    return max(classes, key=CLASSES.index)


@choice
def class_(b: Bench) -> Choice:
    """The least property class: never below the original nor 8.8; a long stack asks for more."""
    original = b.place.word(b.setup.knuckle.bolt.class_)
    joint_state(b)
    b.detail("stack")  # without a stack the class is as unknown as what it depends on
    asked = b.premises["c"]["least"]
    needed = at_least("8.8", original, *([] if asked == "original" else [asked]))
    raised = needed != original
    return Choice("raised" if raised else "as-original", needed)


@dataclass(frozen=True, slots=True)
class Joint:
    """What all candidates share: forms without the stack."""

    clamped: Form
    pitch: float
    diameter: float
    depth: Form
    blind: bool
    tip_room: Form | None
    tip_by_stack: float
    tip_least: float
    tip_unknown: tuple[str, ...]


def joint(b: Bench) -> Joint:
    """Grip without a stack, thread depth, and the room for the bolt's tip."""
    size = thread(b)  # first: where nothing clamps, what was read still stands behind that
    return b.place.keep("the bolts' joint", lambda: _joint(b, size))


def _joint(b: Bench, size: Thread) -> Joint:
    p, s = b.place, b.setup
    member, passed = threaded_member(b), plain_member(b)
    p.note(member.depth_mm.path)
    if member.depth_mm.through:
        depth, blind = p.q(member.thickness_mm), False
    else:
        depth, blind = p.q(member.depth_mm), True
    clamped = p.q(passed.thickness_mm) + p.q(s.knuckle.bolt.head_washer_mm)
    room, by_stack, unknown = _tip_room(b, clamped)
    return Joint(
        clamped,
        size.pitch_mm,
        size.nominal_mm,
        depth,
        blind,
        room,
        by_stack,
        b.limits["tip"].edges()[0],
        unknown,
    )


def _tip_room(b: Bench, clamped: Form) -> tuple[Form | None, float, tuple[str, ...]]:
    """Disc face less the seat of the head: the tip's gap is this less the length.

    Only where the bolt points outboard and its hole lies inside the disc's edge; the second value
    is how the gap grows with the stack. The third: the facts for want of which the hole is not
    known to lie inside, though it may.
    """
    p = b.place
    if p.mount != "axial":
        return None, 0.0, ()
    outboard_bolt = (p.sigma == 1) == (joint_state(b) == "lug")
    if not outboard_bolt:
        return None, 0.0, ()
    ear, diameter = b.setup.knuckle.ear, b.setup.disc.diameter_mm
    facts = (diameter, ear.hole_1_radius_mm, ear.hole_2_radius_mm)
    p.note(*(fact.path for fact in facts))
    unknown = tuple(fact.path for fact in facts if not fact.known)
    if diameter.known:
        outside = p.disc_radius.hi + thread(b).nominal_mm / 2
        nearest = min((p.q(hole).lo for hole in facts[1:] if hole.known), default=outside)
        if nearest < outside:
            unknown = ()
        elif not unknown:
            return None, 0.0, ()
    face = p.middle - p.ring / 2
    return face - p.ear_face + clamped, 0.0 if p.sigma == 1 else 1.0, unknown


@dataclass(frozen=True, slots=True)
class Needed:
    """Engagement needed in a joint, mm: by rule, by stripping, and the greater of the two.

    Stripping is reckoned twice: with the thread's basic sizes, as tables give it, and with the
    least material that its tolerances (6g/6H) allow. The worse of them counts.
    """

    rule: Form
    basic: Form
    least: Form
    both: Form


def needed_in(b: Bench, class_name: str) -> Needed:
    """Needed engagement for a bolt of a class in this joint (TRADE §3)."""
    return b.place.common(f"needed {class_name}", b.read, lambda: _needed_in(b, class_name))


def _needed_in(b: Bench, class_name: str) -> Needed:
    p, member, size = b.place, threaded_member(b), thread(b)
    material = p.word(member.material).replace("-", "_")
    rule = b.constants[f"engagement_{material}"] * size.nominal_mm
    grade = property_class(class_name, size.nominal_mm)
    tensile = p.q(member.tensile_mpa)

    def stripping(sizes: ThreadSizes) -> Form:
        lengths = [
            needed_engagement(
                sizes,
                stress_area_mm2(size.nominal_mm, size.pitch_mm),
                grade.tensile_mpa,
                rm,
                off_chart_factor=LEAST_CHART_FACTOR,
            ).length_mm
            for rm in (tensile.lo, tensile.hi)
        ]
        if max(lengths) - min(lengths) < _GRAIN:
            return Form(lengths[0])
        return within(member.tensile_mpa.path, min(lengths), max(lengths))

    basic = stripping(basic_sizes(size.nominal_mm, size.pitch_mm))
    least_material = stripping(least_material_sizes(size.nominal_mm, size.pitch_mm))
    if rule >= least_material.hi:
        both = Form(rule)
    elif least_material.lo >= rule:
        both = least_material
    else:
        nominal = max(rule, least_material.nominal)
        both = within("(needed engagement)", rule, least_material.hi, nominal)
    return Needed(Form(rule), basic, least_material, both)


def _needed(b: Bench, class_name: str) -> Form:
    return needed_in(b, class_name).both


Quantity = Callable[[Joint, Bench, ChosenBolt, Form], Extent]


def _length(b: Bench, bolt: ChosenBolt) -> Form:
    return (
        b.place.q(b.setup.knuckle.bolt.length_mm) if not bolt.record else Form(bolt.length or 0.0)
    )


def _thread_length(b: Bench, bolt: ChosenBolt) -> Form:
    if not bolt.record:
        return b.place.q(b.setup.knuckle.bolt.thread_length_mm)
    return Form(bolt.threaded or 0.0)


def engaged(j: Joint, b: Bench, bolt: ChosenBolt, k: Form) -> Extent:
    """`min(L - grip - P, depth)` (TRADE §3)."""
    return least(_length(b, bolt) - j.clamped - k - j.pitch, j.depth)


def engagement_left(j: Joint, b: Bench, bolt: ChosenBolt, k: Form) -> Extent:
    """Engagement less what is needed."""
    need = _needed(b, bolt.class_)
    return least(_length(b, bolt) - j.clamped - k - j.pitch - need, j.depth - need)


def shank_left(j: Joint, b: Bench, bolt: ChosenBolt, k: Form) -> Extent:
    """Grip less the plain shank."""
    return extent(j.clamped + k - _length(b, bolt) + _thread_length(b, bolt))


def bottom_left(j: Joint, b: Bench, bolt: ChosenBolt, k: Form) -> Extent:
    """Depth of the blind hole less what reaches into it."""
    return extent(j.depth - _length(b, bolt) + j.clamped + k)


def tip_left(j: Joint, b: Bench, bolt: ChosenBolt, k: Form) -> Extent:
    """Disc face less the bolt's tip."""
    if j.tip_room is None:
        raise DoesNotApply("the bolt does not point at the disc")
    return extent(j.tip_room - _length(b, bolt) + k * j.tip_by_stack)


def _misses(j: Joint, b: Bench, bolt: ChosenBolt, k: Form) -> Iterator[Extent]:
    """Each margin that a candidate needs, zero or more."""
    yield engagement_left(j, b, bolt, k)
    yield shank_left(j, b, bolt, k)
    if j.blind:
        yield bottom_left(j, b, bolt, k)
    if j.tip_room is not None:
        tip, off = tip_left(j, b, bolt, k), j.tip_least
        yield Extent(tip.lo - off, tip.hi - off, tip.nominal - off, tip.effects)


Sloped = tuple[Form, float]
"""A margin without the stack, and how it grows with the stack."""


@dataclass(frozen=True, slots=True)
class Margin:
    """What is left of a need without the stack and without what the bolt itself brings; how that
    grows with the stack, with the bolt's length and with that of its thread; and what is said of a
    bolt that falls short of it."""

    said: str
    bare: Form
    by_stack: float = 0.0
    by_length: float = 0.0
    by_thread: float = 0.0

    def of(self, b: Bench, bolt: ChosenBolt) -> Form:
        """The margin of a bolt, without the stack."""
        if bolt.record:
            return self.bare + self.brought(bolt)
        own = self.bare
        if self.by_length:
            own = own.plus(_length(b, bolt), self.by_length)
        return own.plus(_thread_length(b, bolt), self.by_thread) if self.by_thread else own

    def least(self, b: Bench, bolt: ChosenBolt) -> float:
        """The least of that."""
        return self.bare.lo + self.brought(bolt) if bolt.record else self.of(b, bolt).lo

    def most(self, b: Bench, bolt: ChosenBolt) -> float:
        """The greatest of that."""
        return self.bare.hi + self.brought(bolt) if bolt.record else self.of(b, bolt).hi

    def brought(self, bolt: ChosenBolt) -> float:
        """What a bolt that is bought brings by its length and by that of its thread."""
        return self.by_length * (bolt.length or 0.0) + self.by_thread * (bolt.threaded or 0.0)


def _margins(j: Joint, b: Bench, class_name: str) -> tuple[Margin, ...]:
    """The margins for bolts of a class: zero or more where a bolt serves."""
    name = f"margins {class_name}, {'no tip' if j.tip_room is None else 'tip'}"
    return b.place.keep(name, lambda: _margins_in(j, b, class_name))


def _margins_in(j: Joint, b: Bench, class_name: str) -> tuple[Margin, ...]:
    need = _needed(b, class_name)
    found = [
        Margin(_SHORT, -(j.clamped + j.pitch + need), by_stack=-1.0, by_length=1.0),
        Margin(_SHORT, j.depth - need),
        Margin(_SHANK, j.clamped, by_stack=1.0, by_length=-1.0, by_thread=1.0),
    ]
    if j.blind:
        found.append(Margin(_BOTTOM, j.depth + j.clamped, by_stack=1.0, by_length=-1.0))
    if j.tip_room is not None:
        room = j.tip_room - j.tip_least
        found.append(Margin(_TIP, room, by_stack=j.tip_by_stack, by_length=-1.0))
    return tuple(found)


class Margins(dict[str, tuple[Margin, ...]]):
    """The margins of a joint's bolts by their class, reckoned when they are first asked for."""

    __slots__ = ("_bench", "_joint")

    def __init__(self, j: Joint, b: Bench) -> None:
        super().__init__()
        self._joint, self._bench = j, b

    def __missing__(self, class_name: str) -> tuple[Margin, ...]:
        found = self[class_name] = _margins(self._joint, self._bench, class_name)
        return found


@dataclass(frozen=True, slots=True)
class Case:
    """One case of the stack: its least and greatest thickness, and what ties it to the facts.

    `tie` is a form over the facts that is as thick as the stack; None: the stack is what it is,
    whatever the facts.
    """

    lo: float
    hi: float
    tie: Form | None = None

    def tied_to(self, form: Form) -> Form | None:
        """What ties the stack to a form, where they have a fact in common."""
        return self.tie if self.tie is not None and form.terms.keys() & self.tie.terms else None


def case_of(b: Bench) -> Case:
    """The case of the stack that is being looked at."""
    stack, chosen = b.stack, b.findings["stack"].choice
    tie: Form | None = None
    if chosen is not None and chosen.state == "settle" and not b.radial:
        # What was made takes up the spacing but for the error that it leaves.
        tie = b.place.spacing + stack.e * b.place.sigma
    return Case(max(stack.k.lo, 0.0), max(stack.k.hi, 0.0), tie)


def _serves(margins: Margins, b: Bench, bolt: ChosenBolt, case: Case) -> tuple[float, float]:
    """The stacks of a case for which a candidate surely qualifies (from > to: none)."""
    lo, hi = case.lo, case.hi
    for margin in margins[bolt.class_]:
        tie, slope = case.tied_to(margin.bare), margin.by_stack
        if tie is not None:
            lo, hi = _served(margin.of(b, bolt) + tie * slope, tie, lo, hi)
        elif slope < 0:
            hi = min(hi, margin.least(b, bolt) / -slope)
        elif slope > 0:
            lo = max(lo, -margin.least(b, bolt) / slope)
        elif margin.least(b, bolt) < -_GRAIN:
            return 1.0, 0.0
        if lo > hi + _GRAIN:
            return 1.0, 0.0
    return lo, hi


def _served(whole: Form, tie: Form, lo: float, hi: float) -> tuple[float, float]:
    """The stacks for which a margin that hangs on the tie is surely not short.

    Its least value bends upwards over the stack: short at both ends it is short between.
    """
    if lowest(whole, tie, lo, hi) >= -_GRAIN:
        return lo, hi
    good = [lowest(whole, tie, x, x) >= -_GRAIN for x in (lo, hi)]
    if good[0] == good[1]:
        return 1.0, 0.0
    a, z = (lo, hi) if good[0] else (hi, lo)
    for _ in range(_HALVINGS):
        middle = (a + z) / 2
        a, z = (middle, z) if lowest(whole, tie, middle, middle) >= -_GRAIN else (a, middle)
    return (lo, a) if good[0] else (a, hi)


def original_bolt(b: Bench) -> ChosenBolt:
    """The car's own bolt."""
    p, bolt = b.place, b.setup.knuckle.bolt
    return ChosenBolt(
        "", p.word(bolt.thread), p.q(bolt.length_mm).nominal, p.word(bolt.class_), None, Form()
    )


def standard_bolts(b: Bench, class_name: str) -> list[ChosenBolt]:
    """Standard bolts of the joint's thread in a class, the shortest first."""
    return b.place.common(f"bolts {class_name}", b.read, lambda: _standard_bolts(b, class_name))


def _standard_bolts(b: Bench, class_name: str) -> list[ChosenBolt]:
    size = thread(b)
    named = str(size)
    found: list[tuple[float, str, str, ChosenBolt]] = []
    for record in b.setup.bolts:
        if not record.thread.known or read_thread(record.thread.word) != size:
            continue
        if class_name not in record.classes.items:
            continue
        for length in record.lengths_mm.items:
            threaded = (
                length
                if record.threaded.text == "to-head"
                else thread_length_mm(size.nominal_mm, length)
            )
            bolt = ChosenBolt(record.id, named, length, class_name, min(threaded, length), Form())
            found.append((length, record.head.text or "", record.id, bolt))
    return [bolt for *_, bolt in sorted(found, key=lambda row: row[:3])]


def _untold(b: Bench, needed: str) -> tuple[str, ...]:
    """Facts not known that may rule the car's own bolt out, where nothing known does."""
    bolt = b.setup.knuckle.bolt
    other = bolt.thread.known and read_thread(bolt.thread.word) != thread(b)
    weak = CLASSES.index(b.place.word(bolt.class_)) < CLASSES.index(needed)
    if other or weak or bolt.single_use.text == "true":
        return ()
    return tuple(fact.path for fact in (bolt.thread, bolt.single_use) if not fact.known)


def _original_unfit(margins: Margins, b: Bench, needed: str, cases: Sequence[Case]) -> str:
    """What rules the car's own bolt out before its length is looked at; empty: nothing.

    Raises `Missing` where a fact that is not known may rule it out and nothing known does.
    """
    p, bolt = b.place, b.setup.knuckle.bolt
    p.note(bolt.thread.path, bolt.single_use.path)
    if bolt.thread.known and read_thread(bolt.thread.word) != thread(b):
        return f"its thread {bolt.thread.word} is not the joint's {thread(b)}"
    if CLASSES.index(p.word(bolt.class_)) < CLASSES.index(needed):
        return f"its class {bolt.class_.word} is below {needed}"
    if bolt.single_use.text == "true":
        return "it is to be renewed each time"
    unknown = _untold(b, needed)
    if not unknown:
        return ""
    own = ChosenBolt(
        "", str(thread(b)), p.q(bolt.length_mm).nominal, bolt.class_.word, None, Form()
    )
    served = [_serves(margins, b, own, case) for case in cases]
    stack = b.findings["stack"].choice
    part = stack is not None and stack.state == "settle"
    whole = all(
        low <= case.lo + _GRAIN and high >= case.hi - _GRAIN
        for (low, high), case in zip(served, cases, strict=True)
    )
    if any(low <= high + _GRAIN for low, high in served) and (part or whole):
        raise Missing(*unknown)
    lo, hi = min(c.lo for c in cases), max(c.hi for c in cases)
    return _worst_miss(margins, b, own, lo, hi) or "no one stack would suit it"


@choice
def bolt(b: Bench) -> Choice:
    """Choose the bolt for every stack within the stack's doubt (TRADE §3, lengths).

    Where it is not known whether the bolt stands inside the disc's edge, it must be the same bolt
    with the disc before its tip and without.
    """
    j = joint(b)
    chosen = _chosen(j, b)
    if j.tip_unknown:
        free = _chosen(replace(j, tip_room=None), b)
        if (free.state, _bolts_of(free)) != (chosen.state, _bolts_of(chosen)):
            raise Missing(*j.tip_unknown)
    return chosen


def _bolts_of(choice: Choice) -> tuple[BoltOption, ...]:
    return choice.detail.options if isinstance(choice.detail, Bolts) else ()


def _chosen(j: Joint, b: Bench) -> Choice:
    margins, cases = Margins(j, b), [case_of(b) for _ in b.in_each_regime()]
    b.detail("class")
    found = b.findings["class"].choice
    needed = found.said if found else "10.9"
    lo, hi = min(c.lo for c in cases), max(c.hi for c in cases)
    unfit = _original_unfit(margins, b, needed, cases)
    candidates: list[ChosenBolt] = []
    if not unfit:
        candidates.append(original_bolt(b))
    bought = next((c for c in _BOUGHT if CLASSES.index(c) >= CLASSES.index(needed)), None)
    if bought is not None:
        candidates.extend(standard_bolts(b, bought))
    at = _why_not_original(margins, b, unfit, lo, hi)
    options = _merged([o for case in cases for o in _cover(margins, b, candidates, case)])
    stack = b.findings["stack"].choice
    if len(options) > 1 and stack is not None and stack.state != "settle":
        # Nothing is settled later: the doubt is that of the stack's make, and one bolt has to do.
        options = _one_for_all(margins, b, candidates, lo, hi) or options
    if all(o.bolt is None for o in options):
        doubtful = _possible(j, margins, b, candidates, cases)
        if not doubtful and (unknown := _untold(b, needed)):
            # Its length did not surely serve, and does not surely fail to.
            of_length = _possible(j, margins, b, [original_bolt(b)], cases)
            doubtful = (*unknown, *of_length) if of_length else ()
        if doubtful:
            return Choice(CANNOT_TELL, "", None, doubtful)
        return Choice("none", at, Bolts(options, at))
    if any(o.bolt is None for o in options):
        stacks = [b.stack.k for _ in b.in_each_regime()]
        return Choice(CANNOT_TELL, "", None, _doubt_of(stacks))
    if len(options) > 1:
        return Choice("settle", at, Bolts(options, at))
    only = options[0].bolt
    stays = only is not None and not only.record
    return Choice("stays" if stays else "replaced", "" if stays else at, Bolts(options, at))


def _one_for_all(
    margins: Margins, b: Bench, candidates: list[ChosenBolt], lo: float, hi: float
) -> tuple[BoltOption, ...]:
    """The first candidate that serves every stack of a range, if one does."""
    for c in candidates:
        low, high = _serves(margins, b, c, Case(lo, hi))
        if low <= lo + _GRAIN and high >= hi - _GRAIN:
            return (BoltOption(c, lo, hi),)
    return ()


def _doubt_of(stacks: list[Form]) -> tuple[str, ...]:
    """The facts that the stack's doubt comes from; where it is settled later, the spacing."""
    facts = [i.path for k in stacks for i in k.terms if i.half > _GRAIN and i.path[0] != "("]
    return tuple(dict.fromkeys(facts)) or ("spacing_mm",)


def _merged(options: list[BoltOption]) -> tuple[BoltOption, ...]:
    """Neighbours with the same bolt as one."""
    merged: list[BoltOption] = []
    for o in options:
        if merged and merged[-1].bolt == o.bolt:
            merged[-1] = BoltOption(o.bolt, merged[-1].from_, o.to)
        else:
            merged.append(o)
    return tuple(merged)


def _why_not_original(margins: Margins, b: Bench, unfit: str, lo: float, hi: float) -> str:
    """All that stands against the car's own bolt, in words; empty: nothing does."""
    bolt = b.setup.knuckle.bolt
    said = [unfit] if unfit else []
    if bolt.thread.known and read_thread(bolt.thread.word) == thread(b):
        try:
            said.append(_worst_miss(margins, b, original_bolt(b), lo, hi))
        except Missing:
            if not unfit:
                raise
    return "; ".join(dict.fromkeys(s for s in said if s))


def _worst_miss(margins: Margins, b: Bench, bolt: ChosenBolt, lo: float, hi: float) -> str:
    """What a bolt is found to be with the thickest stack or, else, with the thinnest."""
    for k in dict.fromkeys((hi, lo)):
        for said, parts in groupby(margins[bolt.class_], key=lambda m: m.said):
            left = min([m.least(b, bolt) + m.by_stack * k for m in parts])
            if left < -_GRAIN:
                return f"it is {said} by {number(-left)} mm" if said == _SHORT else said
    return ""


def _cover(
    margins: Margins, b: Bench, candidates: list[ChosenBolt], case: Case
) -> tuple[BoltOption, ...]:
    lo, hi = case.lo, case.hi
    spans = [(c, *_serves(margins, b, c, case)) for c in candidates]
    spans = [(c, a, z) for c, a, z in spans if a <= z + _GRAIN]
    marks = sorted({lo, hi, *(m for _, a, z in spans for m in (a, z) if lo < m < hi)})
    if lo == hi:
        marks = [lo, hi]
    found: list[BoltOption] = []
    for a, z in pairwise(marks):
        if z - a < 1e-7 and lo != hi:
            continue
        middle = (a + z) / 2
        best = next((c for c, u, v in spans if u - _GRAIN <= middle <= v + _GRAIN), None)
        found.append(BoltOption(best, a, z))
    return _merged(found)


def _possible(
    j: Joint, margins: Margins, b: Bench, candidates: list[ChosenBolt], cases: Sequence[Case]
) -> tuple[str, ...]:
    """Facts in whose doubt some candidate may yet qualify; empty: none can."""
    lo, hi = min(c.lo for c in cases), max(c.hi for c in cases)
    for c in candidates:
        if any(_may_serve(margins, b, c, case) for case in cases):
            at_ends = [m for k in (lo, hi) for m in _misses(j, b, c, Form(k))]
            short = [m for m in at_ends if m.lo < -_GRAIN]
            facts = [f for m in short for f, e in m.effects.items() if e.reach > _GRAIN]
            named = tuple(dict.fromkeys(f for f in facts if not f.startswith("(")))
            return named or ("spacing_mm",)
    return ()


def _may_serve(margins: Margins, b: Bench, bolt: ChosenBolt, case: Case) -> bool:
    """Whether no margin of a candidate is surely short over all of a case."""
    for margin in margins[bolt.class_]:
        tie, slope = case.tied_to(margin.bare), margin.by_stack
        if tie is None:
            top = margin.most(b, bolt) + max(slope * case.lo, slope * case.hi)
        else:
            top = highest(margin.of(b, bolt) + tie * slope, tie, case.lo, case.hi)
        if top < -_GRAIN:
            return False
    return True


Parts = Callable[[Joint, Bench, ChosenBolt], Sequence[Sloped]]


def _sloped(j: Joint, b: Bench, bolt: ChosenBolt) -> list[Sloped]:
    """The margins of one bolt, in their order."""
    return [(m.of(b, bolt), m.by_stack) for m in _margins(j, b, bolt.class_)]


def _over(
    j: Joint, b: Bench, quantity: Quantity, parts: Parts, have: Quantity | None = None
) -> Reckoned:
    """A margin over the bolts chosen for this case of the stack, each with the stacks it serves.

    `parts` are the margin's forms, the least of which it is.
    """
    case = case_of(b)
    options = [o for o in b.bolts.options if o.bolt is not None]
    if not options:
        raise DoesNotApply("no bolt qualifies")
    exact = len(options) == 1 and b.regimes == 1
    judged: list[Extent] = []
    got: list[Extent] = []
    for o in options:
        low, high = max(o.from_, case.lo), min(o.to, case.hi)
        if o.bolt is None or low > high + _GRAIN:
            continue
        high = max(low, high)
        k = b.stack.k if exact else within("(stack)", low, high)
        found = quantity(j, b, o.bolt, k)
        judged.append(_tied(found, parts(j, b, o.bolt), case, low, high))
        got.append(have(j, b, o.bolt, k) if have else judged[-1])
    if not judged:
        raise DoesNotApply("no bolt qualifies")
    return Reckoned(_hull(judged), have=_hull(got))


def _hull(parts: list[Extent]) -> Extent:
    worst = min(parts, key=lambda e: e.lo)
    return Extent(worst.lo, max(e.hi for e in parts), parts[0].nominal, worst.effects)


def _tied(found: Extent, parts: Sequence[Sloped], case: Case, low: float, high: float) -> Extent:
    """Bounds narrowed by what ties the stack, within `low..high`, to the facts."""
    lows: list[float] = []
    highs: list[float] = []
    for form, slope in parts:
        tie = case.tied_to(form)
        if tie is None:
            return found
        whole = form + tie * slope
        lows.append(lowest(whole, tie, low, high))
        highs.append(highest(whole, tie, low, high))
    lo, hi = max(found.lo, min(lows)), min(found.hi, min(highs))
    if lo > hi:
        return found
    return Extent(lo, hi, min(max(found.nominal, lo), hi), found.effects)


@measure
def engagement(b: Bench) -> Reckoned:
    """Engagement less what is needed, with what is needed by rule and by stripping."""
    j = joint(b)
    left = _over(j, b, engagement_left, lambda j, b, bolt: _sloped(j, b, bolt)[:2], engaged)
    options = [o.bolt for o in b.bolts.options if o.bolt is not None]
    need = needed_in(b, options[-1].class_)
    return Reckoned(
        left.judged,
        have=left.have,
        need=extent(need.both),
        notes={
            "by_rule_mm": extent(need.rule),
            "by_stripping_mm": extent(need.basic),
            "by_stripping_least_material_mm": extent(need.least),
        },
    )


@measure
def shank(b: Bench) -> Reckoned:
    """Grip less the plain shank."""
    return _over(joint(b), b, shank_left, lambda j, b, bolt: _sloped(j, b, bolt)[2:3])


@measure
def bottoming(b: Bench) -> Reckoned:
    """Depth of a blind hole less what reaches into it."""
    j = joint(b)
    if not j.blind:
        raise DoesNotApply("the threaded hole goes through")
    return _over(j, b, bottom_left, lambda j, b, bolt: _sloped(j, b, bolt)[3:4])


def _tip_margin(j: Joint, b: Bench, bolt: ChosenBolt) -> list[Sloped]:
    if j.tip_room is None:
        return []
    return [(j.tip_room - _length(b, bolt), j.tip_by_stack)]


@measure
def tip(b: Bench) -> Reckoned:
    """Disc face less the bolt's tip."""
    j = joint(b)
    if j.tip_room is None:
        raise DoesNotApply("the bolt does not point at the disc, or sits outside its edge")
    return _over(j, b, tip_left, _tip_margin)
