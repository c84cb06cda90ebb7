"""`rules/limits.yaml`: every threshold, constant and assumed ±, each with its source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from lugplane.errors import BadFacts, Problem
from lugplane.quantity.judge import SEVERITY, Band, Limit


@dataclass(frozen=True, slots=True)
class Assumed:
    """The ± of a reading that states none: lengths in mm, everything else in percent."""

    mm: float
    percent: float


@dataclass(frozen=True, slots=True)
class Constant:
    """A number that a measure is given, what it is and where it comes from."""

    value: float
    of: str
    source: str


@dataclass(frozen=True)
class Limits:
    """All that `limits.yaml` says."""

    constants: Mapping[str, Constant]
    assumed: Mapping[str, Assumed]
    limits: Mapping[str, Limit]

    @cached_property
    def numbers(self) -> Mapping[str, float]:
        """The constants' bare values."""
        return {name: c.value for name, c in self.constants.items()}


def limits_of(data: Mapping[str, Any], file: str) -> Limits:
    """The limits of a file's data. Raises `BadFacts` for bands that do not make sense."""
    problems: list[Problem] = []
    limits = {name: _limit(name, body, file, problems) for name, body in data["limits"].items()}
    if problems:
        raise BadFacts(tuple(problems))
    return Limits(
        {
            n: Constant(float(c["value"]), str(c["of"]), str(c["source"]))
            for n, c in data["constants"].items()
        },
        {n: Assumed(float(a["mm"]), float(a["percent"])) for n, a in data["assumed"].items()},
        limits,
    )


def _limit(name: str, body: Mapping[str, Any], file: str, problems: list[Problem]) -> Limit:
    bands: list[Band] = []
    for n, b in enumerate(body["bands"]):
        last = n == len(body["bands"]) - 1
        to = b.get("below", b.get("to"))
        if (to is None) != last or ("below" in b and "to" in b):
            problems.append(
                Problem(
                    file,
                    1,
                    1,
                    "bad-band",
                    f"{name}: band {b['name']}",
                    "each band but the last ends with one of below or to",
                )
            )
            to = None
        if b["state"] not in SEVERITY:
            problems.append(
                Problem(
                    file,
                    1,
                    1,
                    "bad-band",
                    f"{name}: state {b['state']}",
                    f"allowed: {', '.join(SEVERITY)}",
                )
            )
        if bands and to is not None and bands[-1].to is not None and to <= bands[-1].to:
            problems.append(
                Problem(
                    file, 1, 1, "bad-band", f"{name}: {to} after {bands[-1].to}", "bands ascend"
                )
            )
        bands.append(Band(b["name"], b["state"], None if to is None else float(to), "to" in b))
    return Limit(
        name,
        str(body["unit"]),
        str(body["of"]),
        str(body["source"]),
        tuple(bands),
        bool(body.get("close", False)),
    )
