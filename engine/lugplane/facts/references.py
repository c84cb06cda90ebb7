"""References between records: each must lead to a record of the kind it names."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Sequence

from lugplane.errors import Problem
from lugplane.facts.families import Single
from lugplane.facts.raw import Path

# (kind of the record, path of the reference): kinds it may lead to.
_REFERENCES: dict[str, dict[Path, tuple[str, ...]]] = {
    "platform": {
        ("master",): ("master",),
        **{
            (axle, *path): kinds
            for axle in ("front", "rear")
            for path, kinds in {
                ("knuckle",): ("knuckle",),
                ("stock", "caliper"): ("caliper",),
                ("stock", "carrier"): ("carrier",),
                ("stock", "disc"): ("disc",),
                ("stock", "pad"): ("pad",),
                ("stock", "hose"): ("hose",),
                ("stock", "wheel"): ("wheel",),
                ("wheels",): ("wheel",),
            }.items()
        },
    },
    "caliper": {
        ("pad",): ("pad",),
        ("designed_for", "disc"): ("disc",),
        ("designed_for", "pad"): ("pad",),
    },
    "carrier": {
        ("pad",): ("pad",),
        ("calipers",): ("caliper",),
        ("designed_for", "disc"): ("disc",),
        ("designed_for", "pad"): ("pad",),
    },
    "trial": {
        ("platform",): ("platform",),
        **{("parts", k): (k,) for k in ("caliper", "carrier", "disc", "pad", "wheel")},
    },
    "offer": {
        ("part",): (
            "caliper",
            "carrier",
            "disc",
            "pad",
            "wheel",
            "hose",
            "master",
            "bolt",
            "washer",
            "spacer",
        ),
        ("source",): ("source",),
    },
    "moved": {("to",): ()},
}
# A shape or a list of what is taken may name a whole family.
_FAMILY_MAY = {
    ("pad",),
    ("calipers",),
    ("designed_for", "pad"),
    ("part",),
    ("parts", "pad"),
    ("front", "stock", "pad"),
    ("rear", "stock", "pad"),
}


def reference_problems(
    parts: Sequence[Single], broken: Iterable[tuple[str, str]] = ()
) -> Iterator[Problem]:
    """Problems of references and of ids used twice. `broken` records count as being there."""
    kinds: dict[str, str] = {}
    families: dict[str, str] = {}
    for s in parts:
        if s.id in kinds and kinds[s.id] != s.kind:
            yield _problem(
                s,
                ("id",),
                "id-twice",
                f"'{s.id}' is also a {kinds[s.id]}",
                "an id names one record, whatever its kind",
                "rename one of the two",
            )
        kinds[s.id] = s.kind
        if s.member:
            families[s.raw.id] = s.kind
    there = {id_ for _, id_ in broken}
    for s in parts:
        for path, allowed in _REFERENCES.get(s.kind, {}).items():
            for where, target in _targets(s, path):
                yield from _check(s, path, where, target, allowed, kinds, families, there)
        for name, said in (s.data.get("readings") or {}).items():
            source = said.get("source") if isinstance(said, dict) else None
            if source is not None:
                yield from _check(
                    s,
                    ("source",),
                    ("readings", name, "source"),
                    str(source),
                    ("source",),
                    kinds,
                    families,
                    there,
                )


def _targets(s: Single, path: Path) -> Iterator[tuple[Path, str]]:
    found: object = s.data
    for key in path:
        if not isinstance(found, dict) or key not in found:
            return
        found = found[key]
    if isinstance(found, list):
        for n, item in enumerate(found):
            yield (*path, n), str(item)
    else:
        yield path, str(found)


def _check(
    s: Single,
    path: Path,
    where: Path,
    target: str,
    allowed: tuple[str, ...],
    kinds: dict[str, str],
    families: dict[str, str],
    there: set[str],
) -> Iterator[Problem]:
    if target in there or target.split("/", 1)[0] in there:
        return
    kind = kinds.get(target)
    if kind is None and target in families:
        if path in _FAMILY_MAY or path == ("to",):
            kind = families[target]
        else:
            members = sorted(i for i in kinds if i.startswith(f"{target}/"))
            yield _problem(
                s,
                where,
                "family-named",
                f"'{target}' is a family",
                f"its members: {', '.join(members)}",
                "name one of them",
            )
            return
    if kind == "moved":
        yield _problem(
            s, where, "moved-id", f"'{target}' is retired", "", "name the id that took its place"
        )
    elif kind is None:
        pool = [i for i, k in kinds.items() if not allowed or k in allowed]
        near = difflib.get_close_matches(target, pool, n=3, cutoff=0.5)
        what = " or ".join(allowed) if allowed else "record"
        yield _problem(
            s,
            where,
            "unknown-id",
            f"no {what} is called '{target}'",
            f"close to it: {', '.join(near)}" if near else "",
            "name one that is there, or add it",
        )
    elif allowed and kind not in allowed:
        yield _problem(
            s,
            where,
            "wrong-kind",
            f"'{target}' is a {kind}",
            f"allowed: {' or '.join(allowed)}",
            "name one of that kind",
        )


def _problem(s: Single, path: Path, code: str, found: str, allowed: str, mend: str) -> Problem:
    file, line, column = s.place(path)
    return Problem(file, line, column, code, found, allowed, mend)
