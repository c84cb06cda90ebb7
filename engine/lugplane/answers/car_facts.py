"""Whose a fact is: the role before its path in a sheet, named for the axle and the car.

A sheet of one axle names the facts of the other axle and of the stock car by roles (see
`setup.car`). An answer about both axles says `front:`, `rear:`, `stock-front:` and
`stock-rear:` instead.
"""

from __future__ import annotations

from lugplane.answers.curves import Doubt
from lugplane.setup.car import OTHER, OTHER_AXLE, OTHER_STOCK, STOCK

_SHARED = ("platform", "master")


def whose(path: str, axle: str) -> str:
    """A fact's path in the sheet of `axle`, with whose it is before it."""
    for role, whose_ in (
        (OTHER_STOCK, f"stock-{OTHER[axle]}"),
        (OTHER_AXLE, OTHER[axle]),
        (STOCK, f"stock-{axle}"),
    ):
        if path.startswith(role):
            return f"{whose_}:{path.removeprefix(role)}"
    if path.startswith("(") or path.split(".", 1)[0] in _SHARED:
        return path
    return f"{axle}:{path}"


def named(doubt: Doubt | None, axle: str) -> Doubt | None:
    """A doubt with its facts named so."""
    if doubt is None:
        return None
    return Doubt(tuple(dict.fromkeys(whose(f, axle) for f in doubt.facts)), doubt.because)
