"""Bases of generated parts: many near the edges of the pair checks, some facts not known."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from lugplane.links.links import Links
from lugplane.workshop import Workshop

READINGS = "readings:\n  made: {basis: invented, plus_minus_mm: 0.1}\nunless_said: made\n"


class Made:
    """Writes generated parts into a folder of facts."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder = folder
        self.luck = random.Random(seed)

    def write(self, kind: str, id_: str, body: str) -> None:
        place = self.folder / f"{kind}s" / f"{id_}.yaml"
        place.parent.mkdir(parents=True, exist_ok=True)
        head = f"kind: {kind}\nid: {id_}\ntitle: {id_}\n{READINGS}"
        place.write_text(head + body, "utf-8")

    def length(self, around: list[float], *, unknown: float = 0.08) -> str:
        """A length near one of some values, with one doubt or another; sometimes not known."""
        if self.luck.random() < unknown:
            return ""
        step = self.luck.choice([0, 0, 0.1, 0.3, 0.5, 0.6, 0.8, 1, -0.1, -0.3, -0.5, -0.8, 3])
        doubt = self.luck.choice([0, 0.02, 0.05, 0.1, 0.3, 1])
        return f"{self.luck.choice(around) + step:g} ±{doubt:g}"

    def word(self, *words: str, unknown: float = 0.08) -> str:
        return "" if self.luck.random() < unknown else self.luck.choice(words)

    def count(self) -> str:
        return self.word("4", "5", "5", unknown=0.0)

    def holes(self, spacings: list[float]) -> list[str]:
        """Lines of a hole group."""
        hole = self.word("plain", "threaded")
        lines = [f"spacing_mm: {self.length(spacings)}", f"hole: {hole}"]
        if hole != "plain" or self.luck.random() < 0.2:
            lines.append(f"thread: {self.word('M12x1.5', 'M10x1.5', 'M14x1.5', '3/8-24 UNF')}")
        if hole != "threaded" or self.luck.random() < 0.2:
            lines.append(f"hole_diameter_mm: {self.length([10.5, 12.5, 14.5])}")
        return [line for line in lines if not line.endswith(": ")]


def block(**keys: str | list[str]) -> str:
    """Lines of YAML; a key without a word is left out, a list becomes a table."""
    out: list[str] = []
    for key, value in keys.items():
        if isinstance(value, list):
            inner = [x for x in value if not x.endswith(": ")]
            out += [f"{key}:", *(f"  {x}" for x in inner)] if inner else []
        elif value:
            out.append(f"{key}: {value}")
    return "".join(f"{line}\n" for line in out)


SPACINGS = [120.0, 130.0, 142.0, 150.0]
CIRCLES = [100.0, 108.0, 112.0]
BORES = [57.0, 63.0, 65.0]


def make(folder: Path, seed: int, *, knuckles: int = 8, guests: int = 40) -> None:
    """Fill a folder with knuckles, and with as many calipers, carriers, discs and wheels."""
    m = Made(folder, seed)
    for n in range(knuckles):
        hub = [
            f"disc_from: {m.word('outside', 'outside', 'outside', 'behind')}",
            f"spigot_mm: {m.length(BORES)}",
            f"flange_radius_mm: {m.length([70.0])}",
        ]
        bolts = [f"  count: {m.count()}", f"  circle_mm: {m.length(CIRCLES)}"]
        hub += ["bolts:", *(b for b in bolts if not b.endswith(": "))]
        shoes = m.word("true", "false")
        body = block(
            mount=m.word("axial", "axial", "radial"),
            ear=m.holes(SPACINGS),
            hub=hub,
            shoes=[
                f"fitted: {shoes}",
                f"radius_mm: {m.length([80.0])}",
                f"diameter_mm: {m.length([160.0])}",
            ],
        )
        m.write("knuckle", f"knuckle-{n}", body)
    names = [f"caliper-{n}" for n in range(guests)]
    for id_ in names:
        body = m.word("fixed", "fixed", "floating")
        lugs = m.holes(SPACINGS) if body != "floating" else []
        pad = m.word("pad-1", "pad-2", "pad-3")
        m.write("caliper", id_, block(mount=m.word("axial", "axial", "radial"), body=body,
                                      pad=pad, lug=lugs))  # fmt: skip
    for n in range(guests):
        taken = m.luck.sample(names, 3) if m.luck.random() < 0.9 else []
        m.write("carrier", f"carrier-{n}", block(
            mount=m.word("axial", "axial", "radial"),
            calipers=f"[{', '.join(taken)}]" if taken else "",
            pad=m.word("pad-1", "pad-2", "pad-3"),
            lug=m.holes(SPACINGS),
        ))  # fmt: skip
        fitted = m.word("true", "false")
        drum = [f"fitted: {fitted}", f"diameter_mm: {m.length([160.0])}"]
        bolts = [f"count: {m.word('4', '5', '5')}", f"circle_mm: {m.length(CIRCLES)}"]
        m.write("disc", f"disc-{n}", block(
            bore_mm=m.length(BORES),
            hat_inside_radius_mm=m.length([70.0, 80.0]),
            bolts=bolts,
            drum=drum,
        ))  # fmt: skip
        m.write("wheel", f"wheel-{n}", block(
            bore_mm=m.length(BORES),
            bolts=[f"count: {m.count()}", f"circle_mm: {m.length(CIRCLES)}"],
            centring=m.word("hub", "bolts"),
        ))  # fmt: skip
    for n in (1, 2, 3, 4):
        members = "members:\n  one: {}\n  two: {}\n" if n % 2 else ""
        m.write("pad", f"pad-{n}", members)


@pytest.fixture(scope="session", params=[1, 2])
def generated(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Links:
    """Pair checks over a generated base."""
    folder = tmp_path_factory.mktemp(f"made-{request.param}")
    make(folder, request.param)
    shop = Workshop.open(only=folder)
    return Links(shop.base, shop.rulebook)


@pytest.fixture(scope="session")
def shop() -> Workshop:
    return Workshop.open(only=Path(__file__).resolve().parents[2] / "kb")


@pytest.fixture(scope="session")
def shipped(shop: Workshop) -> Links:
    """Pair checks over the shipped base."""
    return Links(shop.base, shop.rulebook)
