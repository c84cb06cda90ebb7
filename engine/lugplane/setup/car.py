"""A car: both axles of a platform as they are to be built, beside what the factory built.

A one-axle setup is a car whose other axle stays stock. Nothing here is placed or measured, and
stock setups are put together only when they are asked for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from lugplane.errors import BadInput
from lugplane.facts.base import Base
from lugplane.quantity.form import Missing
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.parts import Setup
from lugplane.setup.roles import OTHER_AXLE as OTHER_AXLE
from lugplane.setup.roles import OTHER_STOCK as OTHER_STOCK
from lugplane.setup.roles import ROLES as ROLES
from lugplane.setup.roles import STOCK as STOCK

AXLES = ("front", "rear")
OTHER = {"front": "rear", "rear": "front"}
_KINDS = ("knuckle", "caliper", "carrier", "disc", "pad", "hose", "platform", "master")


@dataclass(frozen=True, slots=True)
class Car:
    """Front and rear setups of one platform; each names the other as its `other` axle."""

    front: Setup
    rear: Setup

    def setup(self, axle_name: str) -> Setup:
        """The setup of an axle, the other one with it."""
        return self.rear if axle_name == "rear" else self.front


@dataclass(frozen=True, slots=True)
class CarWanted:
    """What a car is asked for: part ids and `--set` of either axle; none: as the factory built it.

    `platform_set` are `--set` facts of platform and master cylinder, which both axles share.
    """

    platform: str
    front_parts: Sequence[str] = ()
    rear_parts: Sequence[str] = ()
    front_set: Sequence[str] = ()
    rear_set: Sequence[str] = ()
    platform_set: Sequence[str] = ()
    adapter: bool = False


def assemble_car(base: Base, wanted: CarWanted) -> Car:
    """Put both axles together. Raises `BadInput` as `assemble` does."""
    w = wanted
    front = assemble(
        base,
        Wanted(w.platform, "front", w.front_parts, (*w.platform_set, *w.front_set), w.adapter),
    )
    rear = assemble(
        base, Wanted(w.platform, "rear", w.rear_parts, (*w.platform_set, *w.rear_set), w.adapter)
    )
    return car_of(front, rear)


def car_of(front: Setup, rear: Setup) -> Car:
    """A car of two setups of one platform. Raises `BadInput` for two platforms or like axles."""
    if (front.axle_name, rear.axle_name) != AXLES:
        raise BadInput(
            f"a car has a front and a rear axle, not {front.axle_name} and {rear.axle_name}"
        )
    if front.platform.id != rear.platform.id:
        raise BadInput(f"two platforms: {front.platform.id} and {rear.platform.id}")
    return Car(replace(front, other=rear), replace(rear, other=front))


def stock_of(setup: Setup) -> Setup:
    """The stock setup of this setup's axle. Raises `Missing` where its parts are not known.

    A part that the factory fitted and that stays is this very part: what was measured on it counts
    for the stock brake too.
    """
    return _with_own(_fitted(setup, setup.axle_name), setup)


def other_of(setup: Setup) -> Setup:
    """The other axle as it is to be built. Raises `Missing` where it is not known."""
    return setup.other if setup.other is not None else other_stock_of(setup)


def other_stock_of(setup: Setup) -> Setup:
    """The stock setup of the other axle. Raises `Missing` where its parts are not known."""
    stock = _fitted(setup, OTHER[setup.axle_name])
    if setup.other is not None:
        return _with_own(stock, setup.other)
    if stock.platform is setup.platform and stock.master is setup.master:
        return stock
    return replace(stock, platform=setup.platform, master=setup.master)


def setup_in_role(setup: Setup, role: str) -> Setup | None:
    """The setup that a role before a path means; None where its parts are not known."""
    try:
        return {STOCK: stock_of, OTHER_AXLE: other_of, OTHER_STOCK: other_stock_of}[role](setup)
    except Missing:
        return None


def _fitted(setup: Setup, axle_name: str) -> Setup:
    missing = f"platform.{axle_name}.stock.caliper"
    if setup.fitted is None:
        raise Missing(missing)
    try:
        return setup.fitted.setup(axle_name)
    except BadInput as error:
        axle = setup.platform.rear if axle_name == "rear" else setup.platform.front
        lacking = [
            w.path
            for w in (axle.knuckle, axle.stock.caliper, axle.stock.disc, axle.stock.pad)
            if not w.known
        ]
        raise Missing(*(lacking or [missing])) from error


def _with_own(stock: Setup, setup: Setup) -> Setup:
    """Stock with the records of the parts that stay."""
    own = {
        kind: mine
        for kind in _KINDS
        if (mine := getattr(setup, kind)) is not None
        and (theirs := getattr(stock, kind)) is not None
        and mine.id == theirs.id
        and mine is not theirs
    }
    if setup.carrier is None and "caliper" in own:
        own.pop("carrier", None)
    return replace(stock, **own) if own else stock
