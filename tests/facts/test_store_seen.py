"""What was seen a moment ago is used once for the same question, and keeps no answer by itself."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest

from lugplane.facts import fingerprint, ground, store
from lugplane.facts.again import said_again, said_before
from lugplane.facts.base import load
from lugplane.facts.fingerprint import Seen
from lugplane.quantity.limits import Assumed

ASSUMED = {
    basis: Assumed(0.5, 5.0)
    for basis in ("measured", "drawing", "catalogue", "standard", "report", "inferred", "invented")
}


@pytest.fixture
def looks(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Path, ...]]:
    """The folders of facts that are looked at, look by look."""
    found: list[tuple[Path, ...]] = []
    real = fingerprint.look

    def noted(facts: Iterable[Path], *rest: Any) -> Seen:
        asked = tuple(Path(folder) for folder in facts)
        if asked:
            found.append(asked)
        return real(asked, *rest)

    for module in (ground, store):
        monkeypatch.setattr(module, "look", noted)
    return found


def title(kb: Path) -> str:
    """An answer: a title out of the compiled facts."""
    return str(load([kb], ASSUMED).single("plain").data["title"])


def test_a_question_looks_at_the_facts_before_and_after(
    kb: Path, cache: Path, looks: list[tuple[Path, ...]]
) -> None:
    title(kb)
    looks.clear()
    assert said_before([kb], ["title"]) is None
    assert said_again([kb], ["title"], lambda: title(kb)) == "A plain disc"
    assert looks == [(kb,), (kb,)]
    assert said_before([kb], ["title"]) == "A plain disc"


def test_another_question_looks_for_itself(
    kb: Path, cache: Path, looks: list[tuple[Path, ...]]
) -> None:
    assert said_before([kb], ["title"]) is None
    looks.clear()
    said_again([kb], ["another"], lambda: "answer")
    assert len(looks) == 2
    looks.clear()
    said_again([kb], ["title"], lambda: "answer")  # what was seen was for the next question only
    assert len(looks) == 2


def test_facts_changed_since_the_look_keep_no_answer(kb: Path, cache: Path) -> None:
    assert said_before([kb], ["title"]) is None
    path = kb / "discs" / "plain.yaml"
    path.write_text(path.read_text("utf-8").replace("A plain disc", "A plainer disc"), "utf-8")
    said_again([kb], ["title"], lambda: title(kb))
    assert said_before([kb], ["title"]) is None
    assert said_again([kb], ["title"], lambda: title(kb)) == "A plainer disc"
