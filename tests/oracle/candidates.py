"""Which setups there are to judge: axles, calipers with each carrier, discs, pads, wheels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from .both_sides import Asked
from .oracle import Kb
from .read_kb import Part

AXLES = ("front", "rear")


@dataclass(frozen=True)
class Seat:
    """What is bolted to a knuckle: a caliper, with its carrier where it floats."""

    caliper: Part
    carrier: Part | None

    @property
    def shape(self) -> str | None:
        """Pad shape that is taken, without the compound."""
        named: str | None = (self.carrier or self.caliper).get("pad")
        return None if named is None else named.split("/")[0]


def axles(kb: Kb) -> list[tuple[Part, str]]:
    """Every axle of every platform."""
    return [(platform, axle) for platform in kb.of("platform") for axle in AXLES]


def carriers_of(kb: Kb, caliper: Part) -> list[Part]:
    """The carriers known to take a caliper, by its own id or its family's."""
    names = {caliper.id, caliper.family}
    return [c for c in kb.of("carrier") if names & set(c.get("calipers") or ())]


def seats(kb: Kb) -> list[Seat]:
    """Every caliper: a fixed one alone, a floating one with each carrier that takes it."""
    found: list[Seat] = []
    for caliper in kb.of("caliper"):
        if caliper.get("body") == "fixed":
            found.append(Seat(caliper, None))
        else:
            found += [Seat(caliper, carrier) for carrier in carriers_of(kb, caliper)]
    return found


def pads_of_shape(kb: Kb, shape: str | None) -> list[Part]:
    """The compounds of a shape; compounds do not differ in fit."""
    return [p for p in kb.of("pad") if p.family == shape]


def pads_of_other_shapes(kb: Kb, shape: str | None) -> list[Part]:
    """One pad of each shape that is not taken."""
    seen: dict[str, Part] = {}
    for pad in kb.of("pad"):
        if pad.family != shape:
            seen.setdefault(pad.family, pad)
    return list(seen.values())


def stock(kb: Kb) -> Iterator[Asked]:
    """What the factory fitted, axle by axle, on the stock wheel."""
    for platform, axle in axles(kb):
        fitted = platform.get(f"{axle}.stock")
        yield Asked(
            platform.id,
            axle,
            fitted["caliper"],
            fitted["disc"],
            _first(kb, "pad", fitted["pad"]),
            fitted.get("carrier"),
            fitted.get("wheel"),
        )


def _first(kb: Kb, kind: str, named: str) -> str:
    """The part named, or the first member of the family named."""
    if (kind, named) in kb.parts:
        return named
    return next(p.id for p in kb.of(kind) if p.family == named)


def row(kb: Kb, platform: str, axle: str, seat: Seat, turn: int = 0) -> Iterator[Asked]:
    """One seat on one axle with every disc.

    With the pads it takes and a wheel, the wheels by rotation: over all discs every wheel comes up
    (where there are no more wheels than discs). And with one pad it does not take, those by
    rotation too. `turn` is where the rotations begin.
    """
    fitting = pads_of_shape(kb, seat.shape)
    others = pads_of_other_shapes(kb, seat.shape)
    wheels = kb.of("wheel")
    carrier = seat.carrier.id if seat.carrier else None
    for n, disc in enumerate(kb.of("disc")):
        if fitting:
            # A second round over the wheels meets other discs than the first.
            wheel = wheels[(n + n // len(wheels) + turn) % len(wheels)].id if wheels else None
            yield Asked(platform, axle, seat.caliper.id, disc.id, fitting[0].id, carrier, wheel)
        if others:
            pad = others[(n + turn) % len(others)]
            yield Asked(platform, axle, seat.caliper.id, disc.id, pad.id, carrier)
