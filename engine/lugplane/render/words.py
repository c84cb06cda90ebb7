"""Small wording: quantities, what a limit asks, what is to spare, what settles a doubt."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol

from lugplane.quantity.printed import number, span
from lugplane.quantity.states import CANNOT_TELL, FAILS
from lugplane.render.layout import JOIN, clean
from lugplane.render.names import UNITS, fact_name, unit_of

if TYPE_CHECKING:
    from lugplane.answers.evidence import FactLine, ReadingLine
    from lugplane.answers.found import BandLine, Settles
    from lugplane.answers.rows import Row

NOT_YET = "not judged yet"
"""What a row says of a check that nothing judges so far."""
_SHARE = "share"
_GRAIN = 1e-9


class Bounds(Protocol):
    """Anything with bounds and a value as given."""

    @property
    def lo(self) -> float: ...
    @property
    def hi(self) -> float: ...
    @property
    def nominal(self) -> float: ...


def join(*words: str) -> str:
    """Words that stay on one line together."""
    return JOIN.join(w for w in words if w).replace(" ", JOIN)


def sentence(text: str) -> str:
    """A text with a capital and a full stop."""
    text = text.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".:?" else ".")


def unit_word(unit: str) -> str:
    """A row's unit as printed: `share` in percent, a count without any."""
    return "%" if unit == _SHARE else "d" if unit == "d" else UNITS.get(unit, "")


def amount(bounds: Bounds, unit: str, places: int = 2) -> str:
    """A quantity with its doubt: `5 ±0.1 mm`, `4.9..5.3 mm`, `0.6..1.9 %`."""
    factor, places = (100.0, 1) if unit == _SHARE else (1.0, places)
    lo, hi, at = (_plain(x * factor) for x in (bounds.lo, bounds.hi, bounds.nominal))
    said = number(at, places) if lo == hi else span(lo, hi, at, places)
    return _with_unit(said, unit_word(unit))


def single(value: float, unit: str, places: int = 2) -> str:
    """A number with its unit."""
    factor, places = (100.0, 1) if unit == _SHARE else (1.0, places)
    return _with_unit(number(value * factor, places), unit_word(unit))


def _with_unit(said: str, unit: str) -> str:
    """A unit after its number; only a degree sign stands close to it."""
    return said + unit if unit == "°" else join(said, unit)


def reading_words(reading: ReadingLine, unit: str) -> str:
    """A reading as a fact states it, in the fact's own unit, no digit lost."""
    lo, hi, at = (_plain(x) for x in (reading.lo, reading.hi, reading.nominal))
    places = next((n for n in range(6) if all(_round(x, n) for x in (lo, hi, at))), 6)
    return _with_unit(span(lo, hi, at, places), UNITS.get(unit, ""))


def _plain(x: float) -> float:
    """A number rid of the dust that sums of decimal fractions leave."""
    return round(x, 9)


def _round(x: float, places: int) -> bool:
    return abs(x - round(x, places)) < _GRAIN


def fact_words(line: FactLine) -> str:
    """A fact's value, the reading that counts; `not known` without any."""
    if line.readings:
        first = line.readings[0]
        assumed = " (± assumed)" if first.assumed else ""
        return reading_words(first, line.unit) + assumed
    if not line.text:
        return "not known"
    said = {"true": "yes", "false": "no"}.get(line.text, line.text)
    return _with_unit(clean(said), unit_of(line.path)) if _is_number(said) else clean(said)


def _is_number(text: str) -> bool:
    return all(c in "0123456789.,- e" for c in text)


def rest_words(reading: ReadingLine) -> str:
    """What a reading rests on: basis, source, locator, date."""
    return clean(", ".join(x for x in (reading.basis, *_where(reading)) if x))


def _where(reading: ReadingLine) -> tuple[str, ...]:
    if reading.name == "set":
        return ("given with this question",)
    return reading.source, reading.locator, reading.date


def place_words(at: str) -> str:
    """`kb/discs/x.yaml:12`: where a fact stands, without the folders above the facts."""
    file, _, rest = at.partition(".yaml:")
    if not rest:
        return clean(at)
    tail = file.replace("\\", "/").split("/")[-3:]
    return clean(f"{'/'.join(tail)}.yaml:{rest.split(':')[0]}")


# --- what a limit asks ----------------------------------------------------------------------------


def places_of(row: Row) -> int:
    """Decimals that a row's numbers need: as many as its limit has, at least two."""
    edges = [b.to for b in row.bands if b.to is not None]
    return next((n for n in (2, 3, 4) if all(_round(e, n) for e in edges)), 2)


def need_words(row: Row, *, unit: bool = True) -> str:
    """What holds, in words: `at least 2 mm`, `0.5 to 2 mm (care from 0)`; empty without a limit.

    Without `unit` the numbers stand alone, for a table that has said the unit.
    """
    if not row.bands:
        return ""
    if row.need is not None and row.have is not None and row.value is not None:
        return _need_of_need(row, unit)
    return bands_words(row.bands, row.unit, places_of(row), shown=unit)


def bands_words(
    bands: Sequence[BandLine], unit: str, places: int = 2, *, shown: bool = True
) -> str:
    """The bands of a limit: where it holds, and in brackets how far care and work go."""
    runs = _runs(bands)
    mark = unit_word(unit) if shown else ""
    holds = [_stretch(r, unit, mark, places) for r in runs if r[0] == "holds"]
    beside = [
        join(r[0], _reach(r, runs, unit, places)) for r in runs if r[0] not in ("holds", FAILS)
    ]
    said = " or ".join(holds)
    if not said:
        good = [r for r in runs if r[0] != FAILS]
        return " or ".join(f"{_stretch(r, unit, mark, places)} ({r[0]})" for r in good)
    return f"{said} ({', '.join(beside)})" if beside else said


