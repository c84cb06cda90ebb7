"""Trials against the deduction: what agrees, what disagrees and which facts are suspect, and what
a trial tells that the facts do not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lugplane.answers.evidence import TrialFigure, TrialTold
from lugplane.answers.observed import (
    AGREES,
    DISAGREES,
    NOTHING,
    ONLY_MEASURED,
    TELLS,
    Observed,
    Together,
    observe,
    stack_of,
)
from lugplane.answers.rows import Span
from lugplane.answers.solve import Inferred, Solver, Unsolved
from lugplane.answers.suspects import Case, cases
from lugplane.deduce.rulebook import Rulebook
from lugplane.errors import BadInput
from lugplane.facts.base import Base
from lugplane.facts.records import Trial
from lugplane.facts.value import Value
from lugplane.quantity.form import Form, fold
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.parts import Setup, family

VERSION = 1
_KINDS = ("caliper", "carrier", "disc", "pad", "wheel")
_GRAIN = 1e-9


@dataclass(frozen=True, slots=True)
class Gaps:
    """What the four gaps of a mock-up come to, mm: spacing and tilt.

    `agree` tells whether the trial's own figures are within it; None where it states none.
    """

    spacing: Span | None
    tilt: Span
    spacing_agrees: bool | None = None
    tilt_agrees: bool | None = None


@dataclass(frozen=True, slots=True)
class Rival:
    """Another trial of the same setup that measured the same quantity.

    `apart` is what the two differ by, middle to middle; `beyond` what their ± leave over of it.
    `differs` names what is recorded otherwise: instrument, date, ±, stack, wheel, outcome.
    """

    measure: str
    trial: str
    measured: Span
    apart: float
    beyond: float
    differs: tuple[Differs, ...]


@dataclass(frozen=True, slots=True)
class Differs:
    """Something that two trials record otherwise; empty: not recorded."""

    what: str
    here: str
    there: str


@dataclass(frozen=True, slots=True)
class TrialLine:
    """One trial.

    `state`: agrees, disagrees, tells (something the facts do not give), or tells nothing.
    """

    id: str
    title: str
    at: str
    platform: str
    axle: str
    parts: tuple[str, ...]
    date: str
    measured_with: str
    outcome: str
    notes: str
    state: str
    because: str
    observed: tuple[Observed, ...]
    gaps: Gaps | None
    inferred: tuple[Inferred, ...]
    unsolved: tuple[UnsolvedLine, ...]
    rivals: tuple[Rival, ...]


@dataclass(frozen=True, slots=True)
class UnsolvedLine:
    """A measured quantity that gives no unknown fact, and why."""

    measure: str
    because: str
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Checked:
    """All trials asked for, and the cases that those which disagree give rise to."""

    version: int
    trials: tuple[TrialLine, ...]
    cases: tuple[Case, ...]

    @property
    def state(self) -> str:
        """disagrees, else tells or tells nothing where one does no more, else agrees."""
        states = {t.state for t in self.trials}
        for word in (DISAGREES, NOTHING, TELLS):
            if word in states:
                return word
        return AGREES if states else NOTHING


@dataclass(frozen=True, slots=True)
class Looked:
    """A trial, its parts put together (None where they cannot be) and what was observed."""

    trial: Trial
    together: Together | None
    stack: Form | None
    because: str
    observed: tuple[Observed, ...]
    gaps: Gaps | None

    @property
    def setup(self) -> Setup | None:
        """The parts; None where they cannot be put together."""
        return None if self.together is None else self.together.setup


def check_trials(base: Base, rulebook: Rulebook, ids: Sequence[str] = ()) -> Checked:
    """Check the trials of some ids, or all. Suspects are ranked over all trials of the base.

    Raises `BadInput` for an id that is no trial.
    """
    wanted = [base.get(Trial, i).id for i in ids] or list(base.ids("trial"))
    looked = {t.id: look(base, rulebook, t) for t in base.all(Trial)}
    shown = tuple(_line(looked[i], looked) for i in dict.fromkeys(wanted))
    seen = [(i, o) for i, each in looked.items() for o in each.observed]
    asked = {line.id for line in shown}
    found = cases(seen, rulebook.limits.assumed)
    return Checked(VERSION, shown, tuple(c for c in found if asked & set(c.trials)))


def look(base: Base, rulebook: Rulebook, trial: Trial, *, weighed: bool = True) -> Looked:
    """Put a trial's parts together and hold what it measured against the facts.

    `weighed`: as `observe` has it.
    """
    stack = stack_of(trial)
    gaps, value = _gaps(trial, stack, base)
    measured = [v for v in trial.measured if v.known]
    if value is not None and all(v.path != value.path for v in measured):
        measured.append(value)
    try:
        setup = _setup(base, trial)
    except BadInput as error:
        return Looked(trial, None, stack, str(error), (), gaps)
    together = Together.of(trial, setup, rulebook, stack)
    observed = tuple(observe(together, v, weighed=weighed) for v in measured)
    because = "" if observed else "nothing was measured"
    return Looked(trial, together, stack, because, observed, gaps)


def _setup(base: Base, trial: Trial) -> Setup:
    parts = trial.parts
    named = (getattr(parts, kind).text for kind in _KINDS)
    return assemble(
        base,
        Wanted(trial.platform.word, trial.axle.word, tuple(i for i in named if i is not None)),
    )


def _gaps(trial: Trial, stack: Form | None, base: Base) -> tuple[Gaps | None, Value | None]:
    """`e = (mean gap outboard - mean gap inboard) / 2`, `s = k - σ e`, tilt (TRADE §2, mock-up)."""
    g = trial.gaps_mm
    taken = (g.end_1_outboard, g.end_1_inboard, g.end_2_outboard, g.end_2_inboard)
    if not all(v.known for v in taken):
        return None, None
    out_1, in_1, out_2, in_2 = (v.form for v in taken)
    error = fold((out_1, out_2, -in_1, -in_2)) / 4
    leaning = ((out_1 - in_1) - (out_2 - in_2)) / 2
    low, high = leaning.bounds
    tilt = Span(max(low, -high, 0.0), max(abs(low), abs(high)), abs(leaning.nominal))
    own_tilt = _agrees(trial, "tilt", tilt)
    sigma = _sigma(base, trial)
    if stack is None or sigma is None:
        return Gaps(None, tilt, None, own_tilt), None
    s = stack - error * sigma
    span = Span(s.lo, s.hi, s.nominal)
    reading = taken[0].reading
    value = Value(
        "spacing",
        "mm",
        (
            type(reading)(
                s.lo,
                s.hi,
                s.nominal,
                reading.basis,
                reading.name,
                reading.source,
                reading.locator,
                reading.date,
                any(v.reading.assumed for v in taken),
            ),
        ),
        taken[0].at,
    )
    return Gaps(span, tilt, _agrees(trial, "spacing", span), own_tilt), value


def _sigma(base: Base, trial: Trial) -> int | None:
    """+1 or -1 by the side of the ear; None where not known, or where nothing is spaced axially."""
    try:
        knuckle = _setup(base, trial).knuckle
    except BadInput:
        return None
    if knuckle.side.text is None or knuckle.mount.text != "axial":
        return None
    return 1 if knuckle.side.text == "outboard" else -1


def _agrees(trial: Trial, name: str, span: Span) -> bool | None:
    stated = next((v for v in trial.measured if v.path == name and v.known), None)
    if stated is None:
        return None
    r = stated.reading
    return r.lo <= span.hi + _GRAIN and r.hi >= span.lo - _GRAIN


def _line(here: Looked, all_: Mapping[str, Looked]) -> TrialLine:
    trial = here.trial
    inferred: list[Inferred] = []
    unsolved: list[UnsolvedLine] = []
    for seen in here.observed:
        if seen.state != TELLS or here.together is None:
            continue
        found = Solver(here.together, seen).solve()
        if isinstance(found, Unsolved):
            unsolved.append(UnsolvedLine(seen.measure, found.because, found.missing))
        else:
            inferred.append(found)
    return TrialLine(
        trial.id,
        trial.title,
        trial.at,
        trial.platform.text or "",
        trial.axle.text or "",
        _part_ids(here),
        trial.date.text or "",
        trial.measured_with.text or "",
        trial.outcome.text or "",
        trial.notes.text or "",
        _state(here, bool(inferred)),
        here.because,
        here.observed,
        here.gaps,
        tuple(inferred),
        tuple(unsolved),
        tuple(_rivals(here, all_)),
    )


def _part_ids(here: Looked) -> tuple[str, ...]:
    """The parts as put together, and the wheel where the trial names one."""
    if here.setup is None:
        words = (getattr(here.trial.parts, kind).text for kind in _KINDS)
        return tuple(w for w in words if w is not None)
    return part_ids(here.setup)


def part_ids(setup: Setup) -> tuple[str, ...]:
    """Caliper, carrier, disc, pad and wheel of a setup."""
    found = (getattr(setup, kind) for kind in _KINDS)
    return tuple(p.id for p in found if p is not None)


def _state(here: Looked, solved: bool) -> str:
    """Of its quantities the worst; a tilt, which no fact gives, says nothing for or against."""
    states = {o.state for o in here.observed} - {ONLY_MEASURED}
    gaps = here.gaps
    torn = gaps is not None and False in (gaps.spacing_agrees, gaps.tilt_agrees)
    if torn or DISAGREES in states:
        return DISAGREES
    if TELLS in states:
        return TELLS if solved else NOTHING
    if NOTHING in states or not states:
        return NOTHING
    return AGREES


def _rivals(here: Looked, all_: Mapping[str, Looked]) -> list[Rival]:
    """Trials of the same caliper, disc and pad on the same axle that measured the same."""
    found: list[Rival] = []
    if here.setup is None:
        return found
    for other in all_.values():
        if other.trial.id == here.trial.id or other.setup is None:
            continue
        if not same_brake(here.setup, other.setup):
            continue
        theirs = {o.measure: o for o in other.observed}
        for mine in here.observed:
            there = theirs.get(mine.measure)
            wheel = mine.measure.startswith("wheel")
            if there is None or (wheel and here.setup.wheel != other.setup.wheel):
                continue
            a, b = mine.measured, there.measured
            apart = (b.lo + b.hi - a.lo - a.hi) / 2
            beyond = max(abs(apart) - (a.hi - a.lo + b.hi - b.lo) / 2, 0.0)
            differs = _differs(here, other, mine, there)
            found.append(
                Rival(mine.measure, other.trial.id, b, apart, beyond * (beyond > _GRAIN), differs)
            )
    return found


def trials_of(base: Base, rulebook: Rulebook, setup: Setup) -> tuple[TrialTold, ...]:
    """The trials of the very parts of a setup, each against the facts of the base.

    A wheel counts only for what was measured of it; with an adapter or a wheel spacer a setup is
    another than any trial's.
    """
    if setup.adapter or setup.wheel_spacer_mm:
        return ()
    told: list[TrialTold] = []
    for trial in base.all(Trial):
        if not _may_be_of(base, trial, setup):
            continue
        found = look(base, rulebook, trial, weighed=False)
        if found.setup is None:
            continue
        line = _line(found, {trial.id: found})
        wheel = None if setup.wheel is None else setup.wheel.id
        other = (None if found.setup.wheel is None else found.setup.wheel.id) != wheel
        figures = tuple(
            TrialFigure(
                o.measure, o.unit, o.measured.lo, o.measured.hi, o.measured.nominal, o.state
            )
            for o in found.observed
            if not (other and o.measure.startswith("wheel"))
        )
        if figures:
            told.append(
                TrialTold(
                    line.id, line.title, line.at, line.date, line.measured_with, line.state, figures
                )
            )
    return tuple(told)


def _may_be_of(base: Base, trial: Trial, setup: Setup) -> bool:
    """Whether a trial is of this brake: compared by its parts, before anything is measured."""
    if (trial.platform.text, trial.axle.text) != (setup.platform.id, setup.axle_name):
        return False
    try:
        return same_brake(_setup(base, trial), setup)
    except BadInput:
        return False


def same_brake(a: Setup, b: Setup) -> bool:
    """Whether two setups are one brake on one axle, whatever wheel is over it."""
    return (a.platform.id, a.axle_name, _brake(a)) == (b.platform.id, b.axle_name, _brake(b))


def _brake(setup: Setup) -> tuple[str, ...]:
    """The parts that place one another; the compounds of a pad do not differ in fit."""
    carrier = setup.carrier.id if setup.carrier is not None else ""
    return setup.caliper.id, carrier, setup.disc.id, family(setup.pad.id)


def _differs(here: Looked, other: Looked, mine: Observed, theirs: Observed) -> tuple[Differs, ...]:
    """What the two trials record otherwise, in the order in which it is likeliest to matter."""

    def told(each: Looked, seen: Observed) -> dict[str, str]:
        trial = each.trial
        stack = "" if each.stack is None else f"{each.stack.nominal:g} mm"
        return {
            "instrument": trial.measured_with.text or "",
            "±": f"±{(seen.measured.hi - seen.measured.lo) / 2:.4g}",
            "wheel": trial.parts.wheel.text or "",
            "stack": stack,
            "four gaps": "taken" if each.gaps is not None else "",
            "date": trial.date.text or "",
            "outcome": trial.outcome.text or "",
            "notes": trial.notes.text or "",
        }

    a, b = told(here, mine), told(other, theirs)
    return tuple(Differs(k, a[k], b[k]) for k in a if a[k] != b[k])
