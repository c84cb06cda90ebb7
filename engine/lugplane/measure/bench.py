"""What a measure is given and what it gives back.

A measure is a pure function of a `Bench` (the placed parts and what was found so far) and of
constants, taken as keyword arguments by their names in `rules/limits.yaml`. It returns a
`Reckoned` quantity or a `Choice`, or raises `Missing` (facts not known) or `DoesNotApply`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from lugplane.measure.registry import CHOICES as CHOICES
from lugplane.measure.registry import MEASURES as MEASURES
from lugplane.measure.registry import Entry
from lugplane.measure.registry import choice as choice
from lugplane.measure.registry import measure as measure
from lugplane.quantity.form import Effect, Extent, Form, Missing, extent
from lugplane.quantity.judge import CANNOT_TELL, Limit
from lugplane.setup.parts import Setup
from lugplane.setup.place import Place
from lugplane.setup.shared import PREMISES, Reads, Shared


class DoesNotApply(Exception):
    """The check has nothing to look at in this setup; the text says why."""


class Undecided(Exception):
    """Nothing can be reckoned although no single fact is missing; the text says why."""


@dataclass(frozen=True, slots=True)
class Reckoned:
    """A quantity. `judged` is held against the limit; `have` and `need` are what it is made of.

    `notes` are further numbers worth telling, by name, in the quantity's unit.
    """

    judged: Extent
    unit: str = "mm"
    have: Extent | None = None
    need: Extent | None = None
    notes: Mapping[str, Extent] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Stack:
    """What goes between ear and lug.

    `k` its thickness and `e` the error left, both as forms; `options` in the order of the spacing
    they serve. More than one option (or one made to measure) settles at the mock-up: then
    `regimes` are the cases, bare and spaced, that may come out of it, `main` the likeliest, and
    `k` and `e` those of one of them.
    """

    k: Form
    e: Form
    options: tuple[StackOption, ...]
    regimes: tuple[Regime, ...] = ()
    main: int = 0


@dataclass(frozen=True, slots=True)
class Regime:
    """One case of a stack that is settled at the mock-up: its thickness and the error left."""

    k: Form
    e: Form


@dataclass(frozen=True, slots=True)
class StackOption:
    """One stack and the spacings it serves. `thickness` None: a ring made to the measured gap."""

    kind: str
    count: int
    thickness: float | None
    from_: float
    to: float


@dataclass(frozen=True, slots=True)
class ChosenBolt:
    """A bolt. `record` is empty for the car's original one; `length` None where not known."""

    record: str
    thread: str
    length: float | None
    class_: str
    threaded: float | None
    washer: Form


@dataclass(frozen=True, slots=True)
class BoltOption:
    """A bolt, or none, and the stacks (from, to) it serves."""

    bolt: ChosenBolt | None
    from_: float
    to: float


@dataclass(frozen=True, slots=True)
class Bolts:
    """The bolts chosen over the stack's interval, and why the original does not stay."""

    options: tuple[BoltOption, ...]
    original_fails: str = ""


@dataclass(frozen=True, slots=True)
class Torque:
    """A tightening torque in N·m and where it comes from."""

    nm: Extent
    origin: str


Detail = Stack | Bolts | Torque | None


@dataclass(frozen=True, slots=True)
class Choice:
    """A choice's state word, what was chosen, and words for the sheet (`said`)."""

    state: str
    said: str = ""
    detail: Detail = None
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """The result of one measure: a quantity or a choice, or facts missing, or not applying.

    `blocked` says why nothing can be told where it is not for want of a fact alone; `inputs` are
    the paths of all facts that were read.
    """

    name: str
    reckoned: Reckoned | None = None
    choice: Choice | None = None
    missing: tuple[str, ...] = ()
    not_applying: str = ""
    blocked: str = ""
    inputs: tuple[str, ...] = ()


class Findings(dict[str, Finding]):
    """The findings so far, by name; whoever wants to know is told which were looked at."""

    __slots__ = ("_reads",)

    def __init__(self, reads: Reads | None) -> None:
        super().__init__()
        self._reads = reads

    def __getitem__(self, name: str) -> Finding:
        found = super().__getitem__(name)
        if self._reads is not None:
            self._reads.saw(_FOUND + name, found)
        return found

    def get(self, name: str, /, otherwise: Any = None) -> Any:
        found = super().get(name, otherwise)
        if self._reads is not None:
            self._reads.saw(_FOUND + name, found)
        return found


