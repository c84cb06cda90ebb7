"""What is said of a folder of facts before anything in it is read."""

from __future__ import annotations

import os

TYPE_CHECKING = False
if TYPE_CHECKING:
    from pathlib import Path
    from typing import Final

Folder = str | os.PathLike[str]

NEARLY: Final = (".yaml", ".yml")
"""Endings of names that were meant for facts, in small letters."""

EXCEPTIONS: Final = "exceptions.yaml"
"""May stand beside the folders of the kinds: what `facts check` is to let pass."""


def passed_over(name: str) -> bool:
    """Whether this name is a keeper of version control or of an editor, never a fact."""
    return name.startswith(".") and not name.lower().endswith(NEARLY)


def shown_path(path: Path) -> str:
    """A path as problems show it: from the current folder where it lies within, on one line."""
    from lugplane.facts import show

    try:
        short = path.absolute().relative_to(path.cwd())
    except (OSError, ValueError):
        short = path
    return show.plain(short.as_posix())
