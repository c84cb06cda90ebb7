"""Work and hold points in the order in which they are met."""

from __future__ import annotations

from lugplane.answers.sheet import Line
from lugplane.data import data_folder
from lugplane.deduce.rulebook import read_rulebook
from lugplane.render.order import in_order

BEFORE = {hold.id: hold.before for hold in read_rulebook(data_folder() / "rules").steps.hold}


def lines(*ids: str) -> tuple[Line, ...]:
    return tuple(Line(i, f"Words of {i}.", before=BEFORE.get(i, ())) for i in ids)


def said(work: tuple[Line, ...], hold: tuple[Line, ...]) -> list[str]:
    return [f"| {line.id}" if stop else line.id for line, stop in in_order(work, hold)]


def test_a_stop_stands_before_the_first_step_that_it_stops() -> None:
    work = lines("disc", "stack", "trim", "caliper", "bleed", "proof")
    hold = lines("mock-up", "template-pad", "rear-room", "brake-test")
    assert said(work, hold) == [
        *("disc", "| mock-up", "stack", "| template-pad", "trim", "caliper", "bleed"),
        *("| rear-room", "| brake-test", "proof"),
    ]


def test_without_a_stack_the_mock_up_stops_what_is_fitted() -> None:
    assert said(lines("disc", "carrier"), lines("mock-up-lift")) == [
        *("disc", "| mock-up-lift", "carrier")
    ]


def test_a_stop_without_its_step_stops_all() -> None:
    assert said(lines("disc"), lines("template-pad", "new-one")) == [
        *("| template-pad", "| new-one", "disc")
    ]
