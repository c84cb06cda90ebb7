"""Plain scalars of the YAML 1.2 core schema, and the few spellings that are refused.

Source: YAML 1.2.2, chapter 10.3.2 (tag resolution of the core schema). Under YAML 1.1 `1:30` is
90, `010` is 8, `yes` is true and a day is a date; here they are what they look like, and where
the two editions would give different *numbers* the spelling is refused.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

LARGEST_INT: Final = 2**53 - 1
"""Beyond this a reader that holds numbers as doubles (JSON, many editors) loses digits."""

_NULL: Final = frozenset({"", "~", "null", "Null", "NULL"})
_BOOL: Final = {
    "true": True,
    "True": True,
    "TRUE": True,
    "false": False,
    "False": False,
    "FALSE": False,
}
_INT: Final = re.compile(r"[-+]?(?:0|[1-9][0-9]*)")
_FLOAT: Final = re.compile(r"[-+]?(?:(?:0|[1-9][0-9]*)(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")
_ODD: Final = re.compile(r"[-+]?0[0-9]+(?:\.[0-9]*)?(?:[eE][-+]?[0-9]+)?|0o[0-7]+|0x[0-9a-fA-F]+")
_NOT_FINITE: Final = re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")
_MAY_BE_NUMBER: Final = frozenset("+-.0123456789")


@dataclass(frozen=True, slots=True)
class Refused:
    """A spelling that is not taken: a code of `CODES`, what is allowed, and how to mend it."""

    code: str
    allowed: str
    mend: str


_NAME: Final = "if it is a name, put it between quotes"
_ODD_NUMBER: Final = Refused(
    "odd-number",
    "allowed: decimal digits without leading zeros",
    f"write the number without leading zeros and in decimals; {_NAME}",
)
_TOO_LONG: Final = Refused(
    "odd-number",
    f"allowed: whole numbers up to {LARGEST_INT}",
    f"write fewer digits; {_NAME}",
)
_INFINITE: Final = Refused(
    "not-finite",
    "allowed: finite numbers",
    "write a number, or leave the key out when it is not known",
)


def resolve(text: str) -> bool | int | float | str | Refused | None:
    """The value of a plain (unquoted) scalar."""
    if text in _NULL:
        return None
    if text[0] not in _MAY_BE_NUMBER:
        return _BOOL.get(text, text)
    if _INT.fullmatch(text):
        # Length first: turning thousands of digits into an int is refused by Python itself.
        whole = int(text) if len(text) <= 17 else LARGEST_INT + 1
        return whole if abs(whole) <= LARGEST_INT else _TOO_LONG
    if _FLOAT.fullmatch(text):
        number = float(text)
        return number if math.isfinite(number) else _INFINITE
    if _ODD.fullmatch(text):
        return _ODD_NUMBER
    if _NOT_FINITE.fullmatch(text):
        return _INFINITE
    return text
