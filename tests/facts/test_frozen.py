"""Classes with shared methods are to everybody what dataclasses of the library are."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.facts.records import RECORDS, Disc, Drum, Record
from lugplane.facts.value import Value, Word
from lugplane.frozen import frozen


@frozen
class Box:
    """A box."""

    wide: int
    high: Any = 2
    marks: list[int] = dataclasses.field(default_factory=list)

    @property
    def area(self) -> Any:
        return self.wide * self.high


@dataclasses.dataclass(frozen=True, slots=True)
class Like:
    """The same by the library."""

    wide: int
    high: Any = 2
    marks: list[int] = dataclasses.field(default_factory=list)


@frozen
class Lid(Box):
    """A box that has one more."""

    hinge: str = "none"


def outcome(act: Callable[[], Any]) -> Any:
    """What comes of it: an error's class, or text without the name of the class."""
    try:
        return str(act()).partition("(")[2]
    except Exception as error:
        return type(error)


ARGUMENTS = st.tuples(
    st.lists(st.integers(0, 3), max_size=4),
    st.dictionaries(st.sampled_from(["wide", "high", "marks", "deep"]), st.integers(0, 3)),
)


@given(ARGUMENTS)
def test_objects_are_made_as_by_the_library(arguments: Any) -> None:
    values, named = arguments
    assert outcome(lambda: Box(*values, **named)) == outcome(lambda: Like(*values, **named))


@given(ARGUMENTS, ARGUMENTS)
def test_equal_and_hashed_as_by_the_library(one: Any, two: Any) -> None:
    try:
        mine, other = (Box(*values, **named) for values, named in (one, two))
        theirs, others = (Like(*values, **named) for values, named in (one, two))
    except TypeError:
        return
    assert (mine == other) is (theirs == others)
    assert (mine != other) is (theirs != others)
    assert mine != theirs
    assert outcome(lambda: hash(mine)) == outcome(lambda: hash(theirs))  # a list has no hash
    if mine == other and isinstance(mine.marks, int):
        assert hash(mine) == hash(other)


def test_lists_of_their_own() -> None:
    assert Box(1).marks == []
    assert Box(1).marks is not Box(1).marks
    assert Box(3, 4).area == 12


def test_nothing_is_assigned_or_deleted() -> None:
    box = Box(1)
    for act in (
        lambda: setattr(box, "wide", 2),
        lambda: setattr(box, "deep", 2),
        lambda: delattr(box, "wide"),
    ):
        with pytest.raises(dataclasses.FrozenInstanceError):
            act()
    assert not hasattr(box, "__dict__")
    assert box == Box(1)


def test_the_librarys_functions_take_them() -> None:
    lid = Lid(1, 2, [3], hinge="left")
    assert dataclasses.is_dataclass(lid)
    assert [f.name for f in dataclasses.fields(lid)] == ["wide", "high", "marks", "hinge"]
    assert dataclasses.replace(lid, high=5) == Lid(1, 5, [3], "left")
    assert dataclasses.asdict(lid) == {"wide": 1, "high": 2, "marks": [3], "hinge": "left"}
    assert dataclasses.astuple(lid) == (1, 2, [3], "left")
    assert repr(lid) == "Lid(wide=1, high=2, marks=[3], hinge='left')"
    assert lid != Box(1, 2, [3])
    assert Lid(1) == Lid(1, 2, [], "none")
    match lid:
        case Lid(wide, high):
            assert (wide, high) == (1, 2)
    for again in (copy.copy(lid), copy.deepcopy(lid), pickle.loads(pickle.dumps(lid))):
        assert again == lid
        assert type(again) is Lid


def test_what_a_class_defines_itself_stays() -> None:
    @frozen
    class Odd:
        """Equal to everything."""

        x: int

        def __eq__(self, other: object) -> bool:
            return True

        def __repr__(self) -> str:
            return "odd"

    assert Odd(1) == 5
    assert repr(Odd(1)) == "odd"


def test_a_class_that_wants_more_is_refused() -> None:
    class More:
        """What follows the making of an object would not be done."""

        x: int

        def __post_init__(self) -> None:
            raise AssertionError

    with pytest.raises(TypeError, match="__post_init__"):
        frozen(More)


def test_records_are_told_apart_by_every_field() -> None:
    drum = Drum(Word("disc.drum.fitted"), Value("disc.drum.diameter_mm", "mm"))
    for cls in RECORDS.values():
        assert issubclass(cls, Record)
        names = [f.name for f in dataclasses.fields(cls)]
        record = cls(**dict.fromkeys(names, drum))
        assert record == cls(**dict.fromkeys(names, drum))
        assert hash(record) == hash(cls(**dict.fromkeys(names, drum)))
        for name in names:
            assert record != dataclasses.replace(record, **{name: None})
        with pytest.raises(TypeError, match=names[-1]):
            cls(**dict.fromkeys(names[:-1], drum))
    assert Disc.__doc__ == "A brake disc."
