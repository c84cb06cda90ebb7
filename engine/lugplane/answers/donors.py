"""The cars that a part comes off: on which platform and axle the factory fitted it.

A base is gone through once; what was found is kept in the user's cache part by part, under the
digest of all records, and a list reads the parts that it shows.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import astuple
from typing import Final

from lugplane.answers.fits_list import DONATED as DONATED
from lugplane.answers.fits_list import Donor as Donor
from lugplane.errors import BadInput
from lugplane.facts.base import Base
from lugplane.facts.cache import cache_file, open_pack, write_pack
from lugplane.facts.fingerprint import digest
from lugplane.workshop import Workshop

FORMAT: Final = 1
"""To be raised with what this module makes of a base: what is kept in another form is not read."""
_AXLES: Final = ("front", "rear")
_KEY: Final = "donors"


Index = Mapping[str, tuple[Donor, ...]]
"""Donors by the ids of the parts, in the order of the platforms' ids."""


def donors(workshop: Workshop, parts: Iterable[str]) -> Index:
    """The donors of some parts; a part that no axle has from the factory is left out."""
    asked = sorted(set(parts))
    if not asked:
        return {}
    base = workshop.base
    if _KEY not in base.kept:
        file = cache_file("stock", workshop.folders) if workshop.folders else None
        if file is not None and base.mark:
            head = f"{FORMAT} {base.mark}".encode()
            pack = open_pack(file)
            if pack is not None and pack.named("head") == head:
                texts = {id_: pack.named(_name(id_)) for id_ in asked}
                return {i: _read(text) for i, text in texts.items() if text is not None}
            base.kept[_KEY] = index = stocked(base)
            write_pack(file, {"head": head, **{_name(i): _text(d) for i, d in index.items()}}, ())
        else:
            base.kept[_KEY] = stocked(base)
    found = base.kept[_KEY]
    assert isinstance(found, dict)
    return {id_: found[id_] for id_ in asked if id_ in found}


def stocked(base: Base) -> dict[str, tuple[Donor, ...]]:
    """The donors of every part that some axle has from the factory; records are not decoded."""
    found: dict[str, list[Donor]] = {}
    for id_ in base.ids("platform"):
        data = base.single(id_).data
        title = str(data.get("title", id_))
        for axle in _AXLES:
            stock = (data.get(axle) or {}).get("stock") or {}
            for kind in DONATED:
                if stock.get(kind) is not None:
                    found.setdefault(_meant(base, str(stock[kind])), []).append(
                        Donor(id_, title, axle)
                    )
    return {id_: tuple(those) for id_, those in found.items()}


def carriers_of(base: Base, knuckle: str) -> Iterator[Donor]:
    """The axles that carry a knuckle."""
    for id_ in base.ids("platform"):
        data = base.single(id_).data
        for axle in _AXLES:
            named = (data.get(axle) or {}).get("knuckle")
            if named is not None and _meant(base, str(named)) == knuckle:
                yield Donor(id_, str(data.get("title", id_)), axle)


def _meant(base: Base, id_: str) -> str:
    """The id that a retired one leads to."""
    try:
        return base.find(id_)
    except BadInput:
        return id_


def _name(id_: str) -> str:
    return f"part {digest(id_.encode())}"


def _text(those: tuple[Donor, ...]) -> bytes:
    return json.dumps([astuple(d) for d in those], separators=(",", ":")).encode()


def _read(text: bytes) -> tuple[Donor, ...]:
    return tuple(Donor(*row) for row in json.loads(text))
