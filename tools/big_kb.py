"""A big folder of invented facts that hang together: the shipped cars and parts in other sizes.

Every clone of the shipped facts is the work of a maker of its own: it is named along with the
others of it, and it has its own distance of lugs, hub spigot and axial place; two makers share each
bolt circle. So the number of makers, and of sizes, grows with the number of parts, beyond the sizes
that cars have where there are many. What comes into question on an axle does not grow along with
it beyond some thirty makers: then every lug that may meet an ear is there. Two to six times as much
as among the shipped parts it is on most axles, since here and there a lug of one maker meets the
ear of another.

A plain lug comes before every plain ear that its holes may overlap, and there cannot be told: of
these come the most, some thirteen times as many candidates on an axle where it is worst.

    python tools/big_kb.py FOLDER [PARTS]
"""

from __future__ import annotations

import math
import re
import shutil
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

SHIPPED = Path(__file__).resolve().parent.parent / "kb"
CLONED = ("platforms", "knuckles", "calipers", "carriers", "discs", "pads", "wheels")
SHARED = ("bolts", "washers", "spacers", "sources", "hoses", "masters")
_ID = re.compile(r"[a-z0-9][a-z0-9.-]*")
_UNTOUCHED = re.compile(r"\s*(#|title:|notes:|maker:|body:|kind:)")
_NUMBER = r"-?\d+(?:\.\d+)?"
_FIRST = re.compile(rf"(?<=[\[ ]){_NUMBER}(?=[ ,\]])")
"""The number that an entry of a list begins with; what follows a ± has no blank before it."""


@dataclass(frozen=True)
class Shape:
    """What sets a maker apart: its number, and how much is added to each size, mm.

    `lug` to the distance of the lugs, `circle` to the bolt circle, `spigot` to the hub's spigot
    and what goes over it, `out` to how far the disc stands out and the ear in.
    """

    number: int
    lug: float
    circle: float
    spigot: float
    out: float

    @classmethod
    def of(cls, n: int) -> Shape:
        """The sizes of a maker; those of maker 0 are the shipped ones."""
        if not n:
            return cls(0, 0.0, 0.0, 0.0, 0.0)
        return cls(
            n,
            round(n * 3.1, 1),
            round((n + 1) // 2 * 2.3, 1),
            n * 7 % 27 - 6.0,
            round(n * math.sqrt(7) % 1.0 * 6, 1),
        )


def groups(first: str = "") -> list[list[Path]]:
    """The shipped files: those of each platform in turn, then the rest; one platform `first`."""
    files = _files()
    platforms = sorted((SHIPPED / "platforms").glob("*.yaml"), key=lambda f: (f.stem != first, f))
    found: list[list[Path]] = []
    taken: set[Path] = set()
    for platform in platforms:
        group = [f for f in _leads_to(platform) if f not in taken]
        taken.update(group)
        found.append(group)
    found.append([f for f in files.values() if f not in taken])
    return found


@cache
def _files() -> dict[str, Path]:
    return {f.stem: f for kind in CLONED for f in sorted((SHIPPED / kind).glob("*.yaml"))}


@cache
def _leads_to(file: Path) -> tuple[Path, ...]:
    """A file and all that it names, that this names, and so on."""
    files = _files()
    found = [file]
    for each in found:  # grows while it is walked
        names = dict.fromkeys(_ID.findall(each.read_text("utf-8")))
        found += [files[n] for n in names if n in files and files[n] not in found]
    return tuple(found)


def write(folder: Path, parts: int, first: str = "") -> tuple[int, int]:
    """Fill a new folder with so many parts or a few more; how many files and parts there are.

    The files of the platform `first` are there whatever the number. Raises `FileExistsError`.
    """
    folder.mkdir(parents=True)
    files = count = 0
    for kind in SHARED:
        shutil.copytree(SHIPPED / kind, folder / kind)
        for file in (SHIPPED / kind).glob("*.yaml"):
            files, count = files + 1, count + members(file)
    for kind in CLONED:
        (folder / kind).mkdir()
    names = frozenset(_files())
    for shape, file in _in_turn(groups(first), parts, count):
        text = cloned(file, shape, names)
        (folder / file.parent.name / f"{named(file.stem, shape)}.yaml").write_text(text, "utf-8")
        files, count = files + 1, count + members(file)
    return files, count


def _in_turn(ordered: Iterable[list[Path]], parts: int, count: int) -> Iterator[tuple[Shape, Path]]:
    n = 0
    while True:
        for group in ordered:
            if count >= parts:
                return
            for file in group:
                yield Shape.of(n), file
                count += members(file)
        n += 1


@cache
def members(file: Path) -> int:
    """How many parts a file holds."""
    data: Any = yaml.safe_load(file.read_text("utf-8"))
    return len(data.get("members", ())) or 1


def named(id_: str, shape: Shape) -> str:
    """The id in a clone."""
    return f"{id_}.n{shape.number}" if shape.number else id_


def cloned(file: Path, shape: Shape, names: frozenset[str]) -> str:
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
        text = _moved(text, "spigot_mm", shape.spigot)
    elif kind in ("calipers", "carriers"):
        text = _moved(text, "spacing_mm", shape.lug)
    elif kind == "discs":
        text = _moved(text, "height_mm", shape.out)
    if kind in ("discs", "wheels"):
        text = _moved(text, "bore_mm", shape.spigot)
    return _moved(text, "circle_mm", shape.circle) if kind != "pads" else text


def _moved(text: str, key: str, by: float) -> str:
    """Every number under a key more by so much, and every one of rival readings."""

    def more(found: re.Match[str]) -> str:
        return f"{round(float(found[0]) + by, 4):g}"

    def moved(found: re.Match[str]) -> str:
        return found[1] + _FIRST.sub(more, f" {found[2]} ")[1:-1]

    return re.sub(rf"(?<![a-z_])({key}: )(\[[^\]]*\]|{_NUMBER})", moved, text)


def _number(text: str, key: str) -> float | None:
    found = re.search(rf"(?<![a-z_]){key}: \[?({_NUMBER})", text)
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
