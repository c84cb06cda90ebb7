"""What to measure at a mock-up of one setup, and what the sheet for it is headed with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lugplane.deduce.rulebook import Rulebook
from lugplane.facts.base import Base
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.parts import Setup

_TAKEN = (
    "spacing",
    "tilt",
    "overhang",
    "bridge",
    "plate_hat",
    "shield_face",
    "wheel_gap",
)
"""Quantities that are taken while the parts hang on the car, in the order of the work.

The lift of a radial mount is not: it is reckoned from the overhang, and a hand that measures to the
disc's edge would write down something else.
"""


@dataclass(frozen=True, slots=True)
class ToMeasure:
    """A quantity by the name of its measure, what it is, and how it is taken."""

    measure: str
    title: str
    how: str


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part of the setup by its kind."""

    kind: str
    id: str
    title: str


@dataclass(frozen=True, slots=True)
class MockUp:
    """A mock-up to be made. `sigma` is +1 or -1 by the side of the ear, None where not known."""

    platform: str
    platform_title: str
    axle: str
    radial: bool
    sigma: int | None
    wheel_bolts: int | None
    parts: tuple[PartLine, ...]
    measures: tuple[ToMeasure, ...]


def mock_up(
    base: Base, rulebook: Rulebook, platform: str, axle: str, parts: Sequence[str]
) -> MockUp:
    """What to take at a mock-up. Raises `BadInput` as a sheet would."""
    setup = assemble(base, Wanted(platform, axle, tuple(parts)))
    knuckle = setup.knuckle
    count = knuckle.hub.bolts.count.value
    sigma = {"outboard": 1, "inboard": -1}.get(knuckle.side.text or "")
    radial = knuckle.mount.text == "radial"
    return MockUp(
        setup.platform.id,
        setup.platform.title,
        setup.axle_name,
        radial,
        sigma,
        None if count is None else int(count),
        tuple(_parts(setup)),
        tuple(_measures(setup, rulebook, radial)),
    )


def _parts(setup: Setup) -> list[PartLine]:
    found: list[PartLine] = []
    for kind in ("knuckle", "caliper", "carrier", "disc", "pad", "wheel"):
        part = getattr(setup, kind)
        if part is not None:
            found.append(PartLine(kind, part.id, part.title))
    return found


def _measures(setup: Setup, rulebook: Rulebook, radial: bool) -> list[ToMeasure]:
    without = {"spacing"} if radial else set[str]()
    if setup.wheel is None:
        without.add("wheel_gap")
    if setup.knuckle.shield.fitted.text == "false":
        without.add("shield_face")
    checks = {c.name: c for c in rulebook.checks if c.source == "quantity"}
    return [
        ToMeasure(name, checks[name].title, checks[name].settles)
        for name in _TAKEN
        if name in checks and name not in without
    ]
