"""Verdicts that are kept come back as they were, and only while what they rest on is the same."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from shutil import copytree

import pytest

from lugplane.answers.fit import CarLook, FitBench, Memo
from lugplane.answers.fits import Fits, fits
from lugplane.answers.kept import Kept
from lugplane.facts import program
from lugplane.facts.base import Base
from lugplane.facts.reach import APART, UNREAD, Reach
from lugplane.facts.records import RECORDS
from lugplane.links.candidates import Candidate, candidates
from lugplane.links.links import Links
from lugplane.setup.assemble import assemble
from lugplane.workshop import Workshop

SHIPPED = Path(__file__).resolve().parents[2] / "kb"
CAR, AXLE = "kessarin-estate", "front"
Judged = list[tuple[str, ...]]


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    program.program_seen.cache_clear()  # each test is a run of the program as it is now
    monkeypatch.setenv("LUGPLANE_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture
def kb(small_folder: Path, tmp_path: Path, cache: Path) -> Path:
    return copytree(small_folder, tmp_path / "kb")


@pytest.fixture
def judged(monkeypatch: pytest.MonkeyPatch) -> Judged:
    """The parts of the candidates that were judged, as they are."""
    done: Judged = []
    real = FitBench._judged

    def noted(self: FitBench, candidate: object) -> object:
        done.append(candidate.parts)  # type: ignore[attr-defined]
        return real(self, candidate)  # type: ignore[arg-type]

    monkeypatch.setattr(FitBench, "_judged", noted)
    return done


def ask(folder: Path) -> Fits:
    shop = Workshop.open(only=folder)
    return fits(shop, CAR, AXLE, kept=Kept(shop, Memo()))


def rewrite(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


def test_they_come_back_as_they_were(kb: Path, judged: Judged) -> None:
    first = ask(kb)
    assert len(judged) == len(first.rows) > 10
    judged.clear()
    assert ask(kb) == first
    assert judged == []


@pytest.fixture
def cars(monkeypatch: pytest.MonkeyPatch) -> Judged:
    """The parts of the candidates of which the whole car was looked at."""
    done: Judged = []
    real = FitBench._looked_at

    def noted(self: FitBench, candidate: Candidate) -> CarLook:
        done.append(candidate.parts)
        return real(self, candidate)

    monkeypatch.setattr(FitBench, "_looked_at", noted)
    return done


def test_whole_cars_come_back_as_they_were(kb: Path, cars: Judged) -> None:
    first = ask(kb)
    assert len(cars) > 2
    assert any(look.settles for row in first.rows for look in row.cars)
    cars.clear()
    assert ask(kb) == first
    assert cars == []


def test_a_car_is_looked_at_again_where_its_compound_changed(kb: Path, cars: Judged) -> None:
    ask(kb)
    cars.clear()
    rewrite(kb / "pads" / "kite-120.yaml", "0.36..0.42", "0.30..0.52")
    again = ask(kb)
    assert cars
    assert fits(Workshop.open(only=kb), CAR, AXLE) == again


def test_a_car_is_looked_at_again_where_the_other_axle_changed(
    tmp_path: Path, cache: Path, cars: Judged
) -> None:
    """By a part that no candidate of this axle names."""
    folder = copytree(SHIPPED, tmp_path / "kb")

    def some() -> Fits:
        shop = Workshop.open(only=folder)
        named = ("tovan-q4/44", "sorrel-300", "kite-120/street")
        return fits(shop, CAR, AXLE, with_=named, kept=Kept(shop, Memo()))

    first = some()
    assert len(cars) == 1
    cars.clear()
    assert some() == first
    assert cars == []
    rewrite(folder / "pads" / "pipit-74.yaml", "title: ", "title: Other ")
    some()
    assert len(cars) == 1


def test_a_changed_part_is_judged_again_and_others_are_not(kb: Path, judged: Judged) -> None:
    ask(kb)
    judged.clear()
    rewrite(kb / "discs" / "dim-300.yaml", "300 x 28", "300 x 28, worn")
    again = ask(kb)
    assert judged
    assert all("dim-300" in parts for parts in judged)
    assert fits(Workshop.open(only=kb), CAR, AXLE) == again


def _carrier(folder: Path) -> None:
    rewrite(folder / "carriers" / "hasket-bracket-142.yaml", "title: ", "title: Other ")


def _knuckle(folder: Path) -> None:
    name = f"{CAR.split('-')[0]}-front.yaml"
    rewrite(folder / "knuckles" / name, "title: ", "title: Other ")


def _platform(folder: Path) -> None:
    rewrite(folder / "platforms" / f"{CAR}.yaml", "title: ", "title: Other ")


@pytest.mark.parametrize("change", [_carrier, _knuckle, _platform])
def test_what_all_rest_on_is_noticed(
    kb: Path, judged: Judged, change: Callable[[Path], None]
) -> None:
    first = ask(kb)
    judged.clear()
    change(kb)
    assert len(ask(kb).rows) == len(first.rows) == len(judged)


def test_another_rulebook(kb: Path, judged: Judged) -> None:
    shop = Workshop.open(only=kb)
    fits(shop, CAR, AXLE, kept=Kept(shop, Memo()))
    judged.clear()
    steps = replace(shop.rulebook.steps, caution=())
    other = replace(shop, rulebook=replace(shop.rulebook, steps=steps))
    fits(other, CAR, AXLE, kept=Kept(other, Memo()))
    assert judged


def test_a_program_that_was_changed_since_it_began(
    kb: Path, judged: Judged, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ask(kb)
    judged.clear()
    home = tmp_path / "engine"
    (home / "measure").mkdir(parents=True)
    (home / "measure" / "code.py").write_text("1\n")
    monkeypatch.setattr(program, "_HOME", home)
    program.program_seen.cache_clear()
    try:
        ask(kb)
        assert judged  # another program
        judged.clear()
        ask(kb)
        assert judged == []
        (home / "measure" / "code.py").write_text("22\n")
        ask(kb)
        assert judged  # what runs is not what is there
    finally:
        program.program_seen.cache_clear()


@pytest.mark.parametrize("share", [0, 10, 60, 99])
def test_damaged_files_are_no_files(kb: Path, cache: Path, judged: Judged, share: int) -> None:
    first = ask(kb)
    (file,) = cache.glob("judged-*.sqlite")
    content = file.read_bytes()
    file.write_bytes(content[: len(content) * share // 100])
    judged.clear()
    assert ask(kb) == first
    judged.clear()
    assert ask(kb) == first
    assert judged == []


def test_a_lie_in_the_file_is_not_believed(kb: Path, cache: Path) -> None:
    first = ask(kb)
    (file,) = cache.glob("judged-*.sqlite")
    content = file.read_bytes()
    assert b'"does not fit"' in content
    file.write_bytes(content.replace(b'"does not fit"', b'"bolts on  now"'))
    assert ask(kb) == first


def test_off_keeps_nothing(kb: Path, judged: Judged, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LUGPLANE_CACHE", "off")
    first = ask(kb)
    judged.clear()
    assert ask(kb) == first
    assert judged


def test_a_row_comes_back_with_everything_in_it(kb: Path) -> None:
    """Every field of a row: what is kept is JSON, and the answer is told from it alike."""
    first = ask(kb)
    again = ask(kb)
    assert repr(again) == repr(first)  # tuples, not lists
    assert any(row.wheels for row in again.rows)
    assert json.dumps(again.counts) == json.dumps(first.counts)


class _Noting(Base):
    """A base that notes which records are decoded."""

    def __init__(self, base: Base) -> None:
        self.__dict__ = {**base.__dict__, "_records": {}, "kept": {}, "read": set()}

    def _decode(self, id_: str) -> object:  # type: ignore[override]
        self.read.add(id_)  # type: ignore[attr-defined]
        return super()._decode(id_)


@pytest.mark.parametrize("platform", ["kessarin-estate", "tammick-van", "wessock-van"])
@pytest.mark.parametrize("axle", ["front", "rear"])
def test_a_setup_is_put_together_from_what_its_digest_covers(platform: str, axle: str) -> None:
    """Whatever is read of a base while a candidate is judged, on either axle, is in the digest."""
    shop = Workshop.open()
    found = candidates(Links(shop.base, shop.rulebook), platform, axle).items
    step = max(1, len(found) // 6)
    for candidate in found[::step]:
        base = _Noting(shop.base)
        bench = FitBench(replace(shop, base=base))
        bench.sieved(candidate)
        bench.fit(candidate)
        assemble(base, candidate.wanted())
        reach = Reach(base)
        covered: set[str] = set()
        for id_ in (platform, *candidate.parts):
            covered |= reach.ids(id_)
        read = {i for i in base.read if base.kind_of(i) in APART | UNREAD}  # type: ignore[attr-defined]
        assert base.read & set(base.ids("bolt"))  # type: ignore[attr-defined]
        assert read <= covered
    assert set(RECORDS) >= APART | UNREAD
