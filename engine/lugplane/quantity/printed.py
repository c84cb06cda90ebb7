"""Numbers and intervals as they are printed."""

from __future__ import annotations


def number(value: float, places: int = 2) -> str:
    """A number as a sheet prints it: no trailing noughts, a true minus, never `-0`."""
    said = f"{value:.{places}f}"
    if "." in said:
        said = said.rstrip("0").rstrip(".")
    if said in {"-0", ""}:
        return "0"
    return said.replace("-", "−")


def span(lo: float, hi: float, nominal: float, places: int = 2) -> str:
    """An interval in words: `5`, `5 ±0.1` or `4.9..5.3`; bounds are rounded outward."""
    scale: float = 10**places
    low, high = _outward(lo * scale, -1) / scale, _outward(hi * scale, 1) / scale
    if high - low < 0.5 / scale:
        return number(nominal, places)
    up, down = high - nominal, nominal - low
    at = round(nominal, places)
    if abs(up - down) < 0.51 / scale and abs(at - nominal) < 0.01 / scale:
        return f"{number(nominal, places)} ±{number(max(up, down), places)}"
    return f"{number(low, places)}..{number(high, places)}"


def _outward(value: float, side: int) -> float:
    nearest = round(value)
    if abs(value - nearest) < 1e-6:
        return nearest
    whole = int(value // 1)
    return whole + 1 if side > 0 else whole
