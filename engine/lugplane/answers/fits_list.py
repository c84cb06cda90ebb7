"""The list of what fits an axle, as plain data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Final

from lugplane.answers.fit_row import Ask, Fit
from lugplane.frozen import frozen
from lugplane.links.combination import TurnedDown

VERSION = 1

DONATED: Final = ("caliper", "carrier", "disc")
"""Kinds of parts of which a list names the cars that they come off."""


@frozen
class Refused:
    """A part that was named and comes into no candidate, for the check that it fails on `host`."""

    part: str
    host: str
    ask: Ask


@frozen
class Untold:
    """A seat or disc that a pair check cannot tell of, and how many candidates were not judged.

    `parts` are its ids; `check` is the pair check.
    """

    parts: tuple[str, ...]
    check: str
    count: int


@frozen
class Donor:
    """An axle that has a part from the factory."""

    platform: str
    title: str
    axle: str


@frozen
class Fits:
    """The answer.

    `rows` holds the verdicts that were asked for, `counts` all of them. `unfit` counts the
    candidates that do not fit by one check that each of them fails; `turned_down` the parts that
    come into no candidate by the pair check that they fail; `for_adapter` the seats that only an
    adapter plate would bring into question. `refused` tells why of parts that were named.
    `untold` counts the candidates that were not judged, since a pair check of their seat or disc
    cannot tell: one row speaks for them. `titles` are those of the checks that are counted.
    `rim_in` is the rim diameter that was asked for, if one was. `donors` tells of the calipers,
    carriers and discs of the rows that are not this axle's own which cars they come off.
    """

    version: int
    platform: str
    platform_title: str
    axle: str
    wheels: tuple[str, ...]
    with_: tuple[str, ...]
    verdicts: tuple[str, ...]
    adapters: bool
    rows: tuple[Fit, ...]
    counts: Mapping[str, int]
    unfit: Mapping[str, int]
    turned_down: tuple[TurnedDown, ...]
    for_adapter: int
    refused: tuple[Refused, ...] = ()
    untold: tuple[Untold, ...] = ()
    titles: Mapping[str, str] = field(default_factory=dict)
    rim_in: float | None = None
    donors: Mapping[str, tuple[Donor, ...]] = field(default_factory=dict)
