"""Whether the facts of two parts agree, read from the facts alone.

Two figures agree where their bounds touch; outlines where they do, point by point, within the ±
stated beside them; words and counts where they are equal; pads where they are of one shape; lists
of calipers where a caliper is in both. What is not known on either side leaves it open.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from .boxes import span
from .read_kb import ROOT, Kb, Part

TOUCHING = 1e-9
DOUBT = "plus_minus_mm"
HEAD = frozenset({"kind", "id", "title", "notes", "readings", "unless_said", "members"})
MADE_FOR = frozenset({"designed_for.disc", "designed_for.pad"})
"""What a part was designed for is no property of it."""


@dataclass(frozen=True, slots=True)
class Sameness:
    """How one part stands to another: same or cannot tell, for want of what.

    `differs` are the other facts in which the two surely differ, `open` how many are known of one
    of the two only.
    """

    state: str
    missing: frozenset[str]
    differs: frozenset[str]
    open: int


@cache
def fact_paths(kind: str) -> tuple[str, ...]:
    """The dotted paths of a kind's facts, by its schema."""
    folder = ROOT / "schemas"
    shared = json.loads((folder / "shared.json").read_text("utf-8"))["$defs"]

    def walk(node: Mapping[str, Any], path: str) -> Iterator[str]:
        while "$ref" in node:
            node = shared[node["$ref"].rsplit("/", 1)[-1]]
        inner = node.get("properties")
        if not inner:
            if not path.endswith(DOUBT):  # of the figures beside it, and no fact of its own
                yield path
            return
        for name, child in inner.items():
            if path or name not in HEAD:
                yield from walk(child, f"{path}.{name}" if path else name)

    return tuple(walk(json.loads((folder / f"{kind}.json").read_text("utf-8")), ""))


def known(part: Part, path: str) -> bool:
    """Whether anything is stated of a fact."""
    return part.get(path) is not None


def agree(kb: Kb, one: Part, two: Part, path: str) -> bool | None:
    """Whether a fact of two parts agrees; None: it is not known of one of them."""
    if not (known(one, path) and known(two, path)):
        return None
    a, b = one.num(path), two.num(path)
    if a is not None and b is not None:
        (low, high), (least, most) = span(a), span(b)
        return low <= most + TOUCHING and least <= high + TOUCHING
    ours, theirs = one.get(path), two.get(path)
    if path == "pad":
        return bool(ours.split("/")[0] == theirs.split("/")[0])
    if path == "calipers":
        return bool(_calipers(kb, ours) & _calipers(kb, theirs))
    apart = doubt(one, path) + doubt(two, path)
    return _within(ours, theirs, apart) if apart else bool(ours == theirs)


def doubt(part: Part, path: str) -> float:
    """The ± that stands beside an outline or a measure of it."""
    steps = path.split(".")
    beside = (".".join((*steps[:n], DOUBT)) for n in range(len(steps) - 1, 0, -1))
    return next((float(pm) for at in beside if (pm := part.get(at)) is not None), 0.0)


def _within(ours: Any, theirs: Any, apart: float) -> bool:
    """Whether numbers, or lists of them, lie no further apart; angles and words have no ± in mm."""
    if isinstance(ours, list) and isinstance(theirs, list):
        each = zip(ours, theirs, strict=False)
        return len(ours) == len(theirs) and all(_within(a, b, apart) for a, b in each)
    if isinstance(ours, int | float) and isinstance(theirs, int | float):
        return abs(ours - theirs) <= apart + TOUCHING
    return bool(ours == theirs)


def _calipers(kb: Kb, names: Sequence[str]) -> set[str]:
    """The calipers that a list of ids and families names."""
    return {c.id for c in kb.of("caliper") if {c.id, c.family} & set(names)}


def interface(kb: Kb, asked: Part, other: Part, facts: Sequence[str]) -> Sameness | None:
    """How another part stands to the one asked for by some facts; None: surely not the same.

    `facts` are paths without their kind. Where none of them is known of the other, nothing speaks
    for it.
    """
    if facts and not any(known(other, path) for path in facts):
        return None
    missing: set[str] = set()
    for path in facts:
        same = agree(kb, asked, other, path)
        if same is False:
            return None
        if same is None:
            missing |= {f"{p.kind}.{path}" for p in (asked, other) if not known(p, path)}
    differs: set[str] = set()
    unknown = 0
    for path in set(fact_paths(asked.kind)) & set(fact_paths(other.kind)):
        if path in facts or path in MADE_FOR:
            continue
        same = agree(kb, asked, other, path)
        if same is False:
            differs.add(f"{asked.kind}.{path}")
        unknown += same is None and (known(asked, path) or known(other, path))
    state = "cannot tell" if missing else "same"
    return Sameness(state, frozenset(missing), frozenset(differs), unknown)


# --- who is asked --------------------------------------------------------------------------------
LUGS = ("caliper", "carrier")
"""The kinds that are bolted to the ears and keep a pad."""


def comparable(kb: Kb, asked: Part, purpose: str, other: Part) -> bool:
    """Whether another part is held against the one asked for at all.

    Lugs and pads are the carrier's where a caliper floats; a floating caliper is compared by the
    carriers that take both.
    """
    if other.kind == asked.kind and other.id == asked.id:
        return False
    kinds = LUGS if purpose in ("mount", "pad") else (asked.kind,)
    if other.kind not in kinds or not has(other, purpose):
        return False
    if purpose == "shape":
        return asked.family == other.family
    if purpose == "carrier":
        lists = [_calipers(kb, c.get("calipers") or ()) for c in kb.of("carrier")]
        return any({asked.id, other.id} <= found for found in lists)
    return True


def has(part: Part, purpose: str) -> bool:
    """Whether a part has such an interface of its own."""
    floats = part.kind == "caliper" and part.get("body") == "floating"
    if purpose == "carrier":
        return floats
    return not (floats and purpose in ("mount", "pad"))


def same_as(
    kb: Kb, kind: str, part: str, purpose: str, facts: Sequence[str]
) -> dict[tuple[str, str], Sameness]:
    """Every part that is the same for a purpose, or may be, by (kind, id)."""
    asked = kb.need(kind, part)
    found: dict[tuple[str, str], Sameness] = {}
    for other in kb.parts.values():
        if comparable(kb, asked, purpose, other):
            how = interface(kb, asked, other, facts)
            if how is not None:
                found[other.kind, other.id] = how
    return found
