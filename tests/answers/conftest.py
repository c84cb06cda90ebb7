"""A small base cut out of the shipped one, and all combinations of its parts judged one by one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from pathlib import Path

import pytest

from lugplane.answers.sheet import Sheet, judge_setup
from lugplane.deduce.quick import Quick
from lugplane.facts.records import Caliper, Disc, Pad
from lugplane.setup.assemble import Wanted, assemble
from lugplane.setup.parts import family
from lugplane.workshop import Workshop

SHIPPED = Path(__file__).resolve().parents[2] / "kb"
PLATFORM, AXLE = "kessarin-estate", "front"

NAMED = ("hasket-f1", "hasket-bracket-142", "tovan-t4")


def named_in(text: str) -> list[str]:
    """The shipped files that a text names."""
    known = {f.stem for f in SHIPPED.glob("*/*.yaml")} - {PLATFORM}
    return [w for w in re.findall(r"[a-z0-9][a-z0-9.-]*", text) if w in known]


def cut_out(folder: Path, *ids: str) -> Path:
    """Copy the files of some ids, and of all that these name, into a folder of facts."""
    files = {f.stem: f for f in SHIPPED.glob("*/*.yaml")}
    taken: set[str] = set()
    wanted = list(ids)
    while wanted:
        name = wanted.pop()
        if name in taken:
            continue
        taken.add(name)
        text = files[name].read_text("utf-8")
        wanted += named_in(text)
        place = folder / files[name].parent.name / files[name].name
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(text, "utf-8")
    return folder


def like(folder: Path, path: str, id_: str, **changed: str | None) -> None:
    """Write a part that is like another but for some lines; None: the line is left out."""
    source = SHIPPED / path
    lines = []
    for line in source.read_text("utf-8").splitlines():
        key = line.split(":", 1)[0]
        if key == "id":
            line = f"id: {id_}"
        elif key in changed:
            value = changed[key]
            if value is None:
                continue
            line = f"{key}: {value}"
        lines.append(line)
    place = folder / source.parent.name / f"{id_}.yaml"
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_text("\n".join(lines) + "\n", "utf-8")


@dataclass(frozen=True)
class Combination:
    """One of all combinations: caliper, carrier (empty without), disc and one pad of a shape."""

    caliper: str
    carrier: str
    disc: str
    pad: str

    @property
    def parts(self) -> tuple[str, ...]:
        return tuple(p for p in (self.caliper, self.carrier, self.disc, self.pad) if p)


def combinations(workshop: Workshop) -> Iterator[Combination]:
    """Every caliper, floating ones on every carrier, every disc, and one pad of every shape."""
    base = workshop.base
    shapes: dict[str, str] = {}
    for pad in base.all(Pad):
        shapes.setdefault(family(pad.id), pad.id)
    seats = [
        (c.id, k)
        for c in base.all(Caliper)
        for k in (base.ids("carrier") if c.body.text == "floating" else ("",))
    ]
    for (caliper, carrier), disc, pad in product(seats, base.all(Disc), shapes.values()):
        yield Combination(caliper, carrier, disc.id, pad)


Brute = Mapping[Combination, Sheet]


@pytest.fixture(scope="session")
def small_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One axle with what it names, and more: a floating caliper, a caliper of other lugs, one that
    nobody measured, a disc in another finish, one of another bolt circle, one not all known."""
    folder = tmp_path_factory.mktemp("small") / "kb"
    car = SHIPPED / "platforms" / f"{PLATFORM}.yaml"
    text = re.sub(r"(?ms)^rear:.*?(?=^wheelbase_mm)", "", car.read_text("utf-8"))
    cut_out(folder, *NAMED, *named_in(text))
    (folder / "platforms").mkdir()
    (folder / "platforms" / car.name).write_text(text, "utf-8")
    like(folder, "discs/sorrel-300.yaml", "aaa-300-coated", title="Front disc 300 x 28, coated")
    circle = "{count: 5, circle_mm: 130 ±0.05}"
    like(folder, "discs/sorrel-300.yaml", "far-300", bolts=circle)
    like(folder, "discs/sorrel-300.yaml", "dim-300", hat_radius_mm=None)
    (folder / "calipers" / "vague.yaml").write_text(
        "kind: caliper\nid: vague\ntitle: A caliper nobody measured\nbody: fixed\n", "utf-8"
    )
    return folder


@pytest.fixture(scope="session")
def small(small_folder: Path) -> Workshop:
    return Workshop.open(only=small_folder)


@pytest.fixture(scope="session")
def brute(small: Workshop) -> Brute:
    """All combinations on the front axle, each by its whole sheet."""
    found: dict[Combination, Sheet] = {}
    match = Quick(small.rulebook.rules).match
    for c in combinations(small):
        setup = assemble(small.base, Wanted(PLATFORM, AXLE, c.parts))
        found[c] = judge_setup(setup, small.rulebook, match).sheet
    return found


@pytest.fixture(scope="session")
def shipped() -> Workshop:
    return Workshop.open(only=SHIPPED)
