"""The kinds of records, and the folder of `kb/` that each kind lives in."""

from __future__ import annotations

import re
from typing import Final

FOLDER_OF: Final[dict[str, str]] = {
    "platform": "platforms",
    "knuckle": "knuckles",
    "caliper": "calipers",
    "carrier": "carriers",
    "disc": "discs",
    "pad": "pads",
    "wheel": "wheels",
    "hose": "hoses",
    "master": "masters",
    "bolt": "bolts",
    "washer": "washers",
    "spacer": "spacers",
    "trial": "trials",
    "offer": "offers",
    "source": "sources",
    "moved": "moved",
}
"""Kind -> folder."""

KIND_OF: Final[dict[str, str]] = {folder: kind for kind, folder in FOLDER_OF.items()}
"""Folder -> kind."""

_ID: Final = re.compile(r"[a-z0-9]+(?:[-.][a-z0-9]+)*", re.ASCII)


def is_id(text: str) -> bool:
    """Whether `text` may name a record: small letters and digits, parted by single `-` or `.`."""
    return _ID.fullmatch(text) is not None


def nearest_id(text: str) -> str | None:
    """The id that `text` was probably meant to be (`Sorrel_300` -> `sorrel-300`), if any."""
    guess = re.sub(r"[^a-z0-9.]+", "-", text.lower(), flags=re.ASCII)
    guess = re.sub(r"[-.]*([-.])[-.]*", r"\1", guess).strip("-.")
    return guess if is_id(guess) else None
