"""Heat against values from outside (CHECKS H1-H6).

R: read in the source or a faithful copy of its table. C: computed from the stated formula by an
independent script.
"""

from __future__ import annotations

import pytest
from scipy.integrate import solve_ivp

from lugplane.measure.fade import at_once, snub_peaks_c, spread, stop_list_c, type_one
from lugplane.measure.heat import (
    GREY_IRON_DENSITY_KG_M3,
    GREY_IRON_SPECIFIC_HEAT_J_KGK,
    BrakedMass,
    Ring,
    repeated_limit_c,
    ring_mass_kg,
    stop_rise_k,
)


def test_h1_one_stop() -> None:
    """H1: Serway (inputs R, C): 1500 kg, 30 m/s, 4x8 kg, c 448: 47.1 K, tolerance 0.1."""
    rise = stop_rise_k(BrakedMass(1500.0, 1.0, 1.0, 4), Ring(8.0, 448.0, 0.0), 30.0)
    assert rise == pytest.approx(47.1, abs=0.1)


def test_h2_one_stop() -> None:
    """H2: worked example (R): 1200 kg, 30 m/s, 4 kg in all, c 500: 270 K, tolerance 0.1."""
    rise = stop_rise_k(BrakedMass(1200.0, 1.0, 1.0, 1), Ring(4.0, 500.0, 0.0), 30.0)
    assert rise == pytest.approx(270.0, abs=0.1)


@pytest.mark.parametrize(
    ("top", "first", "second"), [(140.0, 112.0, 56.0), (150.0, 120.0, 60.0), (220.0, 120.0, 60.0)]
)
def test_h3_type_one_schedule(top: float, first: float, second: float) -> None:
    """H3: 71/320/EEC annex II 1.3.1 and UN R13 (R): 80 % of top speed, at most 120 km/h, to half of
    it, every 45 s, 15 times, 3 m/s²; as stated, exact."""
    snubs = type_one("car", top)
    assert (snubs.from_kmh, snubs.to_kmh) == (first, second)
    assert (snubs.period_s, snubs.count, snubs.deceleration_ms2) == (45.0, 15, 3.0)


# H4: inputs of the simulated H3.
CAR, RING, AIR_C = BrakedMass(1600.0, 0.7), Ring(7.0, 500.0, 25.0), 20.0


def test_h4_closed_form() -> None:
    """H4 (closed form): 66.67 K a snub, peak 260.57 °C, limit 262.52, uncooled 1020; 0.01."""
    snubs = type_one("car", 180.0)
    rise = stop_rise_k(CAR, RING, 120.0 / 3.6, 60.0 / 3.6)
    peaks = snub_peaks_c(snubs, CAR, RING, AIR_C)
    assert rise == pytest.approx(66.67, abs=0.01)
    assert peaks[0] == pytest.approx(AIR_C + 66.67, abs=0.01)
    assert len(peaks) == 15
    assert peaks[-1] == max(peaks) == pytest.approx(260.57, abs=0.01)
    assert repeated_limit_c(rise, RING, 45.0, AIR_C) == pytest.approx(262.52, abs=0.01)
    uncooled = snub_peaks_c(snubs, CAR, Ring(7.0, 500.0, 0.0), AIR_C)
    assert uncooled[-1] == pytest.approx(1020.0, abs=0.01)


def after(watts_from: float, watts_to: float, seconds: float, start_c: float) -> float:
    """The law of cooling under power in a straight line, integrated by scipy."""

    def slope(t: float, y: list[float]) -> list[float]:
        power = watts_from + (watts_to - watts_from) * t / seconds
        return [(power - RING.cooling_wk * (y[0] - AIR_C)) / RING.capacity_jk]

    run = solve_ivp(slope, (0.0, seconds), [start_c], method="DOP853", rtol=1e-12, atol=1e-10)
    return float(run.y[0][-1])


def test_h4_simulation_and_scipy_heat_at_once() -> None:
    """H4: step by step, as the closed form, and as `scipy` integrates it, to 1e-8."""
    snubs = type_one("car", 180.0)
    simulated = stop_list_c(at_once(snubs), CAR, RING, AIR_C)
    closed = snub_peaks_c(snubs, CAR, RING, AIR_C)
    now = AIR_C
    for step, peak in zip(simulated, closed, strict=True):
        hot = now + 0.7 * 0.5 * 1600.0 * ((120.0 / 3.6) ** 2 - (60.0 / 3.6) ** 2) / 7000.0
        now = after(0.0, 0.0, 45.0, hot)
        assert step.peak_c == pytest.approx(hot, rel=1e-8)
        assert step.peak_c == pytest.approx(peak, rel=1e-12)
        assert step.end_c == pytest.approx(now, rel=1e-8)
    assert max(s.peak_c for s in simulated) == pytest.approx(260.57, abs=0.01)


def test_h4_simulation_and_scipy_heat_spread_over_the_braking() -> None:
    """The same with the heat over the 5.6 s that 3 m/s² takes, against `scipy`, to 1e-8."""
    snubs = type_one("car", 180.0)
    simulated = stop_list_c(spread(snubs), CAR, RING, AIR_C)
    high, low = 120.0 / 3.6, 60.0 / 3.6
    braking_s = (high - low) / 3.0
    watts = 0.7 * 1600.0 * 3.0 / 2.0
    now = AIR_C
    for step in simulated:
        hot = after(watts * high, watts * low, braking_s, now)
        now = after(0.0, 0.0, 45.0 - braking_s, hot)
        # Still rising when the braking ends: its end is its hottest.
        assert step.peak_c == pytest.approx(hot, rel=1e-8)
        assert step.end_c == pytest.approx(now, rel=1e-8)
    assert 250.0 < simulated[-1].peak_c < 260.57


def test_h5_ring_mass() -> None:
    """H5 (C): 300/190x22 solid, 7200 kg/m³: 6.706 kg, tolerance 0.001."""
    assert ring_mass_kg(300.0, 190.0, 22.0, GREY_IRON_DENSITY_KG_M3) == pytest.approx(
        6.706, abs=0.001
    )


def test_h6_specific_heat_of_grey_iron() -> None:
    """H6: band 450-545 J/kgK (handbooks, R), and `chemicals` (CRC) for iron at 25 °C: 449.5.

    Pure iron at room temperature is the band's low end; rings run hotter and hold carbon.
    """
    from chemicals.elements import periodic_table
    from chemicals.heat_capacity import CRC_standard_data

    molar = float(CRC_standard_data.at["7439-89-6", "Cps"])
    iron = 1000.0 * molar / periodic_table.Fe.MW
    low, high = GREY_IRON_SPECIFIC_HEAT_J_KGK
    assert (low, high) == (450.0, 545.0)
    assert iron == pytest.approx(449.5, abs=0.05)
    assert low == pytest.approx(iron, abs=1.0)
