"""A second opinion on the fitment arithmetic, written from TRADE alone.

`judge` walks every check of ``rules/checks.yaml`` for one setup and answers with states, bounds
and verdicts. It shares no line with the engine. Conventions it had to choose stand in README.md.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from .bands import LIMITS, touched
from .boxes import Aff, Span
from .read_kb import EMPTY, Kb, Part, load
from .setup import CHECKS, Answer
from .whole_car import Case

__all__ = ["CHECKS", "Answer", "Kb", "bands_of", "judge", "load", "verdict_of"]

NONE_SET: Mapping[str, Any] = MappingProxyType({})


def verdict_of(states: Iterable[str]) -> str:
    """DESIGN §4; a scope none of whose checks applies has none."""
    seen = set(states) - {"n/a"}
    if not seen:
        return "does not apply"
    if "fails" in seen:
        return "does not fit"
    if "cannot tell" in seen:
        return "cannot tell"
    return "fits with work" if seen & {"work", "care"} else "bolts on"


def _verdicts(states: Mapping[str, str]) -> dict[str, str]:
    return {
        scope: verdict_of(states[check] for check, of in CHECKS.items() if of == scope)
        for scope in ("brake", "wheel", "car")
    }


def judge(
    kb: Kb,
    platform_id: str,
    axle: str,
    caliper: str,
    disc: str,
    pad: str,
    carrier: str | None = None,
    wheel: str | None = None,
    adapter: bool = False,
    wheel_spacer_mm: float = 0.0,
    overrides: Mapping[str, Any] = NONE_SET,
    whole_car: bool = True,
) -> Answer:
    """Judge one axle's setup.

    `whole_car` False leaves out what stands beside the stock car, which takes most of the time:
    those checks then say *cannot tell*.

    `overrides`: ``spacing_mm``, ``lift_mm``, ``tilt_mm`` (bench), or a fact of a chosen part as
    ``disc.height_mm``, ``knuckle.ear.thickness_mm`` and so on. Raises KeyError for unknown ids.
    """
    platform = kb.need("platform", platform_id)
    stock_hose = kb.find("hose", platform.get(f"{axle}.stock.hose"))
    parts: dict[str, Part] = {
        "platform": platform,
        "knuckle": kb.find("knuckle", platform.get(f"{axle}.knuckle")) or EMPTY,
        "hose": stock_hose or EMPTY,
        "caliper": kb.need("caliper", caliper),
        "disc": kb.need("disc", disc),
        "pad": kb.need("pad", pad),
    }
    if carrier is not None:
        parts["carrier"] = kb.need("carrier", carrier)
    if wheel is not None:
        parts["wheel"] = kb.need("wheel", wheel)
    bench: dict[str, Aff | None] = {}
    for name, value in overrides.items():
        if "." not in name:
            bench[name] = kb.bench(name, value, name)
        else:
            kind, path = name.split(".", 1)
            parts[kind] = kb.changed(parts[kind], {path: value})
    case = Case(kb, parts, axle, adapter, wheel_spacer_mm, bench)
    case.place()
    case.bolting()
    case.pads()
    case.radial_fit()
    case.hub()
    case.sides()
    case.wheels()
    case.car(whole_car)
    missing = CHECKS.keys() - case.states.keys()
    if missing:
        raise AssertionError(f"checks without a state: {sorted(missing)}")
    case.answer.verdict = _verdicts(case.states)
    return case.answer


def bands_of(limit: str, values: Span) -> list[str]:
    """States an interval touches; for the comparison's messages."""
    return touched(values, LIMITS[limit])
