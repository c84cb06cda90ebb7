"""What a trial gives, and a trial to fill in, as YAML of the fact files."""

from __future__ import annotations

import math

from lugplane.answers.solve import Inferred
from lugplane.render.words import place_words

_PLACES = 3


def reading_name(trial: str) -> str:
    """The name of the reading that a trial gives: its id, in letters that a reading may have."""
    return trial.replace(".", "-")


def jotted(lo: float, hi: float) -> str:
    """An interval as a value with its ±, rounded so that nothing of it is lost."""
    scale = 10**_PLACES
    middle = round((lo + hi) / 2 * scale) / scale
    half = math.ceil(max(hi - middle, middle - lo) * scale - 1e-6) / scale
    return f"{_plain(middle)} ±{_plain(half)}"


def _plain(value: float) -> str:
    said = f"{value:.{_PLACES}f}".rstrip("0").rstrip(".")
    return "0" if said in ("-0", "") else said


def reading_yaml(each: Inferred) -> str:
    """The lines to put into the file of a record: the reading's name and the fact.

    A member's fact stands under `members`; keys that the file has already are to be joined.
    """
    name = reading_name(each.trial)
    source = [f"    source: {each.source}"] if each.source else []
    keys = each.fact.removeprefix("designed_").split(".")[1:]
    _, _, member = each.record.partition("/")
    above = ["members", f'"{member}"'] if member else []
    lines = [
        f"# {place_words(each.at).partition('.yaml:')[0]}.yaml",
        "readings:",
        f"  {name}:",
        "    basis: inferred",
        *source,
        f"    locator: {each.locator}",
        f'    date: "{each.date}"',
    ]
    for depth, key in enumerate((*above, *keys[:-1])):
        lines.append(f"{'  ' * depth}{key}:")
    indent = "  " * (len(above) + len(keys) - 1)
    lines.append(f"{indent}{keys[-1]}: {jotted(each.value.lo, each.value.hi)} ({name})")
    return "\n".join(lines)
