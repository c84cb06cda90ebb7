"""From one setup of an axle to the next: which kinds of parts change, and what that takes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from lugplane.answers.goods import Good
from lugplane.answers.sheet import Line, Sheet
from lugplane.deduce.rulebook import Rulebook
from lugplane.facts.records import Carrier
from lugplane.links.candidates import Candidate
from lugplane.setup.parts import Setup, family

HARDWARE = ("stack", "bolt", "torque", "hose")
"""What may change with a step beside the parts."""
_DEPTHS = tuple(
    f"{e}_depth_{at}_mm" for e in ("inner", "outer") for at in ("mid", "end_1", "end_2")
)
_GRAIN = 1e-9
_PART_WORK = ("caliper", "carrier", "disc", "pad")
_OPENED = ("caliper", "carrier", "disc", "stack", "bolt")
"""Where one of these changes the caliper's joint is opened."""
_LINE_OPENED = ("caliper", "hose")
"""Where one of these changes the hydraulics are opened."""


@dataclass(frozen=True, slots=True)
class Standing:
    """A setup as it may stand on the car: its parts, its sheet and the goods that it needs."""

    key: str
    candidate: Candidate
    setup: Setup
    sheet: Sheet
    goods: tuple[Good, ...]

    @property
    def keys(self) -> frozenset[str]:
        return frozenset(g.key for g in self.goods)

    @property
    def trimmed(self) -> bool:
        return any(line.id == "trim" for line in self.sheet.work)

    def takes_pad(self, pad: str) -> bool:
        """Whether the pad is known to be of the shape that this setup's seat takes."""
        return self.setup.pad_taken.text in (pad, family(pad))


@dataclass(frozen=True, slots=True)
class Off:
    """What comes off: a good by its key, or hardware of the car's own (no key).

    `again`: it may serve again, here or elsewhere, once it has been looked at.
    """

    what: str
    key: str
    again: bool


@dataclass(frozen=True, slots=True)
class Step:
    """One change from a setup to another.

    `kinds` are the kinds of parts that change; a carrier and pads that the new caliper asks for go
    with it. `on` are the ids of the parts that go on. `buys` are the goods that are neither stock
    nor there already. `changes` names the hardware that is another afterwards, `undone` what no
    way leads back from.
    """

    here: str
    there: str
    kinds: tuple[str, ...]
    on: tuple[str, ...]
    buys: tuple[str, ...]
    off: tuple[Off, ...]
    work: tuple[Line, ...]
    hold: tuple[Line, ...]
    changes: tuple[str, ...]
    undone: tuple[Line, ...]


def kinds_changed(here: Standing, there: Standing) -> tuple[str, ...]:
    """The kinds of parts in which two setups differ, each to be changed by itself.

    A carrier goes with the caliper unless the present one takes the new caliper as well; pads go
    with caliper or carrier unless the present ones are of the shape asked for.
    """
    a, b = here.candidate, there.candidate
    kinds: list[str] = []
    if a.caliper != b.caliper:
        kinds.append("caliper")
        present = here.setup.carrier
        if a.carrier != b.carrier and b.carrier and present and _takes(present, b.caliper):
            kinds.append("carrier")
    elif a.carrier != b.carrier:
        kinds.append("carrier")
    seat = bool(kinds)
    if a.disc != b.disc:
        kinds.append("disc")
    if a.pad != b.pad and not (seat and not there.takes_pad(a.pad)):
        kinds.append("pad")
    return tuple(kinds)


def _takes(carrier: Carrier, caliper: str) -> bool:
    return caliper in carrier.calipers.items or family(caliper) in carrier.calipers.items


def spoiled(here: Standing, there: Standing) -> frozenset[str]:
    """The goods of a setup that do not outlast the step to another.

    A trimmed pad serves another setup only where that reckons with as deep a cut. Bolts that are
    to be renewed each time serve once. What was made for one setup serves no other.
    """
    found = {g.key for g in here.goods if g.made}
    if here.trimmed and not _cut_within(here, there):
        found |= {g.key for g in here.goods if g.item.what == "pad"}
    if here.setup.knuckle.bolt.single_use.text == "true":
        found |= {g.key for g in here.goods if g.item.what == "bolt"}
    return frozenset(found)


def _cut_within(here: Standing, there: Standing) -> bool:
    """Whether pads cut for one setup have lost no more than the other's sheet reckons with.

    That sheet is judged up to the most that it may have to take off, and it stands there.
    """
    if here.candidate.pad != there.candidate.pad or not there.trimmed:
        return False
    before, after = here.sheet.row("trim"), there.sheet.row("trim")
    cuts = [(before.notes.get(name), after.notes.get(name)) for name in _DEPTHS]
    cuts.append((before.value, after.value))
    return all(a is None or (b is not None and a.hi <= b.hi + _GRAIN) for a, b in cuts)


