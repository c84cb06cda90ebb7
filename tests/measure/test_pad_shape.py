"""What is found of a pad's shape is found of every compound of it, and of nothing else."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from lugplane.facts.records import Pad
from lugplane.measure.bench import Bench, DoesNotApply, run
from lugplane.measure.lining import worst_trim
from lugplane.measure.pad_shape import of_shape
from lugplane.measure.trim import TrimBounds
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.shared import Shared
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[2] / "kb"
GAP = 1.0


@cache
def shop() -> Workshop:
    return Workshop.open(only=KB)


def bench(shared: Shared | None, compound: str, *set_: str) -> Bench:
    setup = assemble(
        shop().base, Wanted("kessarin-estate", "front", (f"kite-120/{compound}",), set_)
    )
    limits = shop().rulebook.limits
    found = Bench(setup, limits.numbers, limits.limits, shared)
    run(found, "choice", "mount")
    return found


def read(b: Bench) -> list[str]:
    """The facts noted of a trim that is taken once for the shape."""
    with b.place.noting() as note:
        of_shape(b, "trim", lambda there: worst_trim(there, GAP))
    return list(note)


def test_compounds_of_a_shape_are_worked_out_once() -> None:
    shared = Shared()
    made: list[Bench] = []

    def make(there: Bench) -> TrimBounds:
        made.append(there)
        return worst_trim(there, GAP)

    one, two = (of_shape(bench(shared, c), "trim", make) for c in ("street", "tow"))
    assert one is two
    assert one == worst_trim(bench(None, "tow"), GAP)
    assert len(made) == 1
    of_shape(bench(None, "street"), "trim", make)
    assert len(made) == 2  # nothing is shared


def test_the_same_facts_are_noted_whoever_was_first() -> None:
    shared = Shared()
    alone = read(bench(None, "street"))
    assert "pad.lining.sector.inner_mm" in alone
    assert read(bench(shared, "tow")) == alone
    assert read(bench(shared, "street")) == alone


def test_the_pad_counts_as_read() -> None:
    """Else what hangs on it would be handed to setups with another."""
    shared = Shared()
    read(bench(shared, "tow"))
    b = bench(shared, "street")
    assert b.place.reads is not None
    seen = b.place.reads.begin()
    read(b)
    b.place.reads.end()
    assert {"pad", "disc", "knuckle"} <= set(seen)
    assert seen["pad"] is shop().base.get(Pad, "kite-120/street")


def test_a_lining_that_was_measured_is_the_pad_s_own() -> None:
    shared = Shared()
    usual = of_shape(bench(shared, "street"), "trim", lambda there: worst_trim(there, GAP))
    other = bench(shared, "street", "pad.lining.sector.inner_mm=101.5")
    found = of_shape(other, "trim", lambda there: worst_trim(there, GAP))
    assert found != usual
    assert found == worst_trim(other, GAP)


def test_more_of_the_pad_than_its_shape_is_not_to_be_had() -> None:
    with pytest.raises(AttributeError):
        of_shape(bench(Shared(), "street"), "mass", lambda there: there.setup.pad.mass_kg)


def test_a_refusal_is_everybody_s_with_the_facts_behind_it() -> None:
    def refuse(there: Bench) -> float:
        there.place.q(there.setup.disc.diameter_mm)
        raise DoesNotApply("nothing to look at")

    shared, noted = Shared(), []
    for compound in ("street", "tow"):
        b = bench(shared, compound)
        with b.place.noting() as note, pytest.raises(DoesNotApply, match="nothing to look at"):
            of_shape(b, "refused", refuse)
        noted.append(list(note))
    assert noted == [["disc.diameter_mm"]] * 2
