"""One thing that a trial measured, beside what the facts give for it.

The deduction is reckoned for the setup as it was put together: the trial's parts, and its stack
where it states one. How each fact moves the quantity comes from the affine form; where a quantity
is none (the least of several, a gap to an outline) each fact is moved a little and the quantity
reckoned again.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass, field, replace

from lugplane.answers.evidence import find_fact
from lugplane.answers.rows import Span
from lugplane.deduce.rulebook import Rulebook
from lugplane.facts.records import Trial
from lugplane.facts.value import Points, Value
from lugplane.measure.bench import MEASURES, Bench, Finding
from lugplane.measure.put_together import put_together, taken
from lugplane.quantity.form import Extent, Form
from lugplane.setup.parts import Setup
from lugplane.setup.swap import number_at, shifted, with_number

AGREES, DISAGREES = "agrees", "disagrees"
TELLS, NOTHING, ONLY_MEASURED = "tells", "tells nothing", "only measured"

STACK = "trial.stack_mm"
_ONLY = frozenset({"tilt"})
"""Quantities that nothing but a mock-up gives."""
_GRAIN = 1e-9
_SAME = 1e-6
_STEP_MM = 0.001


@dataclass(frozen=True, slots=True)
class FactId:
    """One fact of the base, the same for every setup that reads it.

    Members of a family that inherit a fact share it: `at` is where it stands. A measurement of a
    trial has the path `measured.<measure>`.
    """

    path: str
    record: str
    at: str

    @property
    def key(self) -> str:
        """The same text for the same fact."""
        keys = self.path.removeprefix("designed_").partition(".")[2]
        return f"{self.at or self.record}#{keys}"


@dataclass(frozen=True, slots=True)
class Pull:
    """How a fact moves an observed quantity: by `slope` a unit; the fact is known to ±`half`."""

    fact: FactId
    slope: float
    half: float
    basis: str = ""
    nominal: float | None = None


@dataclass(frozen=True, slots=True)
class Observed:
    """A measured quantity, what the facts give for it, and how the two stand.

    `state`: agrees, disagrees, tells (the facts do not give it), tells nothing, or only measured.
    `residual` is measured less reckoned, middle to middle; `combined` the ± of both together;
    `beyond` how much of the residual that leaves over. `missing` are the facts not known.
    """

    measure: str
    unit: str
    measured: Span
    assumed: bool
    state: str
    reckoned: Span | None = None
    residual: float | None = None
    combined: float | None = None
    beyond: float = 0.0
    because: str = ""
    missing: tuple[str, ...] = ()
    pulls: tuple[Pull, ...] = field(default=(), repr=False)
    own: float = 0.0


def stack_of(trial: Trial) -> Form | None:
    """The stack that a trial states, as a form of one input; no stack at all may be exact."""
    return trial.stack_mm.form if trial.stack_mm.known else None


@dataclass(frozen=True, slots=True)
class Together:
    """A trial's parts as they were put together: setup, stack (None: not stated) and bench."""

    trial: Trial
    setup: Setup
    rulebook: Rulebook
    stack: Form | None
    bench: Bench

    @classmethod
    def of(cls, trial: Trial, setup: Setup, rulebook: Rulebook, stack: Form | None) -> Together:
        """Put a trial together."""
        limits = rulebook.limits
        bench = put_together(setup, limits.numbers, limits.limits, stack)
        return cls(trial, setup, rulebook, stack, bench)

    def finding(self, name: str) -> Finding:
        """What the facts give for a measure."""
        return taken(self.bench, name)

    def changed(self, path: str, value: Value) -> Together:
        """The same with another number at a path."""
        setup = with_number(self.setup, path, value)
        return Together.of(self.trial, setup, self.rulebook, self.stack)

    def restacked(self, by: float) -> Together:
        """The same on a thicker stack. Raises `ValueError` where the stack is not stated."""
        if self.stack is None:
            raise ValueError("the stack is not stated")
        return Together.of(self.trial, self.setup, self.rulebook, self.stack + by)


def observe(together: Together, value: Value, *, weighed: bool = True) -> Observed:
    """One measured quantity of a trial against the facts of its setup.

    `weighed`: with what each fact pulls at it, which only the search for suspects asks for.
    """
    name = value.path
    if name in _ONLY:
        return _open(name, "mm", value, ONLY_MEASURED, "no fact gives it: only a mock-up does")
    if name not in MEASURES:
        near = difflib.get_close_matches(name, MEASURES, n=3, cutoff=0.5)
        hint = f"; close to it: {', '.join(near)}" if near else ""
        return _open(name, "", value, NOTHING, f"no measure is called {name}{hint}")
    found = together.finding(name)
    have = have_of(found)
    unit = found.reckoned.unit if found.reckoned is not None else "mm"
    if have is None:
        missing = () if found.not_applying or found.blocked else found.missing
        because = found.not_applying or found.blocked
        return _open(name, unit, value, TELLS if missing else NOTHING, because, missing)
    if circular := _inferred_from(together, found):
        because = f"{circular} was inferred from this very trial"
        return _open(name, unit, value, NOTHING, because, (), have)
    return _compared(together, value, unit, found, have, weighed)


def have_of(found: Finding) -> Extent | None:
    """What is measured of a quantity: what the sheet says that it has, not what is to spare."""
    if found.reckoned is None:
        return None
    return found.reckoned.have if found.reckoned.have is not None else found.reckoned.judged


