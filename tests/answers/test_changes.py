"""What a change changes: the same as a full run before and after tells, and nothing is missed."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from lugplane.answers.changes import (
    FIGURES,
    GAINED,
    JUDGED_AGAIN,
    LOST,
    SAME,
    Changes,
    Key,
    Side,
    changes,
)
from lugplane.answers.changes_records import ADDED, CHANGED, GONE, WORDS
from lugplane.answers.changes_told import Told
from lugplane.answers.fit import Fit
from lugplane.answers.fits import fits
from lugplane.deduce.rulebook import read_rulebook
from lugplane.facts.records import Platform
from lugplane.links.candidates import KINDS
from lugplane.render.changes import changes_text
from lugplane.setup.assemble import Wanted
from lugplane.workshop import Workshop

from .conftest import cut_out, like

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = ROOT / "kb"
PLATFORM, AXLE = "kessarin-estate", "front"
TRIAL = f"""kind: trial
id: tried
title: Tried
readings:
  bench: {{basis: invented, source: demo-bench, plus_minus_mm: 0.1}}
unless_said: bench
platform: {PLATFORM}
axle: {AXLE}
parts: {{caliper: tovan-q4/44, disc: sorrel-300, pad: kite-120}}
measured: {{spacing: 0.0 ±0.1}}
date: "2026-05-30"
"""
Row = Mapping[str, Any]


@pytest.fixture(scope="module")
def folder(small_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small base with hardware and discs to choose from, and a trial of the stock brake."""
    made = tmp_path_factory.mktemp("before") / "kb"
    shutil.copytree(small_folder, made)
    for kind in ("bolts", "washers", "sources"):
        shutil.copytree(SHIPPED / kind, made / kind, dirs_exist_ok=True)
    like(made, "discs/sorrel-300.yaml", "low-300", height_mm="43")  # washers are wanted
    # Here the floating caliper slides, and the disc that it was designed for is another one.
    like(made, "discs/tansy-280.yaml", "like-280", height_mm="46.5", thickness_mm="23.9 ±0.05")
    (made / "trials").mkdir()
    (made / "trials" / "tried.yaml").write_text(TRIAL, "utf-8")
    return made


@pytest.fixture(scope="module")
def before(folder: Path) -> Workshop:
    return Workshop.open(only=folder)


@pytest.fixture(scope="module")
def full_before(before: Workshop) -> Mapping[Key, Row]:
    return full(before)


def full(workshop: Workshop) -> dict[Key, Row]:
    """A full run: every candidate of every axle, each setup that it stands for by itself."""
    found: dict[Key, Row] = {}
    for car in workshop.base.all(Platform):
        for axle in ("front", "rear"):
            if (car.rear if axle == "rear" else car.front).knuckle.known:
                for fit in fits(workshop, car.id, axle, adapters=True).rows:
                    pools = [(fit.part(k), *fit.alike.get(k, ())) for k in KINDS]
                    for caliper, carrier, disc, pad in product(*pools):
                        key = (car.id, axle, caliper, carrier, disc, pad, fit.adapter)
                        found[key] = of_fit(fit)
    return found


def of_fit(fit: Fit) -> Row:
    """What a row of `fits` says; of what does not fit only that."""
    if fit.verdict == "does not fit":
        return {"verdict": fit.verdict}
    return {
        "verdict": fit.verdict,
        "limiting": fit.limiting,
        "margin": None if fit.margin is None else round(fit.margin, 6),
        "trim": round(fit.trim, 6),
        "stack": [(s.kind, s.count, s.thickness_mm) for s in fit.stack],
        "bolts": [(b.record, b.thread, b.length_mm, b.class_) for b in fit.bolts],
        "asking": [(a.check, a.state) for a in fit.asks],
        "wheels": [(w.id, w.verdict, w.limiting, gap(w.gap)) for w in fit.wheels],
    }


