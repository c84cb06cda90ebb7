"""Engine and oracle agree on setups drawn at random, with facts measured, widened and taken away.

The numbers are fixed, so the setups are; `tools/sweep` draws thousands.
"""

from __future__ import annotations

from collections import Counter

import pytest
from oracle.agree import Difference, differences, of_car
from oracle.both_sides import Asked, BothSides
from oracle.cars import CARS, is_drawn
from oracle.generated import draw
from oracle.read_kb import Part

BLOCK, BLOCKS, CAR_BLOCKS = 15, 10, 5


def agree(both: BothSides, numbers: range) -> None:
    """All drawn setups of some numbers; edges (the engine the more careful) are kept rare."""
    found: list[str] = []
    edges: dict[bool, set[int]] = {True: set(), False: set()}

    def note(number: int, difference: Difference, text: str) -> None:
        if difference.sort == "edge":
            edges[of_car(difference)].add(number)
        else:
            found.append(text)

    for number in numbers:
        asked = draw(both, number)
        for difference in differences(both.engine(asked).sheet, both.oracle(asked)):
            note(number, difference, f"{number}: {difference}\n    {asked}")
    assert not found, "\n".join(found)
    assert len(edges[False]) <= 1, edges
    assert len(edges[True]) <= 2, edges


@pytest.mark.parametrize("block", range(BLOCKS))
def test_drawn_setups_agree(both: BothSides, block: int) -> None:
    agree(both, range(block * BLOCK, (block + 1) * BLOCK))


@pytest.mark.parametrize("block", range(CAR_BLOCKS))
def test_setups_on_drawn_cars_agree(with_cars: BothSides, block: int) -> None:
    agree(with_cars, range(block * BLOCK, (block + 1) * BLOCK))


def test_drawn_cars_are_of_every_sort(with_cars: BothSides) -> None:
    cars = [p for p in with_cars.kb.of("platform") if is_drawn(p)]
    assert len(cars) == CARS
    for fact, words in (
        ("split", {"front-rear", "diagonal", None}),
        ("valve", {"none", "fixed", "load-sensing", "electronic", None}),
        ("electronics", {"none", "abs", "stability", "brake-assist", None}),
    ):
        seen = {car.get(fact) for car in cars}
        assert words - {None} <= seen <= words
    away = [p for p in ("gross_kg", "cog_height_mm", "pedal.ratio") if _missing(cars, p)]
    assert away
    drawn = [draw(with_cars, number) for number in range(60)]
    on_one = [asked for asked in drawn if asked.platform.startswith("drawn-")]
    assert 15 < len(on_one) < 45
    said = {path for asked in on_one for path, _ in asked.set_}
    assert "pad.friction_ratio" in said
    assert any("mass_kg" in path for path in said)
    verdicts = Counter(with_cars.oracle(asked).verdict["car"] for asked in on_one)
    assert {"fits with work", "cannot tell", "does not fit"} <= verdicts.keys()


def _missing(cars: list[Part], path: str) -> bool:
    return any(car.num(path) is None for car in cars)


R4 = ("ullathor-saloon", "front", "askel-r4", "betony-320", "grebe-124/track")
ONCE_APART = {
    "the arm about the seat grows with the ring": Asked(
        *R4, set_=(("knuckle.seat_radius_mm", "117.965 ±0.2"),)
    ),
    "a plate that the lift may leave no room for": Asked(
        *R4,
        set_=(("knuckle.seat_radius_mm", "114 ±2"), ("caliper.lug.spacing_mm", "120 ±0.1")),
        adapter=True,
    ),
    "several bolts, and the tip that hangs on the same spacing": Asked(
        "thimbrel-saloon",
        "front",
        "askel-a4/40",
        "burnet-288",
        "godwit-108/street",
        set_=(("knuckle.bolt.length_mm", "39 ±0.05"), ("disc.height_mm", "55.5 ±0.75")),
    ),
}


@pytest.mark.parametrize("name", ONCE_APART)
def test_what_once_differed_agrees(both: BothSides, name: str) -> None:
    asked = ONCE_APART[name]
    found = differences(both.engine(asked).sheet, both.oracle(asked))
    assert not found, "\n".join(map(str, found))


def test_what_is_drawn_is_of_every_sort(both: BothSides) -> None:
    drawn = [draw(both, number) for number in range(60)]
    assert len(set(drawn)) == len(drawn)
    assert drawn[7] == draw(both, 7)
    said = Counter(
        "away" if value == "unknown" else "measured" if "±" in value else "word"
        for asked in drawn
        for _, value in asked.set_
    )
    assert said.keys() == {"away", "measured", "word"}
    assert any(path == "spacing_mm" for asked in drawn for path, _ in asked.set_)
    assert any(asked.adapter for asked in drawn)
    assert any(asked.wheel_spacer_mm for asked in drawn)
    verdicts = Counter(both.oracle(asked).verdict["brake"] for asked in drawn)
    assert verdicts.keys() == {"bolts on", "fits with work", "cannot tell", "does not fit"}
    assert verdicts["does not fit"] < 50
