"""Why a check came out as it did, in words, down to the facts and the lines they stand in."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from lugplane.answers.evidence import FactLine
from lugplane.answers.rows import Settles
from lugplane.answers.sheet import Judged, Sheet
from lugplane.deduce.deduction import DOES_NOT_APPLY
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.render.blocks import Block, Cells, Group, Heading, Item, Items, Para, Table
from lugplane.render.content import rivals
from lugplane.render.layout import clean
from lugplane.render.names import fact_name
from lugplane.render.reasons import Because, Figure, Lacking, Push, Reasons, reasons
from lugplane.render.text import page_text
from lugplane.render.verdicts import Facts, check_name, facts_of, found_words
from lugplane.render.words import (
    amount,
    band_words,
    bands_words,
    fact_words,
    is_unjudged,
    least_doubt,
    need_words,
    place_words,
    places_of,
    rest_words,
    sentence,
    settler_words,
    single,
    spare_words,
    unit_word,
)

_NOTES = {
    "inner_depth_mid": "inner edge off in the middle",
    "inner_depth_end_1": "inner edge off by hole 2",
    "inner_depth_end_2": "inner edge off by hole 1",
    "outer_depth_mid": "outer edge off in the middle",
    "outer_depth_end_1": "outer edge off by hole 2",
    "outer_depth_end_2": "outer edge off by hole 1",
    "braking_force": "greatest braking force of one wheel at the road",
}
"""Further numbers of a measure that its own names would leave in doubt; ends as on the sheet."""
_SYMBOLS = (
    ("x_mid", "x_mid the disc's mid-plane"),
    ("x_e", "x_e the ear's face"),
    ("σ", "σ +1 with the caliper outboard of the ear, −1 inboard"),
    ("d", "d lug face to the caliper's centre plane"),
    ("s", "s the spacing"),
    ("k", "k what goes between ear and lug"),
    ("e", "e how far the caliper's centre is off the mid-plane"),
    ("R_b", "R_b the bolt line's radius"),
    ("R_i", "R_i where the friction band begins"),
    ("D", "D the disc's diameter"),
    ("T", "T the ring's thickness"),
    ("T_min", "T_min the ring's least thickness"),
    ("W", "W the slot, piston face to piston face"),
    ("l_min", "l_min the least lining"),
    ("p", "p the hat's plate"),
)
"""The symbols of the formulas; x runs along the axle from the hub seat, outboard positive."""


def why_text(judged: Judged, check: str, *, width: int = 80, colour: bool = False) -> str:
    """The reasons of a check in lines of at most `width` columns.

    Raises `KeyError` for a check that is not on the list.
    """
    return page_text(why_blocks(judged, check), width=width, colour=colour)


def why_blocks(judged: Judged, check: str) -> tuple[Block, ...]:
    """The reasons of a check as blocks. Raises `KeyError` for a check that is not on the list."""
    why = reasons(judged, check)
    return tuple(_blocks(judged.sheet, why))


def _blocks(sheet: Sheet, why: Reasons) -> Iterator[Block]:
    row = why.row
    yield Heading(f"{check_name(row)}: {row.state}", 1)
    yield Para(tuple(_found(sheet, why)))
    if row.formula:
        yield Heading("How it is reckoned" if row.value is not None else "What is asked")
        yield Para((clean(row.formula),))
        named = _symbols(row.formula)
        if named:
            yield Para((f"In it: {named}.",))
    yield from _measure(sheet, why)
    yield from _limit(why)
    if why.figures:
        yield Heading("Figures taken")
        yield Items(tuple(Item(_figure_words(f)) for f in why.figures))
    yield from _inputs(why)
    if why.proof:
        yield Heading("By which rules")
        yield Items(tuple(_because(why.proof, sheet)))
    yield from _why_not(sheet, why)


def _symbols(formula: str) -> str:
    """What the symbols of a formula stand for, each that it has."""
    has = set(re.findall(r"[A-Za-zσ_]+", formula))
    if "x_mid" not in has:
        has.discard("d")  # elsewhere it is a bolt's diameter
    return "; ".join(words for symbol, words in _SYMBOLS if symbol in has)


def _found(sheet: Sheet, why: Reasons) -> Iterator[str]:
    row = why.row
    if row.state == DOES_NOT_APPLY:
        yield f"Does not apply, because {clean(row.because)}."
        return
    found = found_words(sheet, row)
    if row.value is None or row.because:
        yield sentence(found)
    if row.value is None:
        return
    places = places_of(row)
    if row.have is not None and row.need is not None:
        yield f"Has {amount(row.have, row.unit, places)}, needs {need_words(row)}."
        yield f"Left over: {amount(row.value, row.unit, places)}."
    else:
        yield f"It is {amount(row.value, row.unit, places)}."
    if spare_words(row):
        yield f"To spare before it fails: {spare_words(row)} {unit_word(row.unit)}".rstrip() + "."
    for name, note in row.notes.items():
        head, _, unit = name.rpartition("_")
        told = _NOTES.get(head) or band_words(head or name).replace("_", " ")
        yield sentence(f"{told}: {amount(note, unit)}")


def _measure(sheet: Sheet, why: Reasons) -> Iterator[Block]:
    row = why.row
    if row.state != CANNOT_TELL:
        return
    yield Heading("Measure this")
    if is_unjudged(row):
        yield Para(("Nothing judges this check yet; no measurement settles it.",))
        return
    facts = {**facts_of(sheet), **{line.path: line for line in why.facts}}
    alone = [s for s in row.settles if s.now is None or least_doubt(s.needs or 0.0)]
    others = [s for s in row.settles if s not in alone]
    if alone:
        yield _settlers(alone, facts)
    if row.how:
        yield Para((sentence(clean(row.how)),))
    if others:
        yield Para(("None of these settles it alone:",))
        yield _settlers(others, facts)


def _settlers(settlers: Iterable[Settles], facts: Facts) -> Items:
    said = (settler_words(s, facts.get(s.fact)) for s in settlers)
    return Items(tuple(Item(sentence(x)) for x in said))


def _limit(why: Reasons) -> Iterator[Block]:
    row = why.row
    if not row.bands:
        return
    asked = bands_words(row.bands, why.limit_unit, places_of(row))
    yield Heading("Limit")
    yield Para(
        (
            sentence(f"{clean(why.limit_of)}: {asked}"),
            f"Source: {clean(row.limit_source)}.",
        )
    )


def _figure_words(f: Figure) -> str:
    return sentence(f"{clean(f.of)}: {f.value:g} ({f.name}); source: {clean(f.source)}")


# --- what goes in ---------------------------------------------------------------------------------


def _inputs(why: Reasons) -> Iterator[Block]:
    pushes = {p.input: p for p in why.pushes}
    known = [line for line in why.facts if line.known]
    unknown = [line for line in why.facts if not line.known]
    if not (known or unknown or pushes):
        return
    yield Heading("What goes in")
    rows = [_input_row(line, pushes.get(line.path), why.row.unit) for line in known]
    rows += [Cells((fact_name(line.path), "not known")) for line in unknown]
    listed = {line.path for line in why.facts}
    rows += [
        Cells((_our_own(p.input), "", _push_words(p, why.row.unit)))
        for p in why.pushes
        if p.input not in listed
    ]
    if why.pushes:
        yield Table(("", "is", "moves it by"), (Group("", tuple(rows)),), most=(0, 24, 12))
    else:
        pairs = tuple(Cells(row.cells[:2], row.below) for row in rows)
        yield Table(("", "is"), (Group("", pairs),), most=(0, 24))


def _input_row(line: FactLine, push: Push | None, unit: str) -> Cells:
    rests = f"{rest_words(line.readings[0])}; " if line.readings else ""
    below = (f"{rests}{clean(line.record)}, {place_words(line.at)}.", *rivals(line))
    moves = _push_words(push, unit) if push else ""
    return Cells((fact_name(line.path), fact_words(line), moves), below)


def _push_words(push: Push, unit: str) -> str:
    said = single(push.reach, unit, 2 if push.reach >= 0.01 else 3)
    return "±" + said if said[0] != "0" or "." in said else "hardly"


def _our_own(name: str) -> str:
    """An input that is no fact: something made, or the curve that a straight line leaves out."""
    if not name.startswith("("):
        return fact_name(name)
    bare = name.strip("()")
    head, _, tail = bare.rpartition(": ")
    return f"what the reckoning of {head} leaves open" if tail == "rest" else f"{bare}, as made"


# --- rules ----------------------------------------------------------------------------------------


def _because(proof: Iterable[Because], sheet: Sheet) -> Iterator[Item]:
    for b in proof:
        by = f", by rule {b.rule} ({_rule_place(b.at)})" if b.rule else ", given"
        shared = f"; {b.uses} of these rest on it" if b.uses > 1 else ""
        yield Item(f"{_words(b.words, sheet)}{by}{shared}.")


def _words(words: Iterable[tuple[str, str]], sheet: Sheet) -> str:
    """A fact of the working memory in words: `caliper bolt: replaced`, `setup: mount axial`."""
    said = dict(words)
    for kind in ("quantity", "choice"):
        if kind in said:
            title = _title(said[kind], sheet)
            return f"{title}: {band_words(said['state'])}" if "state" in said else title
    kind = said.pop("kind", "")
    if not kind:
        return ", ".join(f"{k.replace('_', ' ')}: {clean(v)}" for k, v in said.items())
    rest = ", ".join(f"{k.replace('_', ' ')} {clean(v)}" for k, v in said.items())
    return f"{kind}: {rest}" if rest else kind


def _title(name: str, sheet: Sheet) -> str:
    check = sheet.subjects.get(name)
    if check is None:
        return name.replace("_", " ")
    return clean(sheet.row(check).title)


def _rule_place(at: str) -> str:
    """`rules/bolts.yaml:20`, whatever folders lie above."""
    return clean("/".join(at.replace("\\", "/").split("/")[-2:]))


def _why_not(sheet: Sheet, why: Reasons) -> Iterator[Block]:
    if not why.lacking:
        return
    yield Heading("Why not")
    yield Items(tuple(Item(_lacking_words(x, sheet)) for x in why.lacking))


def _lacking_words(x: Lacking, sheet: Sheet) -> str:
    wanted = _words(x.words, sheet)
    if not x.rule:
        return f"It applies where there is this: {wanted}."
    return f"Rule {x.rule} ({_rule_place(x.at)}) would answer; what it lacks first: {wanted}."
