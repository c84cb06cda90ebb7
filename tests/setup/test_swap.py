"""A number of a setup put in place of another."""

from __future__ import annotations

from pathlib import Path

import pytest

from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.swap import exactly, number_at, shifted, with_number
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[2] / "kb"


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return Workshop.open(only=KB)


def test_one_number_is_changed_and_nothing_else(shop: Workshop) -> None:
    setup = assemble(shop.base, Wanted("kessarin-estate"))
    before = number_at(setup, "knuckle.ear.spacing_mm")
    assert before is not None
    after = with_number(setup, "knuckle.ear.spacing_mm", shifted(before, 1.5))
    now = number_at(after, "knuckle.ear.spacing_mm")
    assert now is not None
    assert now.reading.nominal == before.reading.nominal + 1.5
    assert now.reading.hi - now.reading.lo == pytest.approx(before.reading.hi - before.reading.lo)
    assert now.form.nominal == before.form.nominal + 1.5
    assert with_number(after, "knuckle.ear.spacing_mm", before) == setup
    assert number_at(setup, "knuckle.ear.spacing_mm") == before


def test_a_number_put_in_exactly_has_no_doubt_even_where_none_was_known(shop: Workshop) -> None:
    setup = assemble(shop.base, Wanted("kessarin-estate"))
    value = number_at(setup, "disc.runout_mm")
    assert value is not None
    assert not value.known
    exact = exactly(value, 0.04)
    assert (exact.reading.lo, exact.reading.nominal, exact.reading.hi) == (0.04, 0.04, 0.04)
    assert exact.form.terms == {}


def test_the_disc_that_a_caliper_was_designed_for_is_changed_along_if_it_is_the_same(
    shop: Workshop,
) -> None:
    setup = assemble(shop.base, Wanted("gribbet-saloon", parts=("vetch-240",)))
    assert setup.designed_disc is not None
    assert setup.designed_disc.id == setup.disc.id
    thickness = setup.disc.thickness_mm
    after = with_number(setup, "disc.thickness_mm", shifted(thickness, 1.0))
    assert after.designed_disc is not None
    assert after.designed_disc.thickness_mm == after.disc.thickness_mm != thickness
    other = assemble(shop.base, Wanted("gribbet-saloon"))
    assert other.designed_disc is not None
    assert other.designed_disc.id != other.disc.id
    after = with_number(other, "disc.thickness_mm", shifted(other.disc.thickness_mm, 1.0))
    assert after.designed_disc == other.designed_disc


def test_what_is_no_number_of_the_setup_is_refused(shop: Workshop) -> None:
    setup = assemble(shop.base, Wanted("kessarin-estate"))
    value = setup.disc.height_mm
    for path in (
        "disc.hight_mm",
        "disc.vanes",
        "carrier.lift_mm",
        "disc",
        "caliper.pistons.a_side",
    ):
        assert number_at(setup, path) is None or path == "carrier.lift_mm"
        if number_at(setup, path) is None:
            with pytest.raises(KeyError):
                with_number(setup, path, value)
