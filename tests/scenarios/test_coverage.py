"""Every rule, state, band and choice is shown by some scenario, or is known not to be possible."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from scenarios.covering import Item, Seen, everything, impossible, look, table
from scenarios.judging import shop


@pytest.fixture(scope="module")
def seen() -> Seen:
    return look()


def words(items: set[Item]) -> str:
    return "\n".join(" ".join(part for part in item if part) for item in sorted(items))


def test_all_there_is_is_seen(seen: Seen, record_property: Callable[[str, object], None]) -> None:
    rulebook, cannot = shop().rulebook, impossible()
    record_property("scenario coverage", table(rulebook, seen, cannot))
    unseen = everything(rulebook) - set(seen.by_item) - set(cannot)
    assert not unseen, f"no scenario shows:\n{words(unseen)}"


def test_what_cannot_be_is_not_seen(seen: Seen) -> None:
    shown = set(impossible()) & set(seen.by_item)
    assert not shown, f"impossible.yaml lists what a scenario shows:\n{words(shown)}"


def test_what_cannot_be_is_something() -> None:
    """An entry that names nothing of the rules is a leftover."""
    odd = set(impossible()) - everything(shop().rulebook)
    assert not odd, f"impossible.yaml lists what is not there:\n{words(odd)}"


def test_nothing_else_is_seen(seen: Seen) -> None:
    """What is seen is listed: else the list of what there is would be short of it."""
    odd = {i for i in seen.by_item if i not in everything(shop().rulebook)}
    odd -= {i for i in odd if i[2] in ("cannot tell", "does not apply")}
    assert not odd, words(odd)
