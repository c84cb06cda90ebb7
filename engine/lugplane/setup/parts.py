"""One axle's chosen parts and what was asked of them."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from lugplane.facts.ids import family as family
from lugplane.facts.records import (
    Axle,
    Bolt,
    Caliper,
    Carrier,
    Disc,
    HoleGroup,
    Hose,
    Knuckle,
    Master,
    Pad,
    Platform,
    Washer,
    Wheel,
)
from lugplane.facts.value import Value, Word


class Fitted(Protocol):
    """What the factory fitted on the axles of a platform, put together when it is asked for."""

    kept: dict[Hashable, Any]
    """What was reckoned of the stock setups, by keys of whoever reckoned it."""

    def setup(self, axle_name: str) -> Setup:
        """The stock setup of an axle. Raises `BadInput` where its parts are not known."""
        ...


@dataclass(frozen=True, slots=True)
class Setup:
    """The parts of one axle of a platform, the hardware to choose from, and the options.

    `measured` holds quantities taken at a mock-up, by the name of their measure (`spacing_mm`,
    `tilt_mm`); they stand above what the facts would give. `designed_disc` and `designed_pad` are
    the parts a floating caliper was designed for, if its facts name them. `other` is the other axle
    as it is to be built, None where it stays as the factory built it; `fitted` knows the stock
    setups (see `setup.car`). `open_pads` are the compounds that the pad may be of where only its
    shape was named: they fit alike and brake differently.
    """

    platform: Platform
    axle_name: str
    knuckle: Knuckle
    caliper: Caliper
    carrier: Carrier | None
    disc: Disc
    pad: Pad
    wheel: Wheel | None
    hose: Hose | None
    bolts: tuple[Bolt, ...]
    washers: tuple[Washer, ...]
    designed_disc: Disc | None = None
    designed_pad: Pad | None = None
    measured: Mapping[str, Value] = field(default_factory=dict)
    adapter: bool = False
    wheel_spacer_mm: float = 0.0
    master: Master | None = None
    other: Setup | None = field(default=None, compare=False, repr=False)
    fitted: Fitted | None = field(default=None, compare=False, repr=False)
    open_pads: tuple[Pad, ...] = ()

    @property
    def axle(self) -> Axle:
        return self.platform.rear if self.axle_name == "rear" else self.platform.front

    @property
    def mounted(self) -> Caliper | Carrier:
        """What is bolted to the knuckle: the carrier of a floating caliper, else the caliper."""
        return self.carrier if self.carrier is not None else self.caliper

    @property
    def lug(self) -> HoleGroup:
        return self.mounted.lug

    @property
    def pad_taken(self) -> Word:
        """The pad shape that the mounted caliper or carrier takes."""
        return self.mounted.pad
