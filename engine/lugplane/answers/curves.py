"""What a plot shows: a quantity along another, its bounds at each place, or why it cannot be told.

Nothing here knows of paper.
"""

from __future__ import annotations

from dataclasses import dataclass

from lugplane.answers.rows import Span


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why something cannot be told: facts that are not known, and a reason in words if any."""

    facts: tuple[str, ...] = ()
    because: str = ""


@dataclass(frozen=True, slots=True)
class Sample:
    """The bounds of a quantity at one place along the other; infinite: it is never reached."""

    at: float
    span: Span


@dataclass(frozen=True, slots=True)
class Curve:
    """One axle of one setup (`stock` or `proposed`); without samples the doubt says why."""

    setup: str
    axle: str
    samples: tuple[Sample, ...] = ()
    doubt: Doubt | None = None


@dataclass(frozen=True, slots=True)
class AdhesionCurves:
    """Adhesion used against the deceleration in g, in one state of loading (unladen, laden)."""

    loading: str
    curves: tuple[Curve, ...]


@dataclass(frozen=True, slots=True)
class HeatCurves:
    """The hottest of a disc in each stop of a course, °C, against the time in s of its end.

    `name` is `type-one` or `own`; `title` says what the course is.
    """

    name: str
    title: str
    curves: tuple[Curve, ...]
