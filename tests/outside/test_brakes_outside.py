"""Brakes, tyres, friction letters and fluids against values from outside.

CHECKS M3-M12, P1, P2, W1 and F1.

R: read in the source or a faithful copy of its table. C: computed from the stated formula by an
independent script. M: from memory.
"""

from __future__ import annotations

from math import inf, pi

import pytest
import yaml

from lugplane.data import data_folder
from lugplane.measure.adhesion import ADHESION_SLOPES, braking_for_adhesion, front_above_rear
from lugplane.measure.balance import Brakes, adhesion_used, equal_z
from lugplane.measure.fluid import boiling_points
from lugplane.measure.friction import friction_letter, friction_range
from lugplane.measure.hydraulics import (
    brake_torque_nm,
    clamp_n,
    face_torque_nm,
    line_pressure_mpa,
    piston_area_mm2,
    pressure_for_torque_mpa,
    sector_clamp_n,
)
from lugplane.measure.loads import STANDARD_GRAVITY, Loading, axle_loads_n
from lugplane.measure.pedal import gap_volume_mm3, master_stroke_mm
from lugplane.measure.stopping import TYPE_ZERO_CARS, constant_force_stop
from lugplane.measure.trim import r_eff_uniform_wear
from lugplane.measure.tyre import tyre_diameter_mm

INCH_MM = 25.4
FOOT_M = 0.3048
POUND_KG = 0.45359237
POUND_FORCE_N = POUND_KG * STANDARD_GRAVITY
PSI_MPA = POUND_FORCE_N / INCH_MM**2
MPH_MS = 0.44704


def test_m3_caliper_problem() -> None:
    """M3: Shigley's problem (R, answers C): 100/140 mm, 110°, μ 0.4, 1350 N·m, one 40 mm cylinder
    a pad, uniform wear; tolerance 0.1 %."""
    radius = r_eff_uniform_wear(140.0, 100.0)
    area = piston_area_mm2([40.0], "fixed")
    pressure = pressure_for_torque_mpa(1350.0, area, 0.4, radius)
    assert radius == pytest.approx(120.0, rel=1e-3)
    assert clamp_n(pressure, area) == pytest.approx(14_062.0, rel=1e-3)
    assert pressure == pytest.approx(11.19, rel=1e-3)


def test_m4_pad_force_and_torque() -> None:
    """M4: Ugural (R): diameters 10 and 5 in, 60°, f 0.2, 200 psi; tolerance 0.1 %."""
    inner, outer = 2.5 * INCH_MM, 5.0 * INCH_MM
    force = sector_clamp_n(200.0 * PSI_MPA, inner, outer, 60.0)
    torque = face_torque_nm(force, 0.2, r_eff_uniform_wear(outer, inner))
    assert force / POUND_FORCE_N == pytest.approx(1309.0, rel=1e-3)
    pound_inches = torque * 1000.0 / (POUND_FORCE_N * INCH_MM)
    assert pound_inches == pytest.approx(982.0, rel=1e-3)


def test_m5_line_pressure() -> None:
    """M5: worked example (R): 100 lbf, 6:1, 1.0 in: 763.9 psi; tolerance 0.1."""
    pressure = line_pressure_mpa(100.0 * POUND_FORCE_N, 6.0, 1.0 * INCH_MM)
    assert pressure / PSI_MPA == pytest.approx(763.9, abs=0.1)


def test_m6_axle_loads() -> None:
    """M6: Halliday/Resnick/Walker (inputs R, C): 11 kN, L 4.2, d 1.8, h 0.75 m, μ 0.4, all wheels
    sliding, so that z = μ; tolerance 1 N."""
    car = Loading(11_000.0 / STANDARD_GRAVITY, (4.2 - 1.8) / 4.2, 750.0, 4200.0)
    loads = axle_loads_n(car, 0.4)
    assert loads.front_n == pytest.approx(7071.0, abs=1.0)
    assert loads.rear_n == pytest.approx(3929.0, abs=1.0)
    assert 0.4 * loads.front_n == pytest.approx(2829.0, abs=1.0)
    assert 0.4 * loads.rear_n == pytest.approx(1571.0, abs=1.0)


