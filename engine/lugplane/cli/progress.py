"""One line on a terminal's stderr where an answer takes more than a second."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lugplane.answers.fits import Progress

_PATIENCE_S = 1.0
_EVERY_S = 0.2


@contextmanager
def progress(what: str) -> Iterator[Progress | None]:
    """Something to tell how far the work is, or None where nobody would see it."""
    # There is no stream where the shell has closed it.
    if sys.stderr is None or not sys.stderr.isatty():
        yield None
        return
    begun = shown = time.monotonic()
    written = 0

    def tell(done: int, of: int) -> None:
        nonlocal shown, written
        now = time.monotonic()
        if now - begun < _PATIENCE_S or now - shown < _EVERY_S:
            return
        shown = now
        line = f"{what}: {done} of {of}"
        sys.stderr.write("\r" + line.ljust(written))
        sys.stderr.flush()
        written = max(written, len(line))

    try:
        yield tell
    finally:
        if written:
            sys.stderr.write("\r" + " " * written + "\r")
            sys.stderr.flush()
