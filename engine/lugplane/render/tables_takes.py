"""Which cars take a part, as a page, CSV and JSON."""

from __future__ import annotations

from collections.abc import Iterator

from lugplane.answers.fit import VERDICTS, Fit
from lugplane.answers.rows import BOLTS_ON, DOES_NOT_FIT
from lugplane.answers.takes import Take, Takes
from lugplane.render.blocks import Block, Cells, Group, Heading, Item, Items, Para, Table
from lugplane.render.layout import clean
from lugplane.render.plain_json import dumped, plain
from lugplane.render.tables import (
    csv_text,
    decided_words,
    look_words,
    needs_words,
    pad_words,
    seat_words,
    tally,
)
from lugplane.render.text import page_text
from lugplane.render.words import sentence

_KINDS = ("caliper", "carrier", "disc", "pad")
_OTHER_PARTS = "no other part there goes with it"


def takes_text(takes: Takes, *, width: int = 80, colour: bool = False, whole: bool = False) -> str:
    """Which cars take a part, in lines of at most `width` columns; `whole`: all the axles."""
    return page_text(takes_blocks(takes, whole=whole), width=width, colour=colour)


def takes_json(takes: Takes) -> str:
    """Which cars take a part, as JSON (`schemas/answers/takes.json`)."""
    return dumped({"answer": "takes", **plain(takes)})


def takes_csv(takes: Takes) -> str:
    """Which cars take a part, one line an axle, best first."""
    heads = (
        *("platform", "axle", "verdict", "limiting", "failing", *_KINDS),
        *("work", "care", "doubts", "changed", "needs", "wheels"),
    )
    return csv_text(heads, (_csv_line(t) for t in takes.rows))


def _csv_line(take: Take) -> list[object]:
    cells: list[object] = [take.platform, take.axle, take.verdict]
    fit = take.fit
    if fit is None:
        return [*cells, "", take.failing, *("" for _ in _KINDS), "", "", "", "", "", ""]
    cells += [fit.limiting, take.failing, *(fit.part(kind) for kind in _KINDS)]
    cells += [fit.work, fit.care, fit.doubts, fit.changed, needs_words(fit), _wheels(fit)]
    return cells


def _wheels(fit: Fit) -> str:
    return "; ".join(f"{clean(look.id)} {look_words(look)}" for look in fit.wheels)


def takes_blocks(takes: Takes, *, whole: bool = False) -> Iterator[Block]:
    """The page: the counts, the axles by verdict, the others by what keeps them."""
    named = f"{clean(takes.title)} ({clean(takes.part)})" if takes.title else clean(takes.part)
    yield Heading(f"What takes {named}", 1)
    counts = {v: [t for t in takes.rows if t.verdict == v] for v in VERDICTS}
    down = sum(takes.turned_down.values())
    said = [f"{v}: {len(rows)}" for v, rows in counts.items() if rows]
    said += [f"turned down: {down}"] if down else []
    total = len(takes.rows) + down
    noun = "axle" if total == 1 else "axles"
    yield Para((f"{total} {noun}. {sentence('; '.join(said))}",))
    for verdict, rows in counts.items():
        if rows and (verdict != DOES_NOT_FIT or whole):
            yield Heading(f"{verdict.capitalize()} ({len(rows)})")
            yield _table(takes, rows)
    yield from _left_out(takes, len(counts[DOES_NOT_FIT]) if not whole else 0)


def _table(takes: Takes, rows: list[Take]) -> Table:
    groups = tuple(
        Group(f"{clean(t.platform_title)} ({clean(t.platform)}), {t.axle}", (_row(takes, t),))
        for t in rows
    )
    return Table(("",), groups)


def _row(takes: Takes, take: Take) -> Cells:
    fit = take.fit
    if fit is None:
        why = clean(takes.titles.get(take.failing, take.failing))
        return Cells((f"fails: {why}" if why else "what the factory fitted is not known",))
    with_ = f"{seat_words(fit)}, {clean(fit.part('disc'))}, pad {pad_words(fit)}"
    below = []
    if takes.kind == "wheel":
        below = [f"gap: {look_words(look)}" for look in fit.wheels]
    else:
        needed = needs_words(fit)
        spare = "least to spare: " if fit.verdict == BOLTS_ON else ""
        below = [f"{spare}{decided_words(fit)}" if decided_words(fit) else ""]
        below.append(f"needs {needed}" if needed else "")
        if fit.wheels:
            below.append(f"gap under {_wheels(fit)}")
    if take.untold:
        noun = "combination" if take.untold == 1 else "combinations"
        below.append(f"{take.untold} more {noun} cannot be told either")
    return Cells((with_,), tuple(sentence(x) for x in below if x))


def _left_out(takes: Takes, unfit: int) -> Iterator[Block]:
    said: list[str] = []
    if unfit:
        checks = [t.failing for t in takes.rows if t.verdict == DOES_NOT_FIT]
        counts = {c: checks.count(c) for c in dict.fromkeys(checks)}
        noun = "axle" if unfit == 1 else "axles"
        said.append(
            f"{unfit} {noun} where it does not fit (--all lists them): "
            f"{tally(counts, takes.titles)}"
        )
    if takes.turned_down:
        n = sum(takes.turned_down.values())
        titles = {**takes.titles, "": _OTHER_PARTS}
        noun = "axle" if n == 1 else "axles"
        said.append(f"{n} {noun} turn it down: {tally(takes.turned_down, titles)}")
    if takes.skipped:
        said.append(f"the knuckle is not known: {', '.join(clean(x) for x in takes.skipped)}")
    if said:
        yield Heading("Left out")
        yield Items(tuple(Item(sentence(x)) for x in said))
