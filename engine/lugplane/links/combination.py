"""What a combination of parts is made of, and the count of parts that come into none."""

from __future__ import annotations

from lugplane.frozen import frozen

KINDS = ("caliper", "carrier", "disc", "pad")
"""The parts that a candidate is made of."""


@frozen
class TurnedDown:
    """How many parts of a kind come into no candidate, by the pair check that they fail."""

    kind: str
    check: str
    count: int
