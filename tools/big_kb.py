"""A big folder of invented facts that hang together: the shipped cars and parts in other sizes.

Every part of a clone is named and dimensioned along with the others of it. Clones differ in the
distance of the lugs, in the bolt circle, and in how far out the ear and the disc stand, so that a
knuckle meets the parts of some other clones, as in a real stock of parts, and not of most.

    python tools/big_kb.py FOLDER [PARTS]
"""

from __future__ import annotations

import math
import re
import shutil
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

SHIPPED = Path(__file__).resolve().parent.parent / "kb"
CLONED = ("platforms", "knuckles", "calipers", "carriers", "discs", "pads", "wheels")
SHARED = ("bolts", "washers", "spacers", "sources", "hoses", "masters")
LUGS, HUBS, STEPS = 20, 12, 31
"""Distances of lugs, bolt circles and axial places that there are."""
_ID = re.compile(r"[a-z0-9][a-z0-9.-]*")
_UNTOUCHED = re.compile(r"\s*(#|title:|notes:|maker:|body:|kind:)")


@dataclass(frozen=True)
class Shape:
    """What sets a clone apart: its number, and how much is added, mm."""

    number: int
    lug: float
    circle: float
    out: float

    @classmethod
    def of(cls, n: int) -> Shape:
        """The shape of a clone; that of clone 0 is the shipped one."""
        return cls(n, (n % LUGS) * 1.6, (n * 7 % HUBS) * 3.0, (n % STEPS) * 0.05)


def groups() -> list[list[Path]]:
    """The shipped files: those of each platform in turn, then the rest."""
    files = {f.stem: f for kind in CLONED for f in sorted((SHIPPED / kind).glob("*.yaml"))}
    found: list[list[Path]] = []
    taken: set[str] = set()
    for platform in sorted((SHIPPED / "platforms").glob("*.yaml")):
        group: list[Path] = []
        waiting = [platform.stem]
        while waiting:
            name = waiting.pop()
            if name in taken or name not in files:
                continue
            taken.add(name)
            group.append(files[name])
            waiting += _ID.findall(files[name].read_text("utf-8"))
        found.append(group)
    found.append([f for name, f in files.items() if name not in taken])
    return found


def write(folder: Path, parts: int) -> tuple[int, int]:
    """Fill a new folder with so many parts or a few more; how many files and parts there are.

    Raises `FileExistsError`.
    """
    folder.mkdir(parents=True)
    files = count = 0
    for kind in SHARED:
        shutil.copytree(SHIPPED / kind, folder / kind)
        for file in (SHIPPED / kind).glob("*.yaml"):
            files, count = files + 1, count + members(file)
    for kind in CLONED:
        (folder / kind).mkdir()
    names = {f.stem for group in groups() for f in group}
    for shape, file in _in_turn(parts, count):
        text = cloned(file, shape, names)
        (folder / file.parent.name / f"{named(file.stem, shape)}.yaml").write_text(text, "utf-8")
        files, count = files + 1, count + members(file)
    return files, count


def _in_turn(parts: int, count: int) -> Iterator[tuple[Shape, Path]]:
    n = 0
    ordered = groups()
    while True:
        for group in ordered:
            if count >= parts:
                return
            for file in group:
                yield Shape.of(n), file
                count += members(file)
        n += 1


_MEMBERS: dict[Path, int] = {}


def members(file: Path) -> int:
    """How many parts a file holds."""
    if file not in _MEMBERS:
        data: Any = yaml.safe_load(file.read_text("utf-8"))
        _MEMBERS[file] = len(data.get("members", ())) or 1
    return _MEMBERS[file]


def named(id_: str, shape: Shape) -> str:
    """The id in a clone."""
    return f"{id_}.n{shape.number}" if shape.number else id_


def cloned(file: Path, shape: Shape, names: set[str]) -> str:
    """The text of a file in a clone."""
    text = file.read_text("utf-8")
    if not shape.number:
        return text
    lines = []
    for line in text.splitlines():
        if not _UNTOUCHED.match(line):
            line = _ID.sub(lambda m: named(m[0], shape) if m[0] in names else m[0], line)
        lines.append(line)
    text = "\n".join(lines) + "\n"
    kind = file.parent.name
    if kind == "knuckles":
        text = _holes(text, shape.lug)
        text = _moved(text, "ear_face_mm", -shape.out)
    elif kind in ("calipers", "carriers"):
        text = _moved(text, "spacing_mm", shape.lug)
    elif kind == "discs":
        text = _moved(text, "height_mm", shape.out)
    return _moved(text, "circle_mm", shape.circle) if kind != "pads" else text


def _moved(text: str, key: str, by: float) -> str:
    """Every number under a key, more by so much (of rival readings the first)."""
    return re.sub(
        rf"(?<![a-z_])({key}: \[?)(-?\d+(?:\.\d+)?)",
        lambda m: f"{m[1]}{round(float(m[2]) + by, 4):g}",
        text,
    )


def _number(text: str, key: str) -> float | None:
    found = re.search(rf"(?<![a-z_]){key}: \[?(-?\d+(?:\.\d+)?)", text)
    return float(found[1]) if found else None


def _holes(text: str, by: float) -> str:
    """The ears further apart, the bolt line where it was: both hole radii follow (Pythagoras)."""
    c, r1, r2 = (_number(text, k) for k in ("spacing_mm", "hole_1_radius_mm", "hole_2_radius_mm"))
    moved = _moved(text, "spacing_mm", by)
    if c is None or r1 is None or r2 is None:
        return moved
    off = (r1 * r1 - r2 * r2) / (2 * c)
    line = r1 * r1 - (c / 2 + off) ** 2
    half = (c + by) / 2
    for key, old, along in (("hole_1", r1, half + off), ("hole_2", r2, half - off)):
        moved = _moved(moved, f"{key}_radius_mm", math.sqrt(line + along * along) - old)
    return moved


if __name__ == "__main__":
    made, held = write(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 20_000)
    print(f"{held} parts in {made} files")
