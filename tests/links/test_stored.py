"""Pair checks read from the store are those of memory, whatever has become of the store."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from shutil import copytree

import pytest

from lugplane.facts import program
from lugplane.facts.records import RECORDS
from lugplane.links import stored
from lugplane.links.links import ALONE, Links, Met
from lugplane.links.pair import Judge
from lugplane.links.relation import EARS, RELATIONS
from lugplane.links.stored import StoredLinks, keep_links, open_links
from lugplane.workshop import Workshop

SHIPPED = Path(__file__).resolve().parents[2] / "kb"


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    program.program_seen.cache_clear()  # each test is a run of the program as it is now
    monkeypatch.setenv("LUGPLANE_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture
def kb(tmp_path: Path, cache: Path) -> Path:
    """Knuckles and what is bolted to them."""
    for kind in ("sources", "knuckles", "calipers", "carriers", "discs", "pads"):
        copytree(SHIPPED / kind, tmp_path / "kb" / kind)
    return tmp_path / "kb"


@pytest.fixture
def judged(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, str]]:
    """The pairs of which rows were worked out."""
    done: list[tuple[str, str]] = []
    real = Judge.rows

    def noted(self: Judge, host: object, guest: object) -> object:
        done.append((host.id, guest.id))  # type: ignore[attr-defined]
        return real(self, host, guest)  # type: ignore[arg-type]

    monkeypatch.setattr(Judge, "rows", noted)
    return done


def everything(links: Links) -> Iterator[tuple[str, str, str, Met]]:
    for relation in RELATIONS:
        kinds = [k for k in relation.guests if (relation, k) != (EARS, "caliper")]
        for host in links.base.all(RECORDS[relation.host]):
            for kind in [*kinds, ALONE] if relation is EARS else kinds:
                for adapter in (False, True) if relation is EARS else (False,):
                    met = links.met(relation, host, kind, adapter)
                    yield f"{relation.name} {adapter}", host.id, kind, met


def test_the_store_says_what_memory_says(kb: Path, judged: list[tuple[str, str]]) -> None:
    shop = Workshop.open(only=kb)
    right = list(everything(Links(shop.base, shop.rulebook)))
    assert sum(len(met.kept) for *_, met in right) > 100
    first = open_links(shop)
    assert isinstance(first, StoredLinks)
    assert list(everything(first)) == right
    keep_links(first)
    judged.clear()
    again = open_links(Workshop.open(only=kb))
    assert isinstance(again, StoredLinks)
    assert list(everything(again)) == right
    assert judged == []
    assert sorted(again.alone()) == sorted(Links(shop.base, shop.rulebook).alone())
    assert again.carried() == Links(shop.base, shop.rulebook).carried()


def test_a_changed_part_is_judged_again_and_no_other(
    kb: Path, judged: list[tuple[str, str]]
) -> None:
    links = open_links(Workshop.open(only=kb))
    list(everything(links))
    keep_links(links)
    judged.clear()
    path = kb / "discs" / "sorrel-300.yaml"
    path.write_text(path.read_text("utf-8").replace("bore_mm: 65.05", "bore_mm: 65.07"), "utf-8")
    links = open_links(Workshop.open(only=kb))
    found = list(everything(links))
    # Pairs that name one another are told anew: that is no reckoning.
    again = {guest for host, guest in judged if links.base.kind_of(host) == "knuckle"}
    assert again == {"sorrel-300"}
    shop = Workshop.open(only=kb)
    assert found == list(everything(Links(shop.base, shop.rulebook)))


def not_failing(links: Links) -> list[tuple[str, str, bool, list[str]]]:
    return [
        (host.id, kind, adapter, sorted(links.not_failing(EARS, host, kind, adapter)))
        for host in links.base.all(RECORDS["knuckle"])
        for kind in (ALONE, "carrier")
        for adapter in (False, True)
    ]


def test_what_an_adapter_plate_brings_in_is_kept(
    kb: Path, cache: Path, judged: list[tuple[str, str]]
) -> None:
    shop = Workshop.open(only=kb)
    right = not_failing(Links(shop.base, shop.rulebook))
    without, plates = (sum(len(ids) for *_, a, ids in right if a is x) for x in (False, True))
    assert 0 < without < plates
    first = open_links(shop)
    assert not_failing(first) == right
    keep_links(first)
    judged.clear()
    assert not_failing(open_links(shop)) == right
    assert judged == []
    (file,) = cache.glob("links-*.sqlite")
    connection = sqlite3.connect(file, isolation_level=None)
    damage = "UPDATE part SET id = id || '?' WHERE n % 3 = 0"
    assert connection.execute(damage).rowcount > 3
    connection.close()
    assert not_failing(open_links(shop)) == right
    assert judged


@pytest.mark.parametrize("share", [0, 20, 70, 99])
def test_a_store_cut_short_is_made_again(kb: Path, cache: Path, share: int) -> None:
    shop = Workshop.open(only=kb)
    links = open_links(shop)
    right = list(everything(links))
    keep_links(links)
    (file,) = cache.glob("links-*.sqlite")
    content = file.read_bytes()
    file.write_bytes(content[: len(content) * share // 100])
    assert list(everything(open_links(shop))) == right


def test_a_lie_in_the_store_is_not_believed(kb: Path, cache: Path) -> None:
    shop = Workshop.open(only=kb)
    links = open_links(shop)
    right = list(everything(links))
    keep_links(links)
    (file,) = cache.glob("links-*.sqlite")
    content = file.read_bytes()
    assert b'"fails"' in content
    file.write_bytes(content.replace(b'"fails"', b'"holds"'))
    assert list(everything(open_links(shop))) == right


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE host SET digest = 'x'",
        "UPDATE part SET id = id || '?' WHERE n % 3 = 0",
        "UPDATE grade SET told = told || '?'",
    ],
)
def test_damaged_rows_do_not_stay(
    kb: Path, cache: Path, judged: list[tuple[str, str]], damage: str
) -> None:
    """The run that meets them reckons them, the one after that keeps what it reckons."""
    shop = Workshop.open(only=kb)
    first = open_links(shop)
    right = list(everything(first))
    keep_links(first)
    (file,) = cache.glob("links-*.sqlite")
    connection = sqlite3.connect(file, isolation_level=None)
    assert connection.execute(damage).rowcount > 1
    connection.close()
    for _ in range(2):
        links = open_links(shop)
        assert list(everything(links)) == right
        keep_links(links)
    judged.clear()
    assert list(everything(open_links(shop))) == right
    assert judged == []


def test_without_a_cache_they_are_reckoned(kb: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LUGPLANE_CACHE", "off")
    assert type(open_links(Workshop.open(only=kb))) is Links


def test_a_folder_that_cannot_be_written(kb: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LUGPLANE_CACHE", "/dev/null/lugplane")
    assert type(open_links(Workshop.open(only=kb))) is Links


def test_a_program_that_was_only_touched_is_the_same(
    kb: Path, tmp_path: Path, judged: list[tuple[str, str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "engine"
    code = home / "links" / "code.py"
    code.parent.mkdir(parents=True)
    code.write_text("1\n")
    os.utime(code, (1, 1))
    monkeypatch.setattr(program, "_HOME", home)
    readings: list[str] = []

    def noted(rooms: program.Rooms) -> str:
        readings.append("read")
        return program.program_digest(rooms)

    monkeypatch.setattr(stored, "program_digest", noted)

    def restarted() -> StoredLinks:
        program.program_seen.cache_clear()
        links = open_links(Workshop.open(only=kb))
        assert isinstance(links, StoredLinks)
        return links

    try:
        first = restarted()
        right = list(everything(first))
        keep_links(first)
        judged.clear()
        readings.clear()
        assert list(everything(restarted())) == right
        assert (judged, readings) == ([], [])
        os.utime(code, (2, 2))
        assert list(everything(restarted())) == right
        assert (judged, readings) == ([], ["read"])
        assert list(everything(restarted())) == right
        assert (judged, readings) == ([], ["read"])
        code.write_text("2\n")
        os.utime(code, (2, 2))
        assert list(everything(restarted())) == right
        assert judged
    finally:
        program.program_seen.cache_clear()


def test_other_limits_are_other_links(kb: Path) -> None:
    shop = Workshop.open(only=kb)
    links = open_links(shop)
    list(everything(links))
    keep_links(links)
    limits = dict(shop.rulebook.limits.limits)
    name = next(n for n, limit in limits.items() if limit.bands[0].state == "holds")
    bands = (replace(limits[name].bands[0], state="fails"), *limits[name].bands[1:])
    limits[name] = replace(limits[name], bands=bands)
    strict = replace(shop.rulebook, limits=replace(shop.rulebook.limits, limits=limits))
    other = open_links(replace(shop, rulebook=strict))
    assert list(everything(other)) == list(everything(Links(shop.base, strict)))
    again = open_links(shop)
    assert list(everything(again)) == list(everything(Links(shop.base, shop.rulebook)))
