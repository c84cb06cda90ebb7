"""Letters on pads and grades of fluid: whole, without gaps, and strict."""

from itertools import pairwise
from math import inf

import pytest

from lugplane.measure.fluid import BOILING_POINTS, boiling_points
from lugplane.measure.friction import friction_class, friction_letter, friction_range


def test_ranges_join_up() -> None:
    ranges = [friction_range(letter) for letter in "CDEFGH"]
    assert ranges[0][0] == 0.0
    assert ranges[-1][1] == inf
    assert all(a[1] == b[0] for a, b in pairwise(ranges))


@pytest.mark.parametrize(
    ("friction", "letter"), [(0.15, "C"), (0.150001, "D"), (0.45, "F"), (0.55, "G"), (0.9, "H")]
)
def test_the_upper_end_belongs_to_the_letter(friction: float, letter: str) -> None:
    assert friction_letter(friction) == letter


def test_two_letters() -> None:
    both = friction_class("FE")
    assert (both.normal, both.hot) == (friction_range("F"), friction_range("E"))


@pytest.mark.parametrize("text", ["", "F", "FFF", "fg", "FZ", "AB"])
def test_other_letters_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="friction letter"):
        friction_class(text)


@pytest.mark.parametrize("friction", [0.0, -0.1, float("nan")])
def test_no_friction_has_no_letter(friction: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        friction_letter(friction)


def test_fluid_grades() -> None:
    for grade in BOILING_POINTS:
        assert boiling_points(grade).wet_c < boiling_points(grade).dry_c
    with pytest.raises(ValueError, match=r"DOT 5\.1"):
        boiling_points("DOT 5")
