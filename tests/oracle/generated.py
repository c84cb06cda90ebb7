"""Setups drawn at random, each from a number of its own: parts, measured facts, doubts, gaps.

Most start from an axle's own parts with some of them changed, since parts at random seldom get
past the first check. Facts are then set as `--set` would: measured anew, taken away, put in wide
doubt, other words said; or a fact is aimed so that a check lands about an edge of its limit, by
the slope that the engine itself gives (it serves the drawing only, never the comparison).
"""

from __future__ import annotations

import json
import random
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from typing import Any

from .both_sides import Asked, BothSides, judge_as
from .boxes import span
from .candidates import Seat, pads_of_shape, seats, stock
from .cars import is_drawn
from .oracle import Kb
from .read_kb import ROOT, Part

DOUBTS = (0.0, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.5)
WIDE = (0.75, 1.0, 2.0, 4.0)
STEPS = (0.0, 0.05, 0.1, 0.25, 0.5, 1.0, 2.0, 4.0)
SETTABLE = ("knuckle", "caliper", "carrier", "disc", "pad", "wheel", "hose")


def draw(both: BothSides, number: int) -> Asked:
    """The setup of a number; the same facts and number give the same setup.

    Where the folder has drawn cars (`cars`), every other setup is put on one, and has masses and
    friction changed as well.
    """
    asked = _drawn(both, number)
    return _on_a_drawn_car(both.kb, asked, random.Random(f"lugplane car {number}"))


def _on_a_drawn_car(kb: Kb, asked: Asked, rnd: random.Random) -> Asked:
    cars = [p.id for p in kb.of("platform") if is_drawn(p) and p.get("notes") == asked.platform]
    if not cars or rnd.random() < 0.5:
        return asked
    others = [p.id for p in pads_of_shape(kb, kb.need("pad", asked.pad).family)]
    pad = rnd.choice(others) if rnd.random() < 0.4 else asked.pad
    changes = dict(asked.set_)
    for _ in range(rnd.choice((0, 0, 1, 2))):
        changes |= _weigh(kb, replace(asked, pad=pad), rnd)
    return replace(asked, platform=rnd.choice(cars), pad=pad, set_=tuple(changes.items()))


def _weigh(kb: Kb, asked: Asked, rnd: random.Random) -> dict[str, str]:
    """Friction, a mass or a worn lining of a fitted part anew, or no longer known."""
    pool = [
        (part, path)
        for part in _records(kb, asked).values()
        for path in part.values
        if part.kind != "wheel" and ("mass_kg" in path or path in ("friction_ratio", "lining_mm"))
    ]
    if not pool:
        return {}
    part, path = rnd.choice(pool)
    fact = f"{part.kind}.{path}"
    if rnd.random() < 0.15:
        return {fact: "unknown"}
    at = _nominal(part, path) * rnd.choice((1.0, rnd.uniform(0.85, 1.1)))
    return {fact: _written(at, round(at * rnd.choice((0.0, 0.01, 0.05, 0.15)), 4))}


def _drawn(both: BothSides, number: int) -> Asked:
    rnd = random.Random(f"lugplane {number}")
    asked = _parts(both.kb, rnd)
    sort = rnd.choices(
        ("aim", "measure", "take away", "words", "bench", "as it is"), (40, 20, 15, 10, 10, 5)
    )[0]
    changes: dict[str, str] = {}
    if sort == "aim":
        for _ in range(rnd.choice((1, 1, 2))):
            changes |= _aim(both, asked, rnd)
    elif sort == "measure":
        for _ in range(rnd.randint(1, 4)):
            changes |= _measure(both.kb, asked, rnd, rnd.random() < 0.4)
    elif sort == "take away":
        for _ in range(rnd.choice((1, 1, 2))):
            changes |= _take_away(both.kb, asked, rnd)
        if rnd.random() < 0.3:
            changes |= _measure(both.kb, asked, rnd, False)
    elif sort == "words":
        changes |= _say(both.kb, asked, rnd)
        if rnd.random() < 0.3:
            changes |= _measure(both.kb, asked, rnd, False)
    elif sort == "bench":
        changes |= _bench(both.kb, asked, rnd)
        if rnd.random() < 0.3:
            changes |= _measure(both.kb, asked, rnd, True)
    return _with(asked, _coherent(both.kb, asked, changes))


