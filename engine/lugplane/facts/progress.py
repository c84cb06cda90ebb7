"""One line on the terminal while something takes longer than a moment."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from typing import Final, TextIO

PATIENCE_S: Final = 1.0
"""Nothing is said before this time has passed."""

STEP_S: Final = 0.2
"""Nor again before this."""


class Progress:
    """Says how far a work of many steps has come; nothing where nobody looks.

    `stream` is where to say it (standard error unless given), `clock` gives seconds.
    """

    def __init__(
        self,
        what: str,
        total: int,
        stream: TextIO | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._what = what
        self._total = total
        self._stream = stream or sys.stderr
        self._clock = clock
        self._done = 0
        self._next = clock() + PATIENCE_S
        self._shown = 0

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, *_: object) -> None:
        """Wipe the line: what comes next begins where it began."""
        if self._shown:
            self._write("\r" + " " * self._shown + "\r")

    def step(self) -> None:
        """One step more is done."""
        self._done += 1
        if self._clock() < self._next:
            return
        self._next = self._clock() + STEP_S
        line = f"{self._what}: {min(self._done, self._total)} of {self._total}"
        self._write("\r" + line.ljust(self._shown))
        self._shown = max(self._shown, len(line))

    def _write(self, text: str) -> None:
        try:
            if self._stream.isatty():
                self._stream.write(text)
                self._stream.flush()
        except (AttributeError, OSError, ValueError):  # no standard error, or a closed one
            self._next = float("inf")
