"""`facts check --fix`: the files of a check, mended and written whole."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from lugplane.check.fixing import Fixed, fix
from lugplane.check.one import value_problems
from lugplane.check.run import Asked
from lugplane.errors import Problem
from lugplane.facts import scan
from lugplane.facts.families import Single, singles
from lugplane.facts.schema import Schemas
from lugplane.quantity.limits import Assumed

Write = Callable[[Path, bytes], None]


def mend(
    asked: Asked,
    assumed: Mapping[str, Assumed],
    schemas: Schemas,
    parts: list[Single],
    write: Write,
) -> list[Fixed]:
    """Mend what is mechanical in the files asked for; says exactly what was changed.

    `parts`: all sound parts, for the ids that moved. Raises what `write` raises.
    """
    moved = _moved(parts)
    made: list[Fixed] = []
    for folder in asked.folders:
        for source in scan.scan(folder).files:
            if not asked.covers(source.shown):
                continue
            try:
                content = scan.content(source)
            except OSError:
                continue  # the check tells it

            def recheck(changed: bytes, source: scan.SourceFile = source) -> list[Problem]:
                raw, problems = scan.record(source, changed, schemas)
                return problems if raw is None else value_problems(singles(raw), assumed)

            mended, fixed = fix(source.shown, content, recheck, moved)
            if fixed:
                write(source.path.resolve(), mended)
                made += fixed
    return made


def _moved(parts: list[Single]) -> dict[str, str]:
    """Retired id -> the id at the end of its way; circles are left alone."""
    to = {s.id: str(s.data["to"]) for s in parts if s.kind == "moved"}
    ends: dict[str, str] = {}
    for start in to:
        seen = {start}
        at = to[start]
        while at in to and at not in seen:
            seen.add(at)
            at = to[at]
        if at not in to:
            ends[start] = at
    return ends
