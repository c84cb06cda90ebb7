"""Where the shipped facts, rules and schemas lie: inside the package, or in the checkout."""

from __future__ import annotations

import os

from lugplane.once import once

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from lugplane.facts.folders import Folder

VARIABLE = "LUGPLANE_KB"
"""Names folders of facts to add, as PATH names folders."""


@once
def data_home() -> str:
    """The path of the folder that holds `kb`, `rules` and `schemas`; empty where none does."""
    here = os.path.dirname(os.path.realpath(__file__))
    for folder in (os.path.join(here, "_data"), os.path.dirname(os.path.dirname(here))):
        if all(os.path.isdir(os.path.join(folder, n)) for n in ("kb", "rules", "schemas")):
            return folder
    return ""


@once
def data_folder() -> Path:
    """The folder that holds `kb`, `rules` and `schemas`. Raises `LugplaneError` where none does."""
    from pathlib import Path

    from lugplane.errors import LugplaneError

    if not data_home():
        raise LugplaneError("the facts that belong to this program are not there: install it again")
    return Path(data_home())


def folders_named(added: Sequence[Folder], only: Folder | None) -> list[Folder]:
    """The shipped facts, then those of `LUGPLANE_KB`, then `added`; or `only` a folder.

    Whether the folders are there is not asked.
    """
    folders: list[Folder] = [os.path.join(data_home(), "kb")] if only is None else [only]
    if only is None and os.environ.get(VARIABLE):
        folders += [p for p in os.environ[VARIABLE].split(os.pathsep) if p]
    return [*folders, *added]


def fact_folders(added: Sequence[Path] = (), only: Path | None = None) -> list[Path]:
    """The shipped facts, then those of `LUGPLANE_KB`, then `added`; or `only` a folder.

    Raises `BadInput` for a folder that is not there.
    """
    from pathlib import Path

    from lugplane.errors import BadInput

    if only is None:
        data_folder()
    folders = [Path(folder) for folder in folders_named(added, only)]
    for folder in folders:
        if not folder.is_dir():
            raise BadInput(f"{folder}: no folder of facts is there")
    return folders
