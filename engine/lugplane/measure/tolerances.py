"""Sizes of a thread for strength: basic, and least material at tolerance 6g/6H (ISO 965-1)."""

from dataclasses import dataclass

from lugplane.measure.threads import minor_diameter_mm, pitch_diameter_mm


class ToleranceError(ValueError):
    """A thread whose tolerances are not listed here."""


@dataclass(frozen=True, slots=True)
class ThreadSizes:
    """The five lengths, mm, that thread stripping depends on.

    External (bolt): major d, pitch d2. Internal (hole): pitch D2, minor D1. And the pitch P.
    """

    pitch_mm: float
    external_major_mm: float
    external_pitch_mm: float
    internal_pitch_mm: float
    internal_minor_mm: float


@dataclass(frozen=True, slots=True)
class _ByPitch:
    """µm: deviation g and grades 6 of d (Td) and D1 (TD1), which depend on the pitch only."""

    deviation_g: int
    td: int
    td1: int


# ISO 965-1, the tables themselves: where the standard's formulas and its tables differ by rounding
# the tables hold. From memory; the tests hold each against the standard's formula (within one
# step of its rounding series) and the sizes of M8, M12 and M20 against ASME B1.13M.
_BY_PITCH: dict[float, _ByPitch] = {
    0.5: _ByPitch(20, 106, 140),
    0.75: _ByPitch(22, 140, 190),
    0.8: _ByPitch(24, 150, 200),
    1.0: _ByPitch(26, 180, 236),
    1.25: _ByPitch(28, 212, 265),
    1.5: _ByPitch(32, 236, 300),
    1.75: _ByPitch(34, 265, 335),
    2.0: _ByPitch(38, 280, 375),
    2.5: _ByPitch(42, 335, 450),
}

# Grade 6 of the pitch diameters, µm: (above mm, up to mm): {pitch: (Td2, TD2)}.
_PITCH_DIAMETER: dict[tuple[float, float], dict[float, tuple[int, int]]] = {
    (2.8, 5.6): {0.5: (75, 100), 0.75: (90, 118), 0.8: (95, 125)},
    (5.6, 11.2): {
        0.75: (100, 132),
        1.0: (112, 150),
        1.25: (118, 160),
        1.5: (132, 180),
    },
    (11.2, 22.4): {
        1.0: (118, 160),
        1.25: (132, 180),
        1.5: (140, 190),
        1.75: (150, 200),
        2.0: (160, 212),
        2.5: (170, 224),
    },
}

_MM_PER_UM = 1e-3


def basic_sizes(nominal_mm: float, pitch_mm: float) -> ThreadSizes:
    """The basic profile's sizes (ISO 724): no tolerance, so the longest flank overlap."""
    d2 = pitch_diameter_mm(nominal_mm, pitch_mm)
    return ThreadSizes(pitch_mm, nominal_mm, d2, d2, minor_diameter_mm(nominal_mm, pitch_mm))


def least_material_sizes(nominal_mm: float, pitch_mm: float) -> ThreadSizes:
    """The thinnest bolt thread of 6g in the widest hole thread of 6H (ISO 965-1).

    d min = d - es - Td, d2 min = d2 - es - Td2, D2 max = D2 + TD2, D1 max = D1 + TD1. Raises
    ToleranceError for a size outside the listed ISO metric ones (above 2.8 to 22.4 mm).
    """
    by_pitch = _BY_PITCH.get(pitch_mm)
    pitch_diameter = next(
        (
            row.get(pitch_mm)
            for (above, up_to), row in _PITCH_DIAMETER.items()
            if above < nominal_mm <= up_to
        ),
        None,
    )
    if by_pitch is None or pitch_diameter is None:
        raise ToleranceError(f"no 6g/6H tolerances listed for M{nominal_mm:g}x{pitch_mm:g}")
    td2, internal_td2 = pitch_diameter
    basic = basic_sizes(nominal_mm, pitch_mm)
    return ThreadSizes(
        pitch_mm,
        external_major_mm=nominal_mm - (by_pitch.deviation_g + by_pitch.td) * _MM_PER_UM,
        external_pitch_mm=basic.external_pitch_mm - (by_pitch.deviation_g + td2) * _MM_PER_UM,
        internal_pitch_mm=basic.internal_pitch_mm + internal_td2 * _MM_PER_UM,
        internal_minor_mm=basic.internal_minor_mm + by_pitch.td1 * _MM_PER_UM,
    )
