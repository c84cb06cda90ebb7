"""The mean radius of a whole lining: by hand, against its own differences, and as bounds."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.grown import polygon_forms
from lugplane.measure.mean_radius import LiningPlace
from lugplane.measure.outline import polygon, sector
from lugplane.measure.quotient import greatest_quotient, least_quotient
from lugplane.measure.trim import clip, r_eff_uniform_pressure, whole_mean
from lugplane.quantity.form import Form, within

RING = [(-55.0, 0.0), (55.0, 0.0), (45.0, -48.0), (0.0, -56.0), (-45.0, -48.0)]
LINE, OFFSET, OWN = "R_b", "y_0", "lining top"


def test_a_sector_about_the_hub() -> None:
    """The mean of cos θ over ±30° is 3/π, that of sin θ nought."""
    found = whole_mean(sector(90.0, 130.0, 60.0), 130.0, 0.0)
    assert found.radius == pytest.approx(r_eff_uniform_pressure(130.0, 90.0), abs=1e-9)
    assert found.by_lift == pytest.approx(3.0 / math.pi, abs=1e-9)
    assert found.by_offset == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("shape", [sector(80.0, 120.0, 55.0), polygon(RING)])
def test_what_it_gains_in_either_direction(shape: object) -> None:
    top, y, step = 134.0, 7.0, 1e-3
    found = whole_mean(shape, top, y)  # type: ignore[arg-type]
    assert found.radius == pytest.approx(clip(shape, top, y, 0.0, 1e4).mean_radius_mm, abs=1e-9)  # type: ignore[arg-type]
    lifted = [whole_mean(shape, top + s, y).radius for s in (-step, step)]  # type: ignore[arg-type]
    moved = [whole_mean(shape, top, y + s).radius for s in (-step, step)]  # type: ignore[arg-type]
    assert found.by_lift == pytest.approx((lifted[1] - lifted[0]) / (2 * step), abs=1e-7)
    assert found.by_offset == pytest.approx((moved[1] - moved[0]) / (2 * step), abs=1e-7)


def test_a_lining_across_the_axis_has_none() -> None:
    with pytest.raises(ValueError, match="hub axis"):
        whole_mean(polygon(RING), 40.0, 0.0)


def place(own: str, a: tuple[float, float], wide: float = 0.4) -> LiningPlace:
    top = within(LINE, 105.0 - wide, 105.0 + wide) + within(own, *a)
    return LiningPlace(top, within(OFFSET, 1.0 - wide, 1.0 + wide), 70.0, 160.0)


def at(form: Form, values: Mapping[str, float]) -> float:
    return form.constant + sum(k * values[i.path] for i, k in form.terms.items())


SHARE = st.floats(-1.0, 1.0)


@settings(max_examples=60, deadline=None)
@given(SHARE, SHARE, SHARE, SHARE, SHARE, st.sampled_from([0.1, 0.4, 2.0]))
def test_no_sector_and_no_place_passes_its_bounds(
    line: float, off: float, own: float, i: float, o: float, wide: float
) -> None:
    where = place(OWN, (24.7, 25.3), wide)
    found = where.sector((82.0, 121.0), 58.0, 0.2, "pad")
    facts = {
        LINE: 105.0 + wide * line,
        OFFSET: 1.0 + wide * off,
        OWN: 25.0 + 0.3 * own,
        "(inner radius of pad)": 0.2 * i,
        "(outer radius of pad)": 0.2 * o,
    }
    shape = sector(82.0 + 0.2 * i, 121.0 + 0.2 * o, 58.0)
    real = whole_mean(shape, facts[LINE] + facts[OWN], facts[OFFSET]).radius
    assert at(found.least, facts) - 1e-9 <= real <= at(found.most, facts) + 1e-9
    assert at(found.most, facts) - at(found.least, facts) < 2 * where.bend + 1e-3


@settings(max_examples=60, deadline=None)
@given(SHARE, SHARE, st.lists(SHARE, min_size=10, max_size=10))
def test_no_polygon_passes_its_bounds(line: float, off: float, moves: list[float]) -> None:
    forms = polygon_forms(RING, 0.2)
    assert not isinstance(forms, float)
    found = place(OWN, (25.0, 25.0)).between(forms)
    moved = [(u + 0.2 * moves[2 * n], v + 0.2 * moves[2 * n + 1]) for n, (u, v) in enumerate(RING)]
    facts = {LINE: 105.0 + 0.4 * line, OFFSET: 1.0 + 0.4 * off, OWN: 25.0}
    real = whole_mean(polygon(moved), facts[LINE] + 25.0, facts[OFFSET]).radius
    assert at(found.least, facts) <= real <= at(found.most, facts)


def test_two_linings_on_one_bolt_line_are_in_little_doubt_beside_each_other() -> None:
    one = place(OWN, (24.9, 25.1)).sector((82.0, 121.0), 58.0, 0.2, "pad")
    other = place("another top", (27.9, 28.1)).sector((82.0, 121.0), 58.0, 0.2, "pad")
    quotient = (least_quotient(other.least, one.most), greatest_quotient(other.most, one.least))
    apart = other.least.lo / one.most.hi, other.most.hi / one.least.lo
    middle = [whole_mean(sector(82.0, 121.0, 58.0), top, 1.0).radius for top in (133.0, 130.0)]
    assert quotient[0] < middle[0] / middle[1] < quotient[1]
    # Each top's own ± of 0.1 in 108 mm is all that is left.
    assert quotient[1] - quotient[0] < 4.2 * 0.1 / 108.0
    assert apart[1] - apart[0] > 2 * (quotient[1] - quotient[0])
