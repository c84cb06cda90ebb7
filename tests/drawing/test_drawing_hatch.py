"""Hatching: lines stay inside, at their distance, and areas of one part match."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.render.drawing.hatch import ALUMINIUM, IRON, LINING, STEEL, Hatch, of_material, rows

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
LEVEL = Hatch((0.0,), 2.0)


def test_level_lines_in_a_square() -> None:
    solid, dashed = rows(LEVEL, ((0.5, 0.5), (9.5, 0.5), (9.5, 9.5), (0.5, 9.5)), 1.0)
    assert dashed == ()
    assert [a[1] for a, _ in solid] == [2.0, 4.0, 6.0, 8.0]
    assert all((a[0], b[0]) == (0.5, 9.5) for a, b in solid)


def test_a_notch_is_left_open() -> None:
    up = ((0.5, 0.5), (9.5, 0.5), (9.5, 9.5), (7.0, 9.5))
    u_shape = (*up, (7.0, 3.0), (3.0, 3.0), (3.0, 9.5), (0.5, 9.5))
    solid, _ = rows(LEVEL, u_shape, 1.0)
    at_six = sorted((a[0], b[0]) for a, b in solid if a[1] == 6.0)
    assert at_six == [(0.5, 3.0), (7.0, 9.5)]


def test_distances_are_paper_distances() -> None:
    solid, _ = rows(LEVEL, SQUARE, 2.0)
    assert [a[1] for a, _ in solid] == [0.0, 4.0, 8.0]


def test_materials_look_apart() -> None:
    kinds = [rows(of_material(m), SQUARE, 1.0) for m in ("grey-iron", "steel", "aluminium", None)]
    assert len({str(k) for k in kinds}) == 4
    assert of_material("steel") is STEEL
    assert of_material("ductile-iron") is IRON
    solid, dashed = rows(ALUMINIUM, SQUARE, 1.0)
    assert solid
    assert dashed
    angles = {
        round(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 180)
        for a, b in rows(LINING, SQUARE, 1.0)[0]
    }
    assert angles == {45, 135}
    assert IRON.turned().angles_deg == (135.0,)


@given(st.floats(0, 180), st.floats(0.5, 4), st.floats(-300, 300), st.floats(-300, 300))
def test_lines_stay_inside(angle: float, pitch: float, x: float, r: float) -> None:
    square = tuple((x + a, r + b) for a, b in SQUARE)
    solid, _ = rows(Hatch((angle,), pitch), square, 1.0)
    for a, b in solid:
        for px, pr in (a, b):
            assert x - 1e-6 <= px <= x + 10 + 1e-6
            assert r - 1e-6 <= pr <= r + 10 + 1e-6
    # lines of total length area / pitch, but for the two edges' share
    total = sum(math.dist(a, b) for a, b in solid)
    assert total * pitch == pytest.approx(100, abs=10 * math.sqrt(2) * pitch + 1e-6)
