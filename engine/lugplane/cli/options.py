"""What several commands share: the facts to use, and what the terminal takes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from lugplane.cli.terminal import terminal
from lugplane.errors import BadInput

if TYPE_CHECKING:
    from lugplane.workshop import Workshop

__all__ = ["chosen_folders", "facts_options", "open_workshop", "terminal"]

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

    _one_of_both(added, only_kb)
    return Workshop.open(added, only_kb)


def chosen_folders(added: tuple[Path, ...], only_kb: Path | None) -> list[Path]:
    """The folders of facts that `--kb` and `--only-kb` ask for. Raises `BadInput`."""
    from lugplane.data import fact_folders

    _one_of_both(added, only_kb)
    return fact_folders(added, only_kb)


def _one_of_both(added: tuple[Path, ...], only_kb: Path | None) -> None:
    if added and only_kb is not None:
        raise BadInput("--kb adds to the shipped facts and --only-kb replaces them: one of them")
