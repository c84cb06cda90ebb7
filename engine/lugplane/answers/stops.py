"""A list of stops as the user wrote it, read as strictly as facts are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from lugplane.data import data_folder
from lugplane.errors import BadFacts, BadInput, Problem
from lugplane.facts.schema import Schemas
from lugplane.facts.yaml12 import Damaged, Document, Positions, read
from lugplane.measure.fade import OwnStop

MOST_STOPS: Final = 400
"""Stops of one list, repetitions counted: a long day's braking, and reckoned in a second."""


@dataclass(frozen=True, slots=True)
class StopList:
    """The stops in their order, repetitions written out; `title` may be empty."""

    title: str
    stops: tuple[OwnStop, ...]


def read_stops(path: Path) -> StopList:
    """Read a file of the form `schemas/asked/stops.json`.

    Raises `BadInput` where it cannot be opened, `BadFacts` with every problem in it, each located.
    """
    try:
        source = path.read_bytes()
    except OSError as error:
        raise BadInput(f"{path}: cannot be read: {error.strerror or error}") from error
    file = str(path)
    found = read(source, file)
    problems = _form(found, file)
    if not problems:
        problems = list(_sense(found.data, found.positions, file))
    if problems:
        raise BadFacts(tuple(problems))
    data: Any = found.data
    stops = (stop for entry in data["stops"] for stop in _stops(entry))
    return StopList(str(data.get("title", "")), tuple(stops))


def _form(found: Document | Damaged, file: str) -> list[Problem]:
    """What is wrong with the writing, and by the schema."""
    problems: list[Problem] = []
    holes = frozenset[Any]()
    if isinstance(found, Damaged):
        problems, holes = list(found.problems), found.holes
        if not found.complete:
            return problems
    schemas = Schemas(data_folder() / "schemas" / "asked")
    return problems + schemas.check("stops", found.data, found.positions, file, holes)


def _sense(data: Any, positions: Positions, file: str) -> Iterator[Problem]:
    """What makes no sense though its form is right."""
    for n, entry in enumerate(data["stops"]):
        high, low = entry["from_kmh"], entry.get("to_kmh", 0)
        if low >= high:
            yield Problem(
                file,
                *positions.of_value(("stops", n, "to_kmh")),
                "not-a-value",
                f"braking from {high:g} to {low:g} km/h",
                "allowed: a speed that falls",
                "write a `to_kmh` below `from_kmh`",
            )
    count = sum(entry.get("times", 1) for entry in data["stops"])
    if count > MOST_STOPS:
        yield Problem(
            file,
            *positions.of_value(("stops",)),
            "wrong-count",
            f"{count} stops, repetitions counted",
            f"allowed: at most {MOST_STOPS}",
            "leave some out",
        )


def _stops(entry: Any) -> tuple[OwnStop, ...]:
    """The stops of one entry."""
    hard = entry.get("deceleration_ms2")
    stop = OwnStop(
        float(entry["from_kmh"]),
        float(entry.get("to_kmh", 0)),
        float(entry["rest_s"]),
        None if hard is None else float(hard),
    )
    return (stop,) * int(entry.get("times", 1))
