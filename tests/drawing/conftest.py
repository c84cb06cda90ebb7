"""What the tests of the drawing share: a workshop of invented parts, and drawings read back."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest

from lugplane.answers.sheet import Judged
from lugplane.render.drawing.lettering import width
from lugplane.setup.assemble import Wanted
from lugplane.workshop import Workshop

SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Lettering:
    """A text as it stands in the file: its words and its box, r upwards."""

    text: str
    box: Box
    size: float


class Drawing:
    """A drawing read back from its SVG, in the section frame (x, r)."""

    def __init__(self, source: str) -> None:
        self.source = source
        self.root = ElementTree.fromstring(source.encode())

    @property
    def view(self) -> Box:
        """Least x, least r, greatest x, greatest r."""
        x, y, wide, high = (float(v) for v in self.root.attrib["viewBox"].split())
        return (x, -(y + high), x + wide, -y)

    @property
    def paper_mm(self) -> Point:
        wide, high = (float(self.root.attrib[k].removesuffix("mm")) for k in ("width", "height"))
        return wide, high

    @property
    def parts(self) -> list[str]:
        return [g.attrib["data-part"] for g in self.root.iter(f"{SVG}g")]

    def group(self, part: str) -> ElementTree.Element:
        found = [g for g in self.root.iter(f"{SVG}g") if g.attrib["data-part"] == part]
        assert len(found) == 1, f"{part}: {len(found)} of {self.parts}"
        return found[0]

    def data(self, part: str) -> dict[str, float]:
        attributes = self.group(part).attrib
        return {
            k.removeprefix("data-"): float(v) for k, v in attributes.items() if k != "data-part"
        }

    def outline(self, part: str) -> Box:
        """The box round the wide lines of a part."""
        scale = self.paper_mm[0] / (self.view[2] - self.view[0])
        wide = [
            p
            for p in self.group(part).iter(f"{SVG}path")
            if math.isclose(float(p.get("stroke-width", 0)) * scale, 0.5, abs_tol=0.002)
        ]
        points = [point for p in wide for point in points_of(p)]
        assert points, f"{part} has no wide line"
        xs, rs = [x for x, _ in points], [r for _, r in points]
        return (min(xs), min(rs), max(xs), max(rs))

    def all_points(self) -> Iterator[Point]:
        for p in self.root.iter(f"{SVG}path"):
            yield from points_of(p)
        for c in self.root.iter(f"{SVG}circle"):
            yield (float(c.attrib["cx"]), -float(c.attrib["cy"]))

    def texts(self) -> list[Lettering]:
        return [_lettering(t) for t in self.root.iter(f"{SVG}text")]

    def said(self, part: str | None = None) -> str:
        """All words of the drawing, or of one group, with plain spaces."""
        root = self.root if part is None else self.group(part)
        return " ".join(t.text or "" for t in root.iter(f"{SVG}text")).replace("\u00a0", " ")


def points_of(element: ElementTree.Element) -> list[Point]:
    numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", element.attrib["d"])]
    return [(x, -y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]


def _lettering(t: ElementTree.Element) -> Lettering:
    size, words = float(t.attrib["font-size"]), t.text or ""
    long = width(words, size * 0.714, t.get("font-weight") == "bold")
    x, r = float(t.attrib["x"]), -float(t.attrib["y"])
    left = {"start": x, "middle": x - long / 2, "end": x - long}[t.get("text-anchor", "start")]
    return Lettering(words, (left, r - 0.24 * size, left + long, r + 0.76 * size), size)


Judge = Callable[..., Judged]


@pytest.fixture(scope="session")
def judge() -> Judge:
    """Judge a setup of the small workshop beside this file, each once."""
    workshop = Workshop.open(only=Path(__file__).parent / "kb")

    @cache
    def once(wanted: Wanted) -> Judged:
        return workshop.judge(wanted)

    def run(
        platform: str,
        axle: str = "front",
        parts: Sequence[str] = (),
        set_: Sequence[str] = (),
        **more: object,
    ) -> Judged:
        wanted = Wanted(platform, axle, tuple(parts), tuple(set_), **more)  # type: ignore[arg-type]
        return once(wanted)

    return run


@pytest.fixture(scope="session")
def read() -> Callable[[str], Drawing]:
    """Read a drawing back."""
    return Drawing
