"""What a fit sheet says, in the order in which it says it; laid out elsewhere."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lugplane.answers.evidence import FactLine
from lugplane.answers.hotter import hotter_disc, of_the_hotter
from lugplane.answers.rows import DOES_NOT_FIT, Row
from lugplane.answers.sheet import Saying, Sheet, worst
from lugplane.deduce.deduction import DOES_NOT_APPLY
from lugplane.quantity.judge import CANNOT_TELL, FAILS
from lugplane.render.blocks import Block, Cells, Group, Heading, Item, Items, Para, Table
from lugplane.render.hardware import (
    buying_words,
    cautions,
    figures,
    fill,
    named_words,
    part_words,
    tightening_words,
)
from lugplane.render.layout import clean
from lugplane.render.names import fact_name
from lugplane.render.order import in_order
from lugplane.render.trial_words import trial_words
from lugplane.render.verdicts import (
    Facts,
    compound_words,
    facts_of,
    found_words,
    hangs_on_compound,
    verdicts,
)
from lugplane.render.words import (
    fact_words,
    have_words,
    hotter_words,
    is_unjudged,
    least_doubt,
    need_words,
    place_words,
    reading_words,
    rest_words,
    sentence,
    settler_words,
    spare_words,
)
from lugplane.setup.override import AT

_STATES = {
    FAILS: "Fails",
    CANNOT_TELL: "Cannot tell",
    "work": "Work",
    "care": "Care",
    "holds": "Holds",
}
_UNJUDGED = "Cannot tell, not judged yet"
_AS_STATED = "as the file states it"
_UNMEASURED = frozenset(
    {"measured-spacing", "tilt", "disc-worn", "disc-runout", "disc-variation", "disc-cracks"}
)
"""Checks that wait for a measurement at the car: without it they are open, not out of place."""
_SMALL_THINGS = (
    "Besides: fresh brake fluid, new sealing washers for each banjo that is opened, and the pads' "
    "pins, springs and clips."
)
_USED_DISC = "measure-disc"
"""The hold that a used disc calls for, on whatever car it is."""
_OF_A_USED_DISC = ("disc-worn", "disc-runout", "disc-variation", "disc-cracks")
"""Checks that are judged of a disc that was measured as a used one."""
_MAIN = ("adapter", "stack", "bolt", "trim")
"""What everybody asks first, in this order."""


def sheet_blocks(sheet: Sheet) -> tuple[Block, ...]:
    """The whole sheet as blocks."""
    named = f"{clean(sheet.platform_title)} ({clean(sheet.platform)}), {sheet.axle} axle"
    return (
        Heading(named, 1),
        *_verdicts(sheet),
        *_parts(sheet),
        *_takes(sheet),
        *_checks(sheet),
        *_buy(sheet),
        *_work(sheet),
        *_cautions(sheet),
        Heading("What it rests on"),
        evidence_table(sheet.evidence),
        *_trials(sheet),
    )


def _trials(sheet: Sheet) -> Iterator[Block]:
    if sheet.trials:
        yield Para((), "Trials of this very setup")
        yield Items(tuple(Item(trial_words(told)) for told in sheet.trials))


def _verdicts(sheet: Sheet) -> Iterator[Block]:
    asked: dict[str, str] = {}
    for v in verdicts(sheet):
        fresh = [m for m in v.measures if m not in asked]
        known = dict.fromkeys(asked[m] for m in v.measures if m in asked)
        also = f"Measure this, as for the {' and the '.join(known)}" if known else "Measure this"
        said = [*v.lines, f"{also}:" if fresh else f"{also}."] if v.measures else v.lines
        yield Para(tuple(said), f"{v.scope.capitalize()}: {v.verdict}.")
        if fresh:
            yield _items(fresh)
        asked.update((m, v.scope) for m in fresh)


def _parts(sheet: Sheet) -> Iterator[Block]:
    yield Heading("Parts")
    rows = tuple(Cells((p.kind, named_words(sheet, p), part_words(p))) for p in sheet.parts)
    yield Table(("", "", ""), (Group("", rows),))
    given = [line for line in sheet.evidence if line.known and line.at == AT]
    if given:
        yield Para(("Given with this question:",))
        yield _items(f"{fact_name(line.path)}: {fact_words(line)}" for line in given)


def _items(said: Iterable[str]) -> Items:
    return Items(tuple(Item(sentence(x)) for x in said))


# --- what it takes --------------------------------------------------------------------------------


def _takes(sheet: Sheet) -> Iterator[Block]:
    yield Heading("What it takes")
    yield from _warning(sheet, "this is what the rest would take", "this is what is known so far")
    others = [s for s in sheet.says if _speaks_of(s) not in _MAIN]
    yield _items((*_main(sheet), *(fill(s.text, sheet, s.about) for s in others)))


def _main(sheet: Sheet) -> Iterator[str]:
    """Adapter, stack, bolt, torque and trim, each said whatever came of it."""
    for name in _MAIN:
        said = [sentence(fill(s.text, sheet, s.about)) for s in sheet.says if _speaks_of(s) == name]
        row = next((r for r in sheet.rows if r.check == sheet.subjects.get(name)), None)
        if said and name == "bolt" and sheet.bolt_reason:
            throughout = " throughout" if any(not b.record for b in sheet.bolts) else ""
            said.append(f"The original does not serve{throughout}: {clean(sheet.bolt_reason)}.")
        if not said and row is not None:
            said = [_unsaid(sheet, name, row)]
        yield from (x for x in (" ".join(said),) if x)
        if name == "bolt" and sheet.bolts and sheet.torque_nm is not None:
            yield from tightening_words(sheet)


def _unsaid(sheet: Sheet, name: str, row: Row) -> str:
    """What is said where no rule speaks."""
    title = clean(row.title)
    if row.state == CANNOT_TELL:
        return f"{title}: cannot tell yet"
    if row.state == FAILS and name == "bolt":
        return f"{title}: none serves" + (
            f"; the original: {clean(row.because)}" * bool(row.because)
        )
    if row.state == FAILS:
        needs = f", needs {need_words(row)}" if row.bands else ""
        return f"{title}: {found_words(sheet, row)}{needs}"
    if row.state == "holds":
        return {
            "stack": "Nothing goes between ear and lug",
            "trim": "The lining is not trimmed",
        }.get(name, "")
    return ""


def _speaks_of(saying: Saying) -> str:
    """The first quantity or choice that a rule's words rest on."""
    return next((name for name in saying.about.values() if name), "")


