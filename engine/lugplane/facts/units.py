"""The unit of a number by where it stands: its key ends in it, or it is that of its measure."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Final

from lugplane.data import data_folder
from lugplane.errors import LugplaneError

MEASURED: Final = "measured"
"""The key of a trial under which quantities stand by the names of their measures."""
_SCHEMA: Final = "trial.json"


def unit_of(kind: str, keys: Sequence[str]) -> str:
    """The unit of a number of a record, by the keys that lead to it; empty where there is none.

    `("height_mm",)` is in mm, and so is what stands within a mapping of that unit
    (`("gaps_mm", "end_1_inboard")`). Raises `LugplaneError` where the schemas cannot be read.
    """
    if kind == "trial" and keys[0] == MEASURED:
        return units_of_measures().get(keys[-1], "")
    if any(key.endswith("_mm") for key in keys):
        return "mm"
    return keys[-1].rsplit("_", 1)[-1] if "_" in keys[-1] else ""


@cache
def units_of_measures() -> Mapping[str, str]:
    """What each measure is in, by its name: `x-units` of the trial's schema.

    Raises `LugplaneError` where the schema cannot be read.
    """
    file = data_folder() / "schemas" / _SCHEMA
    try:
        schema = json.loads(file.read_text(encoding="utf-8"))
        return {str(m): str(u) for m, u in schema["properties"][MEASURED]["x-units"].items()}
    except (OSError, ValueError, KeyError) as error:
        raise LugplaneError(f"{file.name} cannot be read: {error}") from error
