"""The car answer as a page: verdicts, parts, the figures side by side, every check of the car."""

from __future__ import annotations

from collections.abc import Iterator

from lugplane.answers.car import CarAnswer, CarCheck
from lugplane.answers.car_figures import CarFigure
from lugplane.answers.hotter import of_the_hotter
from lugplane.answers.rows import DOES_NOT_FIT, NOT_ASKED
from lugplane.answers.sheet import Part
from lugplane.deduce.deduction import DOES_NOT_APPLY
from lugplane.quantity.judge import CANNOT_TELL, FAILS
from lugplane.quantity.text import number
from lugplane.render.blocks import Block, Cells, Group, Heading, Item, Items, Para, Table
from lugplane.render.car_words import (
    Notes,
    amount_words,
    beside_stock,
    change_words,
    check_name,
    figure_name,
    settling,
    standing_words,
)
from lugplane.render.layout import clean
from lugplane.render.markdown import page_markdown
from lugplane.render.plain_json import dumped, plain
from lugplane.render.text import page_text
from lugplane.render.words import bands_words, hotter_words, sentence

_GROUPS = {
    "Braking": ("front-share", "torque-per-bar", "line-pressure"),
    "Adhesion": ("first-lock", "adhesion-used"),
    "Pedal": ("pedal-stroke", "pedal-reserve"),
    "Heat, fully laden": ("one-stop", "type-one", "own"),
    "Friction when hottest": ("friction-type-one", "friction-descent", "friction-own"),
    "Mass and wear": ("unsprung", "pad-life"),
}
BARE = (
    "The anti-lock unit of this car holds the rear pressure back: adhesion and first lock are "
    "those of the bare lines, from which it starts."
)


def car_text(answer: CarAnswer, *, width: int = 80, colour: bool = False) -> str:
    """The answer in lines of at most `width` columns."""
    return page_text(car_blocks(answer), width=width, colour=colour)


def car_markdown(answer: CarAnswer) -> str:
    """The answer as Markdown."""
    return page_markdown(car_blocks(answer))


def car_json(answer: CarAnswer) -> str:
    """The answer as JSON (`schemas/answers/car.json`)."""
    return dumped({"answer": "car", **plain(answer)})


def car_blocks(answer: CarAnswer) -> Iterator[Block]:
    """The whole page."""
    named = f"{clean(answer.platform_title)} ({clean(answer.platform)})"
    yield Heading(f"{named}, the whole car", 1)
    yield Para(tuple(_decided(answer)), f"Proposed: {answer.verdict}.")
    yield _verdicts(answer)
    yield from _parts(answer)
    yield Heading("Stock and proposed")
    notes = Notes()
    yield _figures(answer, notes)
    yield from _told(notes)
    hot = tuple(_hot_friction(answer))
    if hot:
        yield Para(hot)
    if answer.valve == "electronic":
        yield Para((BARE,))
    yield from _checks(answer, notes)
    yield Heading("Mind")
    yield Items(tuple(Item(sentence(x)) for x in _mind(answer)))


def _verdicts(answer: CarAnswer) -> Table:
    rows = [
        Cells((f"{v.axle} {v.scope}", v.stock, v.proposed, v.limiting))
        for v in answer.verdicts
        if (v.stock, v.proposed) != (NOT_ASKED, NOT_ASKED)
    ]
    return Table(("", "stock", "proposed", "decided by"), (Group("", tuple(rows)),))


def _decided(answer: CarAnswer) -> Iterator[str]:
    """The checks of the car that fail or are in doubt, and brakes or wheels that do."""
    for state, lead in ((FAILS, "Fails"), (CANNOT_TELL, "In doubt")):
        said = [clean(c.title) for c in answer.checks if c.proposed.state == state]
        word = DOES_NOT_FIT if state == FAILS else state
        said += [
            f"{v.axle} {v.scope} ({v.limiting})"
            for v in answer.verdicts
            if v.proposed == word and v.scope != "car"
        ]
        if said:
            yield f"{lead}: {', '.join(dict.fromkeys(said))}."


