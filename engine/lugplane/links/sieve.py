"""Candidates that surely do not fit, told by a few checks before the whole sheet is judged.

The checks are walked as on the sheet, cheap and frequent ones first; where one of them fails, so
it does on the sheet. Nothing else is concluded: what is not turned down here is judged in full.
"""

from __future__ import annotations

from lugplane.deduce.rulebook import Rulebook
from lugplane.facts.records import Caliper, Carrier, Disc, Knuckle
from lugplane.links.partial import Some
from lugplane.links.spacing import CHECK, Spacings
from lugplane.quantity.judge import FAILS
from lugplane.setup.parts import Setup
from lugplane.setup.shared import Shared

STAGES = (
    ("parking-brake", "hose-thread", "disc-worn", "disc-cracks"),
    ("cheek", "abutment", "bridge", "spacing", "lift"),
    ("room-new", "overhang", "worn-travel", "plate-hat", "centring"),
)
"""Cheap ones first: the spacing is told beforehand, the first stage needs nothing placed, the third
reckons with the lining. Over the demonstration base they turn down all but a few in a hundred of
those that do not fit."""


class Sieve:
    """The stages over one rulebook; a check that is not on its list is passed over."""

    def __init__(self, rulebook: Rulebook, shared: Shared | None = None) -> None:
        known = {c.id for c in rulebook.checks}
        stages = [tuple(c for c in stage if c in known) for stage in STAGES]
        self._spacings = Spacings(rulebook)
        self._stages = [Some(rulebook, stage, shared) for stage in stages if stage]

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
        """A check that a setup fails; empty: none of these."""
        if not setup.measured:
            far = self.too_far(
                setup.knuckle, setup.caliper, setup.mounted, setup.disc, setup.adapter
            )
            if far:
                return far
        for stage in self._stages:
            for row in stage.rows(setup, brief=True):
                if row.state == FAILS:
                    return row.check
        return ""