def _warning(sheet: Sheet, unfit: str, doubtful: str) -> Iterator[Block]:
    """What keeps a reader from acting on a sheet that does not say that it fits."""
    verdict = worst(sheet)
    if verdict == DOES_NOT_FIT:
        yield Para((f"It does not fit, see above: {unfit}.",))
    elif verdict == CANNOT_TELL:
        yield Para((f"Measure first, see above: {doubtful}.",))


# --- the checks -----------------------------------------------------------------------------------


def _checks(sheet: Sheet) -> Iterator[Block]:
    yield Heading("Checks")
    facts = facts_of(sheet)
    groups: dict[str, list[Cells]] = {title: [] for title in (*_STATES.values(), _UNJUDGED)}
    folded: dict[str, list[str]] = {}
    open_: dict[str, list[str]] = {}
    for row in sheet.rows:
        if row.state == DOES_NOT_APPLY:
            into = open_ if row.check in _UNMEASURED else folded
            into.setdefault(clean(row.because), []).append(row.check)
        else:
            title = _UNJUDGED if is_unjudged(row) else _STATES[row.state]
            groups[title].append(_check_row(sheet, row, facts))
    yield Table(
        ("", "has", "needs", "to spare"),
        tuple(Group(title, tuple(rows)) for title, rows in groups.items() if rows),
        most=(0, 16, 18, 8),
    )
    yield Para(
        ("To spare: what is left before it fails, not before care; empty where it cannot fail.",)
    )
    for title, found in (("Not measured yet, and not judged", open_), ("Does not apply", folded)):
        if found:
            yield Para((), title)
            yield Items(tuple(Item(f"{', '.join(ids)}: {why}.") for why, ids in found.items()))


def _check_row(sheet: Sheet, row: Row, facts: Facts) -> Cells:
    name = f"{row.check}: {clean(row.title)}"
    below = _doubts(sheet, row, facts) if row.state == CANNOT_TELL else ()
    below = (*_whose_disc(row), *below)
    if row.value is None:
        return Cells((name, found_words(sheet, row)), below)
    spare = spare_words(row)
    if row.state not in (FAILS, CANNOT_TELL) and row.margin is not None and row.margin < 0:
        spare = ""  # what is good has no shortfall: its limit fails on another side
    return Cells((name, have_words(row), need_words(row, unit=False), spare), below)


def _whose_disc(row: Row) -> tuple[str, ...]:
    """Of a check of heat, which axle's disc it is about."""
    if not of_the_hotter(row.check, row.value):
        return ()
    return (hotter_words(hotter_disc(row)),)