_NEW_AND_WORN = (
    ("disc", "thickness_mm", "min_thickness_mm"),
    ("pad", "lining_mm", "min_lining_mm"),
)


def _coherent(kb: Kb, asked: Asked, changes: Mapping[str, str]) -> Mapping[str, str]:
    """Without figures by which a worn part would be thicker than a new one."""
    kept = dict(changes)
    for kind, new, worn in _NEW_AND_WORN:
        part = kb.need(kind, asked.disc if kind == "disc" else asked.pad)
        figures = {path: kept[f"{kind}.{path}"] for path in (new, worn) if f"{kind}.{path}" in kept}
        if not figures or "unknown" in figures.values():
            continue
        values = kb.changed(part, figures).values
        if new in values and worn in values and span(values[worn])[1] > span(values[new])[0]:
            for path in figures:
                del kept[f"{kind}.{path}"]
    return kept


def _with(asked: Asked, changes: Mapping[str, str]) -> Asked:
    return Asked(
        asked.platform,
        asked.axle,
        asked.caliper,
        asked.disc,
        asked.pad,
        asked.carrier,
        asked.wheel,
        tuple(changes.items()),
        asked.adapter,
        asked.wheel_spacer_mm,
    )


# --- parts -------------------------------------------------------------------------------------
def _parts(kb: Kb, rnd: random.Random) -> Asked:
    shipped = [a for a in stock(kb) if not is_drawn(kb.need("platform", a.platform))]
    own, all_seats = rnd.choice(shipped), seats(kb)
    if rnd.random() < 0.25:
        own = _seated(kb, own, rnd.choice(all_seats), rnd)
    elif rnd.random() < 0.5:
        own = _seated(kb, own, rnd.choice(_like(all_seats, kb, own)), rnd)
    disc, wheel = own.disc, own.wheel
    if rnd.random() < 0.4:
        disc = rnd.choice(_discs_like(kb, own) if rnd.random() < 0.8 else kb.of("disc")).id
    if rnd.random() < 0.5:
        wheel = rnd.choice(kb.of("wheel")).id if rnd.random() < 0.7 else None
    pad = rnd.choice(kb.of("pad")).id if rnd.random() < 0.05 else own.pad
    carrier = own.carrier
    if carrier and rnd.random() < 0.05:
        carrier = rnd.choice(kb.of("carrier")).id
    spacer = rnd.choice((3.0, 5.0, 10.0)) if wheel and rnd.random() < 0.15 else 0.0
    return Asked(
        own.platform,
        own.axle,
        own.caliper,
        disc,
        pad,
        carrier,
        wheel,
        adapter=rnd.random() < 0.06,
        wheel_spacer_mm=spacer,
    )


def _like(all_seats: Sequence[Seat], kb: Kb, own: Asked) -> Sequence[Seat]:
    """Calipers whose lugs are as far apart as those of the axle's own, within a millimetre."""
    carrier = kb.need("carrier", own.carrier) if own.carrier else None
    ours = _lug(Seat(kb.need("caliper", own.caliper), carrier))
    return [s for s in all_seats if abs(_lug(s) - ours) < 1.0]


def _lug(seat: Seat) -> float:
    part = seat.carrier or seat.caliper
    return _nominal(part, "lug.spacing_mm") if "lug.spacing_mm" in part.values else 0.0


def _discs_like(kb: Kb, own: Asked) -> Sequence[Part]:
    """Discs with the bolt circle of the axle's own."""
    ours = _nominal(kb.need("disc", own.disc), "bolts.circle_mm")
    return [
        d
        for d in kb.of("disc")
        if "bolts.circle_mm" in d.values and abs(_nominal(d, "bolts.circle_mm") - ours) < 0.5
    ]


