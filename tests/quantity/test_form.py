"""Forms are bounded exactly over the whole box of their inputs."""

from __future__ import annotations

import math
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.quantity.form import (
    Form,
    Missing,
    extent,
    hypot_of,
    least,
    magnitude,
    most,
    smooth,
    within,
)

number = st.floats(-100, 100).map(lambda x: round(x, 3))
width = st.floats(0, 5).map(lambda x: round(x, 3))
NAMES = ("a", "b", "c")


@st.composite
def boxes(draw: st.DrawFn) -> dict[str, tuple[float, float]]:
    return {n: (lo, lo + draw(width)) for n in NAMES for lo in [draw(number)]}


@st.composite
def forms(draw: st.DrawFn, box: dict[str, tuple[float, float]]) -> Form:
    total = Form(draw(number))
    for name in NAMES:
        slope = draw(st.sampled_from((-2.0, -1.0, -0.5, 0.0, 0.5, 1.0, 2.0)))
        total = total + Form.of(name, *box[name]) * slope
    return total


def at(form: Form, point: dict[str, float]) -> float:
    return form.constant + sum(k * point[i.path] for i, k in form.terms.items())


def corners(box: dict[str, tuple[float, float]]) -> list[dict[str, float]]:
    return [dict(zip(box, values, strict=True)) for values in product(*box.values())]


@given(st.data())
def test_bounds_are_those_of_the_corners(data: st.DataObject) -> None:
    box = data.draw(boxes())
    form = data.draw(forms(box))
    values = [at(form, p) for p in corners(box)]
    assert form.lo == pytest.approx(min(values), abs=1e-9)
    assert form.hi == pytest.approx(max(values), abs=1e-9)
    assert form.lo - 1e-9 <= form.nominal <= form.hi + 1e-9


def test_a_fact_used_twice_is_counted_once() -> None:
    plate = Form.of("disc.plate_mm", 6, 8)
    height = Form.of("disc.height_mm", 42.9, 43.1) + plate
    middle = plate - height
    assert (middle.lo, middle.hi) == pytest.approx((-43.1, -42.9))
    assert all(i.path != "disc.plate_mm" for i in middle.terms)


@given(st.data())
def test_least_of_two_is_exact(data: st.DataObject) -> None:
    """Against a linear programme: greatest t with t <= A and t <= B over the box."""
    from scipy.optimize import linprog

    box = data.draw(boxes())
    a, b = data.draw(forms(box)), data.draw(forms(box))
    rows = [
        [-sum(k for i, k in f.terms.items() if i.path == n) for n in NAMES] + [1.0] for f in (a, b)
    ]
    best = linprog(
        [0, 0, 0, -1],
        A_ub=rows,
        b_ub=[a.constant, b.constant],
        bounds=[*box.values(), (None, None)],
    )
    got = least(a, b)
    assert got.hi == pytest.approx(-best.fun, abs=1e-6)
    assert got.lo == pytest.approx(min(a.lo, b.lo), abs=1e-9)


@given(st.data())
def test_most_is_least_seen_in_a_mirror(data: st.DataObject) -> None:
    box = data.draw(boxes())
    some = [data.draw(forms(box)) for _ in range(data.draw(st.integers(1, 5)))]
    got, mirrored = most(*some), least(*(-f for f in some))
    assert (got.lo, got.hi) == pytest.approx((-mirrored.hi, -mirrored.lo), abs=1e-9)
    assert got.nominal == pytest.approx(-mirrored.nominal, abs=1e-9)
    assert got.effects == mirrored.effects


@given(st.data())
def test_least_and_most_hold_for_every_point(data: st.DataObject) -> None:
    box = data.draw(boxes())
    some = [data.draw(forms(box)) for _ in range(3)]
    point = {n: lo + (hi - lo) * data.draw(st.floats(0, 1)) for n, (lo, hi) in box.items()}
    values = [at(f, point) for f in some]
    low, high = least(*some), most(*some)
    assert low.lo - 1e-9 <= min(values) <= low.hi + 1e-9
    assert high.lo - 1e-9 <= max(values) <= high.hi + 1e-9


@given(number, width)
def test_magnitude(lo: float, wide: float) -> None:
    got = magnitude(Form.of("e", lo, lo + wide))
    assert got.hi == pytest.approx(max(abs(lo), abs(lo + wide)))
    assert got.lo == pytest.approx(0.0 if lo <= 0 <= lo + wide else min(abs(lo), abs(lo + wide)))


@given(number, width, number, width, st.floats(0, 1), st.floats(0, 1))
def test_hypot_encloses(u: float, du: float, v: float, dv: float, s: float, t: float) -> None:
    got = hypot_of("h", Form.of("u", u, u + du), Form.of("v", v, v + dv))
    true = math.hypot(u + s * du, v + t * dv)
    assert got.lo - 1e-9 <= true <= got.hi + 1e-9


@given(st.floats(120, 160), st.floats(-3, 3), st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_smooth_encloses_a_bolt_line(r: float, off: float, s: float, t: float, w: float) -> None:
    """A bolt line's distance from two hole radii and their distance, each ±0.3."""

    def line(r1: float, r2: float, c: float) -> float:
        along = (r1 * r1 - r2 * r2) / (2 * c) + c / 2
        return math.sqrt(r1 * r1 - along * along)

    spans = [(r - 0.3, r + 0.3), (r + off - 0.3, r + off + 0.3), (141.7, 142.3)]
    got = smooth("R_b", line, *(Form.of(n, *x) for n, x in zip("abc", spans, strict=True)))
    point = [lo + share * (hi - lo) for (lo, hi), share in zip(spans, (s, t, w), strict=True)]
    assert got.lo - 1e-9 <= line(*point) <= got.hi + 1e-9
    assert got.hi - got.lo < 4.0


def test_a_length_of_exact_sides_is_exact() -> None:
    got = hypot_of("h", Form(3.0), Form(-4.0))
    assert not got.terms
    assert got.nominal == pytest.approx(5.0)


def test_what_is_reckoned_of_a_form_leaves_it_alone() -> None:
    form = Form.of("a", 1.0, 2.0) * 2.0 + 1.0
    before = form.constant, dict(form.terms), form.bounds
    for made in (form + form, form - 1.0, form * 1.0 - form, Form() + form, -form, form / 2):
        assert isinstance(made.plus(Form.of("b", 0.0, 1.0)), Form)
    assert (form.constant, dict(form.terms), form.bounds) == before


def test_an_input_of_its_own_gives_up_its_links() -> None:
    loose = within("k", 1.0, 2.0)
    assert (loose - loose).hi == 0.0
    assert (loose - within("j", 1.0, 2.0)).hi == 1.0


def test_effects_name_slope_and_doubt() -> None:
    e = extent(Form.of("d", 1.0, 1.4) * -2.0 + 5.0)
    assert e.effects["d"].slope == -2.0
    assert e.effects["d"].reach == pytest.approx(0.4)


def test_what_is_not_known_says_which_facts() -> None:
    assert Missing("a", "b", "a").facts == ("a", "b")
    with pytest.raises(ValueError, match="is not within"):
        Form.of("x", 1.0, 2.0, 3.0)
    with pytest.raises(ValueError, match="nothing"):
        least()
