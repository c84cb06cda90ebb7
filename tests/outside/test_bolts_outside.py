"""Bolts against values from outside.

R: read in the source or a faithful copy of its table. C: computed from the stated formula by an
independent script. M: from memory.
"""

from math import floor, log10

import pytest
from screw_thread_lib.data import ASME_M_6g6H_dict
from screw_thread_lib.threads import Assembly

from lugplane.measure.hardware import clearance_hole, washer_thickness_mm
from lugplane.measure.packing import packing_factor
from lugplane.measure.preload import bearing_diameter_mm, preload_n, tightening_torque_nm
from lugplane.measure.strength import proof_load_n, property_class, tensile_load_n
from lugplane.measure.stripping import (
    engagement_for_load_mm,
    hole_shear_area_mm2_per_mm,
    needed_engagement,
)
from lugplane.measure.threads import (
    lookalike,
    minor_diameter_mm,
    parse_thread,
    pitch_diameter_mm,
    same_thread,
    stress_area_mm2,
)
from lugplane.measure.tolerances import ThreadSizes, basic_sizes, least_material_sizes

CLASSES = ("8.8", "10.9", "12.9")
MM_PER_INCH = 25.4


def area(designation: str) -> float:
    thread = parse_thread(designation)
    return stress_area_mm2(thread.nominal_mm, thread.pitch_mm)


def three_figures(value: float) -> float:
    return round(value, 2 - floor(log10(value)))


def library_m12(bolt_mpa: float, hole_mpa: float, sizes: str) -> Assembly:
    """`screw-thread-lib` on its own M12x1.75 of ASME B1.13M, in mm."""
    inches = ASME_M_6g6H_dict["M12-1.75"]
    data = {
        key: value * MM_PER_INCH
        for key, value in inches.items()
        if key != "n" and isinstance(value, float)
    }
    data["n"] = inches["n"] / MM_PER_INCH
    return Assembly(data, UTSs=bolt_mpa, UTSn=hole_mpa, dims_ISO=sizes)


# B1: ISO 898-1 formula, C.
@pytest.mark.parametrize(
    ("designation", "expected"),
    [
        ("M10x1.5", 57.99),
        ("M10x1.25", 61.20),
        ("M10x1", 64.49),
        ("M12x1.75", 84.27),
        ("M12x1.5", 88.13),
        ("M12x1.25", 92.07),
        ("M14x2", 115.44),
        ("M14x1.5", 124.55),
    ],
)
def test_b1_stress_area(designation: str, expected: float) -> None:
    assert area(designation) == pytest.approx(expected, abs=0.01)


# B1: ISO 898-1 table of coarse threads, rounded to three figures, R.
@pytest.mark.parametrize(
    ("designation", "expected"), [("M10", 58.0), ("M12", 84.3), ("M14", 115.0)]
)
def test_b1_table_area(designation: str, expected: float) -> None:
    assert three_figures(area(designation)) == expected


# B2: ISO 724, C, and the library itself.
def test_b2_pitch_and_minor_diameter() -> None:
    d2, d1 = pitch_diameter_mm(12.0, 1.75), minor_diameter_mm(12.0, 1.75)
    assert d2 == pytest.approx(10.863, abs=0.001)
    assert d1 == pytest.approx(10.106, abs=0.001)
    library = library_m12(1040.0, 400.0, "basic")
    assert d2 == pytest.approx(library.d2bsc, abs=0.001)
    assert d1 == pytest.approx(library.D1bsc, abs=0.001)
    assert stress_area_mm2(12.0, 1.75) == pytest.approx(library.As_ISO(), abs=0.01)


# B3: ISO 898-1 table of proof loads, coarse threads, R.
@pytest.mark.parametrize(
    ("nominal_mm", "expected_kn"),
    [
        (10.0, (33.7, 48.1, 56.3)),
        (12.0, (48.9, 70.0, 81.8)),
        (14.0, (66.7, 95.5, 112.0)),
    ],
)
def test_b3_proof_load(nominal_mm: float, expected_kn: tuple[float, float, float]) -> None:
    for name, expected in zip(CLASSES, expected_kn, strict=True):
        load = proof_load_n(area(f"M{nominal_mm:g}"), property_class(name, nominal_mm))
        assert load / 1000.0 == pytest.approx(expected, rel=0.005), name


# B4: ISO 898-1 table of least tensile loads, coarse threads, R; with the table's rounded area.
@pytest.mark.parametrize(
    ("nominal_mm", "expected_kn"),
    [
        (10.0, (46.4, 60.3, 70.8)),
        (12.0, (67.4, 87.7, 103.0)),
        (14.0, (92.0, 120.0, 140.0)),
    ],
)
def test_b4_tensile_load(nominal_mm: float, expected_kn: tuple[float, float, float]) -> None:
    table_area = three_figures(area(f"M{nominal_mm:g}"))
    for name, expected in zip(CLASSES, expected_kn, strict=True):
        load = tensile_load_n(table_area, property_class(name, nominal_mm))
        assert load / 1000.0 == pytest.approx(expected, rel=0.005), name


# B5: ISO 898-1, R.
@pytest.mark.parametrize(
    ("name", "nominal_mm", "expected"),
    [
        ("8.8", 12.0, 580.0),
        ("8.8", 16.0, 580.0),
        ("8.8", 18.0, 600.0),
        ("10.9", 12.0, 830.0),
        ("10.9", 20.0, 830.0),
        ("12.9", 12.0, 970.0),
        ("12.9", 20.0, 970.0),
    ],
)
def test_b5_proof_stress(name: str, nominal_mm: float, expected: float) -> None:
    assert property_class(name, nominal_mm).proof_mpa == expected


