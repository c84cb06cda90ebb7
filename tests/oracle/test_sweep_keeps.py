"""The sweep goes on where it was stopped, forgets nothing, and says what it saw only in part."""

from __future__ import annotations

import importlib.util
import sys
from collections import Counter
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from oracle.both_sides import BothSides
from oracle.read_kb import ROOT


@pytest.fixture(scope="module")
def sweep() -> ModuleType:
    spec = importlib.util.spec_from_file_location("sweep", ROOT / "tools" / "sweep.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["sweep"] = module  # dataclasses look their module up
    spec.loader.exec_module(module)
    return module


def tally(sweep: ModuleType, **more: Any) -> Any:
    return sweep.Tally(judged=3, verdicts=Counter({"brake: bolts on": 3}), **more)


def test_what_is_done_is_found_again(sweep: ModuleType, tmp_path: Path) -> None:
    file = tmp_path / "deep" / "sweep.jsonl"
    told = tally(sweep, kinds=Counter({"stack stack": 2}), examples={"stack stack": "so"})
    sweep.Kept(file, "one").keep("drawn 0", told.as_json())
    again = sweep.Kept(file, "one")
    assert again.done == {"drawn 0": told}
    assert sweep.Kept(file, "another").done == {}


def test_a_line_cut_off_is_done_again(sweep: ModuleType, tmp_path: Path) -> None:
    file = tmp_path / "sweep.jsonl"
    for piece in ("drawn 0", "drawn 25"):
        sweep.Kept(file, "one").keep(piece, tally(sweep).as_json())
    file.write_text(file.read_text("utf-8")[:-20], "utf-8")
    assert set(sweep.Kept(file, "one").done) == {"drawn 0"}


def test_summary_adds_up_and_tells_disagreements(sweep: ModuleType) -> None:
    clean = tally(sweep)
    told = tally(
        sweep, kinds=Counter({"stack stack": 2}), examples={"stack stack": "so"}, disagreeing=1
    )
    text, agree = sweep.summary([("row a front 0", clean), ("drawn 0", clean)], 2)
    assert agree
    assert "a part of the whole" not in text
    assert "Disagreements: 0 of 6 setups" in text
    text, agree = sweep.summary([("row a front 0", clean), ("drawn 0", told)], 9)
    assert not agree
    assert "2 of 9 pieces of work done: a part of the whole" in text
    assert "Disagreements: 1 of 6 setups" in text
    assert "2  stack stack" in text


def test_the_product_is_whole_and_mixed(sweep: ModuleType) -> None:
    every = sweep.pieces(product=True, drawn=60)
    rows = [piece for piece in every if piece.startswith("row")]
    assert len(set(every)) == len(every)
    assert len(every) - len(rows) == 3
    kb = sweep.load(sweep.SHIPPED)
    assert len(rows) == len(sweep.axles(kb)) * len(sweep.seats(kb))
    platforms = [piece.split()[1] for piece in rows]
    assert platforms != sorted(platforms)


def test_every_axle_and_part_has_its_lists(sweep: ModuleType, both: BothSides) -> None:
    kb = both.kb
    every = sweep.list_pieces(kb)
    assert len(set(every)) == len(every)
    sorts = Counter(piece.split()[0] for piece in every)
    parts = sum(len(kb.of(kind)) for kind in ("caliper", "carrier", "disc", "pad", "wheel"))
    assert sorts["fits"] == sorts["plates"] == len(sweep.axles(kb)) == 28
    assert sorts["takes"] > parts, "families besides"
    assert {"takes tovan-q4", "takes tovan-q4/44"} <= set(every)
    assert sorts["same"] == parts + len(kb.of("knuckle")) + len(kb.of("hose"))


def test_summary_of_lists_adds_up_and_tells_disagreements(sweep: ModuleType) -> None:
    rows = sweep.Tally(judged=1, verdicts=Counter({"fits: rows": 20}))
    told = sweep.Tally(
        judged=1,
        verdicts=Counter({"takes: axles": 5}),
        kinds=Counter({"lost": 2}),
        examples={"lost": "so"},
        disagreeing=1,
    )
    text, agree = sweep.list_summary([("fits a front", rows), ("fits a rear", rows)], 4)
    assert agree
    assert "2 of 4 lists held together" in text
    assert "40  rows" in text
    text, agree = sweep.list_summary([("fits a front", rows), ("takes b", told)], 4)
    assert not agree
    assert "Disagreements: 1 of 2 lists" in text
    assert "2  lost\n      so" in text


def test_arguments_that_make_no_sense_are_refused(sweep: ModuleType) -> None:
    with pytest.raises(SystemExit) as refused:
        sweep.main(["--jobs", "0"])
    assert refused.value.code == 2
