"""Rows of the list of what fits as JSON takes them, and back, to be kept."""

from __future__ import annotations

from dataclasses import astuple, fields
from typing import Any

from lugplane.answers.fit import Ask, CarLook, Fit, WheelLook
from lugplane.answers.rows import BandLine, Settles, Span
from lugplane.answers.sheet import BoltLine, Part, StackLine

_NAMES = [f.name for f in fields(Fit)]
_PARTS, _WHEELS = _NAMES.index("parts"), _NAMES.index("wheels")


def fit_to_plain(fit: Fit) -> Any:
    """A row without its wheels, its cars, and what is like its parts: those are kept elsewhere."""
    return list(astuple(fit)[:_WHEELS])


def fit_from_plain(plain: Any) -> Fit:
    """The reverse of `fit_to_plain`, also after a way through JSON."""
    row = list(plain)
    *_, stack, bolts, asks = row
    row[_PARTS] = tuple(Part(*p) for p in row[_PARTS])
    row[-3:] = (
        tuple(StackLine(*s) for s in stack),
        tuple(BoltLine(*b) for b in bolts),
        tuple(_ask(a) for a in asks),
    )
    return Fit(*row)


def _ask(plain: Any) -> Ask:
    *row, value, margin, bands, missing, settles = plain
    row += [_span(value), margin, tuple(BandLine(*b) for b in bands), tuple(missing)]
    row.append(tuple(Settles(*s) for s in settles))
    return Ask(*row)


def look_to_plain(look: WheelLook) -> Any:
    """A wheel's column of a row."""
    return list(astuple(look))


def look_from_plain(plain: Any) -> WheelLook:
    """The reverse of `look_to_plain`, also after a way through JSON."""
    *row, gap = plain
    row.append(_span(gap))
    return WheelLook(*row)


def car_to_plain(look: CarLook) -> Any:
    """The whole car of a row, whose pads are named elsewhere."""
    return [look.verdict, look.limiting, look.limiting_title, look.settles]


def car_from_plain(plain: Any) -> CarLook:
    """The reverse of `car_to_plain`, also after a way through JSON."""
    verdict, limiting, title, settles = plain
    return CarLook((), verdict, limiting, title, tuple(settles))


def _span(plain: Any) -> Span | None:
    return None if plain is None else Span(*plain)
