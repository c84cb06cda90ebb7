"""Single numbers: can a part be like that at all, and if not, which slip was it?"""

from __future__ import annotations

from collections.abc import Iterator

from lugplane.check.finding import WARNING, Finding
from lugplane.check.numbers import Noted, Numbers
from lugplane.check.plausible import Plausible, Range
from lugplane.errors import Problem
from lugplane.facts.families import Single
from lugplane.quantity.text import number, span

EXCEPT = "if it is right all the same, say so in exceptions.yaml"
_PLACES = 4
_LARGE = 1e9
_SIGNS = {
    "mm": " mm",
    "in": " in",
    "deg": "°",
    "kg": " kg",
    "n": " N",
    "nm": " N·m",
    "mpa": " MPa",
    "hv": " HV",
    "bar": " bar",
    "kmh": " km/h",
    "wk": " W/K",
    "c": " °C",
}


def problem(
    single: Single, path: tuple[str | int, ...], code: str, found: str, allowed: str, mend: str
) -> Problem:
    """A problem at a fact of a part."""
    return Problem(*single.place(path), code, found, allowed, mend)


def value_findings(numbers: Numbers, plausible: Plausible) -> Iterator[Finding]:
    """Numbers outside their range, values wider than it, and rival readings that are apart."""
    for noted in numbers.all():
        fact = plausible.facts.get(noted.fact)
        if fact is None:
            continue
        if not fact.holds(noted.nominal):
            yield Finding(_outside(numbers.single, noted, fact, plausible))
        elif noted.hi - noted.lo > fact.most - fact.least:
            yield Finding(
                problem(
                    numbers.single,
                    noted.path,
                    "wide-value",
                    f"{noted.fact} {span(noted.lo, noted.hi, noted.nominal)}",
                    f"plausible at all: {_span(fact)}",
                    "state the ± of the measurement, in the same unit",
                )
            )
    yield from _apart(numbers)


def _outside(single: Single, noted: Noted, fact: Range, plausible: Plausible) -> Problem:
    found = f"{noted.fact} {_shown(noted.nominal)}"
    allowed = f"plausible: {_span(fact)} ({fact.source})"
    slips = [
        (slip.said, noted.nominal * slip.times)
        for slip in plausible.slips
        if slip.befalls(fact) and fact.holds(noted.nominal * slip.times)
    ]
    if not slips or noted.nominal == 0:
        mend = f"measure it again; {EXCEPT}"
        return problem(single, noted.path, "implausible", found, allowed, mend)
    said = " or ".join(dict.fromkeys(said for said, _ in slips))
    right = " or ".join(dict.fromkeys(number(value, 2) for _, value in slips))
    return problem(
        single,
        noted.path,
        "unit-slip",
        f"{found}, probably {said}",
        allowed,
        f"write {right} if that is what was measured",
    )


def _apart(numbers: Numbers) -> Iterator[Finding]:
    """Rival readings against the first one, which counts."""
    for each in numbers.values():
        first, *rivals = each
        if not first.valued:
            continue
        for rival in rivals:
            if rival.lo > first.hi or rival.hi < first.lo:
                said = f"{first.fact} {span(rival.lo, rival.hi, rival.nominal)}"
                yield Finding(
                    problem(
                        numbers.single,
                        rival.path,
                        "readings-apart",
                        f"{said}, the first reading {span(first.lo, first.hi, first.nominal)}",
                        "expected: readings that agree within their ±",
                        f"measure once more and put the better reading first; {EXCEPT}",
                    ),
                    WARNING,
                )


def _shown(value: float) -> str:
    """A number in few digits, whatever its size."""
    return number(value, _PLACES) if abs(value) < _LARGE else f"{value:g}"


def _span(fact: Range) -> str:
    return f"{number(fact.least, 3)} to {number(fact.most, 3)}{_SIGNS.get(fact.unit, '')}"
