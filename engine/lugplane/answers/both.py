"""The sheets of both axles of one car, the car itself judged once with both."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lugplane.answers.rows import Row
from lugplane.answers.sheet import Sheet, judge_setup, worst
from lugplane.deduce.choose import matcher
from lugplane.setup.car import CarWanted, assemble_car

if TYPE_CHECKING:
    from lugplane.workshop import Workshop

VERSION = 1
_GRAIN = 1e-6
_WORST_FIRST = ("does not fit", "cannot tell", "fits with work", "bolts on")


@dataclass(frozen=True, slots=True)
class Sheets:
    """Front and rear sheet, each judged with the other axle as it is to be built."""

    version: int
    front: Sheet
    rear: Sheet

    @property
    def verdict(self) -> str:
        """The worse of both sheets' verdicts."""
        found = {worst(self.front), worst(self.rear)}
        return next(v for v in _WORST_FIRST if v in found)


def both_sheets(workshop: Workshop, wanted: CarWanted) -> Sheets:
    """Judge both axles of a car. Raises `BadInput` as `assemble_car`, `EngineError`."""
    car, match = assemble_car(workshop.base, wanted), matcher()
    front, rear = (judge_setup(s, workshop.rulebook, match).sheet for s in (car.front, car.rear))
    return Sheets(VERSION, front, rear)


def told_once(sheets: Sheets) -> Sheet:
    """The rear sheet without the checks of the car that the front sheet tells alike.

    The car's verdict stays: it is the same car.
    """
    front = {row.check: row for row in sheets.front.rows if row.scope == "car"}
    rows = (r for r in sheets.rear.rows if not (r.scope == "car" and alike(r, front[r.check])))
    return replace(sheets.rear, rows=tuple(rows))


def alike(one: Row, two: Row) -> bool:
    """Whether two axles' rows of a check come to the same."""
    if one.state != two.state or (one.value is None) != (two.value is None):
        return False
    if one.value is None or two.value is None:
        return True
    pairs = zip(
        (one.value.lo, one.value.hi, one.value.nominal),
        (two.value.lo, two.value.hi, two.value.nominal),
        strict=True,
    )
    return all(abs(a - b) <= _GRAIN * max(1.0, abs(a)) for a, b in pairs)
