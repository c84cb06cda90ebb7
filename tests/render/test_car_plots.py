"""Plots of the whole car: told apart in grey, nothing overlaps, what cannot be told is said."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from itertools import combinations
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.answers.curves import AdhesionCurves, Curve, Doubt, HeatCurves, Sample
from lugplane.answers.rows import BandLine, Span
from lugplane.render.drawing.lettering import width
from lugplane.render.plots.adhesion import Bounds, adhesion_svg
from lugplane.render.plots.axis import Axis, axis_over
from lugplane.render.plots.heat import heat_svg
from lugplane.render.plots.page import WIDE_MM
from lugplane.render.plots.panel import Panel
from lugplane.render.plots.share import share_svg

SVG = "{http://www.w3.org/2000/svg}"
SETUPS, AXLES = ("stock", "proposed"), ("front", "rear")
BANDS = (
    BandLine("rearward", "fails", -1.0, False),
    BandLine("near", "holds", 3.0, True),
    BandLine("further", "care", 5.0, True),
    BandLine("far", "fails", None, False),
)
RULES = Bounds({"UN R13": 0.85, "UN R13-H": 0.7}, (0.2, 0.8), (0.15, 0.8))
PANEL = Panel("p", "", (10.0, 20.0), (100.0, 50.0), Axis("x", 0, 10, 1), Axis("y", 0, 5, 1))


def used_in_front(share: float, z: float) -> float:
    """`f1 = z φ / (s + z h/L)` of a car with s 0.6, h 530, L 2510."""
    return z * share / (0.6 + z * 530 / 2510)


def used_behind(share: float, z: float) -> float:
    """`f2 = z (1 - φ) / (1 - s - z h/L)` of the same car."""
    return z * (1 - share) / (1 - 0.6 - z * 530 / 2510)


def adhesion(setup: str, share: float, doubt: float = 0.02) -> tuple[Curve, ...]:
    found = []
    for axle, used in zip(AXLES, (used_in_front, used_behind), strict=True):
        samples = []
        for n in range(91):
            z = n / 100
            three = [used(share + d, z) for d in (-doubt, 0.0, doubt)]
            samples.append(Sample(z, Span(min(three), max(three), three[1])))
        found.append(Curve(setup, axle, tuple(samples)))
    return tuple(found)


def unknown(setup: str, *facts: str) -> tuple[Curve, ...]:
    return tuple(Curve(setup, axle, (), Doubt(facts)) for axle in AXLES)


def heated(setup: str, axle: str, rise: float, period: float = 45.0, count: int = 15) -> Curve:
    peaks = [20.0 + rise * (1 - 0.9**n) for n in range(1, count + 1)]
    samples = (Sample(period * n, Span(t * 0.9, t * 1.1, t)) for n, t in enumerate(peaks))
    return Curve(setup, axle, tuple(samples))


def all_plots(stock: float, proposed: float, rise: float) -> list[str]:
    curves = (*adhesion("stock", stock), *adhesion("proposed", proposed))
    course = HeatCurves(
        "own",
        "down the pass",
        tuple(
            heated(setup, axle, rise * more)
            for setup, more in zip(SETUPS, (1.0, proposed / stock), strict=True)
            for axle in AXLES
        ),
    )
    change = 100 * (proposed - stock)
    return [
        adhesion_svg("A car", [AdhesionCurves(x, curves) for x in ("unladen", "laden")], RULES),
        heat_svg("A car", course),
        share_svg("A car", Span(change - 1, change + 1, change), BANDS, "a source"),
    ]


def boxes(source: str) -> list[tuple[str, float, float, float, float]]:
    """Each text with its box, the page's upper left corner being zero."""
    found = []
    root = ElementTree.fromstring(source.encode())
    top = float(root.attrib["viewBox"].split()[1])
    for t in root.iter(f"{SVG}text"):
        size, words = float(t.attrib["font-size"]), t.text or ""
        long = width(words, size * 0.714, t.get("font-weight") == "bold")
        x, y = float(t.attrib["x"]), float(t.attrib["y"]) - top
        left = {"start": x, "middle": x - long / 2, "end": x - long}[t.get("text-anchor", "start")]
        found.append((words, left, y - 0.74 * size, left + long, y + 0.2 * size))
    return found


