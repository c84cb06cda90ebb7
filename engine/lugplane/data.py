"""Where the shipped facts, rules and schemas lie: inside the package, or in the checkout."""

from __future__ import annotations

import os
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from lugplane.errors import BadInput, LugplaneError

VARIABLE = "LUGPLANE_KB"
"""Names folders of facts to add, as PATH names folders."""


@cache
def data_folder() -> Path:
    """The folder that holds `kb`, `rules` and `schemas`. Raises `LugplaneError` where none does."""
    here = Path(__file__).resolve().parent
    for folder in (here / "_data", here.parent.parent):
        if all((folder / name).is_dir() for name in ("kb", "rules", "schemas")):
            return folder
    raise LugplaneError("the facts that belong to this program are not there: install it again")


def fact_folders(added: Sequence[Path] = (), only: Path | None = None) -> list[Path]:
    """The shipped facts, then those of `LUGPLANE_KB`, then `added`; or `only` a folder.

    Raises `BadInput` for a folder that is not there.
    """
    folders = [data_folder() / "kb"] if only is None else [only]
    if only is None and os.environ.get(VARIABLE):
        folders += [Path(p) for p in os.environ[VARIABLE].split(os.pathsep) if p]
    folders += added
    for folder in folders:
        if not folder.is_dir():
            raise BadInput(f"{folder}: no folder of facts is there")
    return folders
