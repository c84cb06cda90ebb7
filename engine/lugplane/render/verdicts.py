"""The verdicts of a sheet in plain words: what decides each, and what to measure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from lugplane.answers.evidence import FactLine
from lugplane.answers.rows import (
    BOLTS_ON,
    DOES_NOT_FIT,
    FITS_WITH_WORK,
    NOT_ASKED,
    Row,
    Settles,
)
from lugplane.answers.sheet import Scope, Sheet
from lugplane.quantity.judge import CANNOT_TELL, FAILS
from lugplane.render.hardware import bolt_words, stack_words, torque_words
from lugplane.render.layout import clean
from lugplane.render.words import (
    band_words,
    have_words,
    is_unjudged,
    least_doubt,
    need_words,
    sentence,
    settler_words,
)

MOST_MEASURES = 6
"""A verdict names at most this many measurements; the checks below name the rest."""

Facts = Mapping[str, FactLine]
_MASSES = frozenset({"platform.kerb_kg", "platform.gross_kg"})


@dataclass(frozen=True, slots=True)
class Verdict:
    """A scope's verdict, what is said under it, and the measurements that settle it."""

    scope: str
    verdict: str
    lines: tuple[str, ...]
    measures: tuple[str, ...] = ()


def verdicts(sheet: Sheet) -> tuple[Verdict, ...]:
    """Every scope in the order of the sheet; the car's says first what it is judged with."""
    found = (_verdict(sheet, scope) for scope in sheet.scopes)
    return tuple(
        replace(v, lines=(*_judged_with(sheet), *v.lines)) if v.scope == "car" else v for v in found
    )


def _judged_with(sheet: Sheet) -> tuple[str, ...]:
    """The other axle and the pads' compound, as the car is judged with them."""
    other = "rear" if sheet.axle == "front" else "front"
    how = "as given" if sheet.other_axle == "given" else "as the factory built it"
    said = [f"With the {other} axle {how}."]
    if any(m in _MASSES for row in sheet.rows if row.scope == "car" for m in row.missing):
        said.append("The car's masses are not known: it is judged mechanically alone.")
    if sheet.open_pads:
        pads = ", ".join(clean(i) for i in sheet.open_pads)
        said.append(f"The pads' compound is not named, so any of these is allowed for: {pads}.")
    return tuple(said)


def facts_of(sheet: Sheet) -> Facts:
    """The facts that a sheet used, by their paths."""
    return {line.path: line for line in sheet.evidence}


def check_name(row: Row) -> str:
    """A check's title with the name by which it is asked for."""
    return f"{clean(row.title)} ({row.check})"


def found_words(sheet: Sheet, row: Row) -> str:
    """What a row came to: its quantity, its choice in words, or what is not known."""
    if row.because and row.state == CANNOT_TELL:
        return clean(row.because)
    if row.value is not None:
        return have_words(row)
    if row.state == CANNOT_TELL:
        facts = facts_of(sheet)
        unknown = [f for f in row.missing if not is_known(facts, f)]
        if unknown:
            return f"not known: {', '.join(unknown)}"
        return (
            f"hangs on the doubt about {', '.join(row.missing)}" if row.missing else "cannot tell"
        )
    if row.state != FAILS:
        chosen = {
            "stack": stack_words(sheet.stack),
            "bolt": bolt_words(sheet.bolts),
            "torque": torque_words(sheet),
        }.get(row.check)
        if chosen:
            return chosen
    said = clean(row.because) or band_words(row.band)
    # What holds in one state of loading only because stock is no better there.
    return f"no nearer to the rear than with stock: {said}" if row.band == "as-stock" else said


def is_known(facts: Facts, path: str) -> bool:
    """Whether a fact is known to the sheet."""
    return path in facts and facts[path].known


def deciding(sheet: Sheet, row: Row) -> str:
    """A check and why it came out as it did, in one line."""
    need = need_words(row)
    found = found_words(sheet, row)
    if row.value is None or not need:
        return f"{check_name(row)}: {found}"
    return f"{check_name(row)}: {found}, needs {need}"