def of_told(told: Told | None) -> Row:
    """The same of what is told of a change."""
    if told is None or told.verdict == "does not fit":
        return {"verdict": "does not fit"}
    return {
        "verdict": told.verdict,
        "limiting": told.scopes[0].check,
        "margin": told.scopes[0].margin,
        "trim": told.trim.hi if told.trim else 0.0,
        "stack": [(s.kind, s.count, s.thickness_mm) for s in told.stack],
        "bolts": [(b.record, b.thread, b.length_mm, b.class_) for b in told.bolts],
        "asking": [(a.check, a.state) for a in told.asking],
        "wheels": [(w.id, w.verdict, w.check, gap(w.gap)) for w in told.wheels],
    }


def gap(span: Any) -> tuple[float, float] | None:
    return None if span is None else (round(span.lo, 6), round(span.hi, 6))


def edited(folder: Path, into: Path, edits: Mapping[str, tuple[str, str] | None]) -> Path:
    """A copy with some texts of files replaced, each once; None: the file is taken away."""
    made = into / "kb"
    shutil.copytree(folder, made)
    for name, edit in edits.items():
        file = made / name
        if edit is None:
            file.unlink()
            continue
        old, new = edit
        text = file.read_text("utf-8") if file.exists() else ""
        assert not old or text.count(old) >= 1, f"{name} does not say {old!r}"
        file.write_text(text.replace(old, new, 1) if old else new, "utf-8")
    return made


def compared(one: Workshop, two: Workshop, rules: str = SAME) -> Changes:
    return changes(Side("old", one), Side("new", two), rules)


def by_key(found: Changes) -> dict[Key, tuple[Row, Row]]:
    return {
        (s.platform, s.axle, s.caliper, s.carrier, s.disc, pad, s.adapter): (
            of_told(s.before),
            of_told(s.after),
        )
        for s in found.setups
        for pad in s.pads
    }


EDITS: Mapping[str, Mapping[str, tuple[str, str] | None]] = {
    "disc height": {"discs/sorrel-300.yaml": ("height_mm: 48\n", "height_mm: 48.6\n")},
    "disc not known": {"discs/sorrel-300.yaml": ("bore_mm: 65.05 ±0.02\n", "")},
    "another bolt circle": {"discs/sorrel-300.yaml": ("circle_mm: 112", "circle_mm: 120")},
    "the disc a slide was designed for": {
        "discs/tansy-280.yaml": ("thickness_mm: 24", "thickness_mm: 10")
    },
    "knuckle": {"knuckles/kessarin-front.yaml": ("ear_face_mm: -80.4", "ear_face_mm: -82.9")},
    "bolts of the knuckle": {"knuckles/kessarin-front.yaml": ("length_mm: 40", "length_mm: 34")},
    "caliper": {"calipers/tovan-t4.yaml": ("line_to_bridge_mm: ", "line_to_bridge_mm: 1")},
    "caliper of a family": {"calipers/tovan-q4.yaml": ("slot_mm: 64.0..64.4", "slot_mm: 62..62.2")},
    "one member": {"calipers/tovan-q4.yaml": ("[42, 48]", "[42, 46]")},
    "carrier": {"carriers/hasket-bracket-142.yaml": ("spacing_mm: 142", "spacing_mm: 120")},
    "pad": {"pads/kite-120.yaml": ("min_lining_mm: 2", "min_lining_mm: 3.5")},
    "hose": {"hoses/lathe-430.yaml": ("M10x1", "3/8-24 UNF")},
    "wheel": {"wheels/kessarin-16-cast.yaml": ("offset_mm: 44", "offset_mm: 30")},
    "washer": {"washers/iso-7089.yaml": None, "washers/iso-7090.yaml": None},
    "bolt": {"bolts/iso-8676.yaml": None, "bolts/iso-8765.yaml": None},
    "another disc": {
        "discs/brand-new.yaml": (
            "",
            (SHIPPED / "discs" / "sorrel-300.yaml")
            .read_text("utf-8")
            .replace("id: sorrel-300", "id: brand-new"),
        )
    },
    "one disc less": {"discs/aaa-300-coated.yaml": None},
    "nothing that is judged": {"discs/sorrel-300.yaml": ("title: Front", "title: The front")},
}


