"""What fits an axle, as a page, CSV and JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lugplane.answers.fit_row import VERDICTS, Fit
from lugplane.answers.fits_list import DONATED, Donor, Fits
from lugplane.answers.found import BOLTS_ON, DOES_NOT_FIT, FITS_WITH_WORK
from lugplane.quantity.printed import number
from lugplane.quantity.states import CANNOT_TELL
from lugplane.render.blocks import Block, Cells, Group, Heading, Item, Items, Para, Table
from lugplane.render.layout import clean
from lugplane.render.tables import (
    alike_words,
    ask_words,
    cares,
    cars_words,
    csv_text,
    decided_words,
    look_words,
    needs,
    needs_words,
    pad_words,
    seat_words,
    tally,
)
from lugplane.render.text import page_text
from lugplane.render.words import join, sentence

MOST_DOUBTFUL = 12
"""So many candidates that cannot tell are shown unless they are asked for."""
MOST_DONORS = 4
"""So many cars that a part comes off are named; JSON and CSV have all."""
MOST_WHEELS = 12
"""So many wheels are told of below a row; JSON and CSV have all."""
_COLUMNS = 3
"""So many wheels have columns of their own."""
_KINDS = {"caliper": "calipers", "carrier": "carriers", "disc": "discs", "pad": "pads"}
_LAST = {
    BOLTS_ON: "least to spare",
    FITS_WITH_WORK: "needs",
    CANNOT_TELL: "in doubt",
    DOES_NOT_FIT: "fails",
}


def fits_text(fits: Fits, *, width: int = 80, colour: bool = False, whole: bool = False) -> str:
    """What fits, in lines of at most `width` columns; `whole`: every row, however many."""
    return page_text(fits_blocks(fits, whole=whole), width=width, colour=colour)


def fits_json(fits: Fits) -> str:
    """What fits as JSON (`schemas/answers/fits.json`)."""
    from lugplane.render.plain_json import dumped, plain  # a page does without it

    return dumped({"answer": "fits", **plain(fits)})


def fits_csv(fits: Fits) -> str:
    """What fits, one line a candidate, best first; two columns for each wheel."""
    heads = [
        *("verdict", "limiting", "margin", "margin_unit", "caliper", "carrier", "disc", "pad"),
        *("adapter", "work", "care", "doubts", "failing", "changed", "needs", "alike", "car"),
        "donors",
    ]
    for wheel in fits.wheels:
        heads += [f"{wheel} verdict", f"{wheel} gap_mm"]
    return csv_text(heads, (_csv_line(fits, row) for row in fits.rows))


def _csv_line(fits: Fits, row: Fit) -> list[object]:
    cells: list[object] = [row.verdict, row.limiting, row.margin, row.margin_unit]
    cells += [row.part(kind) for kind in _KINDS]
    cells += [row.adapter, row.work, row.care, row.doubts, row.failing, row.changed]
    cells.append("" if row.verdict == DOES_NOT_FIT else needs_words(row))
    cells.append(" ".join(i for kind in _KINDS for i in row.alike.get(kind, ())))
    cells.append(cars_words(row).removeprefix("as a car: "))
    parts = [i for kind in DONATED for i in (row.part(kind), *row.alike.get(kind, ()))]
    cells.append(
        "; ".join(
            f"{i}: {', '.join(f'{d.platform} {d.axle}' for d in fits.donors[i])}"
            for i in parts
            if i in fits.donors
        )
    )
    looks = {look.id: look for look in row.wheels}
    for wheel in fits.wheels:
        look = looks.get(wheel)
        cells += [look.verdict if look else "", look.gap.lo if look and look.gap else None]
    return cells


def fits_blocks(fits: Fits, *, whole: bool = False) -> Iterator[Block]:
    """The page: the counts, the candidates by verdict and seat, what was left out and why."""
    named = f"{clean(fits.platform_title)} ({clean(fits.platform)}), {fits.axle} axle"
    yield Heading(f"What fits: {named}", 1)
    yield Para((_counts(fits), *_rim(fits)))
    for verdict in VERDICTS:
        rows = [r for r in fits.rows if r.verdict == verdict]
        alone = whole or set(fits.verdicts) == {verdict}
        most = len(rows) if alone or verdict != CANNOT_TELL else MOST_DOUBTFUL
        if rows:
            yield Heading(f"{verdict.capitalize()} ({len(rows)}{_failing_cars(rows)})")
            yield _table(fits, verdict, rows[:most])
        if len(rows) > most:
            yield Para((f"{len(rows) - most} more: --verdict cannot-tell lists them.",))
    yield from _left_out(fits)
    if fits.rows:
        parts = " ".join(clean(p.id) for p in fits.rows[0].parts)
        adapter = " --adapter" if fits.rows[0].adapter else ""
        asked = f"lugplane sheet {clean(fits.platform)} {fits.axle} {parts}{adapter}"
        yield Para((f"The whole sheet of the first: {asked}",), "")


def _failing_cars(rows: Sequence[Fit]) -> str:
    """How many of the rows fit as a brake and fail as a car, whichever the pads."""
    failing = sum(
        bool(r.cars) and all(c.verdict == DOES_NOT_FIT for c in r.cars)
        for r in rows
        if r.verdict != DOES_NOT_FIT
    )
    return f"; {failing} of them {'fails' if failing == 1 else 'fail'} as a car" if failing else ""


def _counts(fits: Fits) -> str:
    said = "; ".join(f"{v}: {fits.counts[v]}" for v in VERDICTS if fits.counts[v])
    narrowed = f" with {', '.join(clean(w) for w in fits.with_)}" if fits.with_ else ""
    total = sum(fits.counts.values())
    if not total:
        return f"No combination of parts{narrowed} comes into question."
    noun = "combination" if total == 1 else "combinations"
    return f"{total} {noun} of parts{narrowed}. {sentence(said)}"


def _rim(fits: Fits) -> Iterator[str]:
    """The wheels of a rim diameter that was asked for."""
    if fits.rim_in is None:
        return
    each = [clean(w) for w in fits.wheels]
    more = f" and {len(each) - MOST_WHEELS} more" if len(each) > MOST_WHEELS else ""
    yield (
        f"Wheels of {join(number(fits.rim_in), 'inches')} that go onto the hub: "
        f"{', '.join(each[:MOST_WHEELS])}{more}."
    )


def _table(fits: Fits, verdict: str, rows: Sequence[Fit]) -> Table:
    """One group a seat, in the order of its best row; what all rows of it need is said once."""
    seats: dict[tuple[str, ...], list[Fit]] = {}
    for row in rows:
        key = (row.part("caliper"), row.part("carrier"), row.part("pad"), str(row.adapter))
        seats.setdefault(key, []).append(row)
    groups = tuple(
        Group(_seat_title(of_it[0]), tuple(_rows(fits, of_it))) for of_it in seats.values()
    )
    wheels = _wheels(fits, verdict)
    heads = ("", *(f"least gap under {clean(w)}" for w in wheels), _LAST[verdict])
    return Table(heads, groups, most=(20, *(11 for _ in wheels), 0))


def _wheels(fits: Fits, verdict: str) -> tuple[str, ...]:
    """The wheels' columns; no wheel is looked at over a brake that does not fit.

    More than a page is wide stand below the row.
    """
    return () if verdict == DOES_NOT_FIT or len(fits.wheels) > _COLUMNS else fits.wheels


def _wheels_below(fits: Fits, row: Fit) -> str:
    if len(fits.wheels) <= _COLUMNS or not row.wheels:
        return ""
    shown = row.wheels[:MOST_WHEELS]
    more = len(row.wheels) - len(shown)
    said = "; ".join(f"{clean(look.id)} {look_words(look)}" for look in shown)
    return f"Least gap under {said}{f'; {more} more' if more else ''}."


def _seat_donors(fits: Fits, row: Fit) -> str:
    """Where the seat's caliper and carrier come from, said once where both do."""
    said: dict[str, list[str]] = {}
    for kind in ("caliper", "carrier"):
        for id_ in (row.part(kind), *row.alike.get(kind, ())):
            if id_ in fits.donors:
                name = kind if id_ == row.part(kind) else clean(id_)
                said.setdefault(donors_words(fits.donors[id_]), []).append(name)
    told = [f"{' and '.join(names)} stock on {where}" for where, names in said.items()]
    return sentence("; ".join(told)) if told else ""