@settings(max_examples=10)
@given(st.floats(0.55, 0.85), st.floats(0.55, 0.85), st.floats(5, 900))
def test_no_text_lies_on_another_or_off_the_page(
    stock: float, proposed: float, rise: float
) -> None:
    for source in all_plots(stock, proposed, rise):
        root = ElementTree.fromstring(source.encode())
        high = float(root.attrib["height"].removesuffix("mm"))
        assert float(root.attrib["width"].removesuffix("mm")) == WIDE_MM
        lettering = boxes(source)
        for words, x0, y0, x1, y1 in lettering:
            assert x0 >= 0, words
            assert y0 >= 0, words
            assert x1 <= WIDE_MM, words
            assert y1 <= high, words
        for a, b in combinations(lettering, 2):
            apart = a[3] <= b[1] or b[3] <= a[1] or a[4] <= b[2] or b[4] <= a[2]
            assert apart, (a, b)


@settings(max_examples=5)
@given(st.floats(0.55, 0.85), st.floats(0.55, 0.85))
def test_no_line_leaves_its_frame(stock: float, proposed: float) -> None:
    source = all_plots(stock, proposed, 300)[0]
    root = ElementTree.fromstring(source.encode())
    groups = {g.attrib["data-part"]: g for g in root.iter(f"{SVG}g")}
    for loading in ("unladen", "laden"):
        frame = points(groups[f"axes {loading}"])
        low, high = min(y for _, y in frame), max(y for _, y in frame)
        for name in [*(f"{s} {a} {loading}" for s in SETUPS for a in AXLES), f"bands {loading}"]:
            for _, y in points(groups[name]):
                assert low - 0.01 <= y <= high + 0.01


def points(group: ElementTree.Element) -> list[tuple[float, float]]:
    return [point for p in group.iter(f"{SVG}path") for point in points_of(p)]


def points_of(path: ElementTree.Element) -> list[tuple[float, float]]:
    numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path.attrib["d"])]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def test_nothing_is_told_by_colour() -> None:
    for source in all_plots(0.7, 0.74, 300):
        for colour in re.findall(r"#[0-9a-fA-F]{3,6}\b", source):
            digits = colour[1:]
            parts = {digits[n::3] for n in range(3)} if len(digits) == 3 else None
            parts = parts or {digits[n : n + 2] for n in (0, 2, 4)}
            assert len(parts) == 1, colour


def test_stock_and_proposed_front_and_rear_differ_by_weight_and_dashes() -> None:
    root = ElementTree.fromstring(all_plots(0.7, 0.74, 300)[0].encode())
    groups = {g.attrib["data-part"]: g for g in root.iter(f"{SVG}g")}
    looks = {}
    for setup in SETUPS:
        for axle in AXLES:
            line = groups[f"{setup} {axle} unladen"].find(f"{SVG}path")
            assert line is not None
            looks[setup, axle] = (line.get("stroke-width"), line.get("stroke-dasharray"))
    assert len(set(looks.values())) == 4
    assert {look[1] is None for (_, axle), look in looks.items() if axle == "front"} == {True}
    said = {words for words, *_ in boxes(all_plots(0.7, 0.74, 300)[0])}
    assert {f"{axle}, {setup}" for axle in AXLES for setup in SETUPS} <= said


def test_the_same_plot_each_time() -> None:
    assert all_plots(0.7, 0.74, 300) == all_plots(0.7, 0.74, 300)


def test_what_cannot_be_told_is_left_out_and_said() -> None:
    curves = (*adhesion("stock", 0.7), *unknown("proposed", "pad.friction"))
    source = adhesion_svg("A car", [AdhesionCurves("unladen", curves)], RULES)
    groups = re.findall(r'data-part="([^"]+)"', source)
    assert "stock front unladen" in groups
    assert "proposed front unladen" not in groups
    said = " ".join(words for words, *_ in boxes(source)).replace("\u00a0", " ")
    assert "Left out (unladen): proposed, front; proposed, rear." in said
    assert "Cannot tell: pad.friction not known." in said