def _parts(answer: CarAnswer) -> Iterator[Block]:
    yield Heading("Parts")
    groups = []
    for axle, parts in (("Front", answer.front), ("Rear", answer.rear)):
        rows = tuple(Cells((p.kind, _part(p), "" if p.stock else "not stock")) for p in parts)
        groups.append(Group(axle, rows))
    yield Table(("", "", ""), tuple(groups))


def _part(part: Part) -> str:
    return f"{clean(part.title)} ({clean(part.id)})"


def _told(notes: Notes) -> Iterator[Block]:
    said = tuple(Item(each) for each in notes.told())
    if said:
        yield Items(said)


def _figures(answer: CarAnswer, notes: Notes) -> Table:
    groups = []
    for title, names in _GROUPS.items():
        rows = tuple(_figure(f, answer, notes) for f in answer.figures if f.name in names)
        if rows:
            groups.append(Group(title, rows))
    return Table(("", "stock", "proposed", "change"), tuple(groups), most=(28, 18, 18, 12))


def _figure(figure: CarFigure, answer: CarAnswer, notes: Notes) -> Cells:
    name = figure_name(figure, answer)
    sides = (figure.stock, figure.proposed)
    stock, proposed = (amount_words(a, figure.unit, notes) for a in sides)
    if stock == proposed and figure.stock.doubt is not None:
        return Cells((name, f"both {stock}"))
    return Cells((name, stock, proposed, change_words(figure)))


def _hot_friction(answer: CarAnswer) -> Iterator[str]:
    """How the friction when hottest stands to that of stock."""
    for figure in answer.figures:
        if figure.name.startswith("friction-"):
            where = figure_name(figure, answer).removeprefix(f"{figure.axle}: ")
            yield f"{figure.axle.capitalize()} {where}: {beside_stock(figure)}."


def _checks(answer: CarAnswer, notes: Notes) -> Iterator[Block]:
    yield Heading("Checks of the car")
    shown: list[Cells] = []
    folded: dict[str, list[str]] = {}
    for check in answer.checks:
        if check.proposed.state == DOES_NOT_APPLY:
            folded.setdefault(clean(check.proposed.because), []).append(check.check)
            continue
        shown.append(_check(check, notes))
    yield Table(
        ("", "stock", "proposed", "needs"), (Group("", tuple(shown)),), most=(28, 14, 17, 15)
    )
    yield from _told(notes)
    if folded:
        yield Para((), "Does not apply")
        yield Items(tuple(Item(f"{', '.join(ids)}: {why}.") for why, ids in folded.items()))


def _check(check: CarCheck, notes: Notes) -> Cells:
    needs = bands_words(check.bands, check.unit, shown=False) if check.bands else ""
    hot = of_the_hotter(check.check, check.proposed.value)
    below = [hotter_words(check.disc)] if hot else []
    below += [x for x in (settling(check.proposed),) if x]
    cells = (
        check_name(check),
        standing_words(check.stock, check.unit, notes),
        standing_words(check.proposed, check.unit, notes),
        needs,
    )
    return Cells(cells, tuple(below))


def _mind(answer: CarAnswer) -> Iterator[str]:
    for axle, parts in (("front", answer.front), ("rear", answer.rear)):
        named = " ".join(clean(p.id) for p in parts if not p.stock)
        if named:
            asked = f"lugplane sheet {clean(answer.platform)} {axle} {named}"
            yield f"the other checks of the {axle} axle: {asked}"
    if any(f.name.startswith("friction-") for f in answer.figures):
        yield (
            "friction when hottest is read off the curve measured of the compound, at the disc's "
            f"temperature in air of {number(answer.air_c)} °C"
        )
    yield "temperatures are those of one lump of iron for each disc: to compare with stock"
    yield (
        "a competent brake technician does and signs the work; local vehicle law, inspection and "
        "the insurer decide road use"
    )
