"""`--set FACT=VALUE`: what was measured on this very car stands above the recorded fact."""

from __future__ import annotations

import difflib
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from lugplane.errors import BadInput
from lugplane.facts.decode import fact_paths
from lugplane.facts.records import Record
from lugplane.facts.value import Fact, Number, Reading, Value, Word
from lugplane.facts.words import allowed
from lugplane.quantity.limits import Assumed
from lugplane.quantity.text import ALLOWED, NotAQuantity, parse

R = TypeVar("R", bound=Record)

MEASURED = ("spacing_mm", "tilt_mm")
"""Quantities that a mock-up measures, by the name of their measure."""
SIGNED = frozenset(
    {"ear_face_mm", "face_to_centre_mm", "face_mm", "offset_mm", "lift_mm", "spacing_mm", "tilt_mm"}
    | {"line_to_lining_top_mm", "line_to_piston_mm", "line_to_bridge_mm"}
    | {"line_to_bridge_corner_mm"}
)
"""Lengths that have a direction: the others cannot be below zero."""
NAMED = tuple(
    p
    for p in fact_paths("platform")
    if ".stock." in p
    or p.endswith(("knuckle", "wheels", ".parking_brake"))
    or p == "platform.master"
)
"""Facts of a platform that name its parts."""
AT = "set on the command line"
KINDS = ("knuckle", "caliper", "carrier", "disc", "pad", "wheel", "hose", "platform", "master")


def split(text: str) -> tuple[str, str]:
    """`FACT=VALUE` into its two halves. Raises `BadInput`."""
    name, sign, value = text.partition("=")
    name, value = name.strip(), value.strip()
    if not sign or not name or not value:
        raise BadInput(f"--set '{text}': write FACT=VALUE, as in disc.height_mm=50±0.1")
    if "." not in name:
        if name in MEASURED:
            return name, value
        known = ", ".join(MEASURED)
        raise BadInput(f"--set {name}: not a fact (KIND.NAME) nor a measured quantity ({known})")
    kind = name.split(".", 1)[0]
    paths = fact_paths(kind) if kind in KINDS else ()
    if name.rsplit(".", 1)[-1].startswith("plus_minus_"):
        raise BadInput(f"--set {name}: the ± of points belongs into a facts folder of yours")
    if kind == "platform" and name in NAMED:
        raise BadInput(f"--set {name}: it names a part; name the part itself")
    if name not in paths:
        pool = [p for k in KINDS for p in fact_paths(k)]
        near = difflib.get_close_matches(name, pool, n=3, cutoff=0.5)
        hint = f"; close to it: {', '.join(near)}" if near else f"; kinds: {', '.join(KINDS)}"
        raise BadInput(f"--set {name}: there is no such fact{hint}")
    return name, value


def value_of(path: str, text: str, assumed: Assumed) -> Value:
    """A measured value in the grammar of facts. Raises `BadInput`.

    A bare figure takes the ± assumed of measurements, as it would in a file; `50 ±0` says that it
    is exact.
    """
    try:
        jotted = parse(text)
    except NotAQuantity as error:
        raise BadInput(f"--set {path}: {error}; allowed: {ALLOWED}") from error
    if jotted.nominal < 0 and path.rsplit(".", 1)[-1] not in SIGNED:
        raise BadInput(f"--set {path}: {jotted.nominal:g} is below zero, which this fact cannot be")
    unit = path.rsplit("_", 1)[-1]
    spread = assumed.mm if unit == "mm" else abs(jotted.nominal) * assumed.percent / 100
    down, up = jotted.doubt or (spread, spread)
    reading = Reading(
        jotted.nominal - down,
        jotted.nominal + up,
        jotted.nominal,
        "measured",
        "set",
        assumed=jotted.doubt is None and spread > 0,
    )
    return Value(path, unit, (reading,), AT)


def apply(record: R, path: str, text: str, assumed: Assumed) -> R:
    """A record with one fact replaced; `path` starts with the record's kind.

    `unknown` as the value takes the fact away. Raises `BadInput` for facts that are lists.
    """
    keys = path.split(".")[1:]
    changed: R = _with(record, keys, path, text, assumed)
    return changed


def _with(owner: Any, keys: list[str], path: str, text: str, assumed: Assumed) -> Any:
    name = next(f.name for f in fields(owner) if f.name.rstrip("_") == keys[0])
    held = getattr(owner, name)
    if len(keys) > 1 and is_dataclass(held):
        return replace(owner, **{name: _with(held, keys[1:], path, text, assumed)})
    return replace(owner, **{name: _fact(held, path, text, assumed)})


def _fact(held: Fact, path: str, text: str, assumed: Assumed) -> Fact:
    if text == "unknown":
        return type(held)(path)
    if isinstance(held, Value):
        if text == "through":
            return replace(held, readings=(), through=True, at=AT)
        return value_of(path, text, assumed)
    if isinstance(held, Word):
        takes = allowed(path)
        word = takes.take(text)
        if word is None:
            raise BadInput(f"--set {path}: '{text[:60]}' is not one of its words; allowed: {takes}")
        return Word(path, word, AT)
    if isinstance(held, Number):
        try:
            jotted = parse(text)
        except NotAQuantity as error:
            raise BadInput(f"--set {path}: '{text}' is not a number") from error
        if any(jotted.doubt or ()):
            raise BadInput(f"--set {path}: it is counted or nominal and takes no ±")
        return Number(path, jotted.nominal, AT)
    raise BadInput(f"--set {path}: a list cannot be set here; put it into a facts folder of yours")