Run = tuple[str, float | None, float | None, bool]
"""State, from, to, and whether `from` itself is left out."""


def _runs(bands: Sequence[BandLine]) -> list[Run]:
    """Bands of one state side by side taken as one."""
    found: list[Run] = []
    low: float | None = None
    outside = False
    for band in bands:
        if found and found[-1][0] == band.state:
            found[-1] = (band.state, found[-1][1], band.to, found[-1][3])
        else:
            found.append((band.state, low, band.to, outside))
        low, outside = band.to, band.closed
    return found


def _stretch(run: Run, unit: str, mark: str, places: int) -> str:
    _, low, high, outside = run
    if low is None and high is None:
        return "any"
    if low is None:
        top = _scaled(high or 0.0, unit, places)
        least = high == 0.0 and unit in ("1", _SHARE)  # such a quantity is never below zero
        return join("" if least else "at most", top, mark)
    if high is None:
        return join("over" if outside else "at least", _scaled(low, unit, places), mark)
    return join(_scaled(low, unit, places), "to", _scaled(high, unit, places), mark)


def _reach(run: Run, runs: Sequence[Run], unit: str, places: int) -> str:
    """How far a run beside the one that holds goes, named by its far end if it has one."""
    _, low, high, _ = run
    at = runs.index(run)
    above = any(r[0] == "holds" for r in runs[:at])
    near, far, side = (low, high, "above") if above else (high, low, "below")
    towards = next(iter(runs[at - 1 : at] if above else runs[at + 1 : at + 2]), run)[0]
    if far is None:
        return side if towards == "holds" else join(side, _scaled(near or 0.0, unit, places))
    if towards == FAILS:
        return join(_scaled(low or 0.0, unit, places), "to", _scaled(high or 0.0, unit, places))
    return join("to" if above else "from", _scaled(far, unit, places))


def _scaled(value: float, unit: str, places: int) -> str:
    return number(value * 100.0, 1) if unit == _SHARE else number(value, places)


def _need_of_need(row: Row, shown: bool) -> str:
    """A need that is itself reckoned: which way it lies follows from what is left of it."""
    need, have, value = row.need, row.have, row.value
    if need is None or have is None or value is None:
        return ""
    # What cannot be told on one side is no better than what the other side comes to.
    rising = row.bands[0].state not in ("holds", CANNOT_TELL)
    gap, left = have.nominal - need.nominal, value.nominal
    if abs(gap) < _GRAIN or abs(abs(gap) - abs(left)) > 1e-6:
        word = ""
    else:
        word = "at least" if (gap * left > 0) == rising else "at most"
    other = next((b.state for b in row.bands if b.state in ("care", "work")), "")
    more = f" (else {other})" if other else ""
    return join(word, amount(need, row.unit if shown else "1", places_of(row))) + more


def spare_words(row: Row) -> str:
    """What is to spare before the check fails, rounded down, without its unit.

    Negative: what is wanting. Empty where the limit has no failing band.
    """
    if row.margin is None:
        return ""
    places = places_of(row)
    factor, places = (100.0, 1) if row.unit == _SHARE else (1.0, places)
    scale = 10.0**places
    floored = math.floor(row.margin * factor * scale + 1e-6) / scale
    return number(floored, places)


def have_words(row: Row) -> str:
    """What a row found, as a quantity; empty where it has none.

    Where the need is a quantity too, what is held against it; else the value that is judged.
    """
    have = row.have if row.need is not None else row.value
    return "" if have is None else amount(have, row.unit, places_of(row))


def band_words(band: str) -> str:
    """A band's name in words: `too-far-off` is `too far off`."""
    return band.replace("-", " ")


# --- what settles a doubt -------------------------------------------------------------------------


def doubt_words(half: float, path: str) -> str:
    """`±0.1 mm`."""
    return _with_unit("±" + number(half, 2 if half >= 0.01 else 3), unit_of(path))


def least_doubt(needs: float) -> float:
    """A ± that settles a doubt, rounded down to what can be written; 0 if it is too small."""
    for places in (2, 3):
        floored = math.floor(needs * 10**places + 1e-9) / 10.0**places
        if floored > 0:
            return floored
    return 0.0


def settler_words(s: Settles, line: FactLine | None) -> str:
    """One measurement: `disc height (disc.height_mm) to ±0.1 mm (now ±0.5 mm)`.

    Without the ± to reach where it settles nothing alone. `line` is the fact as the sheet used it.
    """
    name = fact_name(s.fact)
    if s.now is None:
        if line is None or not line.known:
            return f"{name}: not known"
        return f"{name}, now {fact_words(line)}"
    now = f"now {doubt_words(s.now, s.fact)}"
    fine = least_doubt(s.needs or 0.0)
    return f"{name} to {doubt_words(fine, s.fact)} ({now})" if fine else f"{name}, {now}"


def is_unjudged(row: Row) -> bool:
    """Whether a row is *cannot tell* only because nothing judges its check so far."""
    return row.state == CANNOT_TELL and row.because == NOT_YET


def hotter_words(disc: str) -> str:
    """Which disc a check of heat is about: front, rear, either, or empty where nothing is told."""
    if disc in ("front", "rear"):
        return f"The hotter one beside stock is the {disc} disc."
    if disc:
        return "Over the ± of the facts either disc may be the hotter one beside stock."
    return "Of the front and the rear disc the one that gets hotter beside stock."