def _verdict(sheet: Sheet, scope: Scope) -> Verdict:
    rows = [r for r in sheet.rows if r.scope == scope.name]
    first = next((r for r in rows if r.check == scope.limiting), None)
    if scope.verdict == NOT_ASKED or first is None:
        why = next((r.because for r in rows if r.because), "")
        return Verdict(scope.name, scope.verdict, (sentence(clean(why)),) if why else ())
    if scope.verdict == CANNOT_TELL:
        return _in_doubt(sheet, scope, rows)
    others = [r for r in rows if r is not first]
    lead = "The least to spare" if scope.verdict == BOLTS_ON else "Decided by"
    said = [f"{lead}: {deciding(sheet, first)}."]
    if scope.verdict == DOES_NOT_FIT:
        said += _also("Fails too", (r for r in others if r.state == FAILS))
        said += _also("Cannot tell besides", (r for r in others if r.state == CANNOT_TELL))
    elif scope.verdict == FITS_WITH_WORK:
        said += _also("Work too", (r for r in others if r.state == "work"))
        said += _also("Care", (r for r in others if r.state == "care"))
    return Verdict(scope.name, scope.verdict, tuple(said))


def _also(lead: str, rows: Iterable[Row]) -> list[str]:
    titles = [clean(r.title) for r in rows]
    return [f"{lead}: {', '.join(titles)}."] if titles else []


def _in_doubt(sheet: Sheet, scope: Scope, rows: list[Row]) -> Verdict:
    doubtful = [r for r in rows if r.state == CANNOT_TELL and not is_unjudged(r)]
    said: list[str] = []
    if doubtful:
        first = next((r for r in doubtful if r.check == scope.limiting), doubtful[0])
        said.append(f"In doubt: {deciding(sheet, first)}.")
        said += _also("In doubt too", (r for r in doubtful if r is not first))
    said += _also("Not judged yet, whatever is measured", (r for r in rows if is_unjudged(r)))
    said += _also("Work", (r for r in rows if r.state == "work"))
    said += _also("Care", (r for r in rows if r.state == "care"))
    return Verdict(scope.name, scope.verdict, tuple(said), measures(sheet, doubtful))


def measures(sheet: Sheet, rows: Iterable[Row]) -> tuple[str, ...]:
    """What to measure so that rows which cannot tell are settled, each thing once.

    Where the pads' compound is open, naming it comes before all that hangs on its friction. Facts
    that are not known come first; then those that settle a row alone, each with the finest ±
    that any row asks of it. A row that no one fact settles is settled by its own measurement; one
    that hangs on facts which are measured anyway adds nothing.
    """
    facts = facts_of(sheet)
    rows = tuple(rows)
    by_name = [r for r in rows if hangs_on_compound(sheet, r)]
    rows = tuple(r for r in rows if r not in by_name)
    unknown: dict[str, Settles] = {}
    alone: dict[str, Settles] = {}
    others: list[Row] = []
    for row in rows:
        missing = [s for s in row.settles if s.now is None and not is_known(facts, s.fact)]
        unknown.update((s.fact, s) for s in missing)
        single = next((s for s in row.settles if least_doubt(s.needs or 0.0)), None)
        if single is not None:
            held = alone.get(single.fact, single)
            alone[single.fact] = min(held, single, key=lambda s: s.needs or 0.0)
        elif not missing:
            others.append(row)
    said = [f"{compound_words(sheet)}; each is judged apart then"] if by_name else []
    said += [settler_words(s, facts.get(f)) for f, s in (unknown | alone).items()]
    for row in others:
        choice = row.value is None
        if not (choice and any(s.fact in unknown or s.fact in alone for s in row.settles)):
            said.append(_own_measure(row, facts))
    said = list(dict.fromkeys(said))
    if len(said) > MOST_MEASURES:
        rest = len(said) - MOST_MEASURES
        said = [*said[:MOST_MEASURES], f"{rest} more, named with the checks below"]
    return tuple(said)


def hangs_on_compound(sheet: Sheet, row: Row) -> bool:
    """Whether a row is in doubt about the friction of pads of which only the shape is named."""
    if not sheet.open_pads or row.state != CANNOT_TELL:
        return False
    return any(s.fact.startswith(("pad.friction", "pad.compound")) for s in row.settles)


def compound_words(sheet: Sheet) -> str:
    """What is asked of somebody who named pads by their shape alone."""
    *most, last = (clean(i) for i in sheet.open_pads)
    return f"Name the pads' compound: {', '.join(most)} or {last}"


def _own_measure(row: Row, facts: Facts) -> str:
    """How a row is settled by one measurement, or the widest doubts that it hangs on."""
    title, how = clean(row.title), clean(row.how)
    if how:
        return f"{title}: {how[0].lower()}{how[1:]}"
    widest = [settler_words(s, facts.get(s.fact)) for s in row.settles[:3]]
    return f"{title}: {'; '.join(widest)}" if widest else title
