"""A whole list comes back from its text as it was, and is told instead of being judged again."""

from __future__ import annotations

from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from lugplane.answers.fit import VERDICTS
from lugplane.answers.fit_plain import fits_from_text, fits_to_text
from lugplane.answers.fits import Fits, fits
from lugplane.answers.fits_told import fits_told
from lugplane.facts import program
from lugplane.facts.ground import Ground
from lugplane.render.tables_fits import fits_csv, fits_json, fits_text
from lugplane.workshop import Workshop

CAR, AXLE = "kessarin-estate", "front"
QUESTION = ("fits", CAR, AXLE)


@pytest.mark.parametrize(
    "asked",
    [
        {},
        {"verdicts": VERDICTS[:3], "fold": True},
        {"adapters": True, "wheel": "16"},
        {"with_": ["tovan-t4"]},
    ],
)
def test_a_list_comes_back_as_it_was(small: Workshop, asked: dict[str, Any]) -> None:
    found = fits(small, CAR, AXLE, **asked)
    again = fits_from_text(fits_to_text(found))
    assert again == found
    assert repr(again) == repr(found)
    for form in (fits_text, fits_csv, fits_json):
        assert form(again) == form(found)


def test_every_piece_of_a_list_comes_back() -> None:
    """Of the shipped facts some list has each of them."""
    workshop = Workshop.open()
    lists = [fits(workshop, "tammick-van", axle, fold=True) for axle in ("front", "rear")]
    lists.append(fits(workshop, "tammick-van", "front", with_=["tovan-t4"]))
    for name in ("turned_down", "unfit", "titles", "donors", "rows", "wheels"):
        assert any(getattr(found, name) for found in lists), name
    rows = [row for found in lists for row in found.rows]
    for name in ("stack", "bolts", "asks", "wheels", "alike", "cars"):
        assert any(getattr(row, name) for row in rows), name
    asks = [ask for row in rows for ask in row.asks]
    for name in ("value", "bands", "missing", "settles"):
        assert any(getattr(ask, name) for ask in asks), name
    for found in lists:
        assert fits_from_text(fits_to_text(found)) == found


@pytest.fixture
def kb(small_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    program.program_seen.cache_clear()  # each test is a run of the program as it is now
    monkeypatch.setenv("LUGPLANE_CACHE", str(tmp_path / "cache"))
    return copytree(small_folder, tmp_path / "kb")


def test_it_is_told_while_it_holds(kb: Path) -> None:
    judged: list[int] = []

    def ask() -> Fits:
        def judge() -> Fits:
            judged.append(1)
            return fits(Workshop.open(only=kb), CAR, AXLE)

        return fits_told(Ground.of([kb]), QUESTION, judge)

    first = ask()
    assert ask() == first
    assert len(judged) == 1
    path = kb / "discs" / "sorrel-300.yaml"
    text = path.read_text("utf-8")
    assert "title: " in text
    path.write_text(text.replace("title: ", "title: Another "), "utf-8")
    assert ask() != first
    assert len(judged) == 2


def test_without_a_question_or_a_ground_nothing_is_kept(kb: Path, tmp_path: Path) -> None:
    found = fits(Workshop.open(only=kb), CAR, AXLE)
    told = tmp_path / "cache"
    assert fits_told(None, QUESTION, lambda: found) is found
    assert fits_told(Ground.of([kb]), None, lambda: found) is found
    assert not list(told.glob("told-*"))
    assert fits_told(Ground.of([kb]), QUESTION, lambda: found) is found
    assert len(list(told.glob("told-*"))) == 1
