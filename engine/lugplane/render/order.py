"""Work with its hold points, each before the step that it stops."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lugplane.answers.sheet import Line

_STOPS_BEFORE = {
    "measure-disc": ("disc",),
    "mock-up": ("settle-stack", "stack", "carrier", "caliper", "tighten"),
    "mock-up-lift": ("settle-stack", "stack", "carrier", "caliper", "tighten"),
    "template-wheel": ("settle-stack", "stack", "trim", "carrier", "caliper", "tighten", "bleed"),
    "engineer": ("adapter",),
    "template-pad": ("trim",),
    "full-lock": ("proof",),
    "rear-room": ("proof",),
    "brake-test": ("proof",),
}
"""Hold point: the steps that it stops, the first of them that there is. Any other stops all."""


def in_order(work: Sequence[Line], hold: Sequence[Line]) -> Iterator[tuple[Line, bool]]:
    """Every step and hold point in the order in which a mechanic meets them; True: a hold point."""
    ids = [step.id for step in work]
    placed: dict[str, list[Line]] = {}
    for stop in hold:
        before = next((i for i in _STOPS_BEFORE.get(stop.id, ()) if i in ids), "")
        placed.setdefault(before, []).append(stop)
    yield from ((stop, True) for stop in placed.get("", ()))
    for step in work:
        yield from ((stop, True) for stop in placed.get(step.id, ()))
        yield step, False
