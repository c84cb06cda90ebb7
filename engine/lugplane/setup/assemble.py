"""Parts by their ids into a setup: what is not named is what the factory fitted."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from lugplane.errors import BadInput
from lugplane.facts.base import Base
from lugplane.facts.records import (
    Axle,
    Bolt,
    Caliper,
    Carrier,
    Disc,
    Hose,
    Knuckle,
    Master,
    Pad,
    Platform,
    Record,
    Washer,
    Wheel,
)
from lugplane.facts.value import Value, Word
from lugplane.quantity.limits import Assumed
from lugplane.setup.override import apply, split, value_of
from lugplane.setup.parts import Setup, family

R = TypeVar("R", bound=Record)

_CURVE = "pad.friction_curve.points_c_ratio"
PART_KINDS = ("caliper", "carrier", "disc", "pad", "wheel", "hose")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a setup is asked for: a platform's axle, part ids, and what was measured (`--set`)."""

    platform: str
    axle: str = "front"
    parts: Sequence[str] = ()
    set_: Sequence[str] = ()
    adapter: bool = False
    wheel_spacer_mm: float = 0.0


def assemble(base: Base, wanted: Wanted) -> Setup:
    """Find the parts and put them together. Raises `BadInput`, with close matches."""
    platform = base.get(Platform, wanted.platform)
    if wanted.axle not in ("front", "rear"):
        raise BadInput(f"axle '{wanted.axle}': say front or rear")
    axle: Axle = platform.rear if wanted.axle == "rear" else platform.front
    written = _by_kind(base, wanted.parts)
    named = {kind: id_ for kind, (id_, _) in written.items()}
    caliper = _part(base, Caliper, named.get("caliper"), axle.stock.caliper)
    carrier = _carrier(base, caliper, named.get("carrier"), axle)
    pad_id = named.get("pad") or _pad_id(base, carrier or caliper, axle)
    open_pads = _open_pads(base, written, carrier or caliper, axle)
    wheel_id = named.get("wheel")
    if wheel_id is None and not named and axle.stock.wheel.known:
        wheel_id = axle.stock.wheel.word
    hose_id = named.get("hose") or axle.stock.hose.text
    bolts, washers = _hardware(base)
    setup = Setup(
        platform=platform,
        axle_name=wanted.axle,
        knuckle=_part(base, Knuckle, None, axle.knuckle),
        caliper=caliper,
        carrier=carrier,
        disc=_part(base, Disc, named.get("disc"), axle.stock.disc),
        pad=base.get(Pad, pad_id),
        wheel=base.get(Wheel, wheel_id) if wheel_id else None,
        hose=base.get(Hose, hose_id) if hose_id else None,
        bolts=bolts,
        washers=washers,
        adapter=wanted.adapter,
        wheel_spacer_mm=wanted.wheel_spacer_mm,
        master=base.get(Master, platform.master.word) if platform.master.known else None,
        fitted=factory(base, platform),
        open_pads=tuple(base.get(Pad, i) for i in open_pads),
    )
    if wanted.set_:
        setup = _overridden(setup, wanted.set_, base.assumed_measured)
    return _designed(base, setup)


@dataclass(frozen=True, slots=True)
class _Hardware:
    bolts: tuple[Bolt, ...]
    washers: tuple[Washer, ...]


class Factory:
    """What the factory fitted on a platform: each axle's stock setup, assembled once on demand.

    `kept` holds what was reckoned of the stock setups, by keys of whoever reckoned it.
    """

    def __init__(self, base: Base, platform: str) -> None:
        self._base, self._platform = base, platform
        self.kept: dict[Hashable, Any] = {}
        self._setups: dict[str, Setup] = {}

    def setup(self, axle_name: str) -> Setup:
        """The stock setup of an axle. Raises `BadInput` where its parts are not known."""
        if axle_name not in self._setups:
            self._setups[axle_name] = assemble(self._base, Wanted(self._platform, axle_name))
        return self._setups[axle_name]


def factory(base: Base, platform: Platform) -> Factory:
    """The one `Factory` of a platform in a knowledge base, so that stock is assembled once."""
    key = ("factory", platform.id)
    found = base.kept.get(key)
    if not isinstance(found, Factory):
        found = base.kept[key] = Factory(base, platform.id)
    return found


def _hardware(base: Base) -> tuple[tuple[Bolt, ...], tuple[Washer, ...]]:
    """The bolts and washers to choose from: the same two tuples for every setup of a base."""
    found = base.kept.get("hardware")
    if not isinstance(found, _Hardware):
        found = _Hardware(tuple(base.all(Bolt)), tuple(base.all(Washer)))
        base.kept["hardware"] = found
    return found.bolts, found.washers


