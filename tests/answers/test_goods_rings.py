"""Spigot rings: which of those known serve a disc on a hub, and what they cost."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lugplane.answers.goods import Good, goods_of
from lugplane.answers.prices import Prices
from lugplane.answers.sheet import judge_setup
from lugplane.facts.value import Value
from lugplane.links.candidates import Candidate
from lugplane.setup.assemble import assemble
from lugplane.workshop import Workshop

CANDIDATE = Candidate(
    "kessarin-estate", "front", "tovan-q4/44", None, "sedge-300/big-bore", "kite-120/street"
)


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return Workshop.open()


def ring(shop: Workshop, bore_mm: float | None = None) -> Good:
    """The ring that a 71 mm bore over a 65 mm spigot asks for, or one of another bore."""
    setup = assemble(shop.base, CANDIDATE.wanted())
    if bore_mm is not None:
        was = setup.disc.bore_mm
        off = bore_mm - was.reading.nominal
        reading = replace(
            was.reading, lo=was.reading.lo + off, hi=was.reading.hi + off, nominal=bore_mm
        )
        bore: Value = replace(was, readings=(reading,))
        setup = replace(setup, disc=replace(setup.disc, bore_mm=bore))
    judged = judge_setup(setup, shop.rulebook)
    goods = goods_of(shop.base, Prices(shop.base), judged, CANDIDATE, "here", {})
    (found,) = (g for g in goods if g.item.what == "spigot-ring")
    return found


def test_a_ring_that_fits_is_named_and_priced(shop: Workshop) -> None:
    found = ring(shop)
    assert found.ids == ("arbor-ring-71-65",)
    assert found.price is not None
    assert (found.price.offer, found.price.at) == ("arbor-ring-71-65-new", 18.0)


def test_a_ring_that_would_be_loose_or_tight_is_not(shop: Workshop) -> None:
    assert ring(shop, 71.2).ids == ()
    assert ring(shop, 71.0).ids == ()  # 71 ±0.02 in 71 ±0.02: it may not go in
    assert ring(shop, 71.2).price is None


def test_a_hose_that_was_named_is_bought_itself(shop: Workshop) -> None:
    """A setup with a hose of its own: that one is the good, priced by its own offers alone."""
    wanted = CANDIDATE.wanted()
    for hose, ids in (("lathe-390", ("lathe-390",)), ("lathe-430", None), ("lathe-460", ())):
        setup = assemble(shop.base, replace(wanted, parts=(*wanted.parts, hose)))
        judged = judge_setup(setup, shop.rulebook)
        goods = goods_of(shop.base, Prices(shop.base), judged, CANDIDATE, "here", {})
        found = [g for g in goods if g.item.what == "hose"]
        if ids is None:
            assert found == []  # it is stock
        elif ids:
            assert [(g.ids, g.item.id, g.item.count) for g in found] == [(ids, hose, 2)]
        else:
            # This one does not meet: any of those that do is bought in its place.
            (one,) = found
            assert one.item.id == ""
            assert hose not in one.ids
            assert "lathe-390" in one.ids