_FOUND = "found "


class Bench:
    """The placed parts of one setup and the findings so far.

    `shared`: what was found of other setups, for those findings that are this one's too.
    """

    def __init__(
        self,
        setup: Setup,
        constants: Mapping[str, float],
        limits: Mapping[str, Limit],
        shared: Shared | None = None,
    ) -> None:
        if shared is not None:
            shared.serves(constants, limits)
        self.shared = shared
        self.place = Place(setup, shared)
        self.setup = self.place.setup
        self._reads = self.place.reads
        self.constants = constants
        self.limits = limits
        self.findings = Findings(self._reads)
        self._car: dict[Any, Any] = {}
        self._matched: Callable[[], Mapping[str, Mapping[str, str]]] = dict
        self.regime: int | None = None
        self.stack_read = False

    @property
    def car(self) -> dict[Any, Any]:
        """What measures of the whole car keep for each other."""
        if self._reads is not None:
            self._reads.private()
        return self._car

    @property
    def premises(self) -> Mapping[str, Mapping[str, str]]:
        """The facts that fill the patterns of the rule that is fired, by the patterns' names."""
        if self._reads is not None:
            self._reads.saw(PREMISES, self._told)
        return self._matched()

    def matched(self, premises: Callable[[], Mapping[str, Mapping[str, str]]]) -> None:
        """A rule is fired: where its premises are to be had, if a measure asks for them."""
        self._matched = premises

    @property
    def _told(self) -> str:
        return repr([(name, sorted(words.items())) for name, words in self._matched().items()])

    def read(self, name: str) -> object:
        """What a read of that name, as `Reads` has it, gives here; nobody is told of it."""
        if name.startswith(_FOUND):
            return dict.get(self.findings, name.removeprefix(_FOUND))
        return self._told if name == PREMISES else self.place.read(name)

    def detail(self, choice: str) -> Detail:
        """What an earlier choice chose. Raises `Missing` where it could not choose."""
        found: Finding | None = self.findings.get(choice)
        if found is None:
            raise LookupError(f"{choice} has not been chosen yet: a premise of the rule is missing")
        self.place.note(*found.inputs)
        if found.not_applying:
            raise DoesNotApply(found.not_applying)
        if found.blocked and not found.missing:
            raise Undecided(found.blocked)
        if found.missing or found.choice is None or found.choice.state == CANNOT_TELL:
            raise Missing(*found.missing)
        return found.choice.detail

    @property
    def stack(self) -> Stack:
        """The stack that was chosen, in the case that is being looked at (else the main one)."""
        detail = self.detail("stack")
        if not isinstance(detail, Stack):
            raise LookupError("stack")
        self.stack_read = True
        if not detail.regimes:
            return detail
        at = detail.regimes[detail.main if self.regime is None else self.regime]
        return replace(detail, k=at.k, e=at.e)

    @property
    def regimes(self) -> int:
        """How many cases the stack has. Raises as `stack` does."""
        return max(len(self.stack.regimes), 1)

    def in_each_regime(self) -> Iterator[int]:
        """Look at each case of the stack in turn."""
        try:
            for n in range(self.regimes):
                self.regime = n if self.regimes > 1 else None
                yield n
        finally:
            self.regime = None

    @property
    def bolts(self) -> Bolts:
        """The bolts that were chosen."""
        detail = self.detail("bolt")
        if not isinstance(detail, Bolts):
            raise LookupError("bolt")
        return detail

    @property
    def radial(self) -> bool:
        """Whether the caliper is mounted radially.

        `Undecided` where caliper and knuckle are of different kinds, `Missing` where that is not
        known: nothing can be placed.
        """
        found = self.findings["mount"]
        if found.choice is not None and found.choice.state == "differ":
            raise Undecided("caliper and knuckle are of different kinds of mount")
        if found.missing:
            raise Missing(*found.missing)
        return self.place.mount == "radial"

    @property
    def error(self) -> Form:
        """`e`, the centring error along the axle."""
        p = self.place
        return p.ear_face + p.to_centre - p.middle if self.radial else self.stack.e

    @property
    def centre(self) -> Form:
        """`x_c`, the caliper's centre plane."""
        return self.place.middle + self.error

    @property
    def bolt_line(self) -> Form:
        """`R_b`, with the stack of a radial mount under it."""
        bare = self.place.bolt_line_bare
        return bare + self.stack.k if self.radial else bare

    @property
    def lining_top(self) -> Form:
        """Hub axis to the lining's outer edge at mid-pad."""
        bare = self.place.lining_top_bare
        return bare + self.stack.k if self.radial else bare