def _by_kind(base: Base, parts: Sequence[str]) -> dict[str, tuple[str, str]]:
    """The parts that were named, by their kinds: each one's id, and what was written for it."""
    named: dict[str, tuple[str, str]] = {}
    for written in parts:
        found = base.find(_compound(base, written), PART_KINDS)
        kind = base.kind_of(found) or ""
        if kind not in PART_KINDS:
            raise BadInput(f"'{written}' is a {kind}: name {', '.join(PART_KINDS)}")
        if kind in named:
            raise BadInput(f"two {kind}s are named: {named[kind][0]} and {found}")
        named[kind] = found, written
    return named


def _compound(base: Base, id_: str) -> str:
    """A pad shape without its compound: the first of them; compounds do not differ in fit."""
    members = sorted(base.members(id_))
    return members[0] if members and base.kind_of(members[0]) == "pad" else id_


def _part(base: Base, cls: type[R], named: str | None, stock: Word) -> R:
    if named is not None:
        return base.get(cls, named)
    if stock.text is None:
        raise BadInput(f"{stock.path} is not known: name one")
    return base.get(cls, stock.text)


def _carrier(base: Base, caliper: Caliper, named: str | None, axle: Axle) -> Carrier | None:
    if named is not None:
        if caliper.body.text == "fixed":
            raise BadInput(f"{caliper.id} is a fixed caliper and has no carrier")
        return base.get(Carrier, named)
    if caliper.body.text != "floating":
        return None
    taking = [
        c
        for c in base.all(Carrier)
        if caliper.id in c.calipers.items or family(caliper.id) in c.calipers.items
    ]
    if axle.stock.carrier.text in [c.id for c in taking]:
        return base.get(Carrier, axle.stock.carrier.word)
    if len(taking) == 1:
        return taking[0]
    if not taking:
        raise BadInput(f"{caliper.id} floats and no carrier is known to take it: name one")
    raise BadInput(f"{caliper.id}: name its carrier: {', '.join(c.id for c in taking)}")


def _pad_id(base: Base, mounted: Caliper | Carrier, axle: Axle) -> str:
    """The stock pad where it is of the shape taken, else the shape itself."""
    shape, stock = mounted.pad.text, axle.stock.pad.text
    if shape is None or (stock is not None and shape in (stock, family(stock))):
        if stock is None:
            raise BadInput(f"{axle.stock.pad.path} is not known: name a pad")
        return _compound(base, stock)
    return _compound(base, shape)


def _open_pads(
    base: Base,
    written: Mapping[str, tuple[str, str]],
    mounted: Caliper | Carrier,
    axle: Axle,
) -> Sequence[str]:
    """The compounds that a pad may be of where its shape alone was named; none where one was."""
    shape, stock = mounted.pad.text, axle.stock.pad.text
    if "pad" in written:
        _, word = written["pad"]
    elif shape is not None and shape not in (stock, family(stock or "")):
        word = shape
    else:
        word = stock or ""
    found = base.members(word)
    return sorted(found) if len(found) > 1 else ()


def _overridden(setup: Setup, texts: Sequence[str], assumed: Assumed) -> Setup:
    measured: dict[str, Value] = {}
    for text in texts:
        path, value = split(text)
        if "." not in path:
            measured[path] = value_of(path, value, assumed)
            continue
        kind = path.split(".", 1)[0]
        record = getattr(setup, kind)
        if record is None:
            raise BadInput(f"--set {path}: this setup has no {kind}")
        setup = replace(setup, **{kind: apply(record, path, value, assumed)})
        if path == "pad.friction_ratio" and setup.pad.friction_ratio.known:
            # What was measured of this very pad stands above a curve of its compound.
            setup = replace(setup, pad=apply(setup.pad, _CURVE, "unknown", assumed))
        if path in ("pad.friction_ratio", "pad.compound"):
            setup = replace(setup, open_pads=())
    if "spacing_mm" in measured and setup.knuckle.mount.text == "radial":
        raise BadInput(
            "--set spacing_mm: this mount is radial, its spacing is not along the axle; set what "
            "was measured of disc, seat and lining"
        )
    return replace(setup, measured=measured) if measured else setup


def _designed(base: Base, setup: Setup) -> Setup:
    if setup.caliper.body.text != "floating":
        return setup
    design = setup.caliper.designed_for
    disc = base.get(Disc, design.disc.word) if design.disc.known else None
    pad: Pad | None = None
    if design.pad.known:
        pad = base.get(Pad, _compound(base, design.pad.word))
    return replace(setup, designed_disc=disc, designed_pad=pad)