# M7: Wong's example (inputs from memory, C): W 21.24 kN, L 2.87, l1 1.27, h 0.508, front 60 %.
WONG = Loading(21_240.0 / STANDARD_GRAVITY, (2.87 - 1.27) / 2.87, 508.0, 2870.0)
SIXTY = Brakes(60.0, 40.0, 300.0, 300.0)


@pytest.mark.parametrize(
    ("z", "front", "rear"), [(0.3, 0.2948, 0.3082), (0.6, 0.5424, 0.7136), (0.8, 0.6866, 1.0635)]
)
def test_m7_adhesion_used(z: float, front: float, rear: float) -> None:
    """M7, tolerance 0.0005."""
    used = adhesion_used(SIXTY, WONG, z)
    assert used.front == pytest.approx(front, abs=0.0005)
    assert used.rear == pytest.approx(rear, abs=0.0005)


def test_m7_equal() -> None:
    """M7: equal at z 0.2402, tolerance 0.0005."""
    (z,) = equal_z(SIXTY, WONG)
    assert z == pytest.approx(0.2402, abs=0.0005)


def test_m8_constant_force() -> None:
    """M8: Gillespie ch. 3 (inputs from memory, C): 3635 lb, 60 mph, 2000 lb; tolerance 0.2 %."""
    stop = constant_force_stop(3635.0 * POUND_KG, 60.0 * MPH_MS, 2000.0 * POUND_FORCE_N)
    assert stop.deceleration_ms2 / FOOT_M == pytest.approx(17.72, rel=2e-3)
    assert stop.distance_m / FOOT_M == pytest.approx(218.6, rel=2e-3)
    assert stop.time_s == pytest.approx(4.97, rel=2e-3)


def test_m9_type_zero() -> None:
    """M9: UN R13-H, from memory: 70 m from 100 km/h, 6.43 m/s²; exact.

    The two belong together: 6.43 is the deceleration of the distance's braking part, rounded.
    """
    assert TYPE_ZERO_CARS.distance_m(TYPE_ZERO_CARS.speed_kmh) == 70.0
    assert TYPE_ZERO_CARS.speed_kmh == 100.0
    assert TYPE_ZERO_CARS.deceleration_ms2 == 6.43
    braking_m = 70.0 - TYPE_ZERO_CARS.delay_m_per_kmh * 100.0
    assert (100.0 / 3.6) ** 2 / (2.0 * braking_m) == pytest.approx(6.43, abs=0.005)


def test_m10_front_curve_above_rear() -> None:
    """M10: 71/320/EEC annex II appendix 3.1.1 (R), z 0.15-0.80, on the car of M7, whose curves
    cross at 0.2402: the condition is missed, and kept up to the crossing."""
    assert front_above_rear(SIXTY, WONG, 0.15, 0.2401).value > 0.0
    assert front_above_rear(SIXTY, WONG, 0.15, 0.2403).value < 0.0
    whole = front_above_rear(SIXTY, WONG, 0.15, 0.80)
    assert whole.at == 0.80
    assert whole.value == pytest.approx(0.6 - (1.6 + 0.8 * 0.508) / 2.87, abs=1e-12)
    # Enough in front, and it is kept up to 0.80.
    share = (1.6 + 0.8 * 0.508) / 2.87
    kept = Brakes(share + 0.001, 1.0 - share - 0.001, 300.0, 300.0)
    assert front_above_rear(kept, WONG, 0.15, 0.80).value == pytest.approx(0.001, abs=1e-12)


def test_m10_second_limit() -> None:
    """M10: the constant is 0.85 in UN R13 and 0.7 in UN R13-H, both from memory, by name.

    The car of M7 uses 0.3082, 0.7136 at z 0.3, 0.6, always behind: its `z(k)` is concave, so that
    it is nearest to the limit at an end of k 0.2-0.8.
    """
    assert ADHESION_SLOPES == {"UN R13": 0.85, "UN R13-H": 0.7}
    s, eta = 1.6 / 2.87, 0.508 / 2.87
    at_high = 0.8 * (1.0 - s) / (0.4 + 0.8 * eta)
    least = braking_for_adhesion(SIXTY, WONG, ADHESION_SLOPES["UN R13"])
    assert least.at == 0.8
    assert least.value == pytest.approx(at_high - (0.1 + 0.85 * 0.6), abs=1e-12)
    least = braking_for_adhesion(SIXTY, WONG, ADHESION_SLOPES["UN R13-H"])
    # At k 0.2 the front axle is the one in need: 0.2 lies below the crossing.
    assert least.at == 0.2
    assert least.value == pytest.approx(0.2 * s / (0.6 - 0.2 * eta) - 0.1, abs=1e-12)


