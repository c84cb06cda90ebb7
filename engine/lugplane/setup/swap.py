"""A setup with one of its numbers put in place of another."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

from lugplane.facts.value import Reading, Value
from lugplane.setup.parts import Setup

_DESIGNED = "designed_"


def number_at(setup: Setup, path: str) -> Value | None:
    """The number that a path (`disc.height_mm`, `designed_disc.thickness_mm`) names, or None.

    Lists, words and parts that the setup has not are no numbers of it.
    """
    owner: Any = setup
    for key in path.split("."):
        if not is_dataclass(owner):
            return None
        owner = getattr(owner, key, None) or getattr(owner, f"{key}_", None)
    return owner if isinstance(owner, Value) else None


def with_number(setup: Setup, path: str, value: Value) -> Setup:
    """The setup with another number at a path.

    Where the part that a floating caliper was designed for states the very same fact of the same
    file, that is changed along. Raises `KeyError` where the path names no number.
    """
    before = number_at(setup, path)
    if before is None:
        raise KeyError(path)
    changed: Setup = _with(setup, path.split("."), value)
    twin = path.removeprefix(_DESIGNED) if path.startswith(_DESIGNED) else f"{_DESIGNED}{path}"
    other = number_at(setup, twin)
    if other is not None and other.at and other.at == before.at:
        changed = _with(changed, twin.split("."), value)
    return changed


def exactly(value: Value, at: float) -> Value:
    """The fact with an exact number: one reading without doubt."""
    first = value.readings[0] if value.readings else Reading(at, at, at, "inferred")
    return replace(value, readings=(replace(first, lo=at, hi=at, nominal=at),))


def shifted(value: Value, by: float) -> Value:
    """The fact with the reading that counts moved, its doubt as it was."""
    first = value.reading
    moved = replace(first, lo=first.lo + by, hi=first.hi + by, nominal=first.nominal + by)
    return replace(value, readings=(moved, *value.readings[1:]))


def _with(owner: Any, keys: list[str], value: Value) -> Any:
    name = next(f.name for f in fields(owner) if f.name.rstrip("_") == keys[0])
    if len(keys) == 1:
        return replace(owner, **{name: value})
    return replace(owner, **{name: _with(getattr(owner, name), keys[1:], value)})
