"""Which parts meet which, by what checks, and from what facts."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Relation:
    """A host, its guests, and the pair checks in the order in which a pair is held against them.

    Facts are paths without their kind; a pair check may read no others. `grouped` checks see of
    the guest only the facts `by`, so that one guest speaks for all that are alike in these.
    `windowed` is the check that the sorted fact `span` decides over a window. `names` is the fact
    by which the host names its guests: a check sees of their ids only whether they are named.
    """

    name: str
    host: str
    guests: tuple[str, ...]
    host_facts: tuple[str, ...]
    guest_facts: tuple[str, ...]
    grouped: tuple[str, ...] = ()
    by: tuple[str, ...] = ()
    windowed: str = ""
    span: str = ""
    host_span: str = ""
    others: tuple[str, ...] = ()
    names: str = ""

    @property
    def checks(self) -> tuple[str, ...]:
        """All pair checks; the first that fails is the one that a pair is turned down by."""
        return (*self.grouped, *((self.windowed,) if self.windowed else ()), *self.others)


EARS = Relation(
    "ears",
    "knuckle",
    ("caliper", "carrier"),
    host_facts=(
        "hub.disc_from",
        "mount",
        "ear.hole",
        "ear.thread",
        "ear.hole_diameter_mm",
        "ear.spacing_mm",
    ),
    guest_facts=("mount", "lug.hole", "lug.thread", "lug.hole_diameter_mm", "lug.spacing_mm"),
    grouped=("mount", "joint"),
    by=("mount", "lug.hole"),
    windowed="lug-spacing",
    span="lug.spacing_mm",
    host_span="ear.spacing_mm",
    others=("bolt-hole",),
)
"""What is bolted to the knuckle: a caliper, or the carrier of a floating one."""

HUB = Relation(
    "hub",
    "knuckle",
    ("disc",),
    host_facts=(
        "hub.bolts.count",
        "hub.bolts.circle_mm",
        "hub.spigot_mm",
        "hub.flange_radius_mm",
        "shoes.fitted",
        "shoes.radius_mm",
        "shoes.diameter_mm",
    ),
    guest_facts=(
        "bolts.count",
        "bolts.circle_mm",
        "bore_mm",
        "hat_inside_radius_mm",
        "drum.fitted",
        "drum.diameter_mm",
    ),
    grouped=("stud-count",),
    by=("bolts.count",),
    windowed="bolt-circle",
    span="bolts.circle_mm",
    host_span="hub.bolts.circle_mm",
    others=("hub-bore", "hat-flange", "hat-shoes", "drum"),
)
"""The disc on its hub."""

WHEEL = Relation(
    "wheel",
    "knuckle",
    ("wheel",),
    host_facts=("hub.bolts.count", "hub.bolts.circle_mm", "hub.spigot_mm"),
    guest_facts=("bolts.count", "bolts.circle_mm", "bore_mm", "centring"),
    grouped=("wheel-count",),
    by=("bolts.count",),
    windowed="wheel-circle",
    span="bolts.circle_mm",
    host_span="hub.bolts.circle_mm",
    others=("wheel-bore",),
)
"""The wheel on the same hub."""

CARRIED = Relation(
    "carried",
    "carrier",
    ("caliper",),
    host_facts=("calipers",),
    guest_facts=("body",),
    others=("carrier-takes",),
    names="calipers",
)
"""The floating caliper on its carrier."""

PAD_IN_CALIPER = Relation(
    "pad in caliper", "caliper", ("pad",), ("pad",), (), others=("pad-shape",), names="pad"
)
PAD_IN_CARRIER = Relation(
    "pad in carrier", "carrier", ("pad",), ("pad",), (), others=("pad-shape",), names="pad"
)
"""The pad in what keeps it."""

RELATIONS = (EARS, HUB, WHEEL, CARRIED, PAD_IN_CALIPER, PAD_IN_CARRIER)
