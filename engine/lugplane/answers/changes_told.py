"""What is told of a setup before and after a change: verdicts, what decides them, the figures."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from lugplane.answers.fit import FitBench, Key, Memo, key_of
from lugplane.answers.rows import (
    BOLTS_ON,
    DOES_NOT_FIT,
    FITS_WITH_WORK,
    NOT_ASKED,
    Row,
    Span,
    limiting,
    verdict,
    walk,
)
from lugplane.answers.sheet import BoltLine, StackLine, bolt_lines, detail, stack_lines
from lugplane.deduce.deduction import DOES_NOT_APPLY
from lugplane.deduce.rulebook import SCOPES
from lugplane.errors import BadInput
from lugplane.links.candidates import Candidate
from lugplane.links.partial import Some
from lugplane.measure.bench import Bolts, Stack
from lugplane.setup.assemble import Wanted, assemble
from lugplane.workshop import Workshop

FITTING = (BOLTS_ON, FITS_WITH_WORK)
_PLACES = 6


@dataclass(frozen=True, slots=True)
class ScopeTold:
    """The verdict of a scope and the check that decides it, with what that found.

    `value` and `margin` are the check's, in `unit`; None: it has none.
    """

    name: str
    verdict: str
    check: str
    unit: str = ""
    value: Span | None = None
    margin: float | None = None
    because: str = ""


@dataclass(frozen=True, slots=True)
class WheelTold:
    """A wheel over the brake: its verdict, the check that decides it, the gap in mm."""

    id: str
    verdict: str
    check: str
    gap: Span | None


@dataclass(frozen=True, slots=True)
class Asking:
    """A check that does not plainly hold, and its state."""

    check: str
    state: str


@dataclass(frozen=True, slots=True)
class TrialState:
    """A trial of this very setup, and whether it agrees with the facts."""

    id: str
    state: str


@dataclass(frozen=True, slots=True)
class Told:
    """One setup as judged. The first scope is the brake; `spacing` is in mm, `trim` a share.

    `wheels` are those that the factory offers, looked at over a brake that fits or cannot be told.
    """

    scopes: tuple[ScopeTold, ...]
    spacing: Span | None
    trim: Span | None
    stack: tuple[StackLine, ...]
    bolts: tuple[BoltLine, ...]
    asking: tuple[Asking, ...]
    wheels: tuple[WheelTold, ...] = ()
    trials: tuple[TrialState, ...] = ()

    @property
    def verdict(self) -> str:
        """The brake's verdict."""
        return self.scopes[0].verdict

    @property
    def fits(self) -> bool:
        return self.verdict in FITTING


class Teller:
    """Judges setups of one workshop, each once."""

    def __init__(self, workshop: Workshop) -> None:
        rulebook = workshop.rulebook
        self._workshop = workshop
        self._bench = FitBench(workshop, memo=Memo())
        self._close = frozenset(n for n, limit in rulebook.limits.limits.items() if limit.close)
        self._known: dict[Key, Told | None] = {}
        self.judged = 0

    @cached_property
    def _brake(self) -> Some:
        rulebook = self._workshop.rulebook
        return Some(rulebook, [c.id for c in rulebook.checks if c.scope == "brake"])

    def surely_unfit(self, candidate: Candidate) -> bool:
        """Whether a few checks already show that a candidate does not fit."""
        return bool(self._bench.sieved(candidate))

    def candidate(self, candidate: Candidate) -> Told | None:
        """A candidate's brake, and the wheels over it; None: these cannot be put together.

        Raises `EngineError`.
        """
        key = key_of(candidate)
        if key not in self._known:
            self.judged += 1
            self._known[key] = self._judged(candidate)
        return self._known[key]

    def _judged(self, candidate: Candidate) -> Told | None:
        try:
            setup = assemble(self._workshop.base, candidate.wanted())
        except BadInput:
            return None
        deduced = self._brake.deduce(setup)
        stack, bolts = detail(deduced, "stack"), detail(deduced, "bolt")
        told = self._told(
            walk(deduced),
            ("brake",),
            stack_lines(stack) if isinstance(stack, Stack) else (),
            bolt_lines(setup, bolts) if isinstance(bolts, Bolts) else (),
        )
        if told.verdict == DOES_NOT_FIT:
            return told
        looks = tuple(
            WheelTold(w.id, w.verdict, w.limiting, _rounded(w.gap))
            for w in self._bench.looks(candidate)
        )
        return replace(told, wheels=looks)

    def sheet(self, wanted: Wanted) -> Told | None:
        """Brake, wheel and car of a setup as on its sheet; None: it cannot be put together."""
        try:
            self.judged += 1
            sheet = self._workshop.judge(wanted).sheet
        except BadInput:
            return None
        told = self._told(sheet.rows, SCOPES, sheet.stack, sheet.bolts)
        return replace(told, trials=tuple(TrialState(t.id, t.state) for t in sheet.trials))

    def _told(
        self,
        rows: tuple[Row, ...],
        scopes: tuple[str, ...],
        stack: tuple[StackLine, ...],
        bolts: tuple[BoltLine, ...],
    ) -> Told:
        found = {r.check: r for r in rows if r.state != DOES_NOT_APPLY}
        return Told(
            tuple(s for s in (self._scope(rows, n) for n in scopes) if s.verdict != NOT_ASKED),
            _value(found.get("spacing")),
            _value(found.get("trim")),
            tuple(replace(s, from_mm=_round(s.from_mm), to_mm=_round(s.to_mm)) for s in stack),
            tuple(replace(b, from_mm=_round(b.from_mm), to_mm=_round(b.to_mm)) for b in bolts),
            tuple(Asking(r.check, r.state) for r in found.values() if r.state != "holds"),
        )

    def _scope(self, rows: tuple[Row, ...], name: str) -> ScopeTold:
        check = limiting(rows, name, self._close)
        row = next((r for r in rows if r.check == check), None)
        if row is None:
            return ScopeTold(name, verdict(rows, name), check)
        margin = None if row.margin is None else _round(row.margin)
        return ScopeTold(
            name, verdict(rows, name), check, row.unit, _value(row), margin, row.because
        )


def _value(row: Row | None) -> Span | None:
    return None if row is None else _rounded(row.value)


def _rounded(span: Span | None) -> Span | None:
    """Without the dust of sums, so that what is the same is equal."""
    if span is None:
        return None
    return Span(_round(span.lo), _round(span.hi), _round(span.nominal))


def _round(x: float) -> float:
    return round(x, _PLACES) + 0.0
