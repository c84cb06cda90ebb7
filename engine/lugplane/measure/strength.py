"""Property classes of steel bolts and the loads they stand (ISO 898-1)."""

from dataclasses import dataclass

from lugplane.measure.arguments import positive


class PropertyClassError(ValueError):
    """A property class, or a size of one, that is not listed here."""


@dataclass(frozen=True, slots=True)
class PropertyClass:
    """One class at one size; all stresses in MPa.

    `yield_mpa` is the least 0.2 % proof strength Rp0.2 (lower yield ReL for 5.6), the value VDI
    2230 reckons preload from; `proof_mpa` the stress under proof load; `tensile_mpa` the least
    tensile strength, `nominal_tensile_mpa` the one the class is named after.
    """

    name: str
    nominal_tensile_mpa: float
    tensile_mpa: float
    yield_mpa: float
    proof_mpa: float


# ISO 898-1, tables of mechanical properties and of proof loads. 5.6, 9.8 (up to 16 mm only) and the
# yield of 8.8 above 16 mm are from memory.
_UP_TO_16 = (
    PropertyClass("5.6", 500.0, 500.0, 300.0, 280.0),
    PropertyClass("8.8", 800.0, 800.0, 640.0, 580.0),
    PropertyClass("9.8", 900.0, 900.0, 720.0, 650.0),
    PropertyClass("10.9", 1000.0, 1040.0, 940.0, 830.0),
    PropertyClass("12.9", 1200.0, 1220.0, 1100.0, 970.0),
)
_8_8_ABOVE_16 = PropertyClass("8.8", 800.0, 830.0, 660.0, 600.0)
_8_8_CHANGES_ABOVE_MM = 16.0

# The span of ISO 898-1, mm.
_LEAST_NOMINAL_MM = 1.6
_GREATEST_NOMINAL_MM = 39.0

CLASS_NAMES: tuple[str, ...] = tuple(entry.name for entry in _UP_TO_16)
"""The listed classes, weakest first."""


def property_class(name: str, nominal_mm: float) -> PropertyClass:
    """The class called `name` for a bolt of nominal diameter `nominal_mm` (ISO 898-1).

    8.8 is stronger above 16 mm. Raises PropertyClassError for a class that is not listed and for
    a diameter outside ISO 898-1 (1.6 to 39 mm).
    """
    if not _LEAST_NOMINAL_MM <= nominal_mm <= _GREATEST_NOMINAL_MM:
        raise PropertyClassError(f"ISO 898-1 covers 1.6 to 39 mm, not {nominal_mm!r} mm")
    if name == _8_8_ABOVE_16.name and nominal_mm > _8_8_CHANGES_ABOVE_MM:
        return _8_8_ABOVE_16
    for entry in _UP_TO_16:
        if entry.name == name:
            return entry
    raise PropertyClassError(f"class {name!r} is not one of {', '.join(CLASS_NAMES)}")


def proof_load_n(stress_area_mm2: float, grade: PropertyClass) -> float:
    """Proof load, N: stress area times proof stress (ISO 898-1)."""
    return positive("stress_area_mm2", stress_area_mm2) * grade.proof_mpa


def tensile_load_n(stress_area_mm2: float, grade: PropertyClass) -> float:
    """Least ultimate tensile load, N: stress area times least tensile strength (ISO 898-1)."""
    return positive("stress_area_mm2", stress_area_mm2) * grade.tensile_mpa
