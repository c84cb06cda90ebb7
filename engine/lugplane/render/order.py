"""Work with its hold points, each before the step that it stops."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lugplane.answers.sheet import Line


def in_order(work: Sequence[Line], hold: Sequence[Line]) -> Iterator[tuple[Line, bool]]:
    """Every step and hold point in the order in which a mechanic meets them; True: a hold point.

    A hold point stands before the first step that it stops; where there is none, before all.
    """
    ids = [step.id for step in work]
    placed: dict[str, list[Line]] = {}
    for stop in hold:
        before = next((i for i in stop.before if i in ids), "")
        placed.setdefault(before, []).append(stop)
    yield from ((stop, True) for stop in placed.get("", ()))
    for step in work:
        yield from ((stop, True) for stop in placed.get(step.id, ()))
        yield step, False
