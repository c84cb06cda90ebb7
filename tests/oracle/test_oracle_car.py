"""The oracle's reckoning of braking, pedal and heat against values from outside."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from oracle.beside_stock import State
from oracle.braking import (
    G,
    adhesion,
    axle_shares,
    clamp_force,
    constant_stop,
    equal_at,
    letters_span,
    line_pressure,
    locks_at,
    piston_area,
    type_0_distance,
    wheel_torque,
)
from oracle.geometry import BEYOND, _sector
from oracle.heating import Type1, held_at, one_stop, ring_mass, snub_peaks
from oracle.pedal_feel import fluid, stroke
from oracle.search import extremes

LBF, INCH, PSI = 4.4482216152605, 25.4, 0.006894757293168


# --- braking -----------------------------------------------------------------------------------
def test_m2_the_mean_radius_of_a_lining() -> None:
    lining = _sector(100, 140, 110 * pi / 360)
    assert lining.clipped(0.0, 140.0, 0.0, BEYOND).mean_radius == pytest.approx(121.11, abs=0.01)


def test_m3_a_caliper_by_uniform_wear() -> None:
    """Shigley's problem (read), its answers computed: one 40 mm cylinder a pad."""
    r_e, area = (100 + 140) / 2, piston_area([40])
    pressure = 1350e3 / wheel_torque(0.4, 1.0, area, r_e)
    assert pressure == pytest.approx(11.19, rel=1e-3)
    assert clamp_force(pressure, area) == pytest.approx(14062, rel=1e-3)


def test_m4_force_and_torque_of_a_face() -> None:
    """Ugural (read): D 10, d 5 in, 60°, f 0.2, the greatest pressure 200 psi at the inner edge."""
    ro, ri, angle, p = 5 * INCH, 2.5 * INCH, pi / 3, 200 * PSI
    force = angle * p * ri * (ro - ri)
    assert force / LBF == pytest.approx(1309, rel=1e-3)
    torque = wheel_torque(0.2, 1.0, force, (ro + ri) / 2) / 2  # one face
    assert torque / LBF / INCH == pytest.approx(982, rel=1e-3)


def test_m5_line_pressure() -> None:
    """A worked example (read): 100 lbf at 6:1 on 1.0 in, no booster: 763.9 psi."""
    got = line_pressure(100 * LBF, 6.0, 1.0, 0.0, 1.0 * INCH)
    assert float(got) / PSI == pytest.approx(763.9, abs=0.1)


def test_a_spent_booster_adds_no_more() -> None:
    """By its meaning; two straight lines that meet where the booster is spent."""
    area = pi / 4 * 20.0**2
    forces = np.array([0.0, 100.0, 125.0, 225.0])  # at 4:1 and a gain of 5 spent at 125 N
    got = line_pressure(forces, *(np.full(4, x) for x in (4.0, 5.0, 2500.0, 20.0)))
    assert got * area == pytest.approx([0.0, 2000.0, 2500.0, 2900.0])


def test_m6_axle_loads_and_brake_forces() -> None:
    """Halliday, Resnick, Walker (inputs read): 11 kN, L 4.2, d 1.8, h 0.75 m, μ 0.4."""
    front, rear = axle_shares((4.2 - 1.8) / 4.2, 0.4, 0.75, 4.2)
    loads = 11e3 * np.array([front, rear])
    assert loads == pytest.approx([7071, 3929], abs=1)
    assert 0.4 * loads == pytest.approx([2829, 1571], abs=1)


WONG = (0.6, (2.87 - 1.27) / 2.87)  # front share of the force and of the load


@pytest.mark.parametrize(
    ("z", "f1", "f2"), [(0.3, 0.2948, 0.3082), (0.6, 0.5424, 0.7136), (0.8, 0.6866, 1.0635)]
)
def test_m7_adhesion_used(z: float, f1: float, f2: float) -> None:
    """Wong's example, inputs from memory: L 2.87, l1 1.27, h 0.508."""
    assert adhesion(*WONG, z, 0.508, 2.87) == pytest.approx((f1, f2), abs=5e-4)