def test_a_plot_of_nothing_still_says_why() -> None:
    none = (*unknown("stock", "platform.valve"), *unknown("proposed", "platform.valve"))
    sources = [
        adhesion_svg("A car", [AdhesionCurves("laden", none)], RULES),
        heat_svg("A car", HeatCurves("type-one", "Type-I", none)),
        share_svg("A car", Doubt(("platform.valve",)), BANDS, "a source"),
    ]
    for source in sources:
        said = " ".join(words for words, *_ in boxes(source)).replace("\u00a0", " ")
        assert "Cannot tell: platform.valve not known." in said


def test_the_limit_lines_end_where_the_regulation_has_them() -> None:
    """At k 0.8: z = 0.1 + C (0.8 - 0.2), C 0.85 and 0.7 (from memory)."""
    source = adhesion_svg("A car", [AdhesionCurves("laden", adhesion("stock", 0.7))], RULES)
    root = ElementTree.fromstring(source.encode())
    groups = {g.attrib["data-part"]: g for g in root.iter(f"{SVG}g")}
    stock = points(groups["stock front laden"])
    left, right = stock[0][0], stock[-1][0]
    lines = [
        points_of(p) for p in groups["limits laden"].iter(f"{SVG}path") if p.get("stroke-dasharray")
    ]
    ends = [[0.9 * (x - left) / (right - left) for x, _ in line] for line in lines]
    assert ends[0] == pytest.approx([0.0, 0.9])  # k = z
    assert ends[1:] == [pytest.approx([0.1, 0.52], abs=1e-3), pytest.approx([0.1, 0.61], abs=1e-3)]


def test_the_words_of_a_user_stay_words() -> None:
    nasty = "<b> & \x1b \u202e \"' ]]>" + "wide " * 60
    curves = HeatCurves("own", nasty, (heated("stock", "front", 100), *unknown("proposed", nasty)))
    source = heat_svg(nasty, curves)
    ElementTree.fromstring(source.encode())
    assert "<b>" not in source
    assert all(x1 <= WIDE_MM for _, _, _, x1, _ in boxes(source))


# --- axes ----------------------------------------------------------------------------------------


@given(st.floats(-1e6, 1e6), st.floats(0, 1e6), st.integers(3, 14))
def test_an_axis_covers_what_it_is_asked_to(low: float, wide: float, most: int) -> None:
    axis = axis_over("x", low, low + wide, most)
    assert axis.low <= low + 1e-6 * abs(axis.step)
    assert axis.high >= low + wide - 1e-6 * abs(axis.step)
    assert 2 <= len(axis.ticks) <= most + 1
    digits = axis.step / 10 ** math.floor(math.log10(axis.step) + 1e-9)
    assert digits == pytest.approx(1) or digits == pytest.approx(2) or digits == pytest.approx(5)


def test_ticks_are_round_numbers() -> None:
    assert [axis_over("x", 0, 0.9, 10).tick_words(t) for t in (0.0, 0.1, 0.3, 0.9)] == [
        "0",
        "0.1",
        "0.3",
        "0.9",
    ]
    assert axis_over("x", 12, 480).ticks == (0, 100, 200, 300, 400, 500)
    assert axis_over("x", 0, 480).tick_words(500.0) == "500"


@pytest.mark.parametrize("bounds", [(1.0, 0.0), (0.0, math.inf), (math.nan, 1.0)])
def test_no_axis_without_an_end(bounds: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="no axis runs"):
        axis_over("x", *bounds)


def test_a_line_is_cut_where_it_leaves() -> None:
    runs = PANEL.cut([(0, 0), (5, 10), (10, 0)])
    assert runs == [[(10.0, 20.0), (35.0, 70.0)], [(85.0, 70.0), (110.0, 20.0)]]
    [run] = PANEL.cut([(0, 2), (1, math.inf)])
    assert run[0] == (10.0, 40.0)
    assert run[1] == pytest.approx((10.0, 70.0), abs=1e-6)
    assert PANEL.cut([(0, 6), (10, 7)]) == []


@given(st.lists(st.tuples(st.floats(0, 10), st.floats(-5, 12)), min_size=2, max_size=8))
def test_what_is_cut_lies_on_the_line_and_within(line: Sequence[tuple[float, float]]) -> None:
    for run in PANEL.cut(line):
        for x, y in run:
            assert 10 - 1e-6 <= x <= 110 + 1e-6
            assert 20 - 1e-6 <= y <= 70 + 1e-6
