"""What a fact is called in plain words: the titles that the schemas give it."""

from __future__ import annotations

import json
import re
from functools import cache
from typing import Any

from lugplane.data import data_folder
from lugplane.facts.kinds import FOLDER_OF
from lugplane.setup.roles import OTHER_AXLE, OTHER_STOCK, STOCK

UNITS = {
    "mm": "mm",
    "in": "in",
    "deg": "°",
    "kg": "kg",
    "n": "N",
    "nm": "N·m",
    "mpa": "MPa",
    "kmh": "km/h",
    "mm2": "mm²",
    "cm3": "cm³",
    "wk": "W/K",
    "bar": "bar",
    "k": "K",
    "points": "points",
    "%": "%",
    "m/s²": "m/s²",
}
"""Endings of names, and units of rows, as they are printed; any other is a pure number."""

_MEASURED = {
    "spacing_mm": "spacing measured at the mock-up",
    "tilt_mm": "tilt measured at the mock-up",
}
_WHOSE = {
    STOCK: "the stock part",
    OTHER_AXLE: "the other axle",
    OTHER_STOCK: "the other axle's stock part",
}
_AXLES = ("front", "rear")
_BRACKETS = re.compile(r"\s*\([^)]*\)")


def unit_of(path: str) -> str:
    """The unit in a fact's name, as printed; empty for a pure number."""
    return UNITS.get(path.rsplit("_", 1)[-1], "") if "_" in path else ""


def fact_title(path: str) -> str:
    """What a fact is, in the schemas' words: `ears: distance between the two hole centres`.

    Empty for a path that no schema knows.
    """
    for role, whose in _WHOSE.items():
        if path.startswith(role):
            title = fact_title(path.removeprefix(role))
            return f"{whose}: {title}" if title else ""
    if path in _MEASURED:
        return _MEASURED[path]
    if path.startswith("bolt:"):
        # One of the many standard bolts: its id may hold points of its own.
        path = f"bolt.{path.rpartition('.')[2]}"
    designed = path.startswith("designed_")
    home, *keys = path.removeprefix("designed_").split(".")
    if designed and home in FOLDER_OF:
        return f"{home} designed for: {fact_title(path.removeprefix('designed_'))}"
    if home not in FOLDER_OF:
        return ""
    node = _schema(home)
    titles: list[str] = []
    for key in keys:
        found = node.get("properties", {}).get(key)
        if found is None:
            return ""
        title = "" if key in _AXLES else _BRACKETS.sub("", found.get("title", ""))
        titles.append(title or _words(key))
        node, home = _followed(found, home)
    return ": ".join(titles)


def fact_name(path: str) -> str:
    """A fact's title with its path in brackets, or the path alone."""
    title = fact_title(path)
    return f"{title} ({path})" if title else path


def _words(key: str) -> str:
    head, _, unit = key.rpartition("_")
    return (head if head and unit in UNITS else key).replace("_", " ")


@cache
def _schema(name: str) -> dict[str, Any]:
    file = data_folder() / "schemas" / f"{name}.json"
    found: dict[str, Any] = json.loads(file.read_text("utf-8"))
    return found


def _followed(node: dict[str, Any], home: str) -> tuple[dict[str, Any], str]:
    """What a schema refers to, and the file that it stands in."""
    while "$ref" in node:
        file, _, pointer = node["$ref"].partition("#")
        home = file.removesuffix(".json") or home
        node = _schema(home)
        for step in pointer.strip("/").split("/"):
            node = node[step]
    return node, home
