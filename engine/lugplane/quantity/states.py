"""The states that a limit's bands stand for, and the one where nothing can be told."""

from __future__ import annotations

from collections.abc import Mapping

CANNOT_TELL = "cannot tell"
GOOD = ("holds", "care", "work")
FAILS = "fails"
SEVERITY: Mapping[str, int] = {"holds": 0, "care": 1, "work": 2, CANNOT_TELL: 3, FAILS: 4}
