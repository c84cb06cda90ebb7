"""A trial solved for the one dimension that is not known.

Where a quantity `F + b · x` moves with the unknown `x` by one and the same `b`, a measured `m`
gives `x = (m - F) / b`, its ± being that of `m` and of `F` over `|b|`. Both come from the form's
bounds with `x` put in exactly; that `b` is the same from end to end of the result is looked at
there. A least or greatest of forms is concave or convex, so that it is one line throughout if it
is one far out on both sides; where it is not, no other value nearby may give what was measured.
What hangs on two unknowns, on a word, not in one proportion, or has two answers is not solved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lugplane.answers.evidence import find_fact
from lugplane.answers.observed import Observed, Together, have_of, locator_of
from lugplane.answers.rows import Span
from lugplane.quantity.form import Extent
from lugplane.setup.override import SIGNED
from lugplane.setup.swap import exactly, number_at

_TRIED_MM = (50.0, 2.0, 6.0, 10.0, 20.0, 35.0, 80.0, 120.0, 150.0, 300.0)
_BELOW_MM = (-5.0, -20.0, -50.0, -80.0, -120.0)
"""Where the unknown is put first; the one that comes nearest to what was measured is gone from."""
_STEP_MM = 0.01
_FAR_MM = 100.0
_NEARBY_MM = 30.0
_NEARBY_STEP_MM = 0.5
_ROUNDS = 6
_GRAIN = 1e-9
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class Share:
    """What a fact, or the measurement itself (`measured`), contributes to the ± of a result."""

    fact: str
    half: float


@dataclass(frozen=True, slots=True)
class Inferred:
    """A reading that a trial gives for a fact not known: where it goes and what it rests on."""

    fact: str
    unit: str
    record: str
    at: str
    value: Span
    trial: str
    measure: str
    source: str
    locator: str
    date: str
    shares: tuple[Share, ...] = ()


@dataclass(frozen=True, slots=True)
class Unsolved:
    """Why a trial gives nothing for what is not known, and all that is not known."""

    because: str
    missing: tuple[str, ...] = ()


class Solver:
    """One measured quantity of a trial, and the parts as they were put together."""

    def __init__(self, together: Together, seen: Observed) -> None:
        self._together, self._seen = together, seen
        self._trial, self._setup = together.trial, together.setup
        self._kept: dict[tuple[str, float], Extent | None] = {}

    def solve(self) -> Inferred | Unsolved:
        """The unknown fact as the trial gives it, or why it gives none."""
        path = self._unknown()
        if isinstance(path, Unsolved):
            return path
        named = find_fact(self._setup, path)
        if named is None:
            return Unsolved(f"{path} is no number", (path,))
        start = self._start(path)
        if start is None:
            return Unsolved(f"the quantity does not move with {path}", (path,))
        found = self._ends(path, start)
        if isinstance(found, str):
            return Unsolved(found, (path,))
        lo, hi, slope = found
        if lo < 0 and path.rsplit(".", 1)[-1] not in SIGNED:
            return Unsolved(f"{path} would be below zero: other facts are wrong", (path,))
        return self._inferred(path, named[0], Span(lo, hi, (lo + hi) / 2), slope)

    def _unknown(self) -> str | Unsolved:
        """The one fact that is missing. Filling it in shows whether another is missing, too."""
        filled, missing = self._together, dict.fromkeys(self._seen.missing)
        tried: set[str] = set()
        while fresh := [m for m in missing if m not in tried]:
            for path in fresh:
                tried.add(path)
                value = number_at(filled.setup, path)
                if value is None or value.through:
                    return Unsolved("what is not known is no number", tuple(missing))
                filled = filled.changed(path, exactly(value, _TRIED_MM[0]))
            missing.update(dict.fromkeys(filled.finding(self._seen.measure).missing))
        if len(missing) == 1:
            return next(iter(missing))
        return Unsolved("more than one fact is not known", tuple(missing))

    def _have(self, path: str, x: float) -> Extent | None:
        """What the quantity comes to with the unknown put in exactly."""
        if (path, x) not in self._kept:
            value = number_at(self._setup, path)
            if value is None:
                raise KeyError(path)
            filled = self._together.changed(path, exactly(value, x))
            self._kept[path, x] = have_of(filled.finding(self._seen.measure))
        return self._kept[path, x]

    def _start(self, path: str) -> float | None:
        """Where the quantity moves and comes nearest to what was measured."""
        m = self._seen.measured
        signed = path.rsplit(".", 1)[-1] in SIGNED
        found: list[tuple[float, float]] = []
        for x in (*_TRIED_MM, *(_BELOW_MM if signed else ())):
            have = self._have(path, x)
            if have is not None:
                found.append((abs(have.lo + have.hi - m.lo - m.hi), x))
        return next((x for _, x in sorted(found) if abs(self._slope(path, x)) > _SAME), None)

    def _slope(self, path: str, at: float) -> float:
        a, b = self._have(path, at), self._have(path, at + _STEP_MM)
        return 0.0 if a is None or b is None else (b.lo - a.lo) / _STEP_MM

    def _ends(self, path: str, start: float) -> tuple[float, float, float] | str:
        """Least and greatest `x` at which measured and reckoned meet, and the slope; or why not.

        Gone about until it stays: the proportion has to hold where the result lies.
        """
        m = self._seen.measured
        unfit = f"the quantity does not move in proportion with {path}"
        ends: list[float] = []
        for _ in range(_ROUNDS):
            have, slope = self._have(path, start), self._slope(path, start)
            if have is None or abs(slope) < _SAME:
                return unfit
            ends = sorted((start + (m.lo - have.hi) / slope, start + (m.hi - have.lo) / slope))
            before, start = start, (ends[0] + ends[1]) / 2
            if abs(start - before) < _SAME:
                break
        slope = self._slope(path, start)
        if abs(slope) < _SAME or not self._straight(path, start, slope, ends):
            return unfit
        far = (start - _FAR_MM, start + _FAR_MM)
        if not self._straight(path, start, slope, far) and self._elsewhere(path, ends):
            return f"more than one {path} would give it"
        return ends[0], ends[1], slope

    def _straight(self, path: str, start: float, slope: float, places: Sequence[float]) -> bool:
        """Whether both bounds move by the slope from the start to all the places."""
        at = self._have(path, start)
        for x in places:
            there = self._have(path, x)
            if at is None or there is None:
                return False
            move = slope * (x - start)
            if abs(there.lo - at.lo - move) > _SAME or abs(there.hi - at.hi - move) > _SAME:
                return False
        return True

    def _elsewhere(self, path: str, ends: Sequence[float]) -> bool:
        """Whether a value beyond the ends, but near them, would give what was measured, too."""
        m = self._seen.measured
        for end, way in ((ends[0], -1), (ends[1], 1)):
            side = 0
            for n in range(1, int(_NEARBY_MM / _NEARBY_STEP_MM) + 1):
                have = self._have(path, end + way * n * _NEARBY_STEP_MM)
                if have is None:
                    continue
                now = 1 if have.lo > m.hi else -1 if have.hi < m.lo else 0
                if now == 0 or now * side < 0:
                    return True
                side = now
        return False

    def _inferred(self, path: str, record: str, span: Span, slope: float) -> Inferred:
        at = self._have(path, span.nominal)
        measured = (self._seen.measured.hi - self._seen.measured.lo) / 2
        shares = [Share("measured", measured / abs(slope))]
        if at is not None:
            shares += [Share(p, e.reach / abs(slope)) for p, e in at.effects.items()]
        kept = sorted((s for s in shares if s.half > _GRAIN), key=lambda s: (-s.half, s.fact))
        owner = getattr(self._setup, path.split(".", 1)[0], None)
        return Inferred(
            path,
            path.rsplit("_", 1)[-1],
            record,
            "" if owner is None else str(owner.at),
            span,
            self._trial.id,
            self._seen.measure,
            self._source(),
            locator_of(self._trial),
            self._trial.date.text or "",
            tuple(kept),
        )

    def _source(self) -> str:
        """The source of the measurements, if the trial names one."""
        for taken in (*self._trial.measured, self._trial.stack_mm):
            if taken.known and taken.reading.source:
                return taken.reading.source
        return ""
