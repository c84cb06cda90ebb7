"""What friction holds in the stock joint, beside a joint in which it does not hold enough."""

from __future__ import annotations

from dataclasses import replace

from lugplane.answers.rows import Row, Span
from lugplane.deduce.deduction import deduce
from lugplane.deduce.firing import Match
from lugplane.deduce.rulebook import Rulebook
from lugplane.errors import BadInput
from lugplane.setup.parts import Setup

CHECK, QUANTITY = "slip-reserve", "slip_reserve"
_KINDS = ("caliper", "carrier", "disc", "pad")


def stock_reserve(
    rows: tuple[Row, ...], setup: Setup, rulebook: Rulebook, match: Match | None = None
) -> Span | None:
    """The slip reserve of the stock joint, for a setup of other parts whose own is low.

    Both are reckoned alike, so it tells how much of the shortfall is the factory's. None where it
    is not known or not asked for. Raises `EngineError` where a rule fails.
    """
    if not any(row.check == CHECK and row.state == "care" for row in rows):
        return None
    if setup.fitted is None:
        return None
    try:
        stock = setup.fitted.setup(setup.axle_name)
    except BadInput:
        return None
    if all(_id(stock, kind) == _id(setup, kind) for kind in _KINDS):
        return None
    # What was measured of the car itself holds for its stock joint as well.
    car = replace(stock, platform=setup.platform, knuckle=setup.knuckle)
    rests = rulebook, car.platform, car.knuckle
    key = QUANTITY, setup.axle_name
    held = setup.fitted.kept.get(key)
    if held is None or any(a is not b for a, b in zip(held[0], rests, strict=True)):
        held = setup.fitted.kept[key] = rests, _reserve(car, rulebook, match)
    reserve: Span | None = held[1]
    return reserve


def _id(setup: Setup, kind: str) -> str:
    part = getattr(setup, kind)
    return "" if part is None else str(part.id)


def _reserve(setup: Setup, rulebook: Rulebook, match: Match | None) -> Span | None:
    judged = deduce(setup, rulebook, match).judged.get(QUANTITY)
    found = judged.finding.reckoned if judged else None
    return None if found is None else Span(found.judged.lo, found.judged.hi, found.judged.nominal)
