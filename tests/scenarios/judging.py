"""The scenarios judged, each once a process, and what of a sheet is not as expected."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from scenarios.reading import FOLDER, Expected, Number, Scenario, read_folder

from lugplane.answers.rows import Row, Span
from lugplane.answers.sheet import Judged, Sheet, judge_setup
from lugplane.deduce.choose import matcher as named
from lugplane.deduce.deduction import deduce
from lugplane.deduce.firing import Match
from lugplane.deduce.memory import Fact
from lugplane.deduce.quick import Quick
from lugplane.render.text import sheet_text
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.car import OTHER, car_of
from lugplane.setup.parts import Setup
from lugplane.workshop import Workshop

KB = FOLDER / "kb"
SCENARIOS = read_folder()
JUDGED = tuple(s for s in SCENARIOS if not any(s.all_of("refused")))
"""Those that end in a sheet."""


@cache
def shop() -> Workshop:
    """The scenarios' own facts with the shipped rules."""
    return Workshop.open(only=KB)


@cache
def quick() -> Match:
    """The matcher of lists, in half the time: where it is not the matcher that is looked at."""
    return Quick(shop().rulebook.rules).match


@cache
def _judged(id_: str) -> Judged:
    scenario = next(s for s in SCENARIOS if s.id == id_)
    return judge_setup(setup_of(scenario), shop().rulebook, named())


def setup_of(scenario: Scenario) -> Setup:
    """A scenario's setup, the other axle with it where it names one. Raises `BadInput`."""
    setup = assemble(shop().base, scenario.wanted)
    if not scenario.other:
        return setup
    axle = OTHER[scenario.wanted.axle]
    other = assemble(shop().base, Wanted(scenario.wanted.platform, axle, scenario.other))
    pair = {setup.axle_name: setup, axle: other}
    return car_of(pair["front"], pair["rear"]).setup(setup.axle_name)


def judged(scenario: Scenario) -> Judged:
    """A scenario's sheet and deduction. Raises `BadInput` where the input is refused."""
    return _judged(scenario.id)


def deduced(scenario: Scenario, match: Match) -> frozenset[Fact]:
    """All that a matcher deduces of a scenario. Raises `BadInput` where the input is refused."""
    return deduce(setup_of(scenario), shop().rulebook, match).facts


def differences(scenario: Scenario, found: Judged) -> list[str]:
    """Everything that is not as expected: file, line, what was expected and what was found."""
    said: list[str] = []
    for e in scenario.expected:
        wrong = _difference(e, found.sheet)
        if wrong:
            said.append(f"{scenario.file}:{e.line}: {scenario.name}: {wrong}")
    return said


def _difference(e: Expected, sheet: Sheet) -> str:
    if e.key in ("verdicts", "limiting"):
        scope = next(s for s in sheet.scopes if s.name == e.about)
        got = scope.verdict if e.key == "verdicts" else scope.limiting
        return _unlike(f"{e.key[:7]} of the {e.about}", e.value, got)
    if e.key in ("stack", "bolt"):
        return _unlike(e.key, e.value, (stack_of if e.key == "stack" else bolt_of)(sheet))
    if e.key in ("words", "no_words"):
        there = squeezed(e.value) in _words(sheet)
        if e.key == "words":
            return "" if there else f"the sheet does not say: {e.value}"
        return f"the sheet says: {e.value}" if there else ""
    if e.key in ("buy", "work", "hold", "caution", "inspect"):
        unwanted, _, id_ = e.value.rpartition("not ")
        ids = (
            {b.what for b in sheet.buy} if e.key == "buy" else {x.id for x in getattr(sheet, e.key)}
        )
        if (id_ in ids) == (e.value == id_ and not unwanted):
            return ""
        return f"{e.key}: expected {e.value}, found {', '.join(sorted(ids)) or 'nothing'}"
    check, _, detail = e.about.partition(".")
    if e.key == "numbers" and check == "torque":
        return _number(e, sheet.torque_nm[:2] if sheet.torque_nm else None)
    row = next((r for r in sheet.rows if r.check == check), None)
    if row is None:
        return f"there is no check {check}"
    if e.key == "checks":
        state, band = e.value
        if row.state == state and band in ("", row.band):
            return ""
        wanted = f"{state} ({band})" if band else state
        return _unlike(f"check {check}", wanted, f"{row.state} ({row.band}){_told(row)}")
    if e.key == "numbers":
        return _number(e, _span(row, detail))
    if e.key == "missing":
        return _unlike(f"missing for {check}", sorted(e.value), sorted(row.missing))
    return _settled(e, row)


def _told(row: Row) -> str:
    """What helps to see why a check came out as it did."""
    value = "" if row.value is None else f"; {row.value.lo:g}..{row.value.hi:g} {row.unit}"
    missing = f"; not known: {', '.join(row.missing)}" if row.missing else ""
    return f"{value}{missing}{'; ' + row.because if row.because else ''}"


def _unlike(what: str, wanted: object, got: object) -> str:
    return "" if wanted == got else f"{what}: expected {wanted}, found {got}"


def _span(row: Row, detail: str) -> tuple[float, float] | None:
    spans: Mapping[str, Span | None] = {
        "": row.value,
        "have": row.have,
        "need": row.need,
        **row.notes,
    }
    if detail == "margin":
        return None if row.margin is None else (row.margin, row.margin)
    span = spans.get(detail)
    return None if span is None else (span.lo, span.hi)


def _number(e: Expected, got: tuple[float, float] | None) -> str:
    number: Number = e.value
    if got is None:
        return f"{e.about}: expected {number.text}, found no such number"
    if number.agrees(*got):
        return ""
    return f"{e.about}: expected {number.text}, found {got[0]:.6g}..{got[1]:.6g}"


def _settled(e: Expected, row: Row) -> str:
    got = {
        s.fact: "not known" if s.now is None else "not alone" if s.needs is None else s.needs
        for s in row.settles
    }
    for fact, needs in e.value.items():
        there = got.get(fact)
        if isinstance(needs, str) or isinstance(there, str) or there is None:
            alike = needs == there
        else:
            alike = abs(float(needs) - there) < 1e-6
        if not alike:
            return f"{e.about} is settled by {fact}: expected {needs}, found {got}"
    return ""


def stack_of(sheet: Sheet) -> str:
    """The stack in a few words, as scenarios write it."""
    said: list[str] = []
    for o in sheet.stack:
        if o.kind == "bare":
            said.append("none")
        elif o.kind == "washers":
            said.append("1 washer" if o.count == 1 else f"{o.count} washers")
        elif o.kind == "plate":
            said.append("plate")
        else:
            said.append("ring to measure" if o.thickness_mm is None else f"ring {o.thickness_mm:g}")
    return " or ".join(said) or "not told"


def bolt_of(sheet: Sheet) -> str:
    """The bolts in a few words: original, M12x1.5x45 10.9; several with `or`; none."""
    said = [
        f"{b.thread}x{b.length_mm:g} {b.class_}" if b.record and b.length_mm else "original"
        for b in sheet.bolts
    ]
    return " or ".join(said) or "none"


def _words(sheet: Sheet) -> str:
    return squeezed(sheet_text(sheet, width=400))


def squeezed(text: str) -> str:
    """A text without what line ends and columns add."""
    return re.sub(r"\s+", " ", text).strip()
