"""Every threshold holds: moved past a scenario's margin, it makes some scenario fail.

Edges and constants move by a fifth of themselves, an edge at zero by a quarter of a millimetre (a
hundredth of a share, one of a count), and never past the middle between two edges. A scenario that
could tell is looked for among those whose quantity lies nearest beyond the edge.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest
from scenarios import judging
from scenarios.judging import JUDGED, KB, differences, judged, quick, shop
from scenarios.reading import Scenario

from lugplane.answers.sheet import judge_setup
from lugplane.deduce.rulebook import Rulebook
from lugplane.facts.base import load
from lugplane.measure.bench import CHOICES, MEASURES
from lugplane.quantity.judge import Limit
from lugplane.quantity.limits import Assumed, Limits
from lugplane.setup.parts import Setup
from lugplane.workshop import Workshop

SOUND = tuple(s for s in JUDGED if not s.defect)
AT_ZERO = {"mm": 0.25, "share": 0.01, "1": 1.0, "d": 0.05, "points": 0.5, "%": 0.5}
ALSO_SHOWN = {"stack-length": ("class", "bolt"), "tip": ("bolt", "tip")}
"""Limits that decide something besides the check that is judged by them."""

UNREACHED = {
    ("spacing-by-adapter", 0.0): "a plate is refused below one bolt diameter, long before this",
}
"""Edges that no setup can come near; one that a scenario does reach is an error."""


def limits() -> Limits:
    return shop().rulebook.limits


def edges() -> Iterator[tuple[str, int, str]]:
    """Each edge, moved up and down: limit, place of its band, which way."""
    for limit in limits().limits.values():
        for n, band in enumerate(limit.bands):
            if band.to is not None:
                yield limit.id, n, "up"
                yield limit.id, n, "down"


def moved(limit: Limit, n: int, way: str) -> float:
    """Where an edge is moved to."""
    at = [b.to for b in limit.bands if b.to is not None]
    step = max(abs(at[n]) * 0.2, 0.0 if at[n] and limit.unit != "mm" else AT_ZERO[limit.unit])
    rooms = [abs(b - a) * 0.45 for a, b in pairwise(at) if at[n] in (a, b)]
    step = min([step, *rooms]) if limit.unit != "1" or at[n] else step
    return at[n] + (step if way == "up" else -step)


def with_limits(changed: Limits) -> Rulebook:
    return replace(shop().rulebook, limits=changed)


def with_edge(limit: Limit, n: int, to: float) -> Rulebook:
    bands = (*limit.bands[:n], replace(limit.bands[n], to=to), *limit.bands[n + 1 :])
    new = {**limits().limits, limit.id: replace(limit, bands=bands)}
    return with_limits(replace(limits(), limits=new))


def with_constant(name: str, value: float) -> Rulebook:
    new = {**limits().constants, name: replace(limits().constants[name], value=value)}
    return with_limits(replace(limits(), constants=new))


@cache
def setup_of(id_: str) -> Setup:
    return judging.setup_of(next(s for s in SOUND if s.id == id_))


def fails(scenario: Scenario, rulebook: Rulebook) -> bool:
    """Whether a scenario notices that a rulebook is another."""
    return bool(differences(scenario, judge_setup(setup_of(scenario.id), rulebook, quick())))


@cache
def naming(check: str) -> tuple[Scenario, ...]:
    """The scenarios that expect something of a check."""
    keys = ("checks", "numbers")
    return tuple(
        s
        for s in SOUND
        if any(e.about.partition(".")[0] == check for key in keys for e in s.all_of(key))
        or (check in ("stack", "bolt") and any(s.all_of(check)))
    )


def nearest(limit: Limit, edge: float, way: str) -> list[Scenario]:
    """The scenarios that may notice a moved edge, the likeliest first."""
    rules = shop().rulebook
    names = {r.measure for r in rules.rules if r.judge == limit.id}
    shown = [c.id for c in rules.checks if c.name in names]
    among = {s.id: s for c in (*shown, *ALSO_SHOWN.get(limit.id, ())) for s in naming(c)}
    found: list[tuple[float, str]] = []
    for scenario in among.values():
        for name in names:
            seen = judged(scenario).deduction.judged.get(name or "")
            if seen is None or seen.limit is None or seen.limit.id != limit.id:
                continue
            if seen.finding.reckoned is None:
                continue
            span = seen.finding.reckoned.judged
            beyond = [(x - edge) * (1 if way == "up" else -1) for x in (span.lo, span.hi)]
            ahead = [b for b in beyond if b >= -1e-9]
            found.append((min(ahead, default=1e9), scenario.id))
    first = [among[id_] for _, id_ in sorted(found)[:8]]
    return [*first, *(s for s in among.values() if s not in first)]


@pytest.mark.parametrize(("limit", "n", "way"), list(edges()))
def test_a_moved_edge_is_noticed(limit: str, n: int, way: str) -> None:
    whole = limits().limits[limit]
    edge = whole.bands[n].to
    assert edge is not None
    rulebook = with_edge(whole, n, moved(whole, n, way))
    noticed = any(fails(s, rulebook) for s in nearest(whole, edge, way))
    excused = (limit, edge) in UNREACHED
    assert noticed != excused, (
        f"{limit}: nobody notices the edge at {edge:g} moved {way} to {moved(whole, n, way):g}"
        if not noticed
        else f"{limit}: the edge at {edge:g} is listed as out of reach and is not"
    )


def users(constant: str) -> list[str]:
    """The checks that a constant serves."""
    direct = {n for n, e in {**MEASURES, **CHOICES}.items() if constant in e.constants}
    found = [c.id for c in shop().rulebook.checks if c.name in direct]
    # Looked up by name: what a material engaged asks for, what a friction curve has to cover.
    if constant.startswith("engagement_"):
        return ["engagement", "bolt", *found]
    return ["front-share"] if constant.startswith("friction_curve_") else found


@pytest.mark.parametrize("way", ["up", "down"])
@pytest.mark.parametrize("name", sorted(limits().constants))
def test_a_moved_constant_is_noticed(name: str, way: str) -> None:
    value = limits().constants[name].value
    step = 1.0 if name.endswith("_count") else abs(value) * 0.2
    rulebook = with_constant(name, value + (step if way == "up" else -step))
    among = {s.id: s for check in users(name) for s in naming(check)}
    likely = sorted(among.values(), key=lambda s: -len(list(s.all_of("numbers"))))
    assert any(fails(s, rulebook) for s in likely), f"nobody notices {name} moved {way}"


@pytest.mark.parametrize("basis", sorted(limits().assumed))
@pytest.mark.parametrize(("what", "parts"), [("mm", "ring/"), ("percent", "rim-12/")])
def test_a_moved_assumption_is_noticed(what: str, parts: str, basis: str) -> None:
    """The ± assumed for a reading that states none: of a length, and of anything else."""
    was = limits().assumed[basis]
    mm, percent = (1.2 * v + 0.01 for v in (was.mm, was.percent))
    now = replace(was, mm=mm) if what == "mm" else replace(was, percent=percent)
    assumed: Mapping[str, Assumed] = {**limits().assumed, basis: now}
    other = Workshop(load([KB], assumed), shop().rulebook)
    told = [s for s in SOUND if s.file == "doubt.yaml" and parts in " ".join(s.wanted.parts)]
    assert len(told) == len(limits().assumed)
    assert any(differences(s, other.judge(s.wanted)) for s in told)
