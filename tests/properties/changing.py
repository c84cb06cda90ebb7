"""Setups changed in memory, and sheets boiled down to what must or must not change."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any, TypeVar

from scenarios.judging import quick, shop

from lugplane.answers.rows import Row, Span
from lugplane.answers.sheet import Sheet, judge_setup
from lugplane.facts.value import Points, Reading, Value
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.parts import Setup

T = TypeVar("T")


def setup_of(wanted: Wanted) -> Setup:
    return assemble(shop().base, wanted)


def sheet_of(setup: Setup) -> Sheet:
    return judge_setup(setup, shop().rulebook, quick()).sheet


def changed(owner: T, path: str, change: Callable[[Any], Any]) -> T:
    """A frozen record (or setup) with the fact at a dotted path changed."""
    key, _, rest = path.partition(".")
    names = {f.name.rstrip("_"): f.name for f in fields(owner)}  # type: ignore[arg-type]
    held = getattr(owner, names[key])
    new = changed(held, rest, change) if rest else change(held)
    return replace(owner, **{names[key]: new})  # type: ignore[type-var]


def fact(owner: Any, path: str) -> Any:
    """The fact at a dotted path; None where a part of the setup is not there."""
    for key in path.split("."):
        if owner is None:
            return None
        names = {f.name.rstrip("_"): f.name for f in fields(owner)}
        owner = getattr(owner, names[key])
    return owner


def reading(lo: float, hi: float, nominal: float) -> Reading:
    return Reading(lo, hi, nominal, "measured", "set")


def told(lo: float, hi: float, nominal: float | None = None) -> Callable[[Value], Value]:
    """Sets a number and its bounds."""
    middle = (lo + hi) / 2 if nominal is None else nominal
    return lambda v: replace(v, readings=(reading(lo, hi, middle),), through=False)


def plus_minus(nominal: float, spread: float) -> Callable[[Value], Value]:
    return told(nominal - spread, nominal + spread, nominal)


def points(items: tuple[tuple[float, ...], ...], spread: float = 0.0) -> Callable[[Points], Points]:
    return lambda p: replace(p, items=items, plus_minus=spread)


def values_of(setup: Setup) -> dict[str, Value]:
    """Every known number of a setup that carries bounds, by its path in the setup."""
    found: dict[str, Value] = {}
    owners = ("platform", "knuckle", "caliper", "carrier", "disc", "pad", "wheel")
    for name in owners:
        record = getattr(setup, name)
        if record is not None:
            _gather(record, name, found)
    return found


def _gather(owner: Any, path: str, found: dict[str, Value]) -> None:
    for f in fields(owner):
        held, here = getattr(owner, f.name), f"{path}.{f.name.rstrip('_')}"
        if isinstance(held, Value):
            if held.known:
                found[here] = held
        elif is_dataclass(held):
            _gather(held, here, found)


@dataclass(frozen=True, slots=True)
class Figure:
    """What a sheet says of one check, without words and places."""

    state: str
    band: str
    missing: frozenset[str]
    spans: Mapping[str, Span]


def figures(sheet: Sheet) -> dict[str, Figure]:
    return {row.check: _figure(row) for row in sheet.rows}


def _figure(row: Row) -> Figure:
    named = {"value": row.value, "have": row.have, "need": row.need, **row.notes}
    spans = {k: s for k, s in named.items() if s is not None}
    if row.margin is not None:
        spans["margin"] = Span(row.margin, row.margin, row.margin)
    return Figure(row.state, row.band, frozenset(row.missing), spans)


def hardware(sheet: Sheet) -> list[object]:
    """Stack, bolts, torque and what is bought, without ids."""
    return [
        [(s.kind, s.count, _near(s.thickness_mm)) for s in sheet.stack],
        [(b.thread, b.length_mm, b.class_) for b in sheet.bolts],
        [_near(x) for x in sheet.torque_nm or ()],
        [(b.what, b.count, b.sides) for b in sheet.buy],
        [[x.id for x in part] for part in (sheet.work, sheet.hold, sheet.caution, sheet.inspect)],
        [(s.name, s.verdict, s.limiting) for s in sheet.scopes],
    ]


def _near(x: float | None) -> float | None:
    return None if x is None else round(x, 6)


def unlike(one: Sheet, other: Sheet, renamed: Mapping[str, str] = {}) -> list[str]:
    """Where two sheets differ in states or numbers; `renamed` swaps names of notes and facts."""
    said: list[str] = []
    a, b = figures(one), figures(other)
    if hardware(one) != hardware(other):
        said.append(f"hardware: {hardware(one)} and {hardware(other)}")
    for check, figure in a.items():
        twin = b[check]
        if (figure.state, figure.band) != (twin.state, twin.band):
            said.append(f"{check}: {figure.state} ({figure.band}) and {twin.state} ({twin.band})")
        if {renamed.get(m, m) for m in figure.missing} != twin.missing:
            said.append(f"{check}: misses {set(figure.missing)} and {set(twin.missing)}")
        spans = {renamed.get(k, k): s for k, s in figure.spans.items()}
        if spans.keys() != twin.spans.keys():
            said.append(f"{check}: gives {sorted(spans)} and {sorted(twin.spans)}")
            continue
        for name, span in spans.items():
            if not _alike(span, twin.spans[name]):
                said.append(f"{check}.{name}: {span} and {twin.spans[name]}")
    return said


def _alike(a: Span, b: Span) -> bool:
    pairs = ((a.lo, b.lo), (a.hi, b.hi), (a.nominal, b.nominal))
    return all(abs(x - y) <= 1e-6 + 1e-9 * abs(x) for x, y in pairs)
