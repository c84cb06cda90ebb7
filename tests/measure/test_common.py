"""What a bench is asked for again and again is reckoned once, and once for each case of a stack."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from lugplane.deduce.deduction import deduce
from lugplane.measure.bench import Bench, run
from lugplane.measure.common import common
from lugplane.measure.lining import innermost, outermost
from lugplane.quantity.form import Form
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.shared import Shared
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[2] / "kb"
BEFORE = ("mount", "joint"), ("lug_misfit", "lift", "spacing"), ("stack",)


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return Workshop.open(only=KB)


def bench(shop: Workshop, platform: str, *set_: str, shared: Shared | None = None) -> Bench:
    """A bench with everything found that a place hangs on."""
    limits = shop.rulebook.limits
    setup = assemble(shop.base, Wanted(platform, "front", (), set_))
    made = Bench(setup, limits.numbers, limits.limits, shared)
    for kind, names in zip(("choice", "measure", "choice"), BEFORE, strict=True):
        for name in names:
            run(made, kind, name)
    return made


def test_each_case_of_a_stack_has_its_own(shop: Workshop) -> None:
    b = bench(shop, "ullathor-saloon", "disc.diameter_mm=320±2")
    assert b.regimes == 2
    calls: list[float] = []

    def top() -> float:
        calls.append(b.lining_top.lo)
        return calls[-1]

    for _ in range(2):
        bare, spaced = (common(b, "top", top) for _ in b.in_each_regime())
        assert spaced > bare
    assert len(calls) == 2


@pytest.mark.parametrize("edge", [innermost, outermost])
def test_the_lining_stands_out_by_its_stack(
    shop: Workshop, edge: Callable[[Bench], tuple[Form, ...]]
) -> None:
    b = bench(shop, "ullathor-saloon", "disc.diameter_mm=320±2")
    bare, spaced = (min(r.nominal for r in edge(b)) for _ in b.in_each_regime())
    lift = [b.stack.k.nominal for _ in b.in_each_regime()][1]
    # A corner stands aside of the pad's middle and rises by less.
    assert 0.8 * lift < spaced - bare < lift


def test_setups_share_it_that_share_what_it_reads(shop: Workshop) -> None:
    shared = Shared()
    calls: list[str] = []

    def thickness(b: Bench) -> float:
        calls.append(b.setup.disc.id)
        return b.place.ring.nominal

    one = bench(shop, "kessarin-estate", "knuckle.ear_face_mm=unknown", shared=shared)
    other = bench(shop, "kessarin-estate", "disc.thickness_mm=21", shared=shared)
    again = Bench(one.setup, one.constants, one.limits, shared)
    told = [common(b, "thickness", lambda b=b: thickness(b)) for b in (one, other, one, again)]  # type: ignore[misc]
    assert told == [told[0], 21.0, told[0], told[0]]
    assert told[0] != 21.0
    assert len(calls) == 2


def test_who_hangs_on_the_stack_is_known_the_second_time_too(shop: Workshop) -> None:
    b = bench(shop, "ullathor-saloon")
    for _ in range(2):
        b.stack_read = False
        outermost(b)
        assert b.stack_read


def test_facts_that_contradict_each_other_are_named(shop: Workshop) -> None:
    """What is reckoned once for all names what it read also where it comes to nothing."""
    parts = "corm-p2/36", "corm-bracket-96", "medick-252", "linnet-76"
    wanted = Wanted("grellow-hatch", "rear", parts, ("knuckle.ear.hole_1_radius_mm=10",))
    found = deduce(assemble(shop.base, wanted), shop.rulebook).judged["piston_cover"].finding
    assert "contradict" in str(found.blocked)
    holes = {"knuckle.ear.hole_1_radius_mm", "knuckle.ear.hole_2_radius_mm"}
    assert holes <= set(found.missing) & set(found.inputs)
