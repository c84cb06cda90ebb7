"""`steps.yaml`: every hold point stops works that there are."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from lugplane.data import data_folder
from lugplane.deduce.rulebook import read_rulebook
from lugplane.errors import BadFacts


def test_every_hold_point_says_what_it_stops() -> None:
    steps = read_rulebook(data_folder() / "rules").steps
    works = {step.id for step in steps.work}
    for hold in steps.hold:
        assert hold.before, hold.id
        assert set(hold.before) <= works
    assert not any(step.before for step in (*steps.work, *steps.buy, *steps.caution))


def test_a_work_that_there_is_not_is_told(tmp_path: Path) -> None:
    rules = tmp_path / "rules"
    shutil.copytree(data_folder() / "rules", rules)
    file = rules / "steps.yaml"
    text = file.read_text("utf-8")
    assert "before: [adapter]" in text
    file.write_text(text.replace("before: [adapter]", "before: [adaptor]"), "utf-8")
    with pytest.raises(BadFacts, match="hold engineer: before adaptor"):
        read_rulebook(rules)
