"""Which axle's disc a check of heat speaks of: it judges the one that gets hotter beside stock."""

from __future__ import annotations

from typing import Final

from lugplane.answers.rows import Row, Span

HEAT: Final = ("heat-stop", "heat-repeated", "heat-descent")
"""Checks that judge the hotter axle's disc of both."""
EITHER: Final = "either"


def of_the_hotter(check: str, value: Span | None) -> bool:
    """Whether a check judges the hotter disc and found that anything changes."""
    return check in HEAT and value is not None and (value.lo, value.hi) != (0.0, 0.0)


def hotter_disc(row: Row) -> str:
    """`front` or `rear`: whose disc a row of heat found to be the hotter beside stock.

    `either` where over the facts' ± it may be the one or the other; empty where nothing is told.
    The row's note `front_leads_points` tells by how much more the front disc gains on stock.
    """
    lead = row.notes.get("front_leads_points")
    if lead is None or not of_the_hotter(row.check, row.value):
        return ""
    if lead.lo > 0.0:
        return "front"
    return "rear" if lead.hi < 0.0 else EITHER
