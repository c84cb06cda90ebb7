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


def row(value: Span | None, lead: Span, check: str = "heat-stop") -> Row:
    notes = {"front_leads_points": lead}
    return Row(check, "heat", "car", "care", "hotter", value=value, notes=notes)


@pytest.mark.parametrize(
    ("value", "lead", "disc"),
    [
        (Span(2, 11, 5), Span(1, 14, 7), "front"),
        (Span(2, 11, 5), Span(-14, -1, -7), "rear"),
        (Span(-3, 11, 5), Span(-1, 14, 7), "either"),
        (Span(-3, 11, 5), Span(-14, 1, -7), "either"),
        (Span(0, 0, 0), Span(0, 0, 0), ""),
        (None, Span(1, 14, 7), ""),
    ],
)
def test_the_disc_is_named_that_is_the_hotter_over_all_the_facts(
    value: Span | None, lead: Span, disc: str
) -> None:
    assert hotter_disc(row(value, lead)) == disc
    assert hotter_disc(row(value, lead, check="unsprung")) == ""


def test_nothing_is_told_of_stock_or_without_its_figures() -> None:
    assert not of_the_hotter("heat-stop", Span(0, 0, 0))
    assert not of_the_hotter("heat-stop", None)
    assert not of_the_hotter("pad-life", Span(1, 2, 1.5))
    assert hotter_disc(Row("heat-stop", "", "car", "care", "", value=Span(1, 2, 1.5))) == ""


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
    said = f"The hotter one beside stock is the {disc} disc."
    assert said in " ".join(car_text(answer).split())
    axle, parts = ("front", front) if front else ("rear", rear)
    sheet = shipped.judge(Wanted(platform, axle, parts)).sheet
    assert hotter_disc(sheet.row("heat-stop")) == disc
    assert said in " ".join(sheet_text(sheet).split())


def test_a_stock_car_says_nothing_of_it(shipped: Workshop) -> None:
    answer = compare_cars(shipped, CarWanted("kessarin-estate"))
    assert {answer.check(name).disc for name in HEAT} == {""}
    assert "hotter one" not in car_text(answer)


def test_either_disc_is_said_where_the_doubt_of_a_fact_may_turn_it(shipped: Workshop) -> None:
    # Pads that may rub less than stock's or more: the front does less of the braking, or more.
    sheet = shipped.judge(Wanted("kessarin-estate", "front", ("kite-120/track",))).sheet
    assert hotter_disc(sheet.row("heat-stop")) == "either"
    said = "Over the ± of the facts either disc may be the hotter one beside stock."
    assert said in " ".join(sheet_text(sheet).split())
