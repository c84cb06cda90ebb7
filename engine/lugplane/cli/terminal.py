"""What the terminal takes."""

from __future__ import annotations

import os
import sys


def terminal() -> tuple[int, bool]:
    """Width to write for, and whether colour may be added."""
    # There is no stream where the shell has closed it.
    if sys.stdout is None or not sys.stdout.isatty():
        return 80, False
    import shutil

    width = min(shutil.get_terminal_size((80, 24)).columns, 100)
    return width, not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def told_by(words: tuple[str, ...]) -> list[str]:
    """Everything besides facts, rules and program that the answer to a command's words is told by.

    All matchers deduce the same, but whoever names one wants it asked.
    """
    width, colour = terminal()
    return [*words, "", str(width), str(colour), os.environ.get("LUGPLANE_MATCHER", "")]


def reader_gone() -> int:
    """The exit code where the reader has gone (head, a pager): no complaint, not at exit either."""
    _drop_output()
    return 141


def not_written(error: Exception) -> str:
    """What to say where the answer cannot be written, and exit 2; the rest of it is dropped."""
    if isinstance(error, OSError):
        _drop_output()
        return f"cannot write the answer: {error.strerror or error}"
    return f"cannot write the answer: {error}"


def _drop_output() -> None:
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
