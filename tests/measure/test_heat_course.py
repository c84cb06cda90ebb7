"""The step-by-step reckoning against scipy, against closed forms, and cut up at will."""

from math import exp

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from lugplane.measure.heat import Ring, descent_c, repeated_peaks_c
from lugplane.measure.heat_course import Pulse, Reached, Spell, Step, follow, hottest_c

RINGS = st.builds(
    Ring, st.floats(2.0, 15.0), st.floats(400.0, 600.0), st.just(0.0) | st.floats(1e-6, 120.0)
)
AIR = st.floats(-40.0, 50.0)
WATTS = st.just(0.0) | st.floats(0.0, 40_000.0)
SPELLS = st.builds(Spell, st.floats(0.0, 600.0), WATTS, WATTS)
STEPS = st.lists(SPELLS | st.builds(Pulse, st.floats(0.0, 500_000.0)), min_size=1, max_size=8)


def by_scipy(spell: Spell, ring: Ring, air_c: float, start_c: float) -> tuple[float, float]:
    """Hottest and last temperature of a spell, integrated; the hottest at 400 moments."""

    def slope(t: float, y: list[float]) -> list[float]:
        power = spell.first_w + (spell.last_w - spell.first_w) * t / spell.seconds
        return [(power - ring.cooling_wk * (y[0] - air_c)) / ring.capacity_jk]

    moments = [spell.seconds * (n / 400.0) for n in range(401)]
    run = solve_ivp(
        slope,
        (0.0, spell.seconds),
        [start_c],
        method="DOP853",
        t_eval=moments,
        rtol=1e-12,
        atol=1e-10,
    )
    return float(max(run.y[0])), float(run.y[0][-1])


@settings(max_examples=25)
@given(st.floats(0.1, 600.0), WATTS, WATTS, RINGS, AIR, st.floats(0.0, 500.0))
def test_a_spell_is_as_scipy_integrates_it(
    seconds: float, first: float, last: float, ring: Ring, air: float, hotter: float
) -> None:
    spell, start = Spell(seconds, first, last), air + hotter
    (got,) = follow([spell], ring, air, start)
    peak, end = by_scipy(spell, ring, air, start)
    assert got.end_c == pytest.approx(end, rel=1e-8, abs=1e-7)
    # The hottest of 400 moments is no hotter than ours, and near it.
    assert peak <= got.peak_c + 1e-7 + 1e-8 * abs(peak)
    assert got.peak_c - peak <= 1e-4 * (abs(last - first) * seconds / ring.capacity_jk + 1.0)


def test_a_power_that_falls_is_hottest_within_the_spell() -> None:
    """T' = 0 at e^(λt) = 1 - T'(0) hA/slope; by hand for λ 0.01, 7000 W to 0 in 200 s, at the
    air's temperature: e^(0.01 t) = 1 + 1.4 · 50/35 = 3, t = 109.86 s."""
    ring = Ring(10.0, 500.0, 50.0)
    (got,) = follow([Spell(200.0, 7000.0, 0.0)], ring, 0.0)
    # There P = hA θ: 7000 (1 - 109.86/200) / 50.
    assert got.peak_c == pytest.approx(7000.0 * (1.0 - 109.8612289 / 200.0) / 50.0, rel=1e-8)
    assert got.peak_c > got.end_c


@given(STEPS, RINGS, AIR, st.floats(0.0, 500.0), st.floats(0.05, 0.95))
def test_a_spell_cut_in_two_ends_alike(
    steps: list[Step], ring: Ring, air: float, hotter: float, part: float
) -> None:
    cut: list[Step] = []
    for step in steps:
        if isinstance(step, Spell):
            middle = step.first_w + (step.last_w - step.first_w) * part
            cut.append(Spell(step.seconds * part, step.first_w, middle))
            cut.append(Spell(step.seconds * (1.0 - part), middle, step.last_w))
        else:
            cut.append(step)
    whole = follow(steps, ring, air, air + hotter)
    pieces = follow(cut, ring, air, air + hotter)
    assert pieces[-1].end_c == pytest.approx(whole[-1].end_c, rel=1e-9)
    assert hottest_c(cut, ring, air, air + hotter) == pytest.approx(
        hottest_c(steps, ring, air, air + hotter), rel=1e-9
    )


@given(st.floats(0.0, 30_000.0), st.floats(0.0, 3600.0), RINGS, AIR, st.floats(0.0, 500.0))
def test_constant_power_is_the_descent(
    power: float, seconds: float, ring: Ring, air: float, hotter: float
) -> None:
    (got,) = follow([Spell(seconds, power, power)], ring, air, air + hotter)
    assert got.end_c == pytest.approx(descent_c(power, seconds, ring, air, air + hotter))
    assert got.peak_c == max(got.end_c, air + hotter)


@given(st.floats(0.0, 400_000.0), st.floats(1.0, 300.0), st.integers(1, 30), RINGS, AIR)
def test_pulses_are_the_closed_form(
    energy: float, period: float, count: int, ring: Ring, air: float
) -> None:
    reached = follow([Pulse(energy), Spell(period)] * count, ring, air)
    peaks = repeated_peaks_c(count, energy / ring.capacity_jk, ring, period, air)
    assert [r.peak_c for r in reached[::2]] == pytest.approx(peaks, rel=1e-9)


@given(STEPS, RINGS, AIR, st.floats(1.001, 3.0), st.floats(0.0, 300.0))
def test_a_heavier_ring_never_runs_hotter(
    steps: list[Step], ring: Ring, air: float, more: float, hotter: float
) -> None:
    """Whatever the course, and begun at any one temperature above the air's."""
    heavier = Ring(more * ring.mass_kg, ring.specific_heat_j_kgk, ring.cooling_wk)
    light = hottest_c(steps, ring, air, air + hotter)
    assert hottest_c(steps, heavier, air, air + hotter) <= light + 1e-9 * (abs(light) + 1.0)


def test_a_heavier_ring_may_be_the_hotter_one_later() -> None:
    """Why only the hottest of a course is compared: after a long rest the heavier keeps more."""
    steps: list[Step] = [Pulse(300_000.0), Spell(600.0)]
    light = follow(steps, Ring(5.0, 500.0, 25.0), 20.0)
    heavy = follow(steps, Ring(10.0, 500.0, 25.0), 20.0)
    assert heavy[0].peak_c < light[0].peak_c
    assert heavy[-1].end_c > light[-1].end_c


def test_rest_by_hand() -> None:
    """100 K above the air, λ 0.01: after 100 s e^-1 of it."""
    got = follow([Pulse(500_000.0), Spell(100.0), Spell(0.0)], Ring(10.0, 500.0, 50.0), 20.0)
    left = 20.0 + 100.0 * exp(-1.0)
    assert got[0] == Reached(120.0, 120.0)
    assert got[1].peak_c == 120.0
    assert got[1].end_c == pytest.approx(left)
    assert got[2] == Reached(got[1].end_c, got[1].end_c)
    assert hottest_c([], Ring(10.0, 500.0, 50.0), 20.0) == 20.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: Pulse(-1.0),
        lambda: Spell(-1.0),
        lambda: Spell(1.0, -1.0),
        lambda: Spell(1.0, 1.0, float("inf")),
        lambda: follow([], Ring(10.0, 500.0, 50.0), float("nan")),
        lambda: follow([], Ring(10.0, 500.0, 50.0), 20.0, float("nan")),
    ],
)
def test_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match="must be"):
        call()
