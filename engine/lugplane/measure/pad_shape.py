"""What hangs on the shape of a pad's lining and on nothing else of the pad.

Compounds of one shape lie alike over the disc. What is found of one is found of all, which a
bench shows that holds a shape in the place of the pad: whoever asked it for more of the pad would
be told that there is none.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Generic, TypeVar

from lugplane.facts.records import Lining
from lugplane.measure.bench import Bench, DoesNotApply, Undecided
from lugplane.setup.override import AT
from lugplane.setup.parts import Setup

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class _Outcome(Generic[T]):
    """What was found, or why nothing can be told: the kind of exception and its text."""

    found: tuple[T, ...]
    refused: type[Exception] = Undecided
    why: str = ""


@dataclass(frozen=True, slots=True)
class Shape:
    """All of a pad that its place over the disc hangs on."""

    lining: Lining


def stands_at(lining: Lining) -> tuple[str, ...]:
    """Where the facts of a lining's outline stand."""
    s = lining.sector
    return tuple(v.at for v in (s.inner_mm, s.outer_mm, s.angle_deg, lining.points_u_v))


def of_shape(b: Bench, name: str, make: Callable[[Bench], T]) -> T:
    """What `make` gives, of a bench whose pad it asks for nothing but the lining.

    Once under a name for all setups that share their findings and differ in no more of what is
    read; the facts and objects read count as read on this bench. Where a stack may lie under the
    caliper it is looked at case by case, and a lining that was measured anew is this pad's own:
    then it is the bench's alone.
    """
    setup, reads = b.setup, b.place.reads
    lining = setup.pad.lining
    axial = setup.knuckle.mount.text == "axial"
    if reads is None or setup.fitted is None or not axial or AT in stands_at(lining):
        return make(b)
    there = b.place.keep("bench of the shape", lambda: _on_shape(b))
    there.findings.update(b.findings)
    own = there.place.reads
    assert own is not None  # it shares what this one shares
    seen = own.begin()
    with there.place.noting() as note:
        try:
            outcome = there.place.common(name, there.read, lambda: _outcome(make, there))
        finally:
            own.end()
            b.place.note(*note)
            for what, value in seen.items():
                if what != "pad":
                    reads.saw(what, value)
    if outcome.found:
        return outcome.found[0]
    raise outcome.refused(outcome.why)


def _outcome(make: Callable[[Bench], T], there: Bench) -> _Outcome[T]:
    """What `make` gives or refuses; the facts it read are noted either way."""
    try:
        return _Outcome((make(there),))
    except (Undecided, DoesNotApply, ValueError) as error:
        return _Outcome((), type(error), str(error))


def _on_shape(b: Bench) -> Bench:
    """The same bench with its pad's shape in the place of the pad: one shape for all of a kind."""
    parts = {f.name: getattr(b.setup, f.name) for f in fields(Setup)}
    shape = Shape(b.setup.pad.lining)
    parts["pad"] = parts["fitted"].kept.setdefault(("shape", shape), shape)
    return Bench(Setup(**parts), b.constants, b.limits, b.shared)
