"""One candidate of an axle as judged, as plain data: a row of the list of what fits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from lugplane.answers.found import (
    BOLTS_ON,
    DOES_NOT_FIT,
    FITS_WITH_WORK,
    BandLine,
    Settles,
    Span,
)
from lugplane.answers.parts import BoltLine, OfParts, Part, StackLine
from lugplane.frozen import frozen
from lugplane.links.combination import KINDS
from lugplane.quantity.states import CANNOT_TELL

VERDICTS = (BOLTS_ON, FITS_WITH_WORK, CANNOT_TELL, DOES_NOT_FIT)
"""Best first."""


@dataclass(frozen=True, slots=True)
class Ask:
    """A check that does not plainly hold: what it found and, where it cannot tell, what settles it.

    `value` is held against `bands`; `margin` is the least distance to failing in `unit`; negative:
    what is wanting.
    """

    check: str
    title: str
    state: str
    band: str
    because: str = ""
    unit: str = ""
    value: Span | None = None
    margin: float | None = None
    bands: tuple[BandLine, ...] = ()
    missing: tuple[str, ...] = ()
    settles: tuple[Settles, ...] = ()


@frozen
class WheelLook:
    """A wheel over the brake: its verdict, the check that decides it, and the gap in mm."""

    id: str
    title: str
    verdict: str
    limiting: str
    limiting_title: str
    gap: Span | None


@frozen
class CarLook:
    """The whole car with some of a row's pads: its verdict, and the check that decides it.

    `settles` are the facts not known or to be measured where it cannot be told.
    """

    pads: tuple[str, ...]
    verdict: str
    limiting: str
    limiting_title: str
    settles: tuple[str, ...] = ()


@frozen
class Fit(OfParts):
    """One candidate as judged; the verdict is the brake's, `limiting` the check that decides it.

    `margin` is the limiting check's least distance to failing in `margin_unit`. `alike` names by
    kind the parts that no check can tell from those listed. `work`, `care`, `doubts` and `failing`
    count the brake's checks in these states; `trim` is the greatest share of lining to be trimmed,
    `changed` counts those of caliper, carrier, disc and pad that are not stock. `cars` judge the
    whole car where the brake fits, apart for compounds that come out otherwise.
    """

    verdict: str
    limiting: str
    limiting_title: str
    margin: float | None
    margin_unit: str
    parts: tuple[Part, ...]
    adapter: bool
    work: int
    care: int
    doubts: int
    failing: int
    trim: float
    changed: int
    stack: tuple[StackLine, ...]
    bolts: tuple[BoltLine, ...]
    asks: tuple[Ask, ...]
    wheels: tuple[WheelLook, ...] = ()
    alike: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    cars: tuple[CarLook, ...] = ()

    @property
    def rank(self) -> tuple[int | str, ...]:
        """Best first: verdict, least work, fewest parts that are not stock; then by name.

        Work is first of all an adapter, then how many checks ask for work and for care, then a ring
        to be machined, then how much lining is lost (in whole percent). Among those that do not
        fit, or cannot tell, the one with the fewest such checks comes first.
        """
        first = VERDICTS.index(self.verdict), int(self.adapter), self.failing, self.doubts
        ids = (self.part(kind) for kind in KINDS)
        work = self.work, self.care, int(self.machined), round(100 * self.trim)
        return (*first, *work, self.changed, *ids)

    @property
    def machined(self) -> bool:
        """Whether a ring may have to be made for it."""
        return any(o.kind == "ring" for o in self.stack)
