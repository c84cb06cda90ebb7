"""Engine and oracle agree on a sample of the shipped facts, the factory's own setups among it."""

from __future__ import annotations

import random
from collections.abc import Iterable

import pytest
from oracle.agree import Difference, differences, of_car
from oracle.both_sides import SHIPPED, Asked, BothSides
from oracle.candidates import axles, row, seats, stock
from oracle.oracle import Kb, load

EACH = 13  # sampled setups an axle; with the stock ones some four hundred in all
KB = load(SHIPPED)
PLATFORMS = [p.id for p in KB.of("platform")]


def sampled(kb: Kb, platform: str) -> list[Asked]:
    """Candidates of both axles of a platform; over all platforms every part comes up."""
    order = random.Random("sample")
    places, all_seats = list(range(len(kb.of("disc")))), seats(kb)
    order.shuffle(places)
    order.shuffle(all_seats)
    found: list[Asked] = []
    for place, (car, axle) in enumerate(axles(kb)):
        if car.id != platform:
            continue
        for turn in range(place * EACH, (place + 1) * EACH):
            round_, at = divmod(turn, len(all_seats))
            candidates = list(row(kb, platform, axle, all_seats[at], turn + turn // len(places)))
            # Each disc stands there with the pads that are taken, then with others.
            other = (turn + round_) % 3 == 2
            found.append(candidates[2 * places[turn % len(places)] + other])
    return found


def told(both: BothSides, asked: Iterable[Asked]) -> list[tuple[Difference, Asked]]:
    """Every difference of some setups, with the setup."""
    return [
        (difference, one)
        for one in asked
        for difference in differences(both.engine(one).sheet, both.oracle(one))
    ]


def written(found: Iterable[tuple[Difference, Asked]]) -> str:
    return "\n".join(f"{difference}\n    {one}" for difference, one in found)


@pytest.mark.parametrize("platform", PLATFORMS)
def test_sample_agrees(both: BothSides, platform: str) -> None:
    found = told(both, sampled(both.kb, platform))
    assert all(difference.sort == "edge" for difference, _ in found), written(found)
    # A hair's breadth at a limit, the engine the more careful: one setup of a platform at most.
    assert len({one for difference, one in found if not of_car(difference)}) <= 1, written(found)
    assert len({one for difference, one in found if of_car(difference)}) <= 2, written(found)


@pytest.mark.parametrize("platform", PLATFORMS)
def test_what_the_factory_fitted_agrees_and_bolts_on(both: BothSides, platform: str) -> None:
    own = [asked for asked in stock(both.kb) if asked.platform == platform]
    assert len(own) == 2
    found = told(both, own)
    assert not found, written(found)
    for asked in own:  # TRADE §1: a limit that rejects sound factory parts is wrong
        assert both.oracle(asked).verdict["brake"] == "bolts on"
        assert both.oracle(asked).verdict["wheel"] == "bolts on"
        assert both.oracle(asked).verdict["car"] != "does not fit"


@pytest.mark.parametrize("kind", ["caliper", "carrier", "disc", "wheel"])
def test_sample_shows_every_part(kind: str) -> None:
    sample = [asked for platform in PLATFORMS for asked in sampled(KB, platform)]
    assert len(sample) == len(set(sample)) == 28 * EACH
    assert {p.id for p in KB.of(kind)} <= {getattr(asked, kind) for asked in sample}


def test_sample_shows_every_pad_shape_both_where_it_belongs_and_where_not() -> None:
    sample = [asked for platform in PLATFORMS for asked in sampled(KB, platform)]
    by_shape: dict[str, set[bool]] = {}
    for asked in sample:
        part = KB.need("carrier", asked.carrier) if asked.carrier else None
        taken = (part or KB.need("caliper", asked.caliper)).get("pad")
        shape = KB.need("pad", asked.pad).family
        by_shape.setdefault(shape, set()).add(shape == taken.split("/")[0])
    taken_somewhere = {seat.shape for seat in seats(KB)}
    assert by_shape.keys() == {p.family for p in KB.of("pad")}
    assert {shape for shape, both_ways in by_shape.items() if True in both_ways} == taken_somewhere
    elsewhere = [shape for shape, both_ways in by_shape.items() if False in both_ways]
    assert len(elsewhere) > 0.9 * len(by_shape)
