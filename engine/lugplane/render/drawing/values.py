"""Numbers and rows of a sheet in the few words that a drawing has room for."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from lugplane.answers.rows import Row, Span
from lugplane.answers.sheet import Sheet
from lugplane.quantity.form import Extent, Form
from lugplane.quantity.text import number, span
from lugplane.render.drawing.lettering import NO_BREAK
from lugplane.render.layout import JOIN
from lugplane.render.words import need_words

_QUIET = ("holds", "does not apply")


def value(lo: float, hi: float, nominal: float) -> str:
    """`5 ±0.1`; where the doubt is lopsided, as drawn with its bounds: `4.7 (4.2..5.1)`."""
    said = span(lo, hi, nominal)
    if ".." in said:
        said = f"{number(nominal, 1)} ({span(lo, hi, lo, 1)})"
    return said.replace(" ", NO_BREAK)


def millimetres(given: Form | Extent | Span) -> str:
    """`5 ±0.1 mm`."""
    return f"{value(given.lo, given.hi, given.nominal)}{NO_BREAK}mm"


def said(given: Span, unit: str) -> str:
    """A row's value with its unit; a share as percent."""
    if unit == "share":
        return f"{value(100 * given.lo, 100 * given.hi, 100 * given.nominal)}{NO_BREAK}%"
    told = value(given.lo, given.hi, given.nominal)
    return told if unit in ("", "1") else f"{told}{NO_BREAK}{unit}"


def state(row: Row) -> str:
    """The row's state where it is not simply good, to follow a value."""
    return "" if row.state in _QUIET else f"{NO_BREAK}({row.state.replace(' ', NO_BREAK)})"


def lacking(facts: Iterable[str], known: Callable[[str], bool]) -> str:
    """Which facts stand in the way: those not recorded, else those whose doubt is too great."""
    named = [f for f in facts if not f.startswith("(")]
    absent = [f for f in named if not known(f)]
    if absent:
        return f"not recorded: {', '.join(absent)}"
    return f"hangs on {', '.join(named)}" if named else "not known"


def told(row: Row, known: Callable[[str], bool]) -> str:
    """Title and value of a row, or what stands in the value's way."""
    if row.value is not None and row.have is not None and row.need is not None:
        needs = need_words(row).replace(JOIN, NO_BREAK)
        return f"{row.title}: {said(row.have, row.unit)}, needs {needs}{state(row)}"
    if row.value is not None:
        return f"{row.title}: {said(row.value, row.unit)}{state(row)}"
    if row.missing:
        return f"{row.title}: {row.state}, {lacking(row.missing, known)}"
    why = row.because or row.band
    if row.check == "bolt" and row.band == "replaced" and row.because:
        why = f"replaced; the original: {row.because}"
    return f"{row.title}: {why}{state(row)}"


def row_of(sheet: Sheet, check: str) -> Row | None:
    """A row of the sheet, if the list has such a check."""
    return next((r for r in sheet.rows if r.check == check), None)
