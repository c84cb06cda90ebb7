"""Every bound of the whole-car measures: it holds what lies inside, is reached, and only widens.

One table: the bound, the plain function at a point, and from where to where each argument is drawn.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import inf, isinf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.balance import front_share
from lugplane.measure.balance_bounds import (
    bare_adhesion_bounds,
    bare_adhesion_front,
    bare_adhesion_rear,
    bare_first_lock_bounds,
    bare_front_first,
    bare_front_first_bounds,
    bare_front_lock_z,
    bare_rear_lock_z,
    front_share_bounds,
)
from lugplane.measure.corners import Span, corner_bounds
from lugplane.measure.fade import OwnStop, course, snub_peaks_c, type_one
from lugplane.measure.heat import BrakedMass, Ring, descent_c, descent_power_w, stop_rise_k
from lugplane.measure.heat_bounds import (
    descent_bounds_c,
    stop_list_bounds_c,
    stop_rise_bounds_k,
    type_one_bounds_c,
)
from lugplane.measure.heat_course import hottest_c
from lugplane.measure.hydraulics import (
    line_pressure_bounds_mpa,
    line_pressure_mpa,
    torque_per_bar_bounds_nm,
    torque_per_bar_nm,
)
from lugplane.measure.pad_life import wear_volume_bounds_mm3, wear_volume_mm3
from lugplane.measure.pedal import (
    added_stroke_bounds_mm,
    added_stroke_mm,
    gap_stroke_bounds_mm,
    gap_stroke_mm,
    reserve,
    reserve_bounds,
)
from lugplane.measure.rotating import ring_inertia_bounds_kgm2, ring_inertia_kgm2

# A long first rest, so that a later, smaller stop is not the hottest of itself.
STOPS = (
    OwnStop(120.0, 40.0, 400.0),
    OwnStop(60.0, 0.0, 20.0, 2.0),
    OwnStop(100.0, 50.0, 5.0, 4.0),
)


def _rise(**a: float) -> float:
    ring = Ring(a["ring_kg"], a["specific_heat_j_kgk"], 0.0)
    car = BrakedMass(a["mass_kg"], a["axle_share"], a["disc_share"])
    return stop_rise_k(car, ring, a["from_ms"], a["to_ms"])


def _lump(a: Mapping[str, float]) -> tuple[BrakedMass, Ring]:
    return (
        BrakedMass(a["mass_kg"], a["axle_share"], a["disc_share"]),
        Ring(a["ring_kg"], a["specific_heat_j_kgk"], a["cooling_wk"]),
    )


def _type_one(**a: float) -> float:
    car, ring = _lump(a)
    return max(snub_peaks_c(type_one("car", a["top_speed_kmh"]), car, ring, a["ambient_c"]))


def _list(**a: float) -> float:
    car, ring = _lump(a)
    return hottest_c(course(STOPS, car), ring, a["ambient_c"])


def _descent(**a: float) -> float:
    car, ring = _lump(a)
    power = descent_power_w(car, a["grade"], a["speed_ms"], a["other_force_n"])
    return descent_c(power, a["seconds"], ring, a["ambient_c"])


LUMP = {
    "mass_kg": (700.0, 3500.0),
    "axle_share": (0.2, 1.0),
    "disc_share": (0.6, 1.0),
    "ring_kg": (2.0, 14.0),
    "specific_heat_j_kgk": (450.0, 545.0),
}
COOLED = {**LUMP, "cooling_wk": (0.0, 120.0), "ambient_c": (-30.0, 45.0)}
BARE = {
    "share": (0.0, 1.0),
    "load_share": (0.3, 0.75),
    "cog_height_mm": (350.0, 900.0),
    "wheelbase_mm": (2000.0, 3500.0),
}


@dataclass(frozen=True)
class Case:
    """`reached`: both bounds are values at corners; else only the lower one is."""

    name: str
    bounds: Callable[..., Span]
    point: Callable[..., float]
    ranges: Mapping[str, Span]
    reached: bool = True


CASES = [
    Case(
        "line pressure",
        line_pressure_bounds_mpa,
        line_pressure_mpa,
        {
            "pedal_n": (0.0, 900.0),
            "pedal_ratio": (2.0, 7.0),
            "master_bore_mm": (15.0, 32.0),
            "gain": (1.0, 10.0),
            "run_out_n": (0.0, 4000.0),
        },
    ),
    Case(
        "torque per bar",
        torque_per_bar_bounds_nm,
        torque_per_bar_nm,
        {"area_mm2": (500.0, 6000.0), "friction": (0.0, 0.7), "radius_mm": (60.0, 180.0)},
    ),
    Case(
        "front share",
        front_share_bounds,
        front_share,
        {
            "front_torque_nm": (3.0, 60.0),
            "rear_torque_nm": (1.0, 40.0),
            "front_radius_mm": (250.0, 380.0),
            "rear_radius_mm": (250.0, 380.0),
        },
    ),
    Case(
        "front adhesion",
        lambda **a: bare_adhesion_bounds(**a).front,
        bare_adhesion_front,
        {**BARE, "z": (0.0, 1.2)},
    ),
    Case(
        "rear adhesion",
        lambda **a: bare_adhesion_bounds(**a).rear,
        bare_adhesion_rear,
        {**BARE, "z": (0.0, 1.2)},
    ),
    Case(
        "front first",
        bare_front_first_bounds,
        bare_front_first,
        {**BARE, "friction": (0.05, 1.3)},
    ),
    Case(
        "first lock",
        bare_first_lock_bounds,
        lambda **a: min(bare_front_lock_z(**a), bare_rear_lock_z(**a)),
        {**BARE, "friction": (0.05, 1.3)},
        reached=False,
    ),
    Case(
        "gap stroke",
        gap_stroke_bounds_mm,
        gap_stroke_mm,
        {
            "area_mm2": (500.0, 6000.0),
            "both_gaps_mm": (0.0, 1.0),
            "master_bore_mm": (15.0, 32.0),
        },
    ),
    Case(
        "added stroke",
        added_stroke_bounds_mm,
        added_stroke_mm,
        {
            "new_area_mm2": (500.0, 6000.0),
            "old_area_mm2": (500.0, 6000.0),
            "both_gaps_mm": (0.0, 1.0),
            "master_bore_mm": (15.0, 32.0),
        },
    ),
    Case("reserve", reserve_bounds, reserve, {"used_mm": (0.0, 60.0), "available_mm": (5.0, 60.0)}),
    Case(
        "one stop",
        stop_rise_bounds_k,
        _rise,
        {**LUMP, "from_ms": (20.0, 60.0), "to_ms": (0.0, 20.0)},
    ),
    Case(
        "type one",
        lambda **a: type_one_bounds_c("car", **a),
        _type_one,
        {**COOLED, "top_speed_kmh": (70.0, 260.0)},
    ),
    Case("own stops", lambda **a: stop_list_bounds_c(STOPS, **a), _list, COOLED),
    Case(
        "descent",
        descent_bounds_c,
        _descent,
        {
            **COOLED,
            "seconds": (0.0, 1800.0),
            "grade": (0.0, 0.2),
            "speed_ms": (1.0, 30.0),
            "other_force_n": (0.0, 3000.0),
        },
    ),
    Case(
        "inertia",
        ring_inertia_bounds_kgm2,
        ring_inertia_kgm2,
        {"mass_kg": (1.0, 14.0), "outer_mm": (200.0, 420.0), "inner_mm": (50.0, 199.0)},
    ),
    Case(
        "wear volume",
        wear_volume_bounds_mm3,
        wear_volume_mm3,
        {"area_mm2": (1500.0, 9000.0), "lining_mm": (1.0, 14.0), "least_mm": (0.0, 4.0)},
    ),
]
EACH = pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)


def _at(low: float, high: float, part: float) -> float:
    return min(high, max(low, low + (high - low) * part))


def _boxes(case: Case, data: st.DataObject) -> tuple[dict[str, Span], dict[str, Span]]:
    """A wide box of each argument, and a narrow one inside it."""
    wide, narrow = {}, {}
    for name, (low, high) in case.ranges.items():
        parts = sorted(data.draw(st.floats(0.0, 1.0), label=name) for _ in range(4))
        at = [_at(low, high, part) for part in parts]
        wide[name], narrow[name] = (at[0], at[3]), (at[1], at[2])
    return wide, narrow


def _slack(value: float) -> float:
    return 0.0 if isinf(value) else 1e-9 * (abs(value) + 1e-6)


@EACH
@settings(max_examples=40)
@given(data=st.data())
def test_what_lies_inside_lies_between(case: Case, data: st.DataObject) -> None:
    wide, _ = _boxes(case, data)
    low, high = case.bounds(**wide)
    assert low <= high
    for _ in range(4):
        parts = {name: data.draw(st.floats(0.0, 1.0), label=name) for name in wide}
        value = case.point(**{n: _at(*wide[n], p) for n, p in parts.items()})
        assert low - _slack(low) <= value <= high + _slack(high)


@EACH
@settings(max_examples=40)
@given(data=st.data())
def test_widening_an_input_never_narrows_the_output(case: Case, data: st.DataObject) -> None:
    wide, narrow = _boxes(case, data)
    low, high = case.bounds(**narrow)
    for name in narrow:
        wider = case.bounds(**{**narrow, name: wide[name]})
        assert wider[0] <= low + _slack(low)
        assert wider[1] >= high - _slack(high)


@EACH
@settings(max_examples=20)
@given(data=st.data())
def test_without_doubt_both_bounds_are_the_value(case: Case, data: st.DataObject) -> None:
    wide, _ = _boxes(case, data)
    value = case.point(**{name: span[0] for name, span in wide.items()})
    bounds = case.bounds(**{name: (span[0], span[0]) for name, span in wide.items()})
    assert bounds == pytest.approx((value, value), rel=1e-12, abs=1e-12)


@EACH
@settings(max_examples=20)
@given(data=st.data())
def test_the_bounds_are_reached(case: Case, data: st.DataObject) -> None:
    """Exact, not merely safe: by trying every corner of a box in which six arguments vary."""
    wide, _ = _boxes(case, data)
    varied = data.draw(st.permutations(sorted(wide)), label="varied")[:6]
    box = {name: span if name in varied else (span[0], span[0]) for name, span in wide.items()}
    low, high = case.bounds(**box)
    corners: list[dict[str, float]] = [{}]
    for name, ends in box.items():
        corners = [{**c, name: e} for c in corners for e in sorted(set(ends))]
    values = [case.point(**c) for c in corners]
    assert min(values) == pytest.approx(low, rel=1e-9, abs=1e-12)
    if case.reached:
        assert max(values) == pytest.approx(high, rel=1e-9, abs=1e-12)
    else:
        assert max(values) <= high


def test_corner_bounds_by_hand() -> None:
    def quotient(a: float, b: float) -> float:
        return a / b

    assert corner_bounds(quotient, rises={"a": (1.0, 2.0)}, falls={"b": (4.0, 8.0)}) == (
        0.125,
        0.5,
    )


@pytest.mark.parametrize("span", [(2.0, 1.0), (float("nan"), 1.0), (1.0, float("nan"))])
def test_a_span_turned_round_is_refused(span: Span) -> None:
    with pytest.raises(ValueError, match="a must be a least and a greatest"):
        corner_bounds(lambda a: a, rises={"a": span}, falls={})
    with pytest.raises(ValueError, match="a must be a least and a greatest"):
        corner_bounds(lambda a: a, rises={}, falls={"a": span})
    with pytest.raises(ValueError, match="both_gaps_mm"):
        added_stroke_bounds_mm((1.0, 2.0), (1.0, 2.0), span, (20.0, 20.0))


def test_an_axle_that_never_locks_is_infinitely_late() -> None:
    """All braking behind: the front axle never locks; none behind: the rear only as it lifts."""
    assert bare_front_lock_z(0.1, 0.5, 500.0, 2500.0, 1.0) == inf
    assert bare_rear_lock_z(1.0, 0.5, 500.0, 2500.0, 1.0) == pytest.approx(2.5)


@pytest.mark.parametrize(("share", "load"), [(-0.1, 0.5), (1.1, 0.5), (0.5, 0.0), (0.5, 1.0)])
def test_impossible_shares_are_refused(share: float, load: float) -> None:
    with pytest.raises(ValueError, match="must lie between"):
        bare_adhesion_front(share, load, 500.0, 2500.0, 0.5)
