"""`rules/measuring.yaml`: how each fact is measured, with what, and how well."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from lugplane.deduce.rulebook import read_rulebook
from lugplane.errors import BadFacts, LugplaneError, Problem
from lugplane.facts.decode import fact_paths
from lugplane.facts.kinds import FOLDER_OF
from lugplane.quantity.text import number
from lugplane.setup.override import MEASURED

_KEYS = frozenset({"facts", "together", "with", "reaches", "how", "ask"})
_DESIGNED = "designed_"
_FILE = "measuring.yaml"
_NAMED = re.compile(r"\{([^{}]*)\}")


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
    return ways_of(_data(folder), _FILE, read_rulebook(folder).limits.numbers)


def read_instruments(folder: Path) -> Mapping[str, float]:
    """The ± that instruments reach by themselves, mm, by their names; raises the same."""
    return {str(k): float(v) for k, v in _data(folder)["instruments"].items()}


@cache
def _data(folder: Path) -> Mapping[str, Any]:
    from lugplane.facts import yaml12

    try:
        found = yaml12.read((folder / _FILE).read_bytes(), _FILE)
    except OSError as error:
        raise LugplaneError(f"{_FILE} cannot be read: {error.strerror}") from error
    if isinstance(found, yaml12.Damaged):
        raise BadFacts(tuple(found.problems))
    data: Any = found.data
    return dict(data)


def ways_of(
    data: Mapping[str, Any], file: str, constants: Mapping[str, float] | None = None
) -> Mapping[str, Way]:
    """The ways of a file's data, `constants` being those that its words may name.

    Raises `BadFacts`: an unknown fact, one that stands twice, ...
    """
    problems: list[Problem] = []

    def wrong(found: str, allowed: str) -> None:
        problems.append(Problem(file, 1, 1, "bad-measuring", found, allowed))

    instruments = data.get("instruments", {})
    ways: dict[str, Way] = {}
    for row in data["measuring"]:
        facts = tuple(str(f) for f in row.get("facts", ()))
        name = ", ".join(facts) or "an entry without facts"
        for key in sorted({"how", "ask"} - set(row)):
            wrong(name, f"it says {key}")
        for key in sorted(set(row) - _KEYS):
            wrong(f"{name}: {key}", f"keys: {', '.join(sorted(_KEYS))}")
        reaches = row.get("reaches", instruments.get(row.get("with")))
        if reaches is not None and not float(reaches) > 0:
            wrong(f"{name}: reaches {reaches}", "a ± above zero")
        how = str(row.get("how", ""))
        for named in _NAMED.findall(how):
            if named in (constants or {}):
                how = how.replace(f"{{{named}}}", number((constants or {})[named]))
            else:
                wrong(f"{name}: {{{named}}}", "a constant of limits.yaml")
        for group in [facts] if row.get("together") else [(f,) for f in facts]:
            way = Way(
                group,
                str(row.get("with", "")),
                None if reaches is None else float(reaches),
                how,
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