def test_m7_where_both_use_the_same() -> None:
    assert equal_at(*WONG, 0.508, 2.87) == pytest.approx(0.2402, abs=5e-4)


def test_an_axle_locks_where_it_uses_what_the_road_gives() -> None:
    for mu in (0.3, 0.6, 0.9):
        z1, z2 = (float(z) for z in locks_at(*WONG, mu, 0.508, 2.87))
        assert adhesion(*WONG, z1, 0.508, 2.87)[0] == pytest.approx(mu)
        assert adhesion(*WONG, z2, 0.508, 2.87)[1] == pytest.approx(mu)
        assert (z1 < z2) == (mu < adhesion(*WONG, 0.2402, 0.508, 2.87)[0])


def test_m8_a_stop_with_constant_force() -> None:
    """Gillespie ch. 3, inputs from memory: 3635 lb, 60 mph, 2000 lb."""
    foot = 0.3048
    slowing, way, time = constant_stop(2000 * LBF, 3635 * LBF / G, 60 * 1.609344 / 3.6)
    assert slowing / foot == pytest.approx(17.72, rel=2e-3)
    assert way / foot == pytest.approx(218.6, rel=2e-3)
    assert time == pytest.approx(4.97, rel=2e-3)


def test_m9_the_type_0_limit() -> None:
    """UN R13-H, from memory: 100 km/h in 70 m; 6.43 m/s² without the time to build up."""
    assert type_0_distance(100) == 70.0
    slowing = (100 / 3.6) ** 2 / (2 * 0.006 * 100**2)
    assert slowing == pytest.approx(6.43, abs=0.005)


def test_m11_fluid_and_stroke() -> None:
    """Computed, CHECKS M11; the gap of 0.15 mm a pad is common practice, no source."""
    assert fluid([54], 0.15, fixed=False) == pytest.approx(687, abs=0.5)
    assert fluid([36, 40], 0.15, fixed=True) == pytest.approx(682, abs=0.5)
    assert stroke(687, 23.81) == pytest.approx(1.54, abs=0.01)


def test_m12_a_fixed_caliper_counts_one_side() -> None:
    """Mechanics: four pistons of 40 grip as two floating ones of 40 do."""
    assert clamp_force(5.0, piston_area([40, 40])) == 2 * clamp_force(5.0, piston_area([40]))


@pytest.mark.parametrize(
    ("letters", "span"),
    [("CC", (0.0, 0.15)), ("EF", (0.25, 0.45)), ("FF", (0.35, 0.45)), ("GF", (0.35, 0.55))],
)
def test_p1_friction_letters(letters: str, span: tuple[float, float]) -> None:
    """SAE J866 (read)."""
    assert letters_span(letters) == span


def test_p1_the_highest_letter_has_no_end() -> None:
    assert letters_span("GH") is None


# --- a car in one state of load ---------------------------------------------------------------
def wong(knee: float = 0.0, slope: float = 1.0) -> State:
    """Wong's car: 21.24 kN, 60 % of the braking in front, 1 kN a MPa in all before the valve."""
    columns = (600.0, 400.0, WONG[1], 508.0, 2870.0, 21240 / G, knee, slope)
    return State(*(np.full(1, x) for x in columns))


def test_m10_the_least_margin_stands_at_the_hardest_braking() -> None:
    by_hand = 0.6 - 1.6 / 2.87 - 0.8 * 0.508 / 2.87
    assert float(wong().least_margin()[0]) == pytest.approx(by_hand)
    assert by_hand < 0  # M7: at z 0.8 the rear uses more, 1.0635 against 0.6866


def test_a_valve_holds_the_rear_back_behind_its_knee() -> None:
    """By hand: knee 4 MPa, slope 0.25; at z 0.5 10 620 N = 600 p + 400 (4 + (p - 4)/4)."""
    p = (0.5 * 21240 - 400 * 3) / 700
    got = float(wong(4.0, 0.25).margin(np.full((1, 1), 0.5))[0, 0])
    assert got == pytest.approx(600 * p / 10620 - 1.6 / 2.87 - 0.5 * 0.508 / 2.87)
    assert got > float(wong().margin(np.full((1, 1), 0.5))[0, 0])