def _seated(kb: Kb, own: Asked, seat: Seat, rnd: random.Random) -> Asked:
    pads = pads_of_shape(kb, seat.shape) or kb.of("pad")
    return Asked(
        own.platform,
        own.axle,
        seat.caliper.id,
        own.disc,
        rnd.choice(pads).id,
        seat.carrier.id if seat.carrier else None,
        own.wheel,
    )


# --- facts -------------------------------------------------------------------------------------
def _records(kb: Kb, asked: Asked) -> dict[str, Part]:
    """The parts whose facts can be set, by kind."""
    platform = kb.need("platform", asked.platform)
    named = {
        "knuckle": platform.get(f"{asked.axle}.knuckle"),
        "caliper": asked.caliper,
        "carrier": asked.carrier,
        "disc": asked.disc,
        "pad": asked.pad,
        "wheel": asked.wheel,
        "hose": platform.get(f"{asked.axle}.stock.hose"),
    }
    found = {kind: kb.find(kind, ident) for kind, ident in named.items()}
    return {kind: part for kind, part in found.items() if part is not None}


def _nominal(part: Part, path: str) -> float:
    form = part.values[path]
    return form.c + sum(q * (v.lo + v.hi) / 2 for v, q in form.t.items())


def _written(value: float, doubt: float) -> str:
    return f"{round(value, 4):g} ±{doubt:g}"


def _values(kb: Kb, asked: Asked) -> list[tuple[Part, str]]:
    # Masses weigh on nothing that is judged of one axle.
    return [
        (part, path)
        for part in _records(kb, asked).values()
        for path in part.values
        if "mass_kg" not in path and path != "friction_ratio"
    ]


def _measure(kb: Kb, asked: Asked, rnd: random.Random, wide: bool) -> dict[str, str]:
    """A figure measured anew: a little off, or as it was and in wide doubt."""
    part, path = rnd.choice(_values(kb, asked))
    at = _nominal(part, path)
    if path.endswith("_mm"):
        off, doubt = rnd.choice(STEPS) * rnd.choice((-1, 1)), rnd.choice(DOUBTS)
        if wide:
            off, doubt = 0.0, rnd.choice(WIDE)
    else:
        off, doubt = at * rnd.choice((-0.1, 0.0, 0.1)), at * rnd.choice((0.0, 0.02, 0.1))
    off, doubt = _possible(path, at, off, doubt)
    return {f"{part.kind}.{path}": _written(at + off, doubt)}


def _possible(path: str, at: float, off: float, doubt: float) -> tuple[float, float]:
    """A size that a part can have: not below nought, and holes that span the lugs."""
    if any(word in path for word in ("hole_", "circle", "spacing", "seat_radius", "head_dia")):
        # Nobody measures a hole's place worse than that, and roots of squares are bounded well
        # for small doubts only. A head is wider than its hole.
        doubt = min(doubt, 0.2)
    signed = path in {"face_to_centre_mm", "ear_face_mm", "offset_mm", "lift_mm"} or "face" in path
    if not signed and at + off - doubt < 0:
        return 0.0, max(0.0, min(doubt, at))
    return off, doubt


def _take_away(kb: Kb, asked: Asked, rnd: random.Random) -> dict[str, str]:
    """One fact of any kind becomes unknown."""
    pool = [
        f"{kind}.{path}"
        for kind, part in _records(kb, asked).items()
        for path in _leaves(part.raw)
        if path not in ("title", "notes") and "mass_kg" not in path
    ]
    return {rnd.choice(sorted(pool)): "unknown"}


_ENVELOPE = {"kind", "id", "title", "notes", "readings", "unless_said", "members"}
# Which parts belong together, and what only another reader of the facts looks at.
_LEFT_ALONE = {"designed_for.disc", "designed_for.pad", "calipers", "outline.plus_minus_mm"} | {
    "friction_curve.plus_minus_ratio"
}


def _leaves(raw: Mapping[str, Any], prefix: str = "") -> list[str]:
    found: list[str] = []
    for key, value in raw.items():
        if not prefix and key in _ENVELOPE:
            continue
        path = f"{prefix}{key}"
        if isinstance(value, Mapping):
            found += _leaves(value, f"{path}.")
        elif path not in _LEFT_ALONE and not path.endswith("plus_minus_mm"):
            found.append(path)
    return found


