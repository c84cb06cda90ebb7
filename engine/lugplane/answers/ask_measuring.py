"""`rules/measuring.yaml`: how each fact is measured, with what, and how well."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from lugplane.errors import BadFacts, LugplaneError, Problem
from lugplane.facts.decode import fact_paths
from lugplane.facts.kinds import FOLDER_OF
from lugplane.setup.override import MEASURED

_KEYS = frozenset({"facts", "together", "with", "reaches", "how", "ask"})
_DESIGNED = "designed_"


@dataclass(frozen=True, slots=True)
class Way:
    """How facts are measured.

    `facts` are what one measurement gives; `tool` the instrument, empty where one only looks or
    reads; `reaches` the ± it reaches in the facts' own unit, None where there is none; `how` to the
    workshop, `ask` to a customer.
    """

    facts: tuple[str, ...]
    tool: str
    reaches: float | None
    how: str
    ask: str


@cache
def read_measuring(folder: Path) -> Mapping[str, Way]:
    """The ways of `measuring.yaml` in a folder of rules, by each fact's path.

    Raises `BadFacts` with all problems, `LugplaneError` where the file cannot be read.
    """
    from lugplane.facts import yaml12

    file = folder / "measuring.yaml"
    try:
        found = yaml12.read(file.read_bytes(), file.name)
    except OSError as error:
        raise LugplaneError(f"{file.name} cannot be read: {error.strerror}") from error
    if isinstance(found, yaml12.Damaged):
        raise BadFacts(tuple(found.problems))
    data: Any = found.data
    return ways_of(data, file.name)


def ways_of(data: Mapping[str, Any], file: str) -> Mapping[str, Way]:
    """The ways of a file's data. Raises `BadFacts`: an unknown fact, one that stands twice, ..."""
    problems: list[Problem] = []

    def wrong(found: str, allowed: str) -> None:
        problems.append(Problem(file, 1, 1, "bad-measuring", found, allowed))

    ways: dict[str, Way] = {}
    for row in data["measuring"]:
        facts = tuple(str(f) for f in row.get("facts", ()))
        name = ", ".join(facts) or "an entry without facts"
        for key in sorted({"how", "ask"} - set(row)):
            wrong(name, f"it says {key}")
        for key in sorted(set(row) - _KEYS):
            wrong(f"{name}: {key}", f"keys: {', '.join(sorted(_KEYS))}")
        reaches = row.get("reaches")
        if reaches is not None and not float(reaches) > 0:
            wrong(f"{name}: reaches {reaches}", "a ± above zero")
        for group in [facts] if row.get("together") else [(f,) for f in facts]:
            way = Way(
                group,
                str(row.get("with", "")),
                None if reaches is None else float(reaches),
                str(row.get("how", "")),
                str(row.get("ask", "")),
            )
            for fact in group:
                if not _is_fact(fact):
                    wrong(fact, "a fact's path, as --set takes it, or what a mock-up measures")
                if fact in ways:
                    wrong(f"{fact} stands twice", "one way of measuring a fact")
                ways[fact] = way
    if problems:
        raise BadFacts(tuple(problems))
    return ways


def _is_fact(path: str) -> bool:
    if path in MEASURED:
        return True
    path = path.removeprefix(_DESIGNED)
    kind = path.split(".", 1)[0]
    return kind in FOLDER_OF and path in fact_paths(kind)
