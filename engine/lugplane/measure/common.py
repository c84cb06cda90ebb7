"""What a bench is asked for again and again, reckoned once."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from lugplane.measure.bench import Bench

T = TypeVar("T")


def common(b: Bench, name: str, make: Callable[[], T]) -> T:
    """What `make` gives of what it reads of the bench itself.

    Once for all setups that share that; where the stack has several cases, once for each of them
    on this bench. A caller that may hang on the stack reads it besides: the bench notes who does.
    """
    if b.regime is None:
        return b.place.common(name, b.read, make)
    return b.place.keep(f"{name} {b.regime}", make)
