"""Which axle's disc a check of heat speaks of: it judges the one that gets hotter beside stock."""

from __future__ import annotations

from typing import Final

from lugplane.answers.rows import Row, Span
from lugplane.setup.car import OTHER

HEAT: Final = ("heat-stop", "heat-repeated", "heat-descent")
"""Checks that judge the hotter axle's disc of both."""
_GRAIN: Final = 0.01


def of_the_hotter(check: str, value: Span | None) -> bool:
    """Whether a check judges the hotter disc and found that anything changes."""
    return check in HEAT and value is not None and (value.lo, value.hi) != (0.0, 0.0)


def hotter_disc(row: Row, axle: str) -> str:
    """`front` or `rear`: whose disc a row of heat found to be the hotter beside stock.

    Empty where that hangs on the facts. The row's notes tell what the disc of the sheet's own
    `axle` gets to (`new_k`) and what stock's does (`stock_k`), both above the air: where that is
    the row's figure, as the facts are given, it is that disc's; where it is below all that the
    row's figure may be, it is the other's.
    """
    new, stock, value = row.notes.get("new_k"), row.notes.get("stock_k"), row.value
    if new is None or stock is None or value is None or not of_the_hotter(row.check, value):
        return ""
    own = 100.0 * (new.nominal / stock.nominal - 1.0)
    if abs(own - value.nominal) < _GRAIN:
        return axle
    return OTHER[axle] if own < value.lo - _GRAIN else ""
