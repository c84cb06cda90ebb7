"""A pad's friction stated in more than one way: a curve over temperature, one ratio, two letters.

They tell one thing from three sides, so all that each leaves open has to meet.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from lugplane.check.finding import Finding
from lugplane.check.numbers import Noted, Numbers
from lugplane.check.values import EXCEPT, problem
from lugplane.measure.corners import Span
from lugplane.measure.friction import friction_class
from lugplane.measure.friction_curve import FrictionCurve
from lugplane.quantity.text import number, span

_CURVE = "friction_curve.points_c_ratio"
_PLACES = 3


def friction_findings(numbers: Numbers, window_c: Span) -> Iterator[Finding]:
    """Temperatures of a curve that do not rise, and what the curve and the others cannot both say.

    The curve is looked at where it lies in the window of normal and hot friction.
    """
    heats, frictions = numbers.get(f"{_CURVE}.c", ()), numbers.get(f"{_CURVE}.ratio", ())
    spread = numbers.first("friction_curve.plus_minus_ratio")
    if len(heats) < 2 or len(heats) != len(frictions) or spread is None:
        return
    falls = [(one, two) for one, two in pairwise(heats) if two.nominal <= one.nominal]
    for one, at in falls:
        yield Finding(
            problem(
                numbers.single,
                at.path,
                "facts-disagree",
                f"friction at {number(at.nominal)} °C after that at {number(one.nominal)} °C",
                "expected: temperatures that rise from point to point",
                "write the points in the order of their temperatures, each once",
            )
        )
    if falls:
        return
    points = zip(heats, frictions, strict=True)
    curve = FrictionCurve(tuple((c.nominal, mu.nominal) for c, mu in points), spread.nominal)
    reach = _reach(curve, window_c)
    ratio = numbers.first("friction_ratio")
    if reach is not None and ratio is not None:
        said = f"friction_ratio {span(ratio.lo, ratio.hi, ratio.nominal, _PLACES)}"
        if _apart((ratio.lo, ratio.hi), reach):
            yield _disagree(numbers, ratio, said, reach)
    letters = numbers.single.data.get("friction_letters")
    if reach is not None and isinstance(letters, str):
        found = friction_class(letters)
        both = min(found.normal[0], found.hot[0]), max(found.normal[1], found.hot[1])
        if _apart(both, reach):
            yield _disagree(numbers, heats[0], f"friction_letters {letters}", reach)


def _reach(curve: FrictionCurve, window_c: Span) -> Span | None:
    """What the curve reaches of the window; None where it has no part in it."""
    low, high = max(curve.covers[0], window_c[0]), min(curve.covers[1], window_c[1])
    return curve.over(low, high) if low <= high else None


def _apart(one: Span, two: Span) -> bool:
    return one[0] > two[1] or one[1] < two[0]


def _disagree(numbers: Numbers, at: Noted, said: str, reach: Span) -> Finding:
    return Finding(
        problem(
            numbers.single,
            at.path,
            "facts-disagree",
            f"{said} with a friction curve of {span(*reach, sum(reach) / 2, _PLACES)}",
            "expected: friction that both allow, between normal and hot",
            f"find out which of both is of this compound; {EXCEPT}",
        )
    )