class Stepper:
    """Tells what steps take; `stock` is what the customer has from the beginning."""

    def __init__(self, rulebook: Rulebook, stock: Standing) -> None:
        self._stock = stock.keys
        self._work, self._hold = rulebook.steps.work, rulebook.steps.hold

    def step(self, here: Standing, there: Standing) -> Step:
        """What it takes to go from one setup to another."""
        lost = spoiled(here, there)
        changes = hardware_changed(here, there)
        new = _new_parts(here, there)
        work = tuple(self._work_of(here, there, new, changes))
        joint = _joint_opened(new, changes)
        return Step(
            here.key,
            there.key,
            kinds_changed(here, there),
            tuple(new.values()),
            tuple(sorted(there.keys - ((here.keys | self._stock) - lost))),
            tuple(_off(here, there, lost)),
            work,
            tuple(self._holds(here, there, {line.id for line in work}, joint)),
            changes,
            tuple(line for line in work if line.id in ("trim", "shield-trim")),
        )

    def _work_of(
        self,
        here: Standing,
        there: Standing,
        new: Mapping[str, str],
        changes: Collection[str],
    ) -> Iterator[Line]:
        """The whole work of the step, in order: what both sheets ask for is done here once more.

        Work on what is not touched is left out.
        """
        asked = _lines(here.sheet.work, there.sheet.work)
        arrives = {line.id for line in there.sheet.work}
        before = {line.id for line in here.sheet.work}
        stacked = "stack" in changes or "caliper" in new or "carrier" in new
        joint = _joint_opened(new, changes)
        # The body of a floating caliper comes off its slides for the pads alone.
        body = joint or there.setup.caliper.body.text != "fixed"
        line_open = bool({*_LINE_OPENED} & {*new, *changes})
        touched = {
            "hub-clean": "disc" in new,
            "disc": "disc" in new,
            "mock-up": joint,
            "mock-up-lift": joint,
            "room-steered": joint,
            "room-rear": joint,
            "seats": joint,
            "spigot-ring": "disc" in new,
            "shield-trim": "shield-trim" not in before or _nearer(here, there, "shield-lip"),
            "shield-bend": "shield-bend" not in before or _nearer(here, there, "shield-face"),
            "adapter": stacked,
            "swap": joint,
            "settle-stack": joint,
            "stack": joint,
            "carrier": joint,
            "caliper": joint,
            "tighten": joint,
            "tighten-carrier": joint,
            "caliper-body": body,
            "slide-bolts": body,
            "hose": "hose" in changes,
            "hose-way": joint,
            "hose-way-rear": joint,
            "parking-brake": bool({"caliper", "disc"} & {*new}),
            "bleed": line_open,
            "bleed-unit": line_open,
        }
        for step in self._work:
            # A step back to stock asks for the same as the step that led away from it.
            known = step.id in arrives or (step.id in _EITHER_WAY and step.id in asked)
            if known and touched.get(step.id, True):
                yield asked[step.id]

    def _holds(
        self, here: Standing, there: Standing, done: Collection[str], joint: bool
    ) -> Iterator[Line]:
        wanted = {
            "mock-up": bool({"stack", "settle-stack"} & {*done}),
            "mock-up-lift": bool({"stack", "settle-stack"} & {*done}),
            "template-pad": "trim" in done,
            "full-lock": joint,
            "rear-room": joint,
            "engineer": "adapter" in done,
            "measure-disc": "disc" in done,
        }
        asked = _lines(here.sheet.hold, there.sheet.hold)
        arrives = {line.id for line in there.sheet.hold}
        for stop in self._hold:
            known = stop.id in arrives or (stop.id in _EITHER_WAY and stop.id in asked)
            if known and wanted.get(stop.id, True):
                yield asked[stop.id]


_EITHER_WAY = ("hose", "hose-way", "hose-way-rear", "bleed-unit", "parking-brake", "brake-test")
"""What a sheet asks for because a part is not stock, and a change of that part asks for as well."""


def _joint_opened(new: Mapping[str, str], changes: Collection[str]) -> bool:
    return bool(set(_OPENED) & {*new, *changes})


def _lines(here: Iterable[Line], there: Iterable[Line]) -> dict[str, Line]:
    """Lines of two sheets by their ids, those of the second first."""
    return {line.id: line for line in (*here, *there)}


def _new_parts(here: Standing, there: Standing) -> dict[str, str]:
    """Kind and id of every part that goes on."""
    a, b = here.candidate, there.candidate
    found: dict[str, str] = {}
    for kind in _PART_WORK:
        before, after = getattr(a, kind), getattr(b, kind)
        if after and before != after:
            found[kind] = after
    return found


def _nearer(here: Standing, there: Standing, check: str) -> bool:
    """Whether a quantity may be less than it was: more has to come off, or be bent away."""
    before, after = here.sheet.row(check).value, there.sheet.row(check).value
    return before is None or after is None or after.lo < before.lo or after.hi < before.hi


def hardware_changed(here: Standing, there: Standing) -> tuple[str, ...]:
    """What of stack, bolt, torque and hose is another afterwards."""
    a, b = _hardware(here), _hardware(there)
    return tuple(name for name in HARDWARE if a[name] != b[name])


def _hardware(standing: Standing) -> dict[str, object]:
    sheet = standing.sheet
    settled = len(sheet.stack) > 1
    return {
        "stack": tuple(
            (
                o.kind,
                o.count,
                o.thickness_mm,
                (o.from_mm, o.to_mm) if settled or o.thickness_mm is None else None,
            )
            for o in sheet.stack
        ),
        "bolt": tuple((b.record, b.thread, b.length_mm, b.class_) for b in sheet.bolts),
        "torque": (sheet.torque_nm, sheet.torque_origin),
        "hose": next((g.key for g in standing.goods if g.item.what == "hose"), ""),
    }


def _off(here: Standing, there: Standing, lost: frozenset[str]) -> Iterator[Off]:
    for good in here.goods:
        if good.key not in there.keys or good.key in lost:
            yield Off(good.item.what, good.key, good.key not in lost)
    was, is_ = ({g.item.what for g in s.goods} for s in (here, there))
    original = here.sheet.bolts and not any(b.record for b in here.sheet.bolts)
    if original and "bolt" in is_:
        yield Off("original bolt", "", here.setup.knuckle.bolt.single_use.text == "false")
    if "hose" in is_ and "hose" not in was:
        yield Off("original hose", "", True)
