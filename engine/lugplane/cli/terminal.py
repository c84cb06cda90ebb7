"""What the terminal takes."""

from __future__ import annotations

import os
import sys


def terminal() -> tuple[int, bool]:
    """Width to write for, and whether colour may be added."""
    if not sys.stdout.isatty():
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
