"""The figures of a whole car by hand from its facts: whose they are, and what is missing."""

from __future__ import annotations

from pathlib import Path

import pytest

from lugplane.measure.bench import Bench, Undecided, run
from lugplane.measure.car_pedal import fluid_mm3, pressure_bar
from lugplane.measure.whole_car import Figure, Pair, brakes_of, together, use
from lugplane.quantity.form import Missing
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.car import CarWanted, assemble_car
from lugplane.setup.parts import Setup
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[1] / "scenarios" / "kb"


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return Workshop.open(only=KB)


def bench(shop: Workshop, setup: Setup) -> Bench:
    """A bench as the rules leave it when they come to the car: an axial mount, nothing between."""
    limits = shop.rulebook.limits
    b = Bench(setup, limits.numbers, limits.limits)
    run(b, "choice", "mount")
    return b


def pair(shop: Workshop, axle: str, *parts: str, set_: tuple[str, ...] = ()) -> Pair:
    setup = assemble(shop.base, Wanted("whole-car", axle, parts, set_))
    return brakes_of(bench(shop, setup))


def test_figures_of_the_front_brake_by_hand(shop: Workshop) -> None:
    front = pair(shop, "front").new.front
    assert front.area_mm2.span == pytest.approx((2274.5131, 2274.5131))  # π/4 (36² + 40²)
    # 2/3 (164³ - 112³) / (164² - 112²)
    assert front.r_eff_mm.span == pytest.approx((139.6329, 139.6329), abs=1e-3)
    assert front.torque_per_bar_nm.span == pytest.approx((25.4077, 25.4077), abs=1e-3)
    assert front.rolling_radius_mm.nominal == pytest.approx(306.7385, abs=1e-3)
    assert front.unsprung_kg.span == pytest.approx((13.0, 13.0))  # 4 + 8 + 2 · 0.5
    # π/6 (164² - 112²) · 9 mm of lining to wear
    assert front.lining_mm3.span == pytest.approx((67632.2, 67632.2), rel=1e-5)
    # 6 kg (330² + 200²) / 8
    assert front.ring_inertia_kgm2.nominal == pytest.approx(0.111675)
    assert front.cooling_wk.span == (30.0, 30.0)


def test_a_solid_ring_that_is_not_weighed_follows_from_its_size(shop: Workshop) -> None:
    ring = pair(shop, "front").new.rear.ring_mass_kg
    assert ring.nominal == pytest.approx(3.2577, abs=1e-3)  # π/4 (290² - 190²) 12 mm · 7200 kg/m³
    assert "other:disc.ring" in ring.facts
    assert "other:disc.ring_mass_kg" not in ring.facts


def test_front_and_rear_sheets_see_one_car(shop: Workshop) -> None:
    car = assemble_car(
        shop.base, CarWanted("whole-car", ("four-pot/largest",), ("two-pot/larger",))
    )
    one, two = brakes_of(bench(shop, car.front)), brakes_of(bench(shop, car.rear))
    for a, b in (
        (one.new.front, two.new.front),
        (one.new.rear, two.new.rear),
        (one.stock.front, two.stock.front),
        (one.stock.rear, two.stock.rear),
    ):
        assert a.torque_per_bar_nm.span == b.torque_per_bar_nm.span
        assert a.parts == b.parts
    assert one.new.front.parts != one.stock.front.parts


def test_a_fact_says_whose_it_is(shop: Workshop) -> None:
    found = pair(shop, "front", "sector/other")
    assert "pad.friction_ratio" in found.new.front.friction.facts
    assert found.stock.front.friction.facts == ("stock:pad.friction_ratio",)
    assert found.new.rear.friction.facts == ("other:pad.friction_ratio",)
    # the caliper stays: its bores are one fact and not two
    assert found.stock.front.area_mm2.facts == found.new.front.area_mm2.facts
    assert all(":" not in p for p in found.stock.front.area_mm2.facts)
    # the car's own facts are nobody's part
    assert found.stock.front.cooling_wk.facts[0] == "platform.cooling_front_wk"


