"""Many candidates of which nothing can be told are folded, and nothing else is."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from lugplane.answers import untold as module
from lugplane.answers.fit import FitBench
from lugplane.answers.fits import fits
from lugplane.answers.rows import DOES_NOT_FIT
from lugplane.answers.takes import takes
from lugplane.answers.untold import Telling
from lugplane.links.candidates import candidates
from lugplane.links.stored import open_links
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.render.tables_fits import fits_text
from lugplane.workshop import Workshop

CAR, AXLE = "kessarin-estate", "front"


@pytest.fixture(autouse=True)
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    """The small base has no floods: two of one seat are many here."""
    monkeypatch.setattr(module, "FEW", 1)


@pytest.fixture
def doubtful(small_folder: Path, tmp_path: Path) -> Workshop:
    """The small base with a disc of which nothing is known."""
    (tmp_path / "discs").mkdir()
    text = "kind: disc\nid: blank\ntitle: A disc nobody measured\n"
    (tmp_path / "discs" / "blank.yaml").write_text(text, "utf-8")
    return Workshop.open([tmp_path], small_folder)


def test_of_what_is_folded_nothing_better_can_come(doubtful: Workshop) -> None:
    links = open_links(doubtful)
    items = candidates(links, CAR, AXLE).items
    told, groups = Telling(links, CAR, AXLE).split(items)
    folded = [c for g in groups for c in g.items]
    assert Counter(told) + Counter(folded) == Counter(items)
    bench = FitBench(doubtful)
    assert {g.parts for g in groups} >= {("blank",), ("vague",)}
    for c in folded:
        assert bench.fit(c).verdict in (CANNOT_TELL, DOES_NOT_FIT)


def test_one_row_speaks_for_the_rest(doubtful: Workshop) -> None:
    whole, folded = (fits(doubtful, CAR, AXLE, fold=fold) for fold in (False, True))
    assert whole.untold == ()
    assert sum(whole.counts.values()) == sum(folded.counts.values()) + sum(
        u.count for u in folded.untold
    )
    surely = [r for r in whole.rows if r.verdict not in (CANNOT_TELL, DOES_NOT_FIT)]
    assert [r for r in folded.rows if r.verdict not in (CANNOT_TELL, DOES_NOT_FIT)] == surely
    discs = [r for r in folded.rows if r.part("disc") == "blank" and r.verdict == CANNOT_TELL]
    assert len(discs) == 1
    (blank,) = (u for u in folded.untold if u.parts == ("blank",))
    assert f"{blank.count} more combinations with blank cannot be told either" in " ".join(
        fits_text(folded).split()
    )


def test_an_axle_takes_what_is_not_known_with_one_row(doubtful: Workshop) -> None:
    links = open_links(doubtful)
    items = [c for c in candidates(links, CAR, AXLE).items if c.disc == "blank"]
    (row,) = takes(doubtful, "blank").rows
    assert row.verdict == CANNOT_TELL
    assert row.fit is not None
    assert row.untold + sum(row.counts.values()) == len(items)
    assert row.untold > 0
