"""Spacings told beforehand: only such as surely fail, and every one of those."""

from __future__ import annotations

import pytest

from lugplane.links.candidates import candidates
from lugplane.links.links import Links
from lugplane.links.partial import Some
from lugplane.links.spacing import CHECK, Spacings
from lugplane.quantity.judge import FAILS
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.parts import Setup
from lugplane.workshop import Workshop


def told(spacings: Spacings, s: Setup) -> bool:
    return spacings.too_far(s.knuckle, s.caliper, s.mounted, s.disc, s.adapter)


@pytest.mark.parametrize(
    ("platform", "axle", "adapters"),
    [
        ("tammick-van", "front", False),
        ("thimbrel-saloon", "front", False),
        ("ullathor-saloon", "front", False),
        ("hobbrin-van", "front", True),
    ],
)
def test_too_far_is_what_fails(
    shop: Workshop, shipped: Links, platform: str, axle: str, adapters: bool
) -> None:
    spacings, check = Spacings(shop.rulebook), Some(shop.rulebook, [CHECK])
    items = candidates(shipped, platform, axle, adapters=adapters).items
    found = 0
    for candidate in items[:: max(1, len(items) // 60)]:
        setup = assemble(shop.base, candidate.wanted())
        (row,) = check.rows(setup)
        failing = row.state == FAILS
        if candidate.adapter:
            # Which limit it is held against hangs on whether a plate can be made.
            assert failing or not told(spacings, setup), candidate
        else:
            assert told(spacings, setup) == failing, (candidate, row)
        found += failing
    assert found > 0 or (platform, axle) == ("ullathor-saloon", "front")


def test_what_is_not_known_is_not_too_far(shop: Workshop, shipped: Links) -> None:
    spacings = Spacings(shop.rulebook)
    for candidate in candidates(shipped, "tammick-van", "front").items:
        if candidate.caliper == "nettick-q4":  # nobody has measured its face to centre
            assert not told(spacings, assemble(shop.base, candidate.wanted()))


def test_a_part_measured_anew_is_not_the_recorded_one(shop: Workshop) -> None:
    """In either order; both have one id."""
    changed, recorded = (
        assemble(shop.base, Wanted("kessarin-estate", "front", (), set_))
        for set_ in (("disc.height_mm=90",), ())
    )
    for order in ((changed, recorded), (recorded, changed)):
        spacings = Spacings(shop.rulebook)
        found = {id(setup): told(spacings, setup) for setup in order}
        assert found == {id(changed): True, id(recorded): False}