@cache
def _words(kind: str) -> Mapping[str, tuple[str, ...]]:
    """Dotted paths of a kind's facts that are one of a few words, and those words."""
    schema = json.loads((ROOT / "schemas" / f"{kind}.json").read_text("utf-8"))
    shared = json.loads((ROOT / "schemas" / "shared.json").read_text("utf-8"))["$defs"]
    found: dict[str, tuple[str, ...]] = {}

    def walk(node: Mapping[str, Any], path: str) -> None:
        while "$ref" in node:
            node = shared[node["$ref"].rsplit("/", 1)[-1]]
        if "enum" in node:
            found[path] = tuple(str(word) for word in node["enum"])
        elif node.get("type") == "boolean":
            found[path] = ("true", "false")
        for name, child in node.get("properties", {}).items():
            if path or name not in _ENVELOPE:
                walk(child, f"{path}.{name}" if path else name)

    walk(schema, "")
    return found


def _say(kb: Kb, asked: Asked, rnd: random.Random) -> dict[str, str]:
    """Another word for a fact that is a word."""
    records = _records(kb, asked)
    pool = [
        (kind, path)
        for kind, part in records.items()
        for path in _words(kind)
        # A fixed caliper cannot be made to float: it would be another part, with a carrier. And
        # in a softer material stripping rules, for which TRADE does not say the thread's sizes:
        # the oracle takes the basic ones, the engine the least material (outside/ tests hold it).
        if path != "body" and not path.endswith("material") and part.get(path) is not None
    ]
    kind, path = rnd.choice(sorted(pool))
    return {f"{kind}.{path}": rnd.choice(_words(kind)[path])}


def _bench(kb: Kb, asked: Asked, rnd: random.Random) -> dict[str, str]:
    """What a mock-up gives: the spacing, or how far the two ends differ."""
    spacing = judge_as(kb, asked).spacing
    axial = _records(kb, asked)["knuckle"].get("mount") == "axial"
    if rnd.random() < 0.2 or spacing is None or not axial:
        return {"tilt_mm": _written(rnd.choice((0.0, 0.1, 0.2, 0.25, 0.3)), rnd.choice(DOUBTS))}
    # One that the facts bear out: any other tells that a fact is wrong, and not which.
    at = rnd.uniform(*spacing)
    return {"spacing_mm": _written(round(at, 2), rnd.choice((0.0, 0.01, 0.02, 0.05, 0.1, 0.2)))}


def _aim(both: BothSides, asked: Asked, rnd: random.Random) -> dict[str, str]:
    """A fact set so that some check lies about an edge of its limit, and the fact's doubt."""
    judged = both.engine(asked).deduction.judged
    records = _records(both.kb, asked)
    pool: list[tuple[str, str, float, float]] = []
    for name, found in sorted(judged.items()):
        quantity = found.finding.reckoned
        if quantity is None or found.limit is None:
            continue
        edges = [b.to for b in found.limit.bands if b.to is not None]
        for fact, effect in sorted(quantity.judged.effects.items()):
            kind, _, path = fact.partition(".")
            if kind not in SETTABLE or kind not in records or abs(effect.slope) < 0.05:
                continue
            if "head_diameter" in path:  # a head smaller than its hole is no bolt's
                continue
            if path in records[kind].values and edges:
                way = rnd.choice(edges) - quantity.judged.nominal
                if abs(way) < 25:  # beyond that no such part is made
                    pool.append((name, fact, way, effect.slope))
    if not pool:
        return {}
    wanted = rnd.choice(sorted({name for name, *_ in pool}))
    _, fact, way, slope = rnd.choice([entry for entry in pool if entry[0] == wanted])
    kind, _, path = fact.partition(".")
    at = _nominal(records[kind], path)
    doubt = rnd.choice(DOUBTS)
    off = way / slope + rnd.choice((-0.6, -0.3, -0.1, -0.02, 0.0, 0.02, 0.1, 0.3, 0.6))
    off, doubt = _possible(path, at, off, doubt)
    return {fact: _written(at + off, doubt)}