@pytest.mark.parametrize("edits", EDITS.values(), ids=EDITS)
def test_what_is_told_is_what_a_full_run_differs_in(
    folder: Path,
    before: Workshop,
    full_before: Mapping[Key, Row],
    tmp_path: Path,
    edits: Mapping[str, tuple[str, str] | None],
) -> None:
    after = Workshop.open(only=edited(folder, tmp_path, edits))
    full_after = full(after)
    none = {"verdict": "does not fit"}
    differ = {
        key: (full_before.get(key, none), full_after.get(key, none))
        for key in {*full_before, *full_after}
        if full_before.get(key, none) != full_after.get(key, none)
    }
    found = compared(before, after)
    told = by_key(found)
    assert {k: v for k, v in told.items() if v[0] != v[1]} == differ
    for key in told.keys() - differ.keys():
        # `fits` does not print a spacing where none is needed, nor what a stack serves.
        assert spacing_of(before, key) != spacing_of(after, key), key
    assert found.setups_total == len({*full_before, *full_after})
    assert found.setups_reached <= found.setups_total


def spacing_of(workshop: Workshop, key: Key) -> object:
    platform, axle, *parts, adapter = key
    wanted = Wanted(platform, axle, tuple(p for p in parts if p), (), adapter)
    sheet = workshop.judge(wanted).sheet
    return [(r.value, r.notes) for r in sheet.rows if r.check in ("spacing", "trim")]


def test_a_seat_that_needs_a_plate_is_told_apart(folder: Path, tmp_path: Path) -> None:
    """Ears so far inboard that there is room for a plate, and lugs that drift apart from them."""
    ears = {"knuckles/kessarin-front.yaml": ("ear_face_mm: -80.4", "ear_face_mm: -97")}
    lugs = {"calipers/tovan-q4.yaml": ("spacing_mm: 142 ±0.1", "spacing_mm: 152 ±0.1")}
    disc = {"discs/sorrel-300.yaml": ("height_mm: 48\n", "height_mm: 48.6\n")}
    met, apart, moved = (
        Workshop.open(only=edited(folder, tmp_path / str(n), edits))
        for n, edits in enumerate((ears, ears | lugs, ears | lugs | disc))
    )
    found = compared(met, apart)
    gained = [s for s in found.setups if s.change == GAINED]
    assert ("tovan-q4/44", "sorrel-300") in {(s.caliper, s.disc) for s in gained}
    for setup in gained:
        assert setup.adapter
        assert setup.before is None, "no plate was needed, nor would one have helped"
        assert setup.after is not None
        assert setup.after.verdict == "fits with work"
    page = changes_text(found, whole=True)
    assert page.count("with an adapter plate") == sum(s.adapter for s in found.setups)
    lost = [s for s in compared(apart, met).setups if s.change == LOST]
    assert {s.adapter for s in lost} == {True}
    assert {s.after for s in lost} == {None}
    figures = [s for s in compared(apart, moved).setups if s.change == FIGURES and s.adapter]
    assert {s.disc for s in figures} == {"sorrel-300"}


def test_the_edits_change_something(folder: Path, before: Workshop, tmp_path: Path) -> None:
    """Every way of changing comes about, or the comparison above would show nothing."""
    seen: set[str] = set()
    for name in ("another bolt circle", "disc height", "another disc"):
        after = Workshop.open(only=edited(folder, tmp_path / name, EDITS[name]))
        seen |= {s.change for s in compared(before, after).setups}
        seen |= {s.change for s in compared(after, before).setups}
    assert seen >= {GAINED, LOST, FIGURES}


def test_a_disc_height_reaches_stock_and_its_trial(
    folder: Path, before: Workshop, tmp_path: Path
) -> None:
    after = Workshop.open(only=edited(folder, tmp_path, EDITS["disc height"]))
    found = compared(before, after)
    (record,) = found.records
    assert (record.id, record.how) == ("sorrel-300", CHANGED)
    (fact,) = record.facts
    assert fact.path == "disc.height_mm"
    assert fact.before
    assert fact.after
    assert (fact.before.readings[0].nominal, fact.after.readings[0].nominal) == (48, 48.6)
    assert fact.after.at.startswith("discs/sorrel-300.yaml:10:")
    stock, trial = found.sheets
    assert (stock.trials, trial.trials) == ((), ("tried",))
    for sheet in (stock, trial):
        assert sheet.before
        assert sheet.after
        assert sheet.before.spacing
        assert sheet.after.spacing
        moved = sheet.after.spacing.nominal - sheet.before.spacing.nominal
        assert moved == pytest.approx(-0.6)
        assert [t.state for t in sheet.before.trials] == ["agrees"]
        assert [t.state for t in sheet.after.trials] == ["disagrees"]
    assert 0 < found.setups_reached < found.setups_total


