"""Which disc stands too far from a seat along the axle, told without walking the rules.

The spacing of a seat over a disc is one difference of two places that have no fact in common: the
disc's mid-plane, and the caliper's centre plane bare on the ear. Both are taken from `Place` as on
the sheet, once for each knuckle and part; where their difference lies wholly beyond what any limit
of the check lets pass, the check fails.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from lugplane.deduce.rulebook import Rulebook
from lugplane.facts.records import Caliper, Carrier, Disc, Knuckle
from lugplane.links.partial import Some, pair_setup
from lugplane.links.window import GRAIN, farthest, nearest
from lugplane.quantity.form import Form, Missing
from lugplane.setup.place import Place

CHECK = "spacing"


@dataclass(frozen=True, slots=True)
class _Span:
    lo: float
    hi: float


class _Of(NamedTuple):
    """What was found of two records; holding them keeps their identity theirs."""

    knuckle: Knuckle
    part: Disc | Caliper | Carrier
    span: _Span | None


class Spacings:
    """Spacings over one base and rulebook."""

    def __init__(self, rulebook: Rulebook) -> None:
        known = [c.id for c in rulebook.checks if c.id == CHECK]
        self._check = Some(rulebook, known) if known else None
        self._limits = rulebook.limits.limits
        # By the very records: one with an override has the id of another.
        self._middles: dict[tuple[int, int], _Of] = {}
        self._centres: dict[tuple[int, int], _Of] = {}
        self._good: dict[tuple[str, bool], tuple[float | None, float | None]] = {}

    def too_far(
        self,
        knuckle: Knuckle,
        caliper: Caliper,
        mounted: Caliper | Carrier,
        disc: Disc,
        adapter: bool = False,
    ) -> bool:
        """Whether the spacing surely fails; False where it may hold or cannot be told."""
        if self._check is None or knuckle.side.text not in ("outboard", "inboard"):
            return False
        if caliper.body.text is None or (knuckle.mount.text, mounted.mount.text) != (
            "axial",
            "axial",
        ):
            return False
        middle, centre = self._middle(knuckle, disc), self._centre(knuckle, mounted)
        if middle is None or centre is None:
            return False
        low, high = middle.lo - centre.hi, middle.hi - centre.lo
        if knuckle.side.text == "inboard":
            low, high = -high, -low
        least, most = self._window(caliper.body.text, adapter)
        return (most is not None and low > most) or (least is not None and high < least)

    def _middle(self, knuckle: Knuckle, disc: Disc) -> _Span | None:
        return _found(self._middles, knuckle, disc, lambda place: place.middle_by_disc)

    def _centre(self, knuckle: Knuckle, mounted: Caliper | Carrier) -> _Span | None:
        return _found(
            self._centres, knuckle, mounted, lambda place: place.ear_face + place.to_centre
        )

    def _window(self, body: str, adapter: bool) -> tuple[float | None, float | None]:
        """From the least to the greatest spacing that some limit lets pass."""
        key = body, adapter
        if key not in self._good and self._check is not None:
            words = {"mount": "axial", "body": body}
            if not adapter:
                words["joined"] = "bolts"
            limits = [self._limits[n] for n in self._check.limits_of(CHECK, words)]
            least, most = nearest(limits), farthest(limits)
            self._good[key] = (
                None if least is None else least - GRAIN,
                None if most is None else most + GRAIN,
            )
        return self._good[key]


def _found(
    known: dict[tuple[int, int], _Of],
    knuckle: Knuckle,
    part: Disc | Caliper | Carrier,
    place_of: Callable[[Place], Form],
) -> _Span | None:
    """From where to where a place on a knuckle reaches; None: it is not known."""
    key = id(knuckle), id(part)
    if key not in known:
        try:
            form = place_of(Place(pair_setup(knuckle, part)))
            known[key] = _Of(knuckle, part, _Span(form.lo, form.hi))
        except Missing:
            known[key] = _Of(knuckle, part, None)
    return known[key].span
