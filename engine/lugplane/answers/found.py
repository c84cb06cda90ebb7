"""What a check finds, as plain data: a quantity, bands, what settles a doubt; and the verdicts."""

from __future__ import annotations

from dataclasses import dataclass

DOES_NOT_FIT, FITS_WITH_WORK, BOLTS_ON = "does not fit", "fits with work", "bolts on"
NOT_ASKED = "not asked"


@dataclass(frozen=True, slots=True)
class Span:
    """Bounds and the value as given, in the row's unit."""

    lo: float
    hi: float
    nominal: float


@dataclass(frozen=True, slots=True)
class BandLine:
    """A band of the limit a row was held against, ascending; `to` None: without end."""

    name: str
    state: str
    to: float | None
    closed: bool


@dataclass(frozen=True, slots=True)
class Settles:
    """A fact whose measurement settles a doubt; `needs` the ± that does it alone, if any does."""

    fact: str
    now: float | None
    needs: float | None