# B6: VDI 2230 fine-thread table at 90 % of yield and friction 0.12 under head and in thread, R.
# The table does not print D_km: taken as the mean of the least head face of a hexagon bolt
# (ISO 4014, M) and the medium hole (ISO 273).
@pytest.mark.parametrize(
    ("designation", "head_mm", "preload_kn", "torque_nm"),
    [
        ("M10x1.25", 14.63, (31.6, 46.4, 54.3), (51.0, 75.0, 87.0)),
        ("M12x1.25", 16.63, (48.0, 70.5, 82.5), (90.0, 133.0, 155.0)),
        ("M14x1.5", 19.64, (64.8, 95.2, 111.4), (142.0, 209.0, 244.0)),
    ],
)
def test_b6_preload_and_torque(
    designation: str,
    head_mm: float,
    preload_kn: tuple[float, float, float],
    torque_nm: tuple[float, float, float],
) -> None:
    thread = parse_thread(designation)
    d, pitch = thread.nominal_mm, thread.pitch_mm
    d_km = bearing_diameter_mm(head_mm, clearance_hole(d).medium_mm)
    for name, kilonewtons, newton_metres in zip(CLASSES, preload_kn, torque_nm, strict=True):
        force = preload_n(d, pitch, property_class(name, d).yield_mpa, 0.12)
        torque = tightening_torque_nm(force, d, pitch, d_km, 0.12, 0.12)
        assert force / 1000.0 == pytest.approx(kilonewtons, rel=0.005), name
        assert torque == pytest.approx(newton_metres, rel=0.015), name


# B7: ISO/TR 16224 through `screw-thread-lib`, C; part at least 1.8 d wide. The library's least
# material d2 of M12x1.75 is 0.005 mm below ISO 965-1's, which shows in the third figure only.
@pytest.mark.parametrize(
    ("hole_mpa", "basic_mm", "least_material_mm"),
    [(600.0, 7.83, 9.93), (400.0, 10.65, 13.47), (310.0, 13.52, 17.08)],
)
def test_b7_stripping_length(hole_mpa: float, basic_mm: float, least_material_mm: float) -> None:
    stress_area = stress_area_mm2(12.0, 1.75)
    for sizes, dims, expected in (
        (basic_sizes(12.0, 1.75), "basic", basic_mm),
        (least_material_sizes(12.0, 1.75), "min", least_material_mm),
    ):
        ours = needed_engagement(sizes, stress_area, 1040.0, hole_mpa)
        assert ours.charted
        assert ours.length_mm == pytest.approx(expected, abs=0.01)
        library = library_m12(1040.0, hole_mpa, dims).LEr_ISO(s=1.8 * 12.0)
        assert library == pytest.approx(expected, abs=0.01)
        assert ours.length_mm == pytest.approx(library, abs=0.01)


# B8: handbook worked example, R (bolt 1200 MPa, aluminium τ 130 MPa); the second size from
# memory, M. Neither uses the factors C1 to C3.
@pytest.mark.parametrize(("external_major_mm", "expected_mm"), [(9.968, 21.6), (9.732, 24.9)])
def test_b8_stripping_length_in_aluminium(external_major_mm: float, expected_mm: float) -> None:
    sizes = ThreadSizes(
        pitch_mm=1.5,
        external_major_mm=external_major_mm,
        external_pitch_mm=9.026,
        internal_pitch_mm=9.206,
        internal_minor_mm=8.376,
    )
    load_n = 1200.0 * stress_area_mm2(10.0, 1.5)
    length = engagement_for_load_mm(load_n, 130.0, hole_shear_area_mm2_per_mm(sizes))
    assert length == pytest.approx(expected_mm, abs=0.1)


# B9: EN 1993-1-8 3.6.1 (12), R.
@pytest.mark.parametrize(
    ("packing_mm", "expected"), [(4.0, 1.0), (6.0, 0.947), (8.0, 0.900), (10.0, 0.857)]
)
def test_b9_packing_factor(packing_mm: float, expected: float) -> None:
    assert packing_factor(12.0, packing_mm) == pytest.approx(expected, abs=0.001)


# B10: ISO 7089, nominal thickness, R.
@pytest.mark.parametrize(("nominal_mm", "expected"), [(10.0, 2.0), (12.0, 2.5), (14.0, 2.5)])
def test_b10_washer_thickness(nominal_mm: float, expected: float) -> None:
    assert washer_thickness_mm(nominal_mm) == expected


# B11: ISO 273, R.
@pytest.mark.parametrize(
    ("nominal_mm", "expected"),
    [(10.0, (10.5, 11.0, 12.0)), (12.0, (13.0, 13.5, 14.5)), (14.0, (15.0, 15.5, 16.5))],
)
def test_b11_clearance_holes(nominal_mm: float, expected: tuple[float, float, float]) -> None:
    hole = clearance_hole(nominal_mm)
    assert (hole.fine_mm, hole.medium_mm, hole.coarse_mm) == expected


# F2: pitch 1.000 against 25.4/24 = 1.058 mm, C.
def test_f2_metric_and_unified_hose_threads_are_told_apart() -> None:
    metric, unified = parse_thread("M10x1"), parse_thread("3/8-24 UNF")
    assert metric.pitch_mm == pytest.approx(1.000, abs=0.0005)
    assert unified.pitch_mm == pytest.approx(1.058, abs=0.0005)
    assert not same_thread(metric, unified)
    assert lookalike(metric, unified)
