"""Both axles of a car put together, what the factory fitted, and compounds left open."""

from __future__ import annotations

from pathlib import Path

import pytest

from lugplane.errors import BadInput
from lugplane.facts.base import Base, load
from lugplane.quantity.form import Missing
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.car import (
    CarWanted,
    assemble_car,
    car_of,
    other_of,
    other_stock_of,
    setup_in_role,
    stock_of,
)
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[1] / "scenarios" / "kb"


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Base:
    return load([KB], Workshop.open(only=KB).rulebook.limits.assumed)


def test_each_axle_knows_the_other(base: Base) -> None:
    car = assemble_car(base, CarWanted("whole-car", ("four-pot/largest",), ("two-pot/larger",)))
    assert car.setup("front").caliper.id == "four-pot/largest"
    assert car.setup("rear").caliper.id == "two-pot/larger"
    assert other_of(car.front).caliper.id == "two-pot/larger"
    assert other_stock_of(car.front).caliper.id == "two-pot/small"
    assert other_of(car.rear).caliper.id == "four-pot/largest"
    assert stock_of(car.rear).caliper.id == "two-pot/small"


def test_the_other_axle_stays_stock_where_it_is_not_named(base: Base) -> None:
    setup = assemble(base, Wanted("whole-car", "front", ("four-pot/largest",)))
    assert setup.other is None
    assert other_of(setup).caliper.id == "two-pot/small"
    assert stock_of(setup).caliper.id == "four-pot/stock"


def test_stock_is_put_together_once(base: Base) -> None:
    one = assemble(base, Wanted("whole-car", "front", ("four-pot/largest",)))
    two = assemble(base, Wanted("whole-car", "front", ("four-pot/other",)))
    assert stock_of(one) is stock_of(two)


def test_what_was_measured_on_a_part_that_stays_counts_for_stock_too(base: Base) -> None:
    measured = ("disc.ring_mass_kg=5.8 ±0.1", "pad.friction_ratio=0.38 ±0.01")
    stays = assemble(base, Wanted("whole-car", "front", ("sector/other",), measured))
    stock = stock_of(stays)
    assert stock.disc.ring_mass_kg.reading.nominal == 5.8
    assert stock.pad.friction_ratio.reading.nominal == 0.4  # another pad
    goes = assemble(base, Wanted("whole-car", "front", ("ring/other",), measured[:1]))
    assert stock_of(goes).disc.ring_mass_kg.reading.nominal == 6


def test_what_was_measured_on_the_car_counts_for_both(base: Base) -> None:
    measured = ("platform.gross_kg=1750 ±5", "master.bore_mm=23.81 ±0.02")
    setup = assemble(base, Wanted("whole-car", "front", (), measured))
    for other in (stock_of(setup), other_of(setup)):
        assert other.platform.gross_kg.reading.nominal == 1750
        assert other.master is not None
        assert other.master.bore_mm.reading.nominal == 23.81


@pytest.mark.parametrize(
    "fact", ["platform.front.stock.disc", "platform.master", "platform.rear.knuckle"]
)
def test_parts_are_named_and_not_set(base: Base, fact: str) -> None:
    with pytest.raises(BadInput, match="name the part itself"):
        assemble(base, Wanted("whole-car", "front", (), (f"{fact}=ring/other",)))


def test_two_platforms_are_no_car(base: Base) -> None:
    one = assemble(base, Wanted("whole-car", "front"))
    other = assemble(base, Wanted("plain-car", "rear"))
    with pytest.raises(BadInput, match="two platforms: whole-car and plain-car"):
        car_of(one, other)
    with pytest.raises(BadInput, match="not front and front"):
        car_of(one, one)


def test_an_axle_of_which_nothing_is_known_is_missing(base: Base) -> None:
    setup = assemble(base, Wanted("bare-car", "front"))
    with pytest.raises(Missing) as told:
        other_of(setup)
    assert "platform.rear.stock.caliper" in told.value.facts
    assert setup_in_role(setup, "other:") is None


def test_a_shape_leaves_its_compounds_open(base: Base) -> None:
    def left_open(*parts: str, set_: tuple[str, ...] = ()) -> list[str]:
        return [p.id for p in assemble(base, Wanted("whole-car", "front", parts, set_)).open_pads]

    assert "sector/paired" in left_open("sector")
    assert left_open("sector/paired") == []
    assert left_open() == []  # the stock pad is named
    assert left_open("sector", set_=("pad.friction_ratio=0.4 ±0",)) == []
    assert left_open("sector", set_=("pad.lining_mm=10 ±0.1",)) != []


@pytest.mark.parametrize(
    ("set_", "said"),
    [
        ("pad.friction_curve.plus_minus_ratio=0.01", "the ± of points"),
        ("pad.friction_curve.points_c_ratio=0.4", "a list cannot be set"),
    ],
)
def test_a_curve_is_stated_in_a_folder_of_facts(base: Base, set_: str, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        assemble(base, Wanted("whole-car", "front", ("sector/measured-cold",), (set_,)))


def test_a_friction_measured_anew_stands_above_a_curve(base: Base) -> None:
    def curve_left(text: str) -> bool:
        wanted = Wanted("whole-car", "front", ("sector/measured-cold",), (text,))
        return assemble(base, wanted).pad.friction_curve.points_c_ratio.known

    assert not curve_left("pad.friction_ratio=0.4 ±0.01")
    assert curve_left("pad.friction_ratio=unknown")
    assert curve_left("pad.friction_letters=FF")
    assert not curve_left("pad.friction_curve.points_c_ratio=unknown")
