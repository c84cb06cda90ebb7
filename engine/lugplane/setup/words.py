"""The words that rules start from: what the setup is, in words only, no numbers.

A word that no fact states is `unknown`; `UNKNOWN` tells which fact would state it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from lugplane.facts.value import Value, Word
from lugplane.setup.parts import Setup, family

UNKNOWN: Mapping[tuple[str, str], str] = {
    ("setup", "mount"): "knuckle.mount",
    ("setup", "body"): "caliper.body",
    ("knuckle", "shield"): "knuckle.shield.fitted",
    ("knuckle", "shoes"): "knuckle.shoes.fitted",
    ("wheel", "centring"): "wheel.centring",
    ("disc", "drum"): "disc.drum.fitted",
    ("car", "electronics"): "platform.electronics",
}
"""(kind, key) of a starting word: the fact that states it."""


def words_of(setup: Setup) -> tuple[dict[str, str], ...]:
    """The starting words of a setup, one mapping a kind."""
    stock = setup.axle.stock
    wheel = setup.wheel
    facts: list[dict[str, str]] = [
        {
            "kind": "setup",
            "axle": setup.axle_name,
            "mount": _word(setup.knuckle.mount),
            "body": _word(setup.caliper.body),
            "adapter": "asked" if setup.adapter else "no",
            "holes": "both plain"
            if (setup.knuckle.ear.hole.text, setup.lug.hole.text) == ("plain", "plain")
            else "other",
            "mocked_up": "yes" if "tilt_mm" in setup.measured else "no",
            "wheel": "named" if wheel else "none",
            "wheel_spacer": "yes" if setup.wheel_spacer_mm > 0 else "no",
            "caliper": _same(setup.caliper.id, stock.caliper),
            "carrier": _same(setup.carrier.id, stock.carrier) if setup.carrier else "none",
            "disc": _same(setup.disc.id, stock.disc),
            "pad": _same(setup.pad.id, stock.pad),
            "hose": _same(setup.hose.id, stock.hose) if setup.hose else "none",
            "wheel_part": "other"
            if wheel and not named_by(wheel.id, (stock.wheel.text, *setup.axle.wheels.items))
            else "offered",
        },
        {
            "kind": "knuckle",
            "shield": _word(setup.knuckle.shield.fitted),
            "shoes": _word(setup.knuckle.shoes.fitted),
        },
        {
            "kind": "disc",
            "measured": _known(setup.disc.measured_thickness_mm),
            "runout": _known(setup.disc.runout_mm),
            "variation": _known(setup.disc.thickness_variation_mm),
            "cracks_seen": _known(setup.disc.cracked),
            "drum": _word(setup.disc.drum.fitted),
        },
    ]
    electronics = _word(setup.platform.electronics)
    facts.append(
        {
            "kind": "car",
            "electronics": "fitted" if electronics not in ("none", "unknown") else electronics,
            "other_axle": "stock" if setup.other is None else "given",
        }
    )
    if wheel:
        facts.append({"kind": "wheel", "centring": _word(wheel.centring)})
    return tuple(facts)


def _word(word: Word) -> str:
    return word.text if word.text is not None else "unknown"


def _same(id_: str, stock: Word) -> str:
    return "stock" if stock.text in (id_, family(id_)) else "other"


def named_by(id_: str, names: Iterable[str | None]) -> bool:
    """Whether some names are those of a part, or of the family it belongs to."""
    own = (id_, family(id_))
    return any(name in own for name in names)


def _known(fact: Value | Word) -> str:
    return "true" if fact.known else "false"
