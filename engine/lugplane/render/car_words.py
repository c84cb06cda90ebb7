"""Words of the car answer: what a figure is called, amounts with their doubt, what is not known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import isinf

from lugplane.answers.car import CarAnswer, CarCheck, Standing
from lugplane.answers.car_figures import STOP_MS2, Amount, CarFigure
from lugplane.answers.curves import Doubt
from lugplane.answers.rows import Settles, Span
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.quantity.text import number, span
from lugplane.render.layout import clean
from lugplane.render.names import fact_title
from lugplane.render.words import band_words, doubt_words, join, least_doubt

LOADED = {"kerb": "ready to drive", "gross": "fully laden"}
_UNITS = {"share": "%", "1": "", "points": "points", "d": "d"}
_PLACES = {"%": 1, "K": 0, "bar": 1, "N·m": 1, "share": 1, "points": 1, "mm": 1, "kg": 1, "m/s²": 1}
_MOST_FACTS = 2


@dataclass(slots=True)
class Notes:
    """Facts that are not known, told once below a table whose cells are too narrow for them."""

    known: dict[tuple[str, ...], int] = field(default_factory=dict)
    shown: set[int] = field(default_factory=set)

    def mark(self, facts: Sequence[str]) -> str:
        """`note 1` for some facts."""
        n = self.known.setdefault(tuple(facts), len(self.known) + 1)
        self.shown.add(n)
        return join("note", str(n))

    def told(self) -> Iterator[str]:
        """The notes that were set since this was asked last, in their order."""
        for facts, n in self.known.items():
            if n in self.shown:
                yield f"{join('Note', str(n))}, not known: {'; '.join(map(fact_named, facts))}."
        self.shown.clear()


def fact_named(path: str) -> str:
    """A fact's title, with its path to be copied: `mass fully laden (platform.gross_kg)`."""
    title = fact_title(path.rpartition(":")[2])
    return f"{clean(title)} ({fact_words(path)})" if title else fact_words(path)


def span_words(value: Span, unit: str, *, signed: bool = False) -> str:
    """Bounds in their unit: `68.3..68.5 %`, `17 ±1.5 N·m`; `signed` puts a plus before a gain."""
    factor = 100.0 if unit == "share" else 1.0
    places = _PLACES.get(unit, 2)
    lo, hi, at = (factor * x for x in (value.lo, value.hi, value.nominal))
    if isinf(hi):
        said = "never" if isinf(lo) else f"{number(lo, places)} or more"
        return said if isinf(lo) else join(said, _UNITS.get(unit, unit))
    said = span(lo, hi, at, places)
    if signed and lo > 0.0:
        said = f"+{said}".replace("..", "..+")
    return join(said, _UNITS.get(unit, unit))


def fact_words(path: str) -> str:
    """`front: pad.friction_ratio` for a fact that is named by whose it is."""
    return clean(path).replace("stock-", "stock ").replace(":", ": ")


def facts_words(paths: Iterable[str]) -> str:
    """Some facts, the first few of them."""
    every = [fact_words(p) for p in paths]
    more = len(every) - _MOST_FACTS
    said = ", ".join(every[:_MOST_FACTS])
    return f"{said} and {join(str(more), 'more')}" if more > 0 else said


def reason(doubt: Doubt | None, notes: Notes | None = None) -> str:
    """Why something cannot be told; with notes the facts are told there."""
    if doubt is None:
        return ""
    if notes is not None and doubt.facts and not doubt.because:
        return notes.mark(doubt.facts)
    return clean(doubt.because) or facts_words(doubt.facts)


def amount_words(amount: Amount, unit: str, notes: Notes | None = None) -> str:
    """A cell: bounds, a word with them, or why it cannot be told."""
    if amount.span is None:
        why = reason(amount.doubt, notes)
        return amount.word or (f"{CANNOT_TELL}: {why}" if why else CANNOT_TELL)
    said = span_words(amount.span, unit)
    return f"{amount.word}, at {said}" if amount.word else said


def change_words(figure: CarFigure) -> str:
    """What is proposed less stock; nothing where both are one brake."""
    if figure.change is None:
        return ""
    if figure.change.lo == figure.change.hi == 0.0:
        return "as stock"
    return span_words(figure.change, figure.change_unit, signed=True)


def beside_stock(figure: CarFigure) -> str:
    """Whether a figure is more or less than that of stock, in words."""
    change = figure.change
    if change is None:
        return "it cannot be set beside stock's"
    if change.lo == change.hi == 0.0:
        return "as stock"
    if change.lo > 0.0 or change.hi < 0.0:
        return f"{'more' if change.lo > 0.0 else 'less'} than stock's"
    return "it may be more or less than stock's"


def figure_name(figure: CarFigure, answer: CarAnswer) -> str:
    """What a figure is called."""
    loaded = LOADED.get(figure.loading, "")
    z = number(answer.conditions.z_to)
    own = next((h.title for h in answer.heat if h.name == "own"), "")
    said = {
        "front-share": "front share of the braking",
        "torque-per-bar": "torque per bar, one wheel",
        "line-pressure": f"line pressure for {number(STOP_MS2)} m/s², {loaded}",
        "pedal-stroke": "pedal stroke in a hard stop",
        "pedal-reserve": "stroke left after it",
        "first-lock": f"first axle to lock, {loaded}",
        "adhesion-used": f"adhesion used at {join(z, 'g')}, {loaded}",
        "one-stop": f"one stop from {number(answer.stop_kmh)} km/h, disc above the air",
        "type-one": "Type-I, disc above the air",
        "own": f"{clean(own)}, disc above the air",
        "friction-type-one": "friction at the end of Type-I",
        "friction-descent": "friction at the end of the descent",
        "friction-own": f"friction at the hottest of {clean(own)}",
        "unsprung": "unsprung mass of one wheel's brake",
        "pad-life": "pad life beside stock",
    }[figure.name]
    return f"{figure.axle}: {said}" if figure.axle else said


# --- checks ---------------------------------------------------------------------------------------


def check_name(check: CarCheck) -> str:
    """A check's title with its name, and the axle where it is one axle's."""
    where = f"{check.axle}: " if check.axle else ""
    return f"{where}{clean(check.title)} ({check.check})"


def standing_words(standing: Standing | None, unit: str, notes: Notes | None = None) -> str:
    """The state, and what it rests on."""
    if standing is None:
        return f"{CANNOT_TELL}: the stock car is not known"
    if standing.value is not None:
        return f"{standing.state}: {span_words(standing.value, unit)}"
    why = clean(standing.because)
    if standing.missing and not why:
        why = facts_words(standing.missing) if notes is None else notes.mark(standing.missing)
    if not why and standing.band != standing.state:
        why = band_words(standing.band)
    return f"{standing.state}: {why}" if why else standing.state


def settling(standing: Standing) -> str:
    """What to measure where a quantity is in doubt; empty where nothing alone settles it."""
    if standing.state != CANNOT_TELL or standing.value is None:
        return ""
    alone = [s for s in standing.settles if least_doubt(s.needs or 0.0)]
    if alone:
        return f"Measure {'; or '.join(_settler(s) for s in alone)}."
    widest = "; ".join(_settler(s) for s in standing.settles[:3])
    return f"None of these settles it alone: {widest}." if widest else ""


def _settler(s: Settles) -> str:
    name = fact_words(s.fact)
    if s.now is None:
        return f"{name}, not known"
    now = f"now {doubt_words(s.now, s.fact)}"
    fine = least_doubt(s.needs or 0.0)
    return f"{name} to {doubt_words(fine, s.fact)} ({now})" if fine else f"{name}, {now}"
