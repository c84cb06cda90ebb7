"""Facts of the trade with no published source (common practice), as check values.

The bench setup is the worked one of CHECKS.md.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from lugplane.answers.sheet import Sheet
from lugplane.setup.assemble import Wanted
from lugplane.workshop import Workshop

KB = Path(__file__).parent / "worked"
WASHER = 2.5


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return Workshop.open(only=KB)


def sheet(shop: Workshop, *set_: str, parts: tuple[str, ...] = ()) -> Sheet:
    return shop.judge(Wanted("bench-car", "front", parts, set_)).sheet


def spacing(s: Sheet) -> float:
    value = s.row("spacing").value
    assert value is not None
    return value.nominal


def test_a_ring_six_thinner_takes_half_the_spacing(shop: Workshop) -> None:
    """Common practice, no source: about 5 falls to about 2.5 in steps of stock washers.

    Theory at equal overall height says 3 less; the two agree within 0.6.
    """
    thick = sheet(
        shop, "disc.thickness_mm=36±0", "disc.min_thickness_mm=34±0", "disc.height_mm=54±0"
    )
    thin = sheet(
        shop, "disc.thickness_mm=30±0", "disc.min_thickness_mm=28±0", "disc.height_mm=54±0"
    )
    assert spacing(thick) == pytest.approx(5.0)
    assert spacing(thick) - spacing(thin) == pytest.approx(3.0)
    practice = {"thick": 2 * WASHER, "thin": 1 * WASHER}
    assert abs(spacing(thick) - practice["thick"]) <= 0.6
    assert abs(spacing(thin) - practice["thin"]) <= 0.6


def test_up_to_five_the_original_bolt_may_stay(shop: Workshop) -> None:
    """Common practice, no source: where its engagement (and its class) allows."""
    s = sheet(shop, "spacing_mm=5.0±0", "knuckle.bolt.length_mm=45±0", "knuckle.bolt.class=10.9")
    assert s.row("bolt").band == "stays"
    short = sheet(
        shop, "spacing_mm=5.0±0", "knuckle.bolt.length_mm=40±0", "knuckle.bolt.class=10.9"
    )
    assert short.row("bolt").band == "replaced"


def test_near_seven_the_next_length_in_10_9(shop: Workshop) -> None:
    """Common practice, no source."""
    s = sheet(shop, "spacing_mm=7.0±0", "knuckle.bolt.length_mm=40±0", "disc.height_mm=48±0")
    (bolt,) = s.bolts
    assert bolt.class_ == "10.9"
    assert bolt.length_mm == 45.0


def test_a_caliper_made_for_36_may_run_on_30(shop: Workshop) -> None:
    """Common practice, no source: 3 mm more travel a side, within the safe travel."""
    s = sheet(
        shop,
        "disc.thickness_mm=30±0",
        "disc.min_thickness_mm=28±0",
        "disc.height_mm=54±0",
        "caliper.slot_mm=72±0",
        "caliper.opening_mm=44±0",
        "caliper.pistons.safe_travel_mm=19±0",
    )
    assert s.row("worn-travel").state == "holds"
    assert s.row("room-new").state == "holds"
