"""Property classes and their loads."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.strength import (
    CLASS_NAMES,
    PropertyClassError,
    proof_load_n,
    property_class,
    tensile_load_n,
)


# ISO 898-1: the class's figures are its nominal tensile strength over 100 and the yield ratio.
@pytest.mark.parametrize("name", CLASS_NAMES)
@pytest.mark.parametrize("nominal_mm", [12.0, 20.0])
def test_the_name_agrees_with_the_numbers(name: str, nominal_mm: float) -> None:
    grade = property_class(name, nominal_mm)
    hundreds, tenths = name.split(".")
    assert grade.nominal_tensile_mpa == 100.0 * int(hundreds)
    assert grade.tensile_mpa >= grade.nominal_tensile_mpa
    nominal_yield = grade.nominal_tensile_mpa * int(tenths) / 10.0
    assert nominal_yield <= grade.yield_mpa < nominal_yield * 1.05
    assert 0.85 < grade.proof_mpa / grade.yield_mpa < 0.95


# Rp0.2 as VDI 2230 uses it; 8.8 above 16 mm from memory.
@pytest.mark.parametrize(
    ("name", "nominal_mm", "yield_mpa", "tensile_mpa"),
    [
        ("5.6", 12.0, 300.0, 500.0),  # from memory
        ("8.8", 16.0, 640.0, 800.0),
        ("8.8", 16.001, 660.0, 830.0),
        ("10.9", 20.0, 940.0, 1040.0),
        ("12.9", 20.0, 1100.0, 1220.0),
    ],
)
def test_yield_and_tensile(
    name: str, nominal_mm: float, yield_mpa: float, tensile_mpa: float
) -> None:
    grade = property_class(name, nominal_mm)
    assert (grade.yield_mpa, grade.tensile_mpa) == (yield_mpa, tensile_mpa)


def test_the_ends_of_iso_898_are_inside() -> None:
    assert property_class("10.9", 1.6) == property_class("10.9", 39.0)


@pytest.mark.parametrize(
    ("name", "nominal_mm"),
    [
        ("", 12.0),
        ("10.90", 12.0),
        ("10.9", 1.5),
        ("10.9", 39.1),
        ("8.8", float("nan")),
    ],
)
def test_unlisted_classes_and_sizes_are_refused(name: str, nominal_mm: float) -> None:
    with pytest.raises(PropertyClassError):
        property_class(name, nominal_mm)


@settings(deadline=None)
@given(st.floats(1.0, 1000.0), st.floats(0.1, 100.0), st.floats(5.0, 20.0))
def test_loads_grow_with_class_and_area(area: float, more: float, nominal_mm: float) -> None:
    grades = [property_class(name, nominal_mm) for name in CLASS_NAMES]
    for load in (proof_load_n, tensile_load_n):
        loads = [load(area, grade) for grade in grades]
        assert loads == sorted(set(loads))
        assert all(load(area + more, grade) > load(area, grade) for grade in grades)
    assert all(proof_load_n(area, grade) < tensile_load_n(area, grade) for grade in grades)


@pytest.mark.parametrize("area", [0.0, -1.0, float("nan"), float("inf")])
def test_an_area_that_is_none_is_refused(area: float) -> None:
    grade = property_class("8.8", 12.0)
    for load in (proof_load_n, tensile_load_n):
        with pytest.raises(ValueError, match="stress_area_mm2"):
            load(area, grade)