def test_another_disc_cools_between_the_stock_one_and_in_proportion(shop: Workshop) -> None:
    larger = pair(shop, "front", "ring/small", set_=("disc.ring_mass_kg=5 ±0",)).new.front
    # (300² - 200²) / (330² - 200²)
    assert larger.cooling_ratio.span == pytest.approx((50000 / 68900, 1.0))
    assert larger.cooling_wk.span == pytest.approx((30 * 50000 / 68900, 30.0))
    with pytest.raises(Undecided, match="solid ring"):
        _ = pair(shop, "front", "ring/solid").new.front.cooling_ratio.span


def test_what_is_not_known_is_named_when_it_is_used(shop: Workshop) -> None:
    setup = assemble(shop.base, Wanted("whole-car", "front", (), ("pad.friction_ratio=unknown",)))
    b = bench(shop, setup)
    torque = brakes_of(b).new.front.torque_per_bar_nm
    assert not torque.known
    with b.place.noting() as note, pytest.raises(Missing) as told:
        use(b, torque)
    assert told.value.facts == ("pad.friction_ratio",)
    assert "caliper.pistons.bores_mm" in note


def test_bores_that_do_not_match_their_count_are_not_reckoned_with(shop: Workshop) -> None:
    found = pair(shop, "front", set_=("caliper.pistons.a_side=3 ±0",)).new.front.area_mm2
    with pytest.raises(Undecided, match="2 bores are stated for 3 pistons a side"):
        _ = found.span


def test_together_keeps_facts_and_what_is_missing() -> None:
    known = Figure(1.0, 2.0, 1.5, ("a.x",))
    missing = Figure(missing=("b.y",), facts=("b.y",))
    assert together(lambda x: 2 * x, known) == Figure(2.0, 4.0, 3.0, ("a.x",))
    found = together(lambda x, y: x + y, known, missing)
    assert (found.facts, found.missing) == (("a.x", "b.y"), ("b.y",))


def test_line_pressure_by_hand(shop: Workshop) -> None:
    car = pair(shop, "front").new
    # 200 N · 4 = 800 N on the rod; 3000 N is reached at 600: 3000 + 200 on π/4 24²
    assert pressure_bar(car, 200).nominal == pytest.approx(70.7356, abs=1e-3)
    # 100 N · 4 · 5 = 2000 N, the booster not spent
    assert pressure_bar(car, 100).nominal == pytest.approx(44.2097, abs=1e-3)


def test_fluid_of_an_axle(shop: Workshop) -> None:
    """CHECKS M11: a floating 54 mm caliper takes 687 mm³ for 0.3 mm of both gaps."""
    area = 2290.22
    front = pair(shop, "front").new.front
    found = fluid_mm3(front, 0.3).nominal
    assert found == pytest.approx(2 * 0.3 * 2274.5131, rel=1e-6)
    assert found / 2 == pytest.approx(687 * 2274.5131 / area, abs=1.0)  # gap is common practice


def test_the_shipped_stock_cars_never_fail() -> None:
    shop = Workshop.open()
    for platform in shop.base.ids("platform"):
        for axle in ("front", "rear"):
            sheet = shop.judge(Wanted(platform, axle)).sheet
            assert sheet.verdict_of("brake") == "bolts on", (platform, axle)
            states = {r.check: r.state for r in sheet.rows if r.scope == "car"}
            # The friction grip of the lugs is reported: sound stock joints can be low.
            states.pop("slip-reserve")
            assert set(states.values()) <= {"holds", "does not apply", "cannot tell"}, (
                platform,
                axle,
            )
            assert states["front-share"] == states["heat-repeated"] == "holds", (platform, axle)


@pytest.mark.parametrize(
    ("caliper", "pads", "verdict", "share"),
    [
        ("askel-a4/40", "godwit-108/fast", "does not fit", "fails"),
        ("askel-a4/40", "godwit-108/street", "fits with work", "care"),
        ("askel-a4/36", "godwit-108/street", "fits with work", "holds"),
    ],
)
def test_a_shipped_brake_bolts_on_and_spoils_the_balance_until_mended(
    caliper: str, pads: str, verdict: str, share: str
) -> None:
    shop = Workshop.open()
    sheet = shop.judge(Wanted("thimbrel-saloon", "front", (caliper, "burnet-288", pads))).sheet
    assert sheet.verdict_of("brake") == "bolts on"
    assert sheet.verdict_of("car") == verdict
    assert sheet.row("front-share").state == share
