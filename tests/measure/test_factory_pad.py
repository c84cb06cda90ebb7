"""Where the factory's pad is known by its shape alone, no compound named is taken for it."""

from __future__ import annotations

from pathlib import Path
from shutil import copytree

import pytest

from lugplane.quantity.judge import CANNOT_TELL
from lugplane.setup.assemble import Wanted
from lugplane.workshop import Workshop

KB = Path(__file__).resolve().parents[2] / "kb"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    """The shipped facts, but for the compound of the wambry-hatch's front pads."""
    kb = tmp_path_factory.mktemp("by-shape") / "kb"
    copytree(KB, kb)
    car = kb / "platforms" / "wambry-hatch.yaml"
    told = car.read_text("utf-8")
    assert told.count("godwit-108/street") == 1
    car.write_text(told.replace("godwit-108/street", "godwit-108"), "utf-8")
    return Workshop.open(only=kb)


@pytest.mark.parametrize("pad", ["godwit-108/fast", "godwit-108/street"])
def test_what_hangs_on_the_factory_s_compound_cannot_be_told(shop: Workshop, pad: str) -> None:
    rows = {
        row.check: row.state
        for row in shop.judge(Wanted("wambry-hatch", "front", (pad,)), "plain").sheet.rows
    }
    assert rows["front-share"] == rows["torque-change"] == CANNOT_TELL
