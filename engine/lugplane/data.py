"""Where the shipped facts, rules and schemas lie: inside the package, or in the checkout."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from lugplane.errors import LugplaneError


@cache
def data_folder() -> Path:
    """The folder that holds `kb`, `rules` and `schemas`. Raises `LugplaneError` where none does."""
    here = Path(__file__).resolve().parent
    for folder in (here / "_data", here.parent.parent):
        if all((folder / name).is_dir() for name in ("kb", "rules", "schemas")):
            return folder
    raise LugplaneError("the facts that belong to this program are not there: install it again")
