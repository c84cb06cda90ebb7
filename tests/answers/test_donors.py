"""The cars that a part comes off, gone through once and kept part by part."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from lugplane.answers import donors as module
from lugplane.answers.donors import Donor, carriers_of, donors, stocked
from lugplane.answers.fits import Fits, fits
from lugplane.answers.takes import takes
from lugplane.errors import BadInput
from lugplane.facts.records import Platform
from lugplane.render.tables_fits import MOST_DONORS, donors_words, fits_csv, fits_text
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[2] / "kb"
KESSARIN = Donor("kessarin-estate", "Kessarin estate", "front")


def of_records(shop: Workshop) -> dict[str, set[tuple[str, str]]]:
    """The same from the decoded records."""
    found: dict[str, set[tuple[str, str]]] = {}
    for car in shop.base.all(Platform):
        for axle, fitted in (("front", car.front), ("rear", car.rear)):
            stock = fitted.stock
            for word in (stock.caliper, stock.carrier, stock.disc):
                if word.text is not None:
                    part = shop.base.find(word.text)
                    found.setdefault(part, set()).add((car.id, axle))
    return found


def test_the_index_names_every_stock_caliper_carrier_and_disc(shipped: Workshop) -> None:
    found = stocked(shipped.base)
    told = {part: {(d.platform, d.axle) for d in those} for part, those in found.items()}
    assert told == of_records(shipped)
    assert any(len(those) > 1 for those in told.values())


def test_it_is_made_once_and_read_again(
    shipped: Workshop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LUGPLANE_CACHE", str(tmp_path))
    part = "tovan-q4/44"
    first = Workshop.open()
    assert KESSARIN in donors(first, [part])[part]

    def never(base: object) -> dict[str, tuple[Donor, ...]]:
        raise AssertionError("gone through once more")

    monkeypatch.setattr(module, "stocked", never)
    again = Workshop.open()
    assert donors(again, [part, "no-such-part"]) == donors(first, [part])
    monkeypatch.setenv("LUGPLANE_CACHE", "off")
    with pytest.raises(AssertionError):
        donors(Workshop.open(), [part])


def test_another_base_is_gone_through_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LUGPLANE_CACHE", str(tmp_path / "cache"))
    file = tmp_path / "kb" / "platforms" / "own-car.yaml"
    file.parent.mkdir(parents=True)
    text = (KB / "platforms" / "kessarin-estate.yaml").read_text("utf-8")
    text = text.replace("id: kessarin-estate", "id: own-car")
    for title in ("Own car", "Another name"):
        file.write_text(re.sub("(?m)^title: .*$", f"title: {title}", text), "utf-8")
        found = donors(Workshop.open([tmp_path / "kb"]), ["sorrel-300"])["sorrel-300"]
        assert Donor("own-car", title, "front") in found
        assert KESSARIN in found


def listed(shop: Workshop) -> Fits:
    return fits(shop, "tammick-van", "front", verdicts=("bolts on", "fits with work"))


def test_fits_says_where_parts_that_are_not_its_own_come_from(shipped: Workshop) -> None:
    found = listed(shipped)
    assert KESSARIN in found.donors["tovan-q4/44"]
    assert KESSARIN in found.donors["sorrel-300"]
    own = shipped.base.get(Platform, "tammick-van").front.stock
    assert not {own.caliper.text, own.carrier.text, own.disc.text} & set(found.donors)
    shown = {i for r in found.rows for i in (*(p.id for p in r.parts), *sum(r.alike.values(), ()))}
    assert set(found.donors) <= shown


def test_the_page_and_csv_name_them(shipped: Workshop) -> None:
    found = listed(shipped)
    page = fits_text(found).replace("\xa0", " ")
    assert "  Caliper stock on Kessarin estate front.\n" in page
    assert "Disc sorrel-300 stock on Kessarin estate front." in page
    assert max(map(len, page.splitlines())) <= 80
    assert "sorrel-300: kessarin-estate front" in fits_csv(found)


def test_cars_are_named_once_with_both_axles_and_counted_beyond_some() -> None:
    pair = (Donor("a", "Car A", "front"), Donor("a", "Car A", "rear"), Donor("b", "Car B", "rear"))
    assert donors_words(pair) == "Car A front and rear, Car B rear"
    many = tuple(Donor(f"c{n}", f"C{n}", "front") for n in range(MOST_DONORS + 2))
    assert donors_words(many).endswith(f"C{MOST_DONORS - 1} front and 2 more")


def test_a_knuckle_asked_of_takes_leads_on_to_fits(shipped: Workshop) -> None:
    with pytest.raises(BadInput, match=r"fits PLATFORM.*it stands in tammick-van front$"):
        takes(shipped, "tammick-front")
    with pytest.raises(BadInput, match=r"`lugplane fits tammick-van`"):
        takes(shipped, "tammick-van")
    with pytest.raises(BadInput, match="name caliper, carrier, disc, pad, wheel"):
        takes(shipped, "demo-bench")
    assert [d.platform for d in carriers_of(shipped.base, "tammick-front")] == ["tammick-van"]
    assert list(carriers_of(shipped.base, "nothing")) == []


def test_donors_are_plain_in_json(shipped: Workshop) -> None:
    from lugplane.render.tables_fits import fits_json

    data = json.loads(fits_json(listed(shipped)))
    assert {"platform": "kessarin-estate", "title": "Kessarin estate", "axle": "front"} in data[
        "donors"
    ]["tovan-q4/44"]
    assert data["rim_in"] is None
