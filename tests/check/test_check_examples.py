"""Every folder of tests/kb with a `check.txt`: sound facts, and all that a check says of them."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from lugplane.check.codes import CHECK_CODES, EXCEPTABLE, meaning
from lugplane.check.plausible import Plausible, read_plausible
from lugplane.check.run import Asked, Checked, check
from lugplane.facts.codes import CODES
from lugplane.quantity.limits import Assumed
from lugplane.render.check import finding_line

ROOT = Path(__file__).parents[2]
INVALID = ROOT / "tests" / "kb" / "invalid"
VALID = ROOT / "tests" / "kb" / "valid"
BASES = json.loads((ROOT / "schemas" / "shared.json").read_text("utf-8"))["$defs"]["basis"]["enum"]
ASSUMED = {basis: Assumed(mm=0.5, percent=5.0) for basis in BASES}
DAY = date(2026, 11, 25)


def named(pattern: str, under: Path = INVALID) -> list[Path]:
    return sorted(path.parent for path in under.glob(pattern))


@pytest.fixture(scope="module")
def plausible() -> Plausible:
    return read_plausible(ROOT / "rules" / "plausible.yaml")


@pytest.fixture(autouse=True)
def no_cache(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LUGPLANE_CACHE", "off")


def looked_at(example: Path, plausible: Plausible, monkeypatch: pytest.MonkeyPatch) -> Checked:
    monkeypatch.chdir(example)
    return check(Asked((Path("kb"),)), ASSUMED, plausible, DAY)


@pytest.mark.parametrize("example", named("*/check.txt"), ids=lambda p: p.name)
def test_each_mistake_is_told(
    example: Path, plausible: Plausible, monkeypatch: pytest.MonkeyPatch
) -> None:
    checked = looked_at(example, plausible, monkeypatch)
    expected = (example / "check.txt").read_text("utf-8").splitlines()
    assert expected
    assert [finding_line(each) for each in checked.findings] == expected
    assert checked.sound is all(" (warning): " in line for line in expected)


@pytest.mark.parametrize("example", named("*/expect.txt"), ids=lambda p: p.name)
def test_what_facts_are_refused_for_is_told_too(
    example: Path, plausible: Plausible, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = [finding_line(f) for f in looked_at(example, plausible, monkeypatch).findings]
    told = [line for line in lines if line.split(": ")[1] in CODES]
    expected = (example / "expect.txt").read_text("utf-8").splitlines()
    assert len(told) == len(expected)
    for line, wanted in zip(told, expected, strict=True):
        begin, _, end = wanted.partition("…")
        assert line.startswith(begin)
        assert line.endswith(end)


@pytest.mark.parametrize("example", named("checked-*/kb", VALID), ids=lambda p: p.name)
def test_what_is_in_order_passes(
    example: Path, plausible: Plausible, monkeypatch: pytest.MonkeyPatch
) -> None:
    checked = looked_at(example, plausible, monkeypatch)
    assert checked.findings == ()
    assert checked.files == len(list(Path("kb").glob("*/*.yaml")))
    entries = Path("kb/exceptions.yaml")
    assert len(checked.excused) == (entries.read_text().count("code:") if entries.exists() else 0)


def test_each_example_of_a_good_check_is_there() -> None:
    assert len(named("checked-*/kb", VALID)) == 2


def test_many_kinds_of_mistakes_are_kept() -> None:
    assert len(named("*/check.txt")) + len(named("*/expect.txt")) >= 60
    assert not set(named("*/check.txt")) & set(named("*/expect.txt"))


def test_every_code_is_met() -> None:
    met = {
        line.split(": ")[1].removesuffix(" (warning)")
        for path in INVALID.glob("*/check.txt")
        for line in path.read_text("utf-8").splitlines()
    }
    assert set(CHECK_CODES) - met == set()
    assert met - set(CHECK_CODES) - set(CODES) == set()


def test_codes_have_meanings_and_none_is_one_of_the_loaders() -> None:
    assert not set(CHECK_CODES) & set(CODES)
    assert set(CHECK_CODES) > EXCEPTABLE
    for code in [*CHECK_CODES, *CODES]:
        assert 10 < len(meaning(code)) <= 90
    assert meaning("no such code") == ""
