"""Candidates that surely do not fit, told by a few checks before the whole sheet is judged.

The checks are walked as on the sheet, cheap and frequent ones first; where one of them fails, so
it does on the sheet. Nothing else is concluded: what is not turned down here is judged in full.
"""

from __future__ import annotations

from lugplane.deduce.rulebook import Rulebook
from lugplane.facts.records import Caliper, Carrier, Disc, Knuckle
from lugplane.links.spacing import CHECK, Spacings
from lugplane.links.turns import Turns
from lugplane.setup.parts import Setup
from lugplane.setup.shared import Shared

CHECKS = (
    *("parking-brake", "hose-thread", "disc-worn", "disc-cracks"),
    *("cheek", "abutment", "bridge", "spacing", "lift"),
    *("room-new", "overhang", "worn-travel", "plate-hat", "centring"),
)
"""Cheap ones first: the spacing is told beforehand, the first line needs nothing placed, the third
reckons with the lining. Over the demonstration base they turn down all but a few in a hundred of
those that do not fit."""


class Sieve:
    """These checks over one rulebook; one that is not on its list is passed over."""

    def __init__(self, rulebook: Rulebook, shared: Shared | None = None) -> None:
        known = {c.id for c in rulebook.checks}
        self._spacings = Spacings(rulebook)
        self._turns = Turns(rulebook, [c for c in CHECKS if c in known], shared)

    def too_far(
        self,
        knuckle: Knuckle,
        caliper: Caliper,
        mounted: Caliper | Carrier,
        disc: Disc,
        adapter: bool = False,
    ) -> str:
        """The check of the spacing where it surely fails, told of four parts; empty: it may not."""
        far = self._spacings.too_far(knuckle, caliper, mounted, disc, adapter)
        return CHECK if far else ""

    def failing(self, setup: Setup) -> str:
        """A check that a setup fails; empty: none of these. Raises `EngineError`."""
        if not setup.measured:
            far = self.too_far(
                setup.knuckle, setup.caliper, setup.mounted, setup.disc, setup.adapter
            )
            if far:
                return far
        return self._turns.failing(setup)