def locator_of(trial: Trial) -> str:
    """What a reading inferred from a trial gives as its locator."""
    return f"trial {trial.id}"


def _inferred_from(together: Together, found: Finding) -> str:
    locator = locator_of(together.trial)
    for path in found.inputs:
        value = number_at(together.setup, path)
        if value is not None and value.known:
            first = value.reading
            if first.basis == "inferred" and first.locator == locator:
                return path
    return ""


def _open(
    name: str,
    unit: str,
    value: Value,
    state: str,
    because: str,
    missing: tuple[str, ...] = (),
    have: Extent | None = None,
) -> Observed:
    r = value.reading
    reckoned = None if have is None else Span(have.lo, have.hi, have.nominal)
    return Observed(
        name,
        unit,
        Span(r.lo, r.hi, r.nominal),
        r.assumed,
        state,
        reckoned,
        because=because,
        missing=missing,
    )


def _compared(
    together: Together, value: Value, unit: str, found: Finding, have: Extent, weighed: bool
) -> Observed:
    r = value.reading
    residual = (r.lo + r.hi - have.lo - have.hi) / 2
    combined = (r.hi - r.lo + have.hi - have.lo) / 2
    beyond = max(abs(residual) - combined, 0.0)
    pulls = _pulls(together, found, have) if weighed else ()
    told = sum(abs(p.slope) * p.half for p in pulls)
    mine = Pull(
        FactId(f"measured.{value.path}", together.trial.id, value.at),
        -1.0,
        (r.hi - r.lo) / 2,
        r.basis,
        r.nominal,
    )
    return Observed(
        value.path,
        unit,
        Span(r.lo, r.hi, r.nominal),
        r.assumed,
        DISAGREES if beyond > _GRAIN else AGREES,
        Span(have.lo, have.hi, have.nominal),
        residual,
        combined,
        beyond if beyond > _GRAIN else 0.0,
        pulls=(*pulls, mine),
        own=max((have.hi - have.lo) / 2 - told, 0.0),
    )


def _pulls(together: Together, found: Finding, have: Extent) -> tuple[Pull, ...]:
    """Every number that moves a quantity, once, with its slope."""
    reach = sum(e.reach for e in have.effects.values())
    affine = abs(2 * reach - (have.hi - have.lo)) < _SAME
    pulls: dict[str, Pull] = {}
    for path in dict.fromkeys((*found.inputs, *have.effects, STACK)):
        if path == STACK:
            pull = _stack_pull(together, found.name, have, affine)
        else:
            pull = _fact_pull(together, path, found.name, have, affine)
        if pull is None or abs(pull.slope) < _GRAIN:
            continue
        before = pulls.get(pull.fact.key)
        if before is None:
            pulls[pull.fact.key] = pull
        elif affine and path in have.effects:
            # The part designed for is the part fitted: one fact with two effects.
            pulls[pull.fact.key] = replace(before, slope=before.slope + pull.slope)
    return tuple(pulls.values())


def _fact_pull(together: Together, path: str, name: str, have: Extent, affine: bool) -> Pull | None:
    setup = together.setup
    value = number_at(setup, path)
    if value is None:
        return _outline_pull(path, have, setup)
    named = find_fact(setup, path)
    if not value.known or named is None:
        return None
    first = value.reading
    half = (first.hi - first.lo) / 2
    if affine and path in have.effects:
        slope = have.effects[path].slope
    elif affine and half > _GRAIN:
        return None  # read, but it cancels out or does not count
    else:
        slope = _slope(
            name, *(together.changed(path, shifted(value, by)) for by in (_STEP_MM, -_STEP_MM))
        )
    return Pull(FactId(path, named[0], value.at), slope, half, first.basis, first.nominal)


def _outline_pull(path: str, have: Extent, setup: Setup) -> Pull | None:
    """An outline may lie off as a whole: by its ±, straight into the quantity."""
    named = find_fact(setup, path)
    if named is not None and isinstance(named[1], Points):
        if any(path.startswith(f"{other}.") for other in have.effects):
            return None  # the effect of the outline is told by its own name
        return Pull(FactId(path, named[0], named[1].at), 1.0, named[1].plus_minus)
    effect = have.effects.get(path)
    owner = getattr(setup, path.partition(".")[0], None)
    if effect is None or owner is None or path.startswith("("):
        return None
    return Pull(FactId(path, owner.id, ""), effect.slope, effect.half)


def _stack_pull(together: Together, name: str, have: Extent, affine: bool) -> Pull | None:
    stack, value = together.stack, together.trial.stack_mm
    if stack is None:
        return None
    if affine:
        slope = have.effects[STACK].slope if STACK in have.effects else 0.0
    else:
        slope = _slope(name, together.restacked(_STEP_MM), together.restacked(-_STEP_MM))
    fact = FactId("measured.stack_mm", together.trial.id, value.at)
    r = value.reading
    return Pull(fact, slope, (stack.hi - stack.lo) / 2, r.basis, r.nominal)


def _slope(name: str, up: Together, down: Together) -> float:
    """By the quantity's change where a number is moved either way."""
    a, b = have_of(up.finding(name)), have_of(down.finding(name))
    return 0.0 if a is None or b is None else (a.nominal - b.nominal) / (2 * _STEP_MM)
