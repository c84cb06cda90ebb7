"""The words that rules start from: what the factory fitted, by its own name or its family's."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lugplane.answers.sheet import judge_setup
from lugplane.facts.value import Word
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.parts import Setup, family
from lugplane.setup.words import named_by, words_of
from lugplane.workshop import Workshop


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return Workshop.open()


def with_stock_pad(setup: Setup, named: str) -> Setup:
    """The same setup on a car whose facts name its pad so."""
    front = setup.platform.front
    stock = replace(front.stock, pad=Word(front.stock.pad.path, named))
    return replace(setup, platform=replace(setup.platform, front=replace(front, stock=stock)))


def of_setup(setup: Setup) -> dict[str, str]:
    return next(w for w in words_of(setup) if w["kind"] == "setup")


def test_a_part_is_named_by_its_id_or_its_family() -> None:
    assert named_by("kite-120/street", ("kite-120/street",))
    assert named_by("kite-120/street", (None, "kite-120"))
    assert not named_by("kite-120/street", ("kite-120/track",))
    assert not named_by("kite-120", ("kite-120/street",))
    assert not named_by("kite-120", (None,))


def test_a_pad_named_by_its_family_is_stock_and_not_bought(shop: Workshop) -> None:
    setup = assemble(shop.base, Wanted("kessarin-estate", "front"))
    assert setup.pad.id == "kite-120/street"
    by_family = with_stock_pad(setup, family(setup.pad.id))
    sheet = judge_setup(by_family, shop.rulebook).sheet
    assert of_setup(by_family)["pad"] == "stock"
    assert {p.kind: p.stock for p in sheet.parts}["pad"]
    assert sheet.buy == ()
    other = with_stock_pad(setup, "twite-66")
    assert of_setup(other)["pad"] == "other"
    assert [b.what for b in judge_setup(other, shop.rulebook).sheet.buy] == ["pad"]


def test_whatever_the_factory_fitted_is_stock(shop: Workshop) -> None:
    for platform in shop.base.ids("platform"):
        for axle in ("front", "rear"):
            sheet = shop.judge(Wanted(platform, axle)).sheet
            assert {p.kind for p in sheet.parts if not p.stock} == set(), (platform, axle)
            assert sheet.buy == (), (platform, axle)
