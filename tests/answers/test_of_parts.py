"""Whatever names parts tells the part of a kind, and which parts stand in it, in one way."""

from __future__ import annotations

import pytest

from lugplane.answers.fit import Fit
from lugplane.answers.parts import OfParts, Part
from lugplane.answers.paths import FailsAsCar, Stop


def named() -> FailsAsCar:
    parts = (Part("disc", "newt-302", "A disc", False), Part("pad", "wold-92/oe", "Pads", True))
    alike = {"disc": ("newt-302-drilled",)}
    return FailsAsCar("k", parts, False, "bolts on", "heat-stop", "Heat of one stop", alike)


@pytest.mark.parametrize("sort", [Fit, Stop, FailsAsCar])
def test_all_have_the_one_way(sort: type[OfParts]) -> None:
    assert issubclass(sort, OfParts)
    assert not {"part", "has"} & set(vars(sort))


def test_the_part_of_a_kind_is_named() -> None:
    assert named().part("disc") == "newt-302"
    assert named().part("pad") == "wold-92/oe"
    assert named().part("carrier") == ""


def test_alike_parts_stand_in_it_as_well() -> None:
    assert named().has(["newt-302"])
    assert named().has(iter(["other", "newt-302-drilled"]))
    assert not named().has(["other"])
    assert not named().has([])
    assert not hasattr(named(), "__dict__"), "as small as before"
