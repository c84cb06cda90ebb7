"""A folder of facts written again: other ids, families taken apart, keys in another order.

Nothing of what the facts say is changed, so nothing that follows from them may be.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from random import Random
from typing import Any

import yaml

WORDS = frozenset({"kind", "title", "notes", "standard", "unless_said", "basis", "material"})
"""Keys whose values are never ids, whatever they look like."""
KEPT_TOGETHER = frozenset({"pad"})
"""Kinds whose family stands for what its members have in common: a pad's shape."""

Records = dict[str, dict[str, Any]]


def read(folder: Path) -> Records:
    """Every record by its id."""
    texts = (f.read_text("utf-8") for f in sorted(folder.rglob("*.yaml")))
    found = (yaml.load(text, Loader=yaml.CSafeLoader) for text in texts)
    return {record["id"]: record for record in found}


def write(records: Records, folder: Path) -> None:
    """One file a record, in the folder of its kind."""
    for id_, record in records.items():
        place = folder / f"{record['kind']}s"
        place.mkdir(parents=True, exist_ok=True)
        text = yaml.safe_dump(record, allow_unicode=True, sort_keys=False)
        (place / f"{id_}.yaml").write_text(text, "utf-8")


def all_ids(records: Records) -> list[str]:
    """Ids of records and of members."""
    members = [f"{i}/{m}" for i, r in records.items() for m in r.get("members", ())]
    return [*records, *members]


def renamed(records: Records, random: Random) -> tuple[Records, dict[str, str]]:
    """Other ids for everything, and what each old one is called now."""
    taken: set[str] = set()

    def word() -> str:
        while True:
            made = "".join(random.choice("abcdefghijklmnopqrstuvwxyz") for _ in range(7))
            if made not in taken:
                taken.add(made)
                return made

    names = {id_: word() for id_ in records}
    for id_, record in records.items():
        for member in record.get("members", ()):
            names[f"{id_}/{member}"] = f"{names[id_]}/{word()}"
    found: Records = {}
    for id_, record in records.items():
        new = _with_ids(record, names)
        new["id"] = names[id_]
        if "members" in record:
            new["members"] = {
                names[f"{id_}/{m}"].partition("/")[2]: _with_ids(own, names)
                for m, own in record["members"].items()
            }
        found[names[id_]] = new
    return found, names


def split(records: Records) -> tuple[Records, dict[str, str]]:
    """Every family but those of pads taken apart into single parts."""
    names: dict[str, str] = {}
    groups: dict[str, list[str]] = {}
    parts: Records = {}
    for id_, record in records.items():
        if "members" not in record or record["kind"] in KEPT_TOGETHER:
            parts[id_] = record
            continue
        shared = {k: v for k, v in record.items() if k != "members"}
        groups[id_] = []
        for member, own in record["members"].items():
            single = f"{id_}-{member}"
            names[f"{id_}/{member}"] = single
            groups[id_].append(single)
            parts[single] = {**_merged(shared, own), "id": single}
    return {id_: _with_ids(r, names, groups) for id_, r in parts.items()}, names


def shuffled(records: Records, random: Random) -> Records:
    """The same records, the keys of every mapping and the records themselves in another order."""

    def turn(data: Any) -> Any:
        if isinstance(data, list):
            return [turn(x) for x in data]
        if not isinstance(data, dict):
            return data
        keys = list(data)
        random.shuffle(keys)
        return {k: turn(data[k]) for k in keys}

    ids = list(records)
    random.shuffle(ids)
    return {id_: turn(records[id_]) for id_ in ids}


def _merged(under: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    made = dict(under)
    for key, value in over.items():
        below = made.get(key)
        both = isinstance(below, dict) and isinstance(value, dict)
        made[key] = _merged(made[key], value) if both else value
    return made


def _with_ids(
    data: Any, names: Mapping[str, str], groups: Mapping[str, list[str]] | None = None
) -> Any:
    """Every reference by its new name; a family that is taken apart becomes all its parts."""
    if isinstance(data, dict):
        return {
            k: v if k in WORDS or k in ("members", "readings") else _with_ids(v, names, groups)
            for k, v in data.items()
        }
    if isinstance(data, list):
        found: list[Any] = []
        for item in data:
            if isinstance(item, str) and groups and item in groups:
                found += groups[item]
            else:
                found.append(_with_ids(item, names, groups))
        return found
    return names.get(data, data) if isinstance(data, str) else data
