"""A setup as it was put together, with the stack that lay there, and what measures find on it."""

from __future__ import annotations

from collections.abc import Mapping

from lugplane.measure.bench import (
    MEASURES,
    Bench,
    Choice,
    DoesNotApply,
    Finding,
    Stack,
    StackOption,
    Undecided,
    run,
)
from lugplane.quantity.form import Form, Missing
from lugplane.quantity.judge import Limit
from lugplane.setup.parts import Setup

_BEFORE = (
    ("choice", "mount"),
    ("choice", "joint"),
    ("measure", "lug_misfit"),
    ("measure", "spacing"),
    ("measure", "lift"),
)
"""What the stack hangs on, in the order in which the rules come to it."""
_UNSAID = "it hangs on bolts, and a trial does not say which were in it"


def put_together(
    setup: Setup,
    constants: Mapping[str, float],
    limits: Mapping[str, Limit],
    stack: Form | None = None,
) -> Bench:
    """A bench with the setup on it, ready for any measure that hangs on no bolt.

    `stack` is what lay between ear and lug, mm; without it the stack is chosen as for a sheet.
    """
    bench = Bench(setup, constants, limits)
    for kind, before in _BEFORE:
        run(bench, kind, before)
    if stack is None:
        run(bench, "choice", "stack")
    else:
        bench.findings["stack"] = _laid(bench, stack)
    return bench


def taken(bench: Bench, name: str) -> Finding:
    """What a measure finds on such a bench. Raises `KeyError` for a name that is no measure."""
    if name not in MEASURES:
        raise KeyError(name)
    try:
        return run(bench, "measure", name)
    except LookupError:
        return Finding(name, blocked=_UNSAID)


def _laid(bench: Bench, k: Form) -> Finding:
    """The stack that was measured, and the error it leaves: `e = σ (k - s)`."""
    with bench.place.noting() as note:
        try:
            error = Form() if bench.radial else (k - bench.place.spacing) * bench.place.sigma
            option = StackOption("measured", 1, k.nominal, k.nominal, k.nominal)
            detail = Stack(k, error, (option,))
            return Finding("stack", choice=Choice("measured", "", detail), inputs=tuple(note))
        except Missing as missing:
            return Finding("stack", missing=missing.facts, inputs=tuple(note))
        except (DoesNotApply, Undecided) as error:
            return Finding("stack", blocked=str(error), inputs=tuple(note))
