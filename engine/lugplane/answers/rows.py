"""The list of checks walked over one deduction: every check in exactly one state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from lugplane.answers.evidence import find_fact
from lugplane.answers.found import BOLTS_ON as BOLTS_ON
from lugplane.answers.found import DOES_NOT_FIT as DOES_NOT_FIT
from lugplane.answers.found import FITS_WITH_WORK as FITS_WITH_WORK
from lugplane.answers.found import NOT_ASKED as NOT_ASKED
from lugplane.answers.found import BandLine as BandLine
from lugplane.answers.found import Settles as Settles
from lugplane.answers.found import Span as Span
from lugplane.deduce.deduction import DOES_NOT_APPLY, Deduction, Judged
from lugplane.deduce.rulebook import Check
from lugplane.errors import EngineError
from lugplane.facts.value import Value
from lugplane.quantity.form import Extent
from lugplane.quantity.judge import CANNOT_TELL, FAILS, Limit
from lugplane.setup.words import UNKNOWN


@dataclass(frozen=True, slots=True)
class Row:
    """One check of one setup.

    `state` is holds, care, work, fails, cannot tell or does not apply. `value` is what the limit
    judges; `have` and `need` what it is made of; `margin` the least distance to failing.
    `because` says in words what a choice chose or why a check does not apply.
    """

    check: str
    title: str
    scope: str
    state: str
    band: str
    because: str = ""
    unit: str = ""
    value: Span | None = None
    have: Span | None = None
    need: Span | None = None
    margin: float | None = None
    limit: str = ""
    limit_source: str = ""
    bands: tuple[BandLine, ...] = ()
    notes: Mapping[str, Span] = field(default_factory=dict)
    missing: tuple[str, ...] = ()
    settles: tuple[Settles, ...] = ()
    how: str = ""
    formula: str = ""
    rule: str = ""
    facts: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


def walk(deduction: Deduction, brief: bool = False) -> tuple[Row, ...]:
    """Every check of the list, in its order. Raises `EngineError` for a check without a row.

    `brief`: without what only a sheet shows of a check that was judged: what its value is made of,
    the facts behind it, where its limit comes from.
    """
    return tuple(_row(deduction, check, brief) for check in deduction.rulebook.checks)


def _row(d: Deduction, check: Check, brief: bool) -> Row:
    if check.source == "later":
        return Row(check.id, check.title, check.scope, CANNOT_TELL, CANNOT_TELL, "not judged yet")
    unknown: list[str] = []
    for pattern in check.applies:
        if d.matching(pattern):
            continue
        unknown.extend(_unknown(d, pattern))
        if "joined" in pattern and d.matching({"joined": "either"}):
            return _open(d, check, unknown)
        if not unknown:
            return Row(
                check.id,
                check.title,
                check.scope,
                DOES_NOT_APPLY,
                DOES_NOT_APPLY,
                check.otherwise,
                formula=check.formula,
            )
    judged = d.judged.get(check.name)
    if judged is None:
        missing = tuple(dict.fromkeys([*unknown, *d.why_not(check.source, check.name)]))
        if not missing:
            raise EngineError(f"check {check.id} has no row: no rule gave {check.name}")
        return Row(
            check.id,
            check.title,
            check.scope,
            CANNOT_TELL,
            CANNOT_TELL,
            missing=missing,
            settles=tuple(Settles(m, None, None) for m in missing),
            how=check.settles,
            formula=check.formula,
        )
    return _judged_row(d, check, judged, brief)


def _open(d: Deduction, check: Check, unknown: list[str]) -> Row:
    """A check that applies one way of joining and not the other, while both are open."""
    missing = tuple(dict.fromkeys(unknown))
    return Row(
        check.id,
        check.title,
        check.scope,
        CANNOT_TELL,
        CANNOT_TELL,
        d.judged["adapter"].finding.blocked,
        missing=missing,
        settles=tuple(Settles(m, None, None) for m in missing),
        how=check.settles,
        formula=check.formula,
    )


def _unknown(d: Deduction, pattern: Mapping[str, str]) -> list[str]:
    """The facts for want of which a starting word of a pattern is unknown."""
    found: list[str] = []
    for seed in d.seeds:
        if seed["kind"] == pattern.get("kind"):
            found += [UNKNOWN[(seed["kind"], k)] for k in pattern if seed.get(k) == "unknown"]
    if "choice" in pattern:
        choice = d.judged.get(pattern["choice"])
        if choice is None:
            found += d.why_not("choice", pattern["choice"])
        elif choice.judgement.state == CANNOT_TELL:
            found += choice.finding.missing
    if "joined" in pattern and not d.matching({"joined": "adapter"}):
        found += d.why_not("choice", "adapter")
        if d.matching({"joined": "either"}):
            found += d.judged["adapter"].finding.missing
    return found


def _judged_row(d: Deduction, check: Check, j: Judged, brief: bool) -> Row:
    finding, limit = j.finding, j.limit
    state = j.judgement.state
    because = finding.not_applying
    if finding.choice is not None:
        because = finding.choice.said
        state = state if state == CANNOT_TELL else check.states.get(state, "")
        if not state:
            raise EngineError(f"check {check.id}: no meaning for '{j.judgement.state}'")
    because = finding.blocked or because
    r = finding.reckoned
    settles = tuple(Settles(s.fact, s.now, s.needs) for s in j.judgement.settlers) or tuple(
        Settles(m, None, None) for m in finding.missing
    )
    row = Row(
        check.id,
        check.title,
        check.scope,
        state,
        j.judgement.band,
        because,
        unit=r.unit if r else "",
        value=_span(r.judged) if r else None,
        margin=j.judgement.margin,
        limit=limit.id if limit else "",
        bands=_bands(limit) if limit and not (brief and state == "holds") else (),
        missing=finding.missing,
        settles=settles,
    )
    if brief:
        return row
    return replace(
        row,
        have=_span(r.have) if r else None,
        need=_span(r.need) if r else None,
        limit_source=limit.source if limit else "",
        notes={k: s for k, v in (r.notes.items() if r else ()) if (s := _span(v))},
        how=check.settles if state == CANNOT_TELL else "",
        formula=check.formula,
        rule=j.rule.id,
        facts=finding.inputs,
        assumed=_assumed(d, finding.inputs),
    )


def _bands(limit: Limit) -> tuple[BandLine, ...]:
    return tuple(BandLine(b.name, b.state, b.to, b.closed) for b in limit.bands)


def _span(e: Extent | None) -> Span | None:
    return None if e is None else Span(e.lo, e.hi, e.nominal)


def _assumed(d: Deduction, paths: tuple[str, ...]) -> tuple[str, ...]:
    assumed = _assumed_facts(d)
    return tuple(p for p in paths if p in assumed) if assumed else ()


def _assumed_facts(d: Deduction) -> frozenset[str]:
    """The facts of a deduction whose ± is an assumed one."""
    return d.bench.place.keep("assumed facts", lambda: _find_assumed(d))


def _find_assumed(d: Deduction) -> frozenset[str]:
    read = {p for j in d.judged.values() for p in j.finding.inputs}
    named = ((p, find_fact(d.bench.setup, p)) for p in read)
    return frozenset(
        p for p, n in named if n and isinstance(n[1], Value) and n[1].known and n[1].reading.assumed
    )


def verdict(rows: tuple[Row, ...], scope: str) -> str:
    """The verdict of a scope (DESIGN §4); `not asked` where no check of it applies."""
    states = {r.state for r in rows if r.scope == scope and r.state != DOES_NOT_APPLY}
    if not states:
        return NOT_ASKED
    if FAILS in states:
        return DOES_NOT_FIT
    if CANNOT_TELL in states:
        return CANNOT_TELL
    if states & {"work", "care"}:
        return FITS_WITH_WORK
    return BOLTS_ON


_WORST = {FAILS: 0, CANNOT_TELL: 1, "work": 2, "care": 3, "holds": 4}


def limiting(rows: tuple[Row, ...], scope: str, close: frozenset[str] = frozenset()) -> str:
    """The check that decides a scope: of the worst state the one with the least margin.

    Margins are compared in millimetres; a row without one comes after those that have one, and so
    does one that holds against a limit of `close` (ids of limits that are close by design). Where
    several are alike the first of the list is named. Empty: no check applies.
    """
    of_scope = [r for r in rows if r.scope == scope and r.state in _WORST]
    if not of_scope:
        return ""

    def rank(row: Row) -> tuple[int, int, float]:
        length = row.margin is not None and row.unit == "mm"
        length = length and not (row.state == "holds" and row.limit in close)
        # Equal margins may differ in the last places by the order of a sum: that decides nothing.
        return _WORST[row.state], 0 if length else 1, round(row.margin or 0.0, 9)

    return min(of_scope, key=rank).check
