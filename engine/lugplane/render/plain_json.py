"""Answers as JSON: stable, versioned, described by `schemas/answers/*.json`.

Keys are the fields of the answers' classes, in their order; a trailing underscore is dropped. Real
numbers are rounded to 6 decimals; one without bounds becomes null; there is no NaN.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lugplane.answers.sheet import Judged, Sheet

PLACES = 6


def sheet_json(sheet: Sheet) -> str:
    """A fit sheet as JSON (`schemas/answers/sheet.json`). Raises `ValueError` for a NaN."""
    return dumped({"answer": "sheet", **plain(sheet)})


def row_json(judged: Judged, check: str) -> str:
    """Why a check came out as it did, as JSON (`schemas/answers/why.json`).

    Raises `KeyError` for a check that is not on the list, `ValueError` for a NaN.
    """
    from lugplane.render.reasons import reasons  # the lists do without it

    sheet = judged.sheet
    head = {"version": sheet.version, "platform": sheet.platform, "axle": sheet.axle}
    return dumped({"answer": "why", **head, **plain(reasons(judged, check))})


def dumped(data: Any) -> str:
    """Plain data as text: two blanks a level, no escapes of letters."""
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2)


def plain(value: Any) -> Any:
    """An answer as dicts, lists, texts and numbers. Raises `ValueError` for a NaN."""
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name.rstrip("_"): plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, Mapping):
        return {str(k): plain(value[k]) for k in sorted(value)}
    if isinstance(value, tuple | list):
        return [plain(x) for x in value]
    if isinstance(value, float):
        return _number(value)
    return value


def _number(value: float) -> float | None:
    if math.isnan(value):
        raise ValueError("a quantity that is not a number")
    if math.isinf(value):
        return None
    return round(value, PLACES) + 0.0  # a minus zero becomes a zero
