"""Bounds of a function that is monotone in every argument: its values at two corners of the box.

Whoever calls this must have shown that the function is monotone; nothing here can tell.
"""

from collections.abc import Callable, Mapping
from math import isnan
from typing import TypeAlias

# Least and greatest value of a quantity.
Span: TypeAlias = tuple[float, float]


def corner_bounds(
    function: Callable[..., float], *, rises: Mapping[str, Span], falls: Mapping[str, Span]
) -> Span:
    """Least and greatest value of `function` over the box of its arguments.

    `rises` holds those arguments, by name, in which it never falls, `falls` those in which it never
    rises. Where an argument's influence has no direction (it is the same at both ends), it may
    stand in either. Raises ValueError for a span turned round or without a number, and whatever
    `function` raises at the two corners.
    """
    for name, (low, high) in (*rises.items(), *falls.items()):
        if isnan(low) or isnan(high) or low > high:
            raise ValueError(f"{name} must be a least and a greatest value, not {(low, high)!r}")
    least = function(**{n: s[0] for n, s in rises.items()}, **{n: s[1] for n, s in falls.items()})
    most = function(**{n: s[1] for n, s in rises.items()}, **{n: s[0] for n, s in falls.items()})
    return least, most
