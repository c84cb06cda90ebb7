"""`limits.yaml` is read strictly; bands that make no sense are refused."""

from __future__ import annotations

from typing import Any

import pytest

from lugplane.data import data_folder
from lugplane.deduce.rulebook import read_rulebook
from lugplane.errors import BadFacts
from lugplane.measure.bench import CHOICES, MEASURES
from lugplane.quantity.judge import CANNOT_TELL, FAILS, GOOD
from lugplane.quantity.limits import limits_of


def data(*bands: dict[str, Any]) -> dict[str, Any]:
    return {
        "constants": {},
        "assumed": {"measured": {"mm": 0.2, "percent": 2}},
        "limits": {"gap": {"unit": "mm", "of": "gap", "source": "practice", "bands": list(bands)}},
    }


@pytest.mark.parametrize(
    "bands",
    [
        [{"name": "a", "state": "holds", "to": 1}],
        [{"name": "a", "state": "holds"}, {"name": "b", "state": "fails"}],
        [{"name": "a", "state": "fine", "to": 1}, {"name": "b", "state": "fails"}],
        [{"name": "a", "state": "holds", "to": 1, "below": 2}, {"name": "b", "state": "fails"}],
        [
            {"name": "a", "state": "holds", "to": 2},
            {"name": "b", "state": "care", "to": 1},
            {"name": "c", "state": "fails"},
        ],
    ],
)
def test_bands_that_make_no_sense(bands: list[dict[str, Any]]) -> None:
    with pytest.raises(BadFacts, match="bad-band"):
        limits_of(data(*bands), "limits.yaml")


def test_the_shipped_rulebook_holds_together() -> None:
    book = read_rulebook(data_folder() / "rules")
    used = {r.judge for r in book.rules if r.judge}
    assert used == set(book.limits.limits), "a limit that no rule uses"
    for name, limit in book.limits.limits.items():
        assert limit.source, name
        assert limit.of, name
        # Only a limit for what is itself open may have a band that tells nothing.
        open_ = {CANNOT_TELL} if name.startswith(("spacing-either-way", "overlap-")) else set()
        assert {b.state for b in limit.bands} <= {*GOOD, FAILS} | open_
    taken = {c for e in (*MEASURES.values(), *CHOICES.values()) for c in e.constants}
    by_name = ("engagement_", "friction_curve_")
    looked_up = {n for n in book.limits.constants if n.startswith(by_name)}
    assert set(book.limits.constants) == taken | looked_up, "a constant that nothing takes"
    for name, constant in book.limits.constants.items():
        assert constant.source, name


def test_every_measure_and_choice_is_called_by_a_rule() -> None:
    book = read_rulebook(data_folder() / "rules")
    assert set(MEASURES) == {r.measure for r in book.rules if r.measure}
    assert set(CHOICES) == {r.choose for r in book.rules if r.choose}


def test_words_of_steps_and_rules_meet() -> None:
    """What a rule says to do, buy, hold at or beware of is worded, and nothing else is."""
    book = read_rulebook(data_folder() / "rules")
    for key in ("work", "buy", "hold", "caution", "inspect"):
        worded = {s.id for s in getattr(book.steps, key) if not s.always}
        said = {dict(w)[key] for r in book.rules for w in r.then if key in dict(w)}
        assert worded == said, key