def _disc_donors(fits: Fits, row: Fit) -> str:
    ids = [i for i in (row.part("disc"), *row.alike.get("disc", ())) if i in fits.donors]
    said = (f"{clean(i)} stock on {donors_words(fits.donors[i])}" for i in ids)
    return "".join(f"Disc {x}." for x in ["; ".join(said)] if x)


def donors_words(those: Sequence[Donor]) -> str:
    """`Kessarin estate front, Tammick van front and rear`; beyond some only how many more."""
    cars: dict[str, list[str]] = {}
    titles = {d.platform: clean(d.title) for d in those}
    for d in those:
        cars.setdefault(d.platform, []).append(d.axle)
    each = [f"{titles[id_]} {' and '.join(axles)}" for id_, axles in cars.items()]
    more = len(each) - MOST_DONORS
    return ", ".join(each[:MOST_DONORS]) + (f" and {more} more" if more > 0 else "")


def _seat_title(row: Fit) -> str:
    title = next((p.title for p in row.parts if p.kind == "caliper"), "")
    also = alike_words(row, ("caliper", "carrier"))
    adapter = ", with an adapter plate" if row.adapter else ""
    said = f"{seat_words(row)}, pad {pad_words(row)}{adapter}"
    return f"{said}: {clean(title)}" + (f" ({also})" if also else "")


