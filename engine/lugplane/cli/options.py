"""What several commands share: the facts to use, and what the terminal takes."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from lugplane.errors import BadInput

if TYPE_CHECKING:
    from lugplane.workshop import Workshop

F = TypeVar("F", bound=Callable[..., Any])


def facts_options(function: F) -> F:
    """`--kb` and `--only-kb`, as `added` and `only_kb`."""
    for option in (
        click.option(
            "--only-kb",
            type=click.Path(path_type=Path),
            metavar="DIR",
            help="Use the facts of this folder instead of the shipped ones.",
        ),
        click.option(
            "--kb",
            "added",
            multiple=True,
            type=click.Path(path_type=Path),
            metavar="DIR",
            help="Add a folder of facts; the same id replaces the whole record.",
        ),
    ):
        function = option(function)
    return function


def open_workshop(added: tuple[Path, ...], only_kb: Path | None) -> Workshop:
    """The workshop that `--kb` and `--only-kb` ask for. Raises `BadInput`, `BadFacts`."""
    from lugplane.workshop import Workshop

    if added and only_kb is not None:
        raise BadInput("--kb adds to the shipped facts and --only-kb replaces them: one of them")
    return Workshop.open(added, only_kb)


def terminal() -> tuple[int, bool]:
    """Width to write for, and whether colour may be added."""
    if not sys.stdout.isatty():
        return 80, False
    import shutil

    width = min(shutil.get_terminal_size((80, 24)).columns, 100)
    return width, not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