def test_m11_master_stroke_for_pad_gap() -> None:
    """M11 (C; gap 0.15 mm a pad is common practice, no source): 687 and 682 mm³ as printed; 1.54 mm
    in a 23.81 mm bore, tolerance 0.01."""
    sliding = gap_volume_mm3(piston_area_mm2([54.0], "floating"), 0.30)
    fixed = gap_volume_mm3(piston_area_mm2([36.0, 40.0], "fixed"), 0.30)
    assert sliding == pytest.approx(687.0, abs=0.5)
    assert fixed == pytest.approx(682.0, abs=0.5)
    assert master_stroke_mm([687.0], 23.81) == pytest.approx(1.54, abs=0.01)
    # By pistons: each of the four goes one gap; the floating one goes both.
    assert fixed == pytest.approx(0.15 * pi / 4.0 * 2.0 * (36.0**2 + 40.0**2), rel=1e-12)
    assert sliding == pytest.approx(0.30 * pi / 4.0 * 54.0**2, rel=1e-12)


def test_m12_torque_convention() -> None:
    """M12 (mechanics): by free bodies, each face is pressed by one side's pistons of a fixed
    caliper, and by all of a floating one, on whose other face the body reacts."""
    pressure, friction, radius = 6.0, 0.38, 128.0
    one_side_n = pressure * pi / 4.0 * (36.0**2 + 40.0**2)
    fixed = brake_torque_nm(pressure, piston_area_mm2([36.0, 40.0], "fixed"), friction, radius)
    assert fixed == pytest.approx(friction * radius / 1000.0 * (one_side_n + one_side_n), rel=1e-12)
    piston_n = pressure * pi / 4.0 * 54.0**2
    floating = brake_torque_nm(pressure, piston_area_mm2([54.0], "floating"), friction, radius)
    assert floating == pytest.approx(friction * radius / 1000.0 * (piston_n + piston_n), rel=1e-12)


@pytest.mark.parametrize(
    ("letter", "low", "high"),
    [
        ("C", 0.0, 0.15),
        ("D", 0.15, 0.25),
        ("E", 0.25, 0.35),
        ("F", 0.35, 0.45),
        ("G", 0.45, 0.55),
        ("H", 0.55, inf),
    ],
)
def test_p1_friction_letters(letter: str, low: float, high: float) -> None:
    """P1: SAE J866 (R): C <=0.15, D -0.25, E -0.35, F -0.45, G -0.55, H >0.55."""
    assert friction_range(letter) == (low, high)
    assert friction_letter(low + 0.01) == letter
    assert friction_letter(min(high, 1.0)) == letter


def test_p2_least_lining() -> None:
    """P2 (R, secondary): 1.5 mm for roadworthiness, 3 mm replaced in practice."""
    rules = data_folder() / "rules"
    facts = yaml.safe_load((rules / "plausible.yaml").read_text("utf-8"))["facts"]
    assert facts["pad.min_lining_mm"]["from"] == 1.5
    steps = yaml.safe_load((rules / "steps.yaml").read_text("utf-8"))["caution"]
    (wear,) = (c for c in steps if c["id"] == "wear")
    assert wear["always"]
    assert "at 3 mm" in wear["text"]
    assert "1.5 mm" in wear["text"]


@pytest.mark.parametrize(
    ("size", "expected"),
    [("205/55R16", 631.9), ("215/65R17", 711.3), ("225/40R18", 637.2)],
)
def test_w1_tyre_size(size: str, expected: float) -> None:
    """W1: ETRTO arithmetic (R), as printed, to 0.1 mm."""
    assert tyre_diameter_mm(size) == pytest.approx(expected, abs=0.05 + 1e-9)


@pytest.mark.parametrize(
    ("grade", "dry", "wet"), [("DOT 3", 205, 140), ("DOT 4", 230, 155), ("DOT 5.1", 260, 180)]
)
def test_f1_boiling_points(grade: str, dry: int, wet: int) -> None:
    """F1: FMVSS 116 S5.1.1-2 (R)."""
    points = boiling_points(grade)
    assert (points.dry_c, points.wet_c) == (dry, wet)