def run(bench: Bench, kind: str, name: str) -> Finding:
    """Run a measure (`kind` "measure") or a choice once; the finding is kept on the bench."""
    if name in bench.findings:
        return bench.findings[name]
    shared, reads = bench.shared, bench.place.reads
    if shared is None or reads is None or bench.regime is not None:
        finding = _run(bench, kind, name)
    else:
        finding = _run_once(bench, kind, name, shared, reads)
    bench.findings[name] = finding
    return finding


def _run_once(bench: Bench, kind: str, name: str, shared: Shared, reads: Reads) -> Finding:
    """As `_run`, for all setups that give it the same to read."""
    key = f"{kind} {name}"
    found: Finding | None = shared.find(key, bench.read, reads)
    if found is None:
        seen = reads.begin()
        try:
            found = _run(bench, kind, name)
        finally:
            reads.end()
        shared.keep(key, seen, found)
    return found


def _run(bench: Bench, kind: str, name: str) -> Finding:
    entry = (MEASURES if kind == "measure" else CHOICES)[name]
    given = {c: bench.constants[c] for c in entry.constants}
    reckoned: Reckoned | None = None
    chosen: Choice | None = None
    missing: tuple[str, ...] = ()
    not_applying = blocked = ""
    with bench.place.noting() as note:
        try:
            result = _call(bench, entry, given) if kind == "measure" else entry.call(bench, **given)
            if isinstance(result, Reckoned):
                reckoned = result
            else:
                chosen, missing = result, result.missing
        except Missing as error:
            missing = error.facts
        except DoesNotApply as error:
            not_applying = str(error)
        except ValueError as error:
            # Facts that no part can have at once (a band wider than its disc, say).
            blocked = f"these facts contradict each other: {error}"
            missing = tuple(note)
        except Undecided as error:
            blocked = str(error)
    return Finding(name, reckoned, chosen, missing, not_applying, blocked, tuple(note))


def _call(bench: Bench, entry: Entry, given: Mapping[str, float]) -> Reckoned:
    """Call a measure; where it reads a stack of several cases, in each of them, and join them."""
    bench.stack_read = False
    try:
        first: Reckoned = entry.call(bench, **given)
    except DoesNotApply:
        if not bench.stack_read or bench.regimes == 1:
            raise
    else:
        if not bench.stack_read or bench.regimes == 1:
            return first
    found: list[Reckoned] = []
    silent: DoesNotApply | None = None
    for _ in bench.in_each_regime():
        try:
            found.append(entry.call(bench, **given))
        except DoesNotApply as error:
            silent = error
    if not found:
        raise silent or LookupError("no case of the stack")
    return joined(found)


def joined(parts: Sequence[Reckoned]) -> Reckoned:
    """One quantity that covers those of several cases."""
    notes = {k: _hull([p.notes[k] for p in parts if k in p.notes]) for k in parts[0].notes}
    have = [p.have for p in parts if p.have is not None]
    need = [p.need for p in parts if p.need is not None]
    return Reckoned(
        _hull([p.judged for p in parts]),
        parts[0].unit,
        _hull(have) if have else None,
        _hull(need) if need else None,
        notes,
    )


def _hull(parts: Sequence[Extent]) -> Extent:
    effects: dict[str, Effect] = {}
    for part in parts:
        for path, effect in part.effects.items():
            if path not in effects or effect.reach > effects[path].reach:
                effects[path] = effect
    return Extent(min(p.lo for p in parts), max(p.hi for p in parts), parts[-1].nominal, effects)


def margin(
    have: Form | Extent, need: Form | Extent, judged: Form | Extent, **notes: Form | Extent
) -> Reckoned:
    """A quantity whose judged value is what is left of a need."""
    return Reckoned(
        extent(judged),
        have=extent(have),
        need=extent(need),
        notes={k: extent(v) for k, v in notes.items()},
    )


def plain(value: Form | Extent, unit: str = "mm", **notes: Form | Extent) -> Reckoned:
    """A quantity judged as it is."""
    whole = extent(value)
    return Reckoned(whole, unit, whole, None, {k: extent(v) for k, v in notes.items()})
