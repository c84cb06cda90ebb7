"""`--wheel 16`: every wheel of a rim diameter that goes onto the hub."""

from __future__ import annotations

import pytest

from lugplane.answers.fits import fits
from lugplane.answers.rims import rim_asked, wheels_asked
from lugplane.errors import BadInput
from lugplane.facts.records import Knuckle, Platform, Wheel
from lugplane.links.links import Links
from lugplane.links.relation import WHEEL
from lugplane.render.tables_fits import fits_text
from lugplane.workshop import Workshop


@pytest.mark.parametrize(
    ("word", "inches"),
    [
        *[("16", 16.0), ("16.5", 16.5), ("16,5", 16.5), ("17in", 17.0), ('15"', 15.0)],
        *[("tammick-16-cast", None), ("", None), ("16 mm", None), ("-16", None), ("160", None)],
    ],
)
def test_a_rim_diameter_is_read(word: str, inches: float | None) -> None:
    assert rim_asked(word) == inches


def test_all_of_that_size_that_the_hub_does_not_turn_down(shipped: Workshop) -> None:
    links = Links(shipped.base, shipped.rulebook)
    for car in shipped.base.all(Platform):
        knuckle = shipped.base.get(Knuckle, car.front.knuckle.word)
        meets = [w for w in shipped.base.all(Wheel) if not links.failing(WHEEL, knuckle, w)]
        for inches in (15, 16, 17, 18):
            those = tuple(w.id for w in meets if w.rim_in.reading.nominal == inches)
            if those:
                assert wheels_asked(links, knuckle, str(inches)) == those
                continue
            sizes = {w.rim_in.reading.nominal for w in meets}
            with pytest.raises(BadInput) as told:
                wheels_asked(links, knuckle, str(inches))
            said = str(told.value)
            assert f"no wheel of {inches} inches" in said
            assert "\n" not in said
            assert all(f"{size:g}" in said.partition(":")[2] for size in sizes)


def test_wheels_of_a_size_stand_side_by_side(shipped: Workshop) -> None:
    narrowed = {"with_": ("tovan-q4/44",), "verdicts": ("fits with work",)}
    found = fits(shipped, "tammick-van", "front", wheel="16", **narrowed)  # type: ignore[arg-type]
    assert found.wheels == ("kessarin-16-cast", "tammick-16-cast")
    assert found.rim_in == 16.0
    for id_ in found.wheels:
        alone = fits(shipped, "tammick-van", "front", wheel=id_, **narrowed)  # type: ignore[arg-type]
        assert alone.rim_in is None
        for one, all_ in zip(alone.rows, found.rows, strict=True):
            assert one.wheels[0] in all_.wheels
    page = fits_text(found).replace("\xa0", " ")
    assert "Wheels of 16 inches that go onto the hub: kessarin-16-cast, tammick-16-cast." in page


def test_many_wheels_stand_below_the_row(shipped: Workshop) -> None:
    from dataclasses import replace

    found = fits(
        shipped, "tammick-van", "front", wheel="16", with_=("tovan-q4/44", "sorrel-300"),
        verdicts=("fits with work",),
    )  # fmt: skip
    one = found.rows[0].wheels[0]
    looks = tuple(replace(one, id=f"wheel-{n}") for n in range(14))
    many = replace(
        found,
        wheels=tuple(look.id for look in looks),
        rows=tuple(replace(r, wheels=looks) for r in found.rows),
    )
    page = " ".join(fits_text(many).replace("\xa0", " ").split())
    assert "Least gap under wheel-0 4.2 mm; wheel-1 4.2 mm;" in page
    assert "wheel-11 4.2 mm; 2 more." in page
    assert max(map(len, fits_text(many).splitlines())) <= 80


def test_an_unknown_wheel_is_still_told(shipped: Workshop) -> None:
    with pytest.raises(BadInput, match="close to it: tammick-1"):
        fits(shipped, "tammick-van", "front", wheel="tammick-17-cast")