@pytest.mark.parametrize("valve", [(0.0, 1.0), (4.0, 0.25)])
def test_the_second_condition_is_that_of_the_first_axle_to_lock(valve: tuple[float, float]) -> None:
    """The same by walking z up instead of solving for k (annex II app. 3.1.1; C 0.85)."""
    z = np.linspace(0.01, 1.2, 200001)[None]
    front = wong(*valve).margin(z) + WONG[1] + z * 0.508 / 2.87
    share, height, base = (np.full_like(z, x) for x in (WONG[1], 508.0, 2870.0))
    f1, f2 = adhesion(front, share, z, height, base)
    used = np.maximum(f1, np.where(f2 > 0, f2, np.inf))[0]
    asked = (used >= 0.2) & (used <= 0.8)
    least = (z[0] - 0.1 - 0.85 * (used - 0.2))[asked].min()
    assert float(wong(*valve).least_use()[0]) == pytest.approx(least, abs=1e-3)


# --- heat --------------------------------------------------------------------------------------
def test_h1_h2_one_stop() -> None:
    """Serway (inputs read) and a worked example (read)."""
    assert one_stop(1.0, 1.0, 1500, 30, 4 * 8, 448) == pytest.approx(47.1, abs=0.1)
    assert one_stop(1.0, 1.0, 1200, 30, 4, 500) == pytest.approx(270)


def test_h3_the_schedule_of_a_car() -> None:
    """71/320/EEC annex II 1.3.1 and UN R13 (read)."""
    plan = Type1()
    assert (plan.count, plan.every_s, plan.slowing) == (15, 45, 3)
    assert plan.speeds(200) == pytest.approx((120 / 3.6, 60 / 3.6))
    assert plan.speeds(100) == pytest.approx((80 / 3.6, 40 / 3.6))


def test_h4_the_schedule_run_through() -> None:
    """Closed form and integration (CHECKS H4): 1600 kg, 0.7 in front, 7.0 kg, c 500, 25 W/K."""
    v1, v2 = Type1().speeds(200)
    rise = 0.7 * 0.5 * 1600 * (v1**2 - v2**2) / (2 * 7.0 * 500)
    assert rise == pytest.approx(66.67, abs=0.01)
    peaks = snub_peaks(rise, 7.0 * 500, 25, 20, 45, 15)
    assert peaks[-1] == pytest.approx(260.57, abs=0.01)
    q = np.exp(-25 * 45 / 3500)
    assert peaks == pytest.approx([20 + rise * (1 - q**k) / (1 - q) for k in range(1, 16)])
    assert 20 + rise / (1 - q) == pytest.approx(262.52, abs=0.01)
    assert snub_peaks(rise, 3500, 0, 20, 45, 15)[-1] == pytest.approx(1020, abs=0.01)


def test_held_at_a_constant_power() -> None:
    """The closed form of one body that cools by its excess temperature."""
    got = held_at(2000, 3500, 25, 20, 300)
    assert got == pytest.approx(20 + 2000 / 25 * (1 - np.exp(-25 * 300 / 3500)), abs=1e-6)


def test_h5_the_mass_of_a_ring() -> None:
    """Computed: 300/190 x 22 of 7200 kg/m³."""
    assert ring_mass(300, 190, 22) == pytest.approx(6.706, abs=0.001)


# --- looking over a box ------------------------------------------------------------------------
def test_a_search_finds_what_turns_inside() -> None:
    """x/(x+a) - y/(y+a), a shared: greatest where a = sqrt(x y), by hand."""
    low, high = extremes(
        lambda r: r[:, 0] / (r[:, 0] + r[:, 1]) - 5 / (5 + r[:, 1]), [(20.0, 20.0)], [(1.0, 100.0)]
    )
    assert high == pytest.approx(20 / 30 - 5 / 15, abs=1e-12)
    assert low == pytest.approx(20 / 120 - 5 / 105, abs=1e-12)


def test_a_search_looks_at_every_corner() -> None:
    assert extremes(lambda r: r[:, 0] - 2 * r[:, 1], [(0.0, 1.0), (3.0, 5.0)]) == (-10.0, -5.0)
