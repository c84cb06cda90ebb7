"""Which axle's disc a check of heat speaks of."""

from __future__ import annotations

import pytest

from lugplane.answers.car import compare_cars
from lugplane.answers.hotter import HEAT, hotter_disc, of_the_hotter
from lugplane.answers.rows import Row, Span
from lugplane.render.car import car_text
from lugplane.render.text import sheet_text
from lugplane.setup.assemble import Wanted
from lugplane.setup.car import CarWanted
from lugplane.workshop import Workshop


def row(value: Span | None, new: float, stock: float = 100.0, check: str = "heat-stop") -> Row:
    notes = {"new_k": Span(0, 1000, new), "stock_k": Span(0, 1000, stock)}
    return Row(check, "heat", "car", "care", "hotter", value=value, notes=notes)


@pytest.mark.parametrize(
    ("value", "new", "axle"),
    [
        (Span(-3, 11, 5), 105.0, "front"),
        (Span(-3, 11, 5), 96.0, "rear"),
        (Span(-3, 11, 5), 97.5, ""),
        (Span(15, 16, 15.5), 93.0, "rear"),
        (Span(0, 0, 0), 100.0, ""),
        (None, 105.0, ""),
    ],
)
def test_it_is_the_axles_own_disc_where_the_figure_is_its_own(
    value: Span | None, new: float, axle: str
) -> None:
    assert hotter_disc(row(value, new), "front") == axle
    other = {"front": "rear", "rear": "front", "": ""}
    assert hotter_disc(row(value, new), "rear") == other[axle]
    assert hotter_disc(row(value, new, check="unsprung"), "front") == ""


def test_nothing_is_told_of_stock_or_without_its_figures() -> None:
    assert not of_the_hotter("heat-stop", Span(0, 0, 0))
    assert not of_the_hotter("heat-stop", None)
    assert not of_the_hotter("pad-life", Span(1, 2, 1.5))
    assert hotter_disc(Row("heat-stop", "", "car", "care", "", value=Span(1, 2, 1.5)), "rear") == ""


CARS = [
    ("kessarin-estate", ("tovan-q4/44", "tansy-300"), (), "front"),
    ("wambry-hatch", ("askel-a4/36", "burnet-288d"), (), "rear"),
    ("thimbrel-saloon", (), ("tovan-q2/36",), "front"),
]


@pytest.mark.parametrize(("platform", "front", "rear", "disc"), CARS)
def test_the_figures_of_both_axles_say_the_same(
    shipped: Workshop, platform: str, front: tuple[str, ...], rear: tuple[str, ...], disc: str
) -> None:
    answer = compare_cars(shipped, CarWanted(platform, front, rear))
    gain: dict[str, float] = {}
    for figure in answer.figures:
        if figure.name == "one-stop":
            assert figure.stock.span is not None
            assert figure.proposed.span is not None
            gain[figure.axle] = figure.proposed.span.nominal / figure.stock.span.nominal
    assert max(gain, key=lambda axle: gain[axle]) == disc
    assert answer.check("heat-stop").disc == disc
    said = f"the hotter one beside stock is the {disc} disc."
    assert said in " ".join(car_text(answer).split())
    axle, parts = ("front", front) if front else ("rear", rear)
    sheet = shipped.judge(Wanted(platform, axle, parts)).sheet
    assert hotter_disc(sheet.row("heat-stop"), axle) == disc
    assert said in " ".join(sheet_text(sheet).split())


def test_a_stock_car_says_nothing_of_it(shipped: Workshop) -> None:
    answer = compare_cars(shipped, CarWanted("kessarin-estate"))
    assert {answer.check(name).disc for name in HEAT} == {""}
    assert "hotter one" not in car_text(answer)
