"""CHECKS B10, B12, D1, W2 and M12 against the shipped facts and the measures."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from lugplane.data import data_folder
from lugplane.facts.records import Bolt, Disc, Washer
from lugplane.measure.hydraulics import brake_torque_nm, piston_area_mm2
from lugplane.measure.wheel import rim_diameter_mm
from lugplane.workshop import Workshop


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return Workshop.open(only=Path(data_folder() / "kb"))


def test_b10_washer_thickness(shop: Workshop) -> None:
    """ISO 7089 nominal thickness: M10 2.0, M12 2.5, M14 2.5 (R)."""
    sizes = {
        w.bolt_mm.number: w.thickness_mm.reading.nominal
        for w in shop.base.all(Washer)
        if w.standard.text == "ISO 7089"
    }
    assert {d: sizes[d] for d in (10.0, 12.0, 14.0)} == {10.0: 2.0, 12.0: 2.5, 14.0: 2.5}


def test_b12_standard_lengths(shop: Workshop) -> None:
    """ISO 4762: 20-70 by 5, 80-160 by 10 (R, the table of bd-warehouse).

    Each thread has its own stretch of the series, with nothing left out and nothing put in.
    """
    series = [float(x) for x in (*range(20, 71, 5), *range(80, 161, 10))]
    found = [b for b in shop.base.all(Bolt) if b.standard.text == "ISO 4762"]
    assert {b.thread.text for b in found} >= {"M10x1.5", "M12x1.75", "M14x2"}
    for bolt in found:
        lengths = list(bolt.lengths_mm.numbers)
        assert lengths == [x for x in series if lengths[0] <= x <= lengths[-1]], bolt.id
        assert len(lengths) > 5


def test_d1_discard_thickness(shop: Workshop) -> None:
    """Least thickness 1.6-2.0 mm below new (service manuals, R), in every invented disc."""
    seen = 0
    for disc in shop.base.all(Disc):
        if not (disc.thickness_mm.known and disc.min_thickness_mm.known):
            continue
        seen += 1
        below = disc.thickness_mm.reading.nominal - disc.min_thickness_mm.reading.nominal
        assert 1.6 - 1e-9 <= below <= 2.0 + 1e-9, disc.id
    assert seen > 5


@pytest.mark.parametrize(
    ("inches", "expected"), [(14, 356), (15, 381), (16, 406), (17, 432), (18, 457)]
)
def test_w2_rim_diameters(inches: int, expected: int) -> None:
    """UN R30 nominal rim diameters (M: from memory)."""
    assert round(rim_diameter_mm(inches)) == expected


def test_m12_which_pistons_count() -> None:
    """A one-piston floating caliper clamps as a fixed one with that piston on each side."""
    floating = piston_area_mm2([54.0], "floating")
    fixed = piston_area_mm2([54.0], "fixed")
    assert floating == fixed == pytest.approx(math.pi / 4 * 54**2)
    assert brake_torque_nm(5.0, floating, 0.4, 120.0) == pytest.approx(
        2 * 0.4 * 5.0 * floating * 120.0 / 1000
    )
    with pytest.raises(ValueError, match="fixed or floating"):
        piston_area_mm2([54.0], "sliding")