def _rows(fits: Fits, rows: Sequence[Fit]) -> Iterator[Cells]:
    donors = _seat_donors(fits, rows[0])
    if donors:
        yield Cells((donors,))
    common: list[str] = []
    unfit = rows[0].verdict == DOES_NOT_FIT
    if len(rows) > 1 and not unfit:
        common = _in_all([needs(r) for r in rows])
        cared = _in_all([cares(r) for r in rows])
        said = [f"All need {', '.join(common)}." if common else ""]
        said.append(f"Care with all: {', '.join(cared)}." if cared else "")
        common += cared
        if common:
            yield Cells((" ".join(x for x in said if x),))
    for row in rows:
        looks = {look.id: look for look in row.wheels}
        shown = _wheels(fits, row.verdict)
        wheels = (look_words(looks[w]) if w in looks else "" for w in shown)
        rest = "" if unfit else needs_words(row, common)
        if rest and row.verdict == CANNOT_TELL:
            rest = rest if rest.startswith("care:") else f"needs {rest}"
        car = cars_words(row)
        last = "; ".join(x for x in (decided_words(row), rest, car) if x)
        disc = " ".join(x for x in (clean(row.part("disc")), alike_words(row, ("disc",))) if x)
        below = (_wheels_below(fits, row), _disc_donors(fits, row))
        yield Cells((disc, *wheels, last or "nothing more"), tuple(x for x in below if x))


def _in_all(lists: Sequence[Sequence[str]]) -> list[str]:
    """What is in each of some lists, in the order of the first."""
    return [word for word in lists[0] if all(word in others for others in lists)]


def _left_out(fits: Fits) -> Iterator[Block]:
    refused = [f"on {clean(r.host)}, {clean(r.part)}: {ask_words(r.ask)}" for r in fits.refused]
    said: list[str] = []
    if fits.counts[DOES_NOT_FIT] and DOES_NOT_FIT not in fits.verdicts:
        n = fits.counts[DOES_NOT_FIT]
        said.append(f"{n} do not fit (--all lists them): {tally(fits.unfit, fits.titles)}")
    for u in fits.untold:
        noun = "combination" if u.count == 1 else "combinations"
        check = clean(fits.titles.get(u.check, u.check))
        parts = " on ".join(clean(p) for p in u.parts)
        said.append(
            f"{u.count} more {noun} with {parts} cannot be told either ({check}); "
            "--verdict cannot-tell lists them"
        )
    for kind, plural in _KINDS.items():
        counts = {t.check: t.count for t in fits.turned_down if t.kind == kind}
        if counts:
            n = sum(counts.values())
            noun = kind if n == 1 else plural
            said.append(f"{n} {noun} turned down: {tally(counts, fits.titles)}")
    if fits.for_adapter:
        noun = "caliper" if fits.for_adapter == 1 else "calipers"
        said.append(f"an adapter plate would bring {fits.for_adapter} more {noun} in: --adapters")
    if refused:
        yield Heading("Named, and turned down")
        yield Items(tuple(Item(sentence(x)) for x in refused))
    if said:
        yield Heading("Left out")
        yield Items(tuple(Item(sentence(x)) for x in said))