def test_nothing_changes_between_a_base_and_itself(before: Workshop, folder: Path) -> None:
    found = compared(before, Workshop.open(only=folder))
    assert (found.records, found.setups, found.sheets, found.judged) == ((), (), (), 0)
    assert not found.any


def test_words_layout_and_places_are_no_facts(
    folder: Path, before: Workshop, tmp_path: Path
) -> None:
    after = Workshop.open(
        only=edited(
            folder,
            tmp_path,
            {
                "discs/sorrel-300.yaml": ("height_mm: 48\n", "# the height\nheight_mm: 48\n"),
                "discs/sorrel-316.yaml": ("title: ", "notes: Looked at.\ntitle: "),
                "hoses/lathe-430.yaml": ("title: Front", "title: A front"),
            },
        )
    )
    found = compared(before, after)
    assert {r.id: r.how for r in found.records} == {"lathe-430": WORDS, "sorrel-316": WORDS}
    assert not found.any


def test_records_that_come_and_go(folder: Path, before: Workshop, tmp_path: Path) -> None:
    after = Workshop.open(only=edited(folder, tmp_path, EDITS["another disc"]))
    (there,) = compared(before, after).records
    (back,) = compared(after, before).records
    assert (there.id, there.how, back.how) == ("brand-new", ADDED, GONE)
    gone = compared(after, before)
    assert LOST in {s.change for s in gone.setups}
    for setup in gone.setups:
        assert setup.before
        assert setup.before.verdict != "does not fit"
        assert (setup.after, setup.disc) == (None, "brand-new")


def test_a_setup_that_a_pair_check_turns_down_names_it(
    folder: Path, before: Workshop, tmp_path: Path
) -> None:
    after = Workshop.open(only=edited(folder, tmp_path, EDITS["another bolt circle"]))
    lost = [s for s in compared(before, after).setups if s.change == LOST]
    assert lost
    for setup in lost:
        assert setup.after is not None
        assert setup.after.scopes[0].check == "bolt-circle"


def test_other_rules_have_everything_judged_again(
    folder: Path, before: Workshop, tmp_path: Path
) -> None:
    again = Workshop.open(only=folder).base
    rules = tmp_path / "rules"
    shutil.copytree(ROOT / "rules", rules)
    same = compared(before, Workshop(again, read_rulebook(rules)), JUDGED_AGAIN)
    assert same.setups_reached == same.setups_total > 0
    assert same.sheets_reached == same.sheets_total > 0
    assert not same.any, "the same rules from another folder judge the same"
    # A folder of rules is read once a process.
    others = tmp_path / "others"
    shutil.copytree(rules, others)
    limits = others / "limits.yaml"
    text = limits.read_text("utf-8")
    least = "engagement_aluminium: {value: "
    assert text.count(f"{least}2.0,") == 1
    limits.write_text(text.replace(f"{least}2.0,", f"{least}9.0,"), "utf-8")
    found = compared(before, Workshop(again, read_rulebook(others)), JUDGED_AGAIN)
    assert found.records == ()
    assert {s.change for s in found.setups} >= {LOST}


def test_the_other_axle_reaches_the_whole_car(tmp_path: Path) -> None:
    """A rear lining of unknown form is nothing to the front brake, and something to the car."""
    folder = cut_out(tmp_path / "one" / "kb", PLATFORM)
    one = Workshop.open(only=folder)
    two = Workshop.open(
        only=edited(
            folder,
            tmp_path / "two",
            {
                "pads/pipit-74.yaml": (
                    "lining: {sector: {inner_mm: 100.7, outer_mm: 134.7, angle_deg: 36},",
                    "lining: {",
                )
            },
        )
    )
    found = compared(one, two)
    assert {(s.platform, s.axle) for s in found.sheets} == {(PLATFORM, AXLE), (PLATFORM, "rear")}
    assert {s.axle for s in found.setups} <= {"rear"}
    assert found.setups_reached < found.setups_total
