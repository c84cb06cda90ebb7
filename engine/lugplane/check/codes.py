"""The codes of what `facts check` finds beyond the codes of `facts.codes`, in one line each."""

from __future__ import annotations

from typing import Final

from lugplane.facts.codes import CODES

CHECK_CODES: Final[dict[str, str]] = {
    # Single numbers, by rules/plausible.yaml.
    "implausible": "a number that no such part has",
    "unit-slip": "a number that would do in another unit, halved, doubled or with the other sign",
    "wide-value": "a value whose ± takes in more than all that is plausible",
    # Evidence.
    "no-reading": "a value that does not say what it rests on",
    "no-source": "a reading without its source",
    "no-date": "a reading without its day",
    "no-doubt": "a value without ±",
    "no-instrument": "a trial that does not say what it was measured with",
    "no-such-day": "a date that no calendar has",
    "future-date": "a date that has not come yet",
    "stale-date": "a date so long ago that it should be looked at again",
    "unused-reading": "a reading that no value names",
    "readings-apart": "rival readings that differ by more than the ± of both",
    # Facts against each other.
    "facts-disagree": "two facts of a part that cannot both be right",
    "sum-disagrees": "a fact that does not come out as reckoned from others",
    "twin": "one part under two ids: all facts the same within ±",
    # Exceptions.
    "bad-exception": "an entry of exceptions.yaml that cannot be taken",
    "exception-expired": "an exception whose day has passed",
    "exception-needless": "an exception from something that is no longer found",
}

EXCEPTABLE: Final = frozenset(
    code for code in CHECK_CODES if not code.startswith(("bad-exception", "exception-"))
)
"""Codes that `exceptions.yaml` may except: none of those that facts are refused for."""


def meaning(code: str) -> str:
    """What a code means, in one line; empty for none of ours."""
    return CHECK_CODES.get(code) or CODES.get(code, "")
