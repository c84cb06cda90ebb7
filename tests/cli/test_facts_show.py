"""`facts show`: values, readings, rivals, places, who relies on a record and where it stands."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from jsonschema import Draft202012Validator

from lugplane.answers.fits import fits
from lugplane.answers.listed import KINDS as LISTED
from lugplane.answers.part_shown import PartShown, part_shown, referring
from lugplane.cli.facts import facts
from lugplane.errors import BadInput
from lugplane.facts.records import RECORDS
from lugplane.links.candidates import KINDS
from lugplane.render.part_shown import part_json, part_text
from lugplane.workshop import Workshop

ROOT = Path(__file__).parents[2]
KB = ROOT / "kb"
PLATFORM = "thimbrel-saloon"
Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture(scope="module")
def shipped() -> Workshop:
    return Workshop.open(only=KB)


@pytest.fixture(scope="module")
def caliper(shipped: Workshop) -> PartShown:
    return part_shown(shipped, "tovan-q4/44")


def call(*args: str) -> Result:
    return CliRunner().invoke(facts, ["show", *args, "--only-kb", str(KB)], standalone_mode=False)


def line_of(file: str, start: str) -> int:
    lines = (KB / file).read_text("utf-8").splitlines()
    return next(n for n, line in enumerate(lines, 1) if line.strip().startswith(start))


def test_a_fact_with_its_readings_and_its_rival(caliper: PartShown) -> None:
    fact = next(f for f in caliper.facts if f.line.path == "caliper.face_to_centre_mm")
    first, rival = fact.line.readings
    assert (first.lo, first.hi, first.nominal) == pytest.approx((46.35, 46.45, 46.4))
    assert (first.basis, first.name, first.source) == ("invented", "bench", "demo-bench")
    assert (first.locator, first.date) == ("sheet C1", "2026-03-21")
    assert (rival.name, rival.nominal, rival.date) == ("cat", 47.0, "")
    # 47.0 - 0.3 stays 0.25 away from 46.4 + 0.05.
    assert fact.beyond == (pytest.approx(0.25),)
    line = line_of("calipers/tovan-q4.yaml", "face_to_centre_mm")
    assert f"tovan-q4.yaml:{line}:" in fact.line.at


def test_a_member_has_its_own_place(shipped: Workshop) -> None:
    shown = part_shown(shipped, "tovan-q4/44-inch")
    assert shown.family == "tovan-q4"
    assert set(shown.members) == {"tovan-q4/41", "tovan-q4/44", "tovan-q4/48"}
    assert "motor sport" in shown.notes
    hose = next(f for f in shown.facts if f.line.path == "caliper.hose")
    line = line_of("calipers/tovan-q4.yaml", "hose: 3/8-24 UNF")
    assert f":{line}:" in hose.line.at


def test_a_retired_id_leads_to_its_successor(shipped: Workshop, caliper: PartShown) -> None:
    assert part_shown(shipped, "tovan-q4-sport") == caliper
    assert caliper.moved == ("tovan-q4-sport",)


def test_an_assumed_doubt_says_so(tmp_path: Path) -> None:
    folder = tmp_path / "kb" / "discs"
    folder.mkdir(parents=True)
    (folder / "d.yaml").write_text(
        "kind: disc\nid: d\ntitle: D\nreadings:\n  cat: {basis: invented}\n"
        "unless_said: cat\nheight_mm: 48\nthickness_mm: 28 ±0.1\n",
        "utf-8",
    )
    result = CliRunner().invoke(
        facts, ["show", "d", "--only-kb", str(tmp_path / "kb")], standalone_mode=False
    )
    rows = [x for x in result.stdout.splitlines() if " mm" in x]
    assert [("assumed" in x) for x in sorted(rows)] == [True, False]
    assert "No other record names it." in result.stdout
    assert "It stands in no setup that comes into question." in result.stdout


def test_who_relies_on_it(shipped: Workshop, caliper: PartShown) -> None:
    found = {(r.kind, r.id, r.path) for r in caliper.referring}
    assert found >= {
        ("platform", "kessarin-estate", "platform.front.stock.caliper"),
        ("trial", "tammick-q4-first", "trial.parts.caliper"),
        ("offer", "tovan-q4-44-rebuilt", "offer.part"),
    }
    disc = {(r.kind, r.id, r.path) for r in part_shown(shipped, "sorrel-300").referring}
    assert ("caliper", "tovan-q4", "caliper.designed_for.disc") in disc
    assert ("platform", "kessarin-estate", "platform.front.stock.disc") in disc
    pad = {(r.kind, r.id, r.path) for r in part_shown(shipped, "kite-120/street").referring}
    assert ("caliper", "tovan-q4", "caliper.pad") in pad, "a shape stands for its compounds"
    source = {(r.kind, r.path) for r in part_shown(shipped, "demo-report").referring}
    assert ("trial", "trial.readings.report.source") in source


def test_every_reference_of_the_shipped_facts_is_shown(shipped: Workshop) -> None:
    """Whatever the files name by `stock` is told by the part that is named."""
    for platform in shipped.base.ids("platform"):
        stock = shipped.base.single(platform).data["front"].get("stock", {})
        for kind, id_ in stock.items():
            named = shipped.base.members(id_) or (id_,)
            shown = named_by(shipped, named[0])
            assert (platform, f"platform.front.stock.{kind}") in shown


def named_by(workshop: Workshop, id_: str) -> set[tuple[str, str]]:
    return {(r.id, r.path) for r in referring(workshop.base, workshop.base.single(id_))}


@pytest.fixture(scope="module")
def listed(shipped: Workshop) -> dict[str, set[tuple[str, ...]]]:
    """Every setup that `fits` lists on either axle of a platform, by its parts."""
    found: dict[str, set[tuple[str, ...]]] = {}
    for axle in ("front", "rear"):
        rows = fits(shipped, PLATFORM, axle).rows
        pools = [[(r.part(k), *r.alike.get(k, ())) for k in KINDS] for r in rows]
        found[axle] = {key for pool in pools for key in product(*pool)}
    return found


@pytest.mark.parametrize("part", ["askel-a4/40", "pewit-bracket-130", "pipit-74", "betony-320"])
def test_the_setups_it_stands_in_are_those_of_fits(
    shipped: Workshop, listed: dict[str, set[tuple[str, ...]]], part: str
) -> None:
    id_ = next(iter(shipped.base.members(part)), part)
    shown = part_shown(shipped, id_)
    assert shown.stands_in
    by_axle = {(s.platform, s.axle): (s.setups, s.of) for s in shown.stands_in}
    for axle, keys in listed.items():
        n = sum(id_ in key for key in keys)
        assert by_axle.get((PLATFORM, axle)) == ((n, len(keys)) if n else None)


def test_kinds_that_come_into_no_setup(shipped: Workshop) -> None:
    assert part_shown(shipped, "demo-report").stands_in is None
    assert part_shown(shipped, "kessarin-thin").stands_in is None


def test_as_it_is_printed() -> None:
    result = call("tovan-q4/44")
    assert result.return_value == 0, result.exception
    said = result.stdout
    assert max(map(len, said.splitlines())) <= 80
    words = " ".join(said.split())
    assert "Another reading, not used: 47 ±0.3 mm; invented, demo-catalogue" in words
    assert "apart from the first by 0.25 mm" in words
    assert "Invented, demo-bench, sheet C1, 2026-03-21." in said
    assert "front.stock.caliper" in said
    assert "Stands in " in said


def test_a_record_that_is_not_there_is_one_line(lugplane: Run) -> None:
    result = call("tovan-q5")
    assert isinstance(result.exception, BadInput)
    assert "close to it" in str(result.exception)
    done = lugplane("facts", "show", "tovan-q4")
    assert (done.returncode, done.stdout) == (2, "")
    assert "is a family: name one of" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_json_of_every_kind_by_its_schema(shipped: Workshop) -> None:
    def schema() -> Any:
        return json.loads((ROOT / "schemas" / "answers" / "part.json").read_text("utf-8"))

    validator = Draft202012Validator(schema())
    Draft202012Validator.check_schema(schema())
    for kind in RECORDS.keys() - {"moved"}:
        id_ = shipped.base.ids(kind)[0]
        shown = part_shown(shipped, id_)
        found = json.loads(part_json(shown))
        assert list(validator.iter_errors(found)) == [], id_
        assert (found["id"], found["kind"]) == (id_, kind)
        assert max(map(len, part_text(shown).splitlines())) <= 80
    assert json.loads(call("demo-report", "--json").stdout)["answer"] == "part"


def test_a_private_folder_is_shown_with_the_rest(tmp_path: Path) -> None:
    folder = tmp_path / "kb" / "discs"
    folder.mkdir(parents=True)
    shutil.copy(KB / "discs" / "sorrel-300.yaml", folder / "own-300.yaml")
    text = (folder / "own-300.yaml").read_text("utf-8")
    (folder / "own-300.yaml").write_text(text.replace("id: sorrel-300", "id: own-300"), "utf-8")
    result = CliRunner().invoke(
        facts, ["show", "own-300", "--kb", str(tmp_path / "kb")], standalone_mode=False
    )
    assert "No other record names it." in result.stdout
    assert "Stands in " in result.stdout


def test_the_notes_of_a_trial_are_said_once_and_are_no_fact(shipped: Workshop) -> None:
    found = part_shown(shipped, "hobbrin-q6-second")
    assert found.notes.startswith("Differs from the first trial")
    assert "trial.notes" not in {f.line.path for f in found.facts}
    text = part_text(found)
    assert text.count("Differs from the first trial") == 1
    assert "notes" not in text


def test_a_kind_in_place_of_a_part_lists_its_records(shipped: Workshop) -> None:
    for word in ("wheel", "wheels"):
        said = call(word).output
        assert "Wheels\n" in said
        for id_ in shipped.base.ids("wheel"):
            assert f"\n  {id_} " in said
        assert "tovan-q4" not in said


def test_without_a_part_every_record_is_listed(shipped: Workshop) -> None:
    found = json.loads(call("--json").output)
    schema = json.loads((ROOT / "schemas" / "answers" / "parts.json").read_text("utf-8"))
    Draft202012Validator(schema).validate(found)
    assert found["kinds"] == list(LISTED)
    assert {i["id"] for i in found["items"]} == {
        i for kind in LISTED for i in shipped.base.ids(kind)
    }
    assert all(i["title"] for i in found["items"])


def test_a_list_keeps_to_the_width(shipped: Workshop) -> None:
    assert max(len(line) for line in call().output.splitlines()) <= 80