def _doubts(sheet: Sheet, row: Row, facts: Facts) -> tuple[str, ...]:
    """What settles a quantity in doubt; a choice has said in its cell which facts it hangs on."""
    if row.value is None:
        return ()
    if hangs_on_compound(sheet, row):
        return (f"{compound_words(sheet)}.",)
    alone = [s for s in row.settles if least_doubt(s.needs or 0.0)]
    if alone:
        return (f"Measure {'; or '.join(settler_words(s, facts.get(s.fact)) for s in alone)}.",)
    widest = "; ".join(settler_words(s, facts.get(s.fact)) for s in row.settles[:3])
    return tuple(
        x
        for x in (clean(row.how), f"None of these settles it alone: {widest}." if widest else "")
        if x
    )


# --- buying and doing -----------------------------------------------------------------------------


def _buy(sheet: Sheet) -> Iterator[Block]:
    yield Heading("To buy")
    if not sheet.buy:
        yield Para(("Nothing.",))
        return
    yield from _warning(sheet, "buy nothing on this sheet", "buy nothing before")
    said = [buying_words(sheet, item) for item in sheet.buy]
    if any(item.what in ("caliper", "hose") for item in sheet.buy):
        said.append(_SMALL_THINGS)
    yield _items(said)


def _work(sheet: Sheet) -> Iterator[Block]:
    yield Heading("Work, in this order")
    if sheet.as_built:
        yield Para(("Nothing to do: this is how the factory built it.",))
        used = any(r.check in _OF_A_USED_DISC and r.state != DOES_NOT_APPLY for r in sheet.rows)
        stops = [line for line in sheet.hold if used and line.id == _USED_DISC]
        if stops:
            yield Items(tuple(Item(sentence(clean(line.text)), stop=True) for line in stops))
        return
    yield from _warning(sheet, "start no work on this sheet", "start no work before")
    items: list[Item] = []
    for line, stop in in_order(sheet.work, sheet.hold):
        more = "" if stop else figures(sheet, line.detail)
        text = sentence(clean(line.text))
        items.append(Item(sentence(f"{text[:-1]}: {more}") if more else text, stop=stop))
    yield Items(tuple(items))


def _cautions(sheet: Sheet) -> Iterator[Block]:
    if sheet.inspect:
        yield Heading("Look at the used parts")
        yield _items(clean(line.text) for line in sheet.inspect)
    yield Heading("Mind")
    yield _items(cautions(sheet).values())


# --- evidence -------------------------------------------------------------------------------------


def evidence_table(lines: Iterable[FactLine]) -> Table:
    """Facts under the record and the reading that they rest on; those not known come last.

    Records stand in the order in which they were first used, numbers before words.
    """
    groups: dict[str, dict[str, list[Cells]]] = {}
    unknown: list[Cells] = []
    for line in lines:
        if line.known:
            of_record = groups.setdefault(line.record, {})
            of_record.setdefault(_group_title(line), []).append(_fact_row(line))
        else:
            unknown.append(Cells((fact_name(line.path), "not known")))
    found = [
        Group(title, tuple(rows))
        for of_record in groups.values()
        for title, rows in sorted(of_record.items(), key=_words_last)
    ]
    if unknown:
        found.append(Group("Not known", tuple(unknown)))
    return Table(("", "", ""), tuple(found), quiet=True)


def _fact_row(line: FactLine) -> Cells:
    """A fact with its value and its line in the file; rival readings below it."""
    return Cells((fact_name(line.path), fact_words(line), _line_words(line.at)), rivals(line))


def rivals(line: FactLine) -> tuple[str, ...]:
    """The readings of a fact that do not count, each with what it rests on."""
    return tuple(
        f"Another reading, not used: {reading_words(r, line.unit)}"
        f"{' (± assumed)' if r.assumed else ''}; {rest_words(r)}."
        for r in line.readings[1:]
    )


def _group_title(line: FactLine) -> str:
    file, _, _ = place_words(line.at).partition(".yaml:")
    rests = rest_words(line.readings[0]) if line.readings else _AS_STATED
    where = f"{file}.yaml" if ".yaml:" in line.at else file
    return f"{clean(line.record)} ({where}): {rests}"


def _words_last(group: tuple[str, list[Cells]]) -> bool:
    return group[0].endswith(_AS_STATED)


def _line_words(at: str) -> str:
    _, _, number = place_words(at).partition(".yaml:")
    return f"line {number}" if number else ""
