"""Measures of a setup as it was put together."""

from __future__ import annotations

from pathlib import Path

import pytest

from lugplane.measure.bench import Bench, Finding
from lugplane.measure.put_together import put_together, taken
from lugplane.quantity.form import Form
from lugplane.setup.assemble import Wanted, assemble
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[2] / "kb"
BRAKE = ("tovan-q4/44", "sorrel-300")


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return Workshop.open(only=KB)


def bench(shop: Workshop, wanted: Wanted, stack: Form | None = None) -> Bench:
    limits = shop.rulebook.limits
    return put_together(assemble(shop.base, wanted), limits.numbers, limits.limits, stack)


def value(found: Finding) -> float:
    assert found.reckoned is not None
    return found.reckoned.judged.nominal


def test_the_stack_that_lay_there_leaves_its_own_error(shop: Workshop) -> None:
    wanted = Wanted("tammick-van", "front", BRAKE)
    s = value(taken(bench(shop, wanted), "spacing"))
    for k in (0.0, 3.0, s, s + 1.25):
        found = taken(bench(shop, wanted, Form.of("stack", k - 0.05, k + 0.05)), "centring")
        assert value(found) == pytest.approx(abs(k - s))
        assert "knuckle.ear_face_mm" in found.inputs


def test_without_it_the_stack_is_that_of_the_sheet(shop: Workshop) -> None:
    wanted = Wanted("tammick-van", "front", (*BRAKE, "tammick-16-cast"))
    sheet = shop.judge(wanted, "plain").sheet
    on_bench = bench(shop, wanted)
    for check, name in (("centring", "centring"), ("wheel-gap", "wheel_gap"), ("cheek", "cheek")):
        row = sheet.row(check)
        found = taken(on_bench, name)
        assert row.value is not None
        assert found.reckoned is not None
        assert (found.reckoned.judged.lo, found.reckoned.judged.hi) == pytest.approx(
            (row.value.lo, row.value.hi)
        )


def test_a_radial_mount_stands_further_out_on_its_stack(shop: Workshop) -> None:
    wanted = Wanted("throssel-saloon")
    bare, raised = (value(taken(bench(shop, wanted, Form(k)), "plate_hat")) for k in (0.0, 2.0))
    assert raised - bare == pytest.approx(2.0)


def test_what_hangs_on_bolts_is_not_told_and_what_is_no_measure_is_refused(
    shop: Workshop,
) -> None:
    made = bench(shop, Wanted("tammick-van", "front", BRAKE))
    for name in ("engagement", "tip", "slip_reserve"):
        found = taken(made, name)
        assert found.reckoned is None
        assert found.blocked
    with pytest.raises(KeyError):
        taken(made, "spacings")
