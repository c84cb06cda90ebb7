"""Trials against the facts, as a page and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lugplane.answers.observed import AGREES, DISAGREES, NOTHING, ONLY_MEASURED, TELLS, Observed
from lugplane.answers.solve import Inferred
from lugplane.answers.suspects import Case, Suspected
from lugplane.answers.trials import Checked, Differs, Gaps, Rival, TrialLine
from lugplane.quantity.text import number
from lugplane.render.blocks import Block, Cells, Group, Heading, Item, Items, Para, Table
from lugplane.render.layout import clean
from lugplane.render.names import fact_name
from lugplane.render.plain_json import dumped, plain
from lugplane.render.text import page_text
from lugplane.render.trial_words import STATE_WORDS
from lugplane.render.trial_yaml import reading_yaml
from lugplane.render.words import amount, join, place_words, sentence, single

_STATES_WORDS = {
    AGREES: "agree",
    DISAGREES: "disagree",
    TELLS: "tell what the facts do not",
    NOTHING: "tell nothing",
}
_GROUPS = {
    DISAGREES: "Disagrees",
    AGREES: "Agrees within the combined ±",
    TELLS: "The facts do not give it",
    NOTHING: "Cannot be held against the facts",
    ONLY_MEASURED: "Only ever measured",
}
_MEASURED = "measured."
_NOTES = "notes"
_MOST_SUSPECTS = 8
_MOST_SHARES = 4
_MOST_LEFT = 3
_UNLIKELY = 0.001


def trials_json(checked: Checked) -> str:
    """Checked trials as JSON (`schemas/answers/trial.json`)."""
    return dumped({"answer": "trial", "state": checked.state, **plain(checked)})


def trials_text(checked: Checked, *, width: int = 80, colour: bool = False) -> str:
    """Checked trials in lines of at most `width` columns, YAML to paste as it stands."""

    def page(blocks: Iterable[Block]) -> str:
        return page_text(blocks, width=width, colour=colour)

    parts = [page([Heading(_title(checked), 1)])]
    for line in checked.trials:
        parts.append(page(_trial(line)))
        parts += [reading_yaml(each) for each in line.inferred]
    for n, case in enumerate(checked.cases):
        parts.append(page(_case(case, n, len(checked.cases))))
    return "\n\n".join(p for p in parts if p)


def _title(checked: Checked) -> str:
    counts = {s: sum(1 for t in checked.trials if t.state == s) for s in STATE_WORDS}
    told = ", ".join(f"{n} {words(s, n)}" for s, n in counts.items() if n)
    return f"Trials against the facts: {told}" if told else "There are no trials"


def words(state: str, count: int) -> str:
    """What one trial, or several, do."""
    return STATE_WORDS[state] if count == 1 else _STATES_WORDS[state]


def _trial(line: TrialLine) -> Iterator[Block]:
    yield Heading(f"{clean(line.id)}: {clean(line.title)}")
    parts = ", ".join(clean(p) for p in line.parts)
    where = f"{clean(line.platform)}, {line.axle} axle: {parts}"
    how = ", ".join(clean(x) for x in (line.date, line.measured_with, line.outcome) if x)
    because = (sentence(clean(line.because)),) if line.because else ()
    notes = (f"Notes: {sentence(clean(line.notes))}",) if line.notes else ()
    yield Para((*because, f"{where}.", f"{how}; {place_words(line.at)}.", *notes), _lead(line))
    groups: dict[str, list[Cells]] = {title: [] for title in _GROUPS.values()}
    for seen in line.observed:
        groups[_GROUPS[seen.state]].append(_row(seen))
    if line.observed:
        yield Table(
            ("", "measured", "facts give", "differs by"),
            tuple(Group(title, tuple(rows)) for title, rows in groups.items() if rows),
            most=(0, 16, 18, 18),
        )
    if line.gaps is not None:
        yield from _gaps(line.gaps)
    if line.rivals:
        yield Para((), "Rival trials of the same brake; all stay:")
        yield Items(tuple(Item(rival_words(r)) for r in line.rivals))
    for un in line.unsolved:
        missing = f": {', '.join(un.missing)}" if un.missing else ""
        yield Para((f"{un.measure} gives no fact: {clean(un.because)}{missing}.",))
    for each in line.inferred:
        yield from _inferred(each)


def _lead(line: TrialLine) -> str:
    return sentence(STATE_WORDS[line.state])


def _row(seen: Observed) -> Cells:
    below = (sentence(clean(seen.because)),) if seen.because else ()
    if seen.missing:
        below = (*below, f"Not known: {', '.join(clean(m) for m in seen.missing)}.")
    if seen.assumed:
        below = (*below, "The ± of the measurement is an assumed one.")
    given = "" if seen.reckoned is None else amount(seen.reckoned, seen.unit)
    return Cells((seen.measure, amount(seen.measured, seen.unit), given, _differs(seen)), below)


def _differs(seen: Observed) -> str:
    """`0.1 ±0.4 mm`; and what no ± explains, where the two disagree."""
    if seen.residual is None or seen.combined is None:
        return ""
    said = join(number(seen.residual), f"±{number(seen.combined)}")
    if seen.beyond:
        return f"{said}; {join(single(seen.beyond, seen.unit), 'too much')}"
    return said


def _gaps(gaps: Gaps) -> Iterator[Block]:
    given = "" if gaps.spacing is None else f"spacing {amount(gaps.spacing, 'mm')}, "
    yield Para((sentence(f"The four gaps give {given}tilt {amount(gaps.tilt, 'mm')}"),))
    torn = [
        name
        for name, agrees in (("spacing", gaps.spacing_agrees), ("tilt", gaps.tilt_agrees))
        if agrees is False
    ]
    if torn:
        yield Para(
            (sentence(f"The {' and the '.join(torn)} it states is another: look at the sheet"),),
            "The trial contradicts itself.",
        )


def rival_words(rival: Rival) -> str:
    """What another trial measured, how far apart, and what is recorded otherwise."""
    apart = single(abs(rival.apart), "mm")
    beyond = f", {single(rival.beyond, 'mm')} more than both ± allow" if rival.beyond else ""
    why = "; ".join(_differs_words(d) for d in rival.differs if d.what != _NOTES)
    notes = "".join(
        f" Its own notes: {sentence(clean(d.there))}"
        for d in rival.differs
        if d.what == _NOTES and d.there
    )
    said = f"{clean(rival.trial)}: {rival.measure} {amount(rival.measured, 'mm')}, {apart} apart"
    return f"{said}{beyond}. Recorded otherwise: {why or 'nothing'}.{notes}"


def _differs_words(d: Differs) -> str:
    here, there = (clean(x) or "not recorded" for x in (d.here, d.there))
    return f"{d.what}: here {here}, there {there}"


def _inferred(each: Inferred) -> Iterator[Block]:
    shares = [f"{s.fact} ±{number(s.half, 3)}" for s in each.shares[:_MOST_SHARES]]
    more = len(each.shares) - len(shares)
    tail = f" and {more} more" if more > 0 else ""
    yield Para(
        (
            sentence(f"{fact_name(each.fact)} of {clean(each.record)}, from {each.measure}"),
            f"Its ± is that of {', '.join(shares)}{tail}." if shares else "It is exact.",
            "To paste where you take the trial's word for it:",
        ),
        f"It gives {amount(each.value, each.unit, 3)}.",
    )


# --- suspects -------------------------------------------------------------------------------------


def _case(case: Case, n: int, of: int) -> Iterator[Block]:
    yield Heading(f"Suspects, case {n + 1} of {of}" if of > 1 else "Suspects")
    together = ", ".join(clean(t) for t in case.trials)
    apart = ", ".join(clean(t) for t in case.disagree)
    verb = "disagrees" if len(case.disagree) == 1 else "disagree"
    yield Para(
        (
            f"Looked at together, as they share facts: {together}.",
            f"With the facts {verb}: {apart}.",
            "What would explain all of it alone, the likeliest first. Those of one number no "
            "trial tells apart; of them the weaker evidence stands first. One wrong fact is "
            "sought, not several.",
        )
    )
    rows = [_suspect(s) for s in case.suspects[:_MOST_SUSPECTS]]
    yield Table(("", "off by", "would read", "likelihood"), (Group("", tuple(rows)),))
    more = case.suspects[_MOST_SUSPECTS:]
    if more:
        yield Para((f"{len(more)} more, likelihood {_likely(more[0].likelihood)} at most.",))


def _suspect(s: Suspected) -> Cells:
    name = f"{s.group}. {suspect_name(s)}"
    reads = "" if s.reads is None else number(s.reads)
    now = "" if s.nominal is None else f", now {number(s.nominal)} ±{number(s.half)}"
    basis = ", ".join(x for x in (s.basis, place_words(s.at) if s.at else "") if x)
    left = [e for e in s.explains if not e.agrees]
    told = "Explains everything it is part of."
    if left:
        first = left[:_MOST_LEFT]
        said = ", ".join(f"{clean(e.trial)} {e.measure} {number(e.left)}" for e in first)
        more = f" and {len(left) - _MOST_LEFT} more" if len(left) > _MOST_LEFT else ""
        told = f"Leaves apart: {said}{more}."
    return Cells(
        (name, number(s.off), reads, _likely(s.likelihood)),
        (sentence(f"{basis}{now}") if basis or now else "", told),
    )


def suspect_name(s: Suspected) -> str:
    """A fact of a record, or a measurement of a trial."""
    if s.fact.startswith(_MEASURED):
        return f"{s.fact.removeprefix(_MEASURED)} as measured in {clean(s.record)}"
    return f"{clean(s.fact)} of {clean(s.record)}"


def _likely(likelihood: float) -> str:
    if likelihood < _UNLIKELY:
        return f"under {_UNLIKELY}"
    return number(likelihood, 3)
