"""Refuses arguments for which no formula of this room holds."""

from math import isfinite


def positive(name: str, value: float) -> float:
    """Return `value`; raise ValueError, naming it, unless it is finite and above zero."""
    if not (isfinite(value) and value > 0.0):
        raise ValueError(f"{name} must be a number above zero, not {value!r}")
    return value


def not_negative(name: str, value: float) -> float:
    """Return `value`; raise ValueError, naming it, unless it is finite and at least zero."""
    if not (isfinite(value) and value >= 0.0):
        raise ValueError(f"{name} must be a number of at least zero, not {value!r}")
    return value
