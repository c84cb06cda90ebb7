"""The map of ways: nothing lost, readable, and the same words as the list. No facts are needed."""

from __future__ import annotations

import random
import re
from collections import Counter
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from lugplane.answers.fit import WheelLook
from lugplane.answers.goods import Good
from lugplane.answers.network import network, steps_from
from lugplane.answers.paths import FailsAsCar, Found, Mapped, Paths, Stop, Target
from lugplane.answers.prices import Price
from lugplane.answers.sheet import Buying, Part
from lugplane.answers.steps import Step
from lugplane.answers.ways import Asked, Way, best_way, walk
from lugplane.errors import BadInput, EngineError
from lugplane.render import map as drawing
from lugplane.render.map import check, drawn, graph_of, read_back, sheet_link
from lugplane.render.map_fold import MOST_BOXES, folded

KINDS = ("caliper", "disc", "pad")
VERDICTS = ("bolts on", "fits with work")


class Grid:
    """An axle of some calipers, discs and pads; `holes` of all combinations are left out."""

    def __init__(self, sizes: tuple[int, int, int], seed: int, holes: float, doubts: int) -> None:
        rng = random.Random(seed)
        names = [[f"{k}-{n}" for n in range(size)] for k, size in zip(KINDS, sizes, strict=True)]
        every = list(product(*names))
        start = every[0]
        kept = [p for p in every if p == start or rng.random() >= holes]
        self.parts = {" ".join(p): p for p in every}
        self.start = " ".join(start)
        self.graph = network(self.start, [" ".join(p) for p in kept], self.change)
        steps = steps_from(self.graph, self.start)
        self.verdict = {key: rng.choice(VERDICTS) for key in self.parts}
        rest = sorted(set(self.parts) - {" ".join(p) for p in kept})[:doubts]
        rim = [(a, b) for a in self.graph for b in rest if len(self.change(a, b)) == 1]
        self.verdict |= dict.fromkeys(rest, "cannot tell")
        self.stops = [self.stop(key, steps[key]) for key in sorted(self.graph)]
        self.doubtful = [self.stop(key, None) for key in rest if any(b == key for _, b in rim)]
        self.steps = [self.step(a, b) for a, b in sorted(self.graph.edges)]
        self.rim = [self.step(a, b) for a, b in rim]

    def change(self, here: str, there: str) -> tuple[str, ...]:
        pairs = zip(KINDS, self.parts[here], self.parts[there], strict=True)
        return tuple(k for k, a, b in pairs if a != b)

    def stop(self, key: str, steps: int | None) -> Stop:
        stock = self.parts[self.start]
        parts = tuple(
            Part(k, p, p.title(), p in stock) for k, p in zip(KINDS, self.parts[key], strict=True)
        )
        verdict = self.verdict[key]
        changed = sum(not p.stock for p in parts)
        wheels = (
            WheelLook(
                "round-15",
                "A wheel",
                "does not fit" if "caliper-1" in key else verdict,
                "",
                "",
                None,
            ),
        )
        return Stop(
            key,
            parts,
            False,
            verdict,
            "",
            "",
            "cannot tell" if "disc-1" in key else "bolts on",
            0,
            0,
            changed,
            (),
            wheels,
            steps=steps,
        )

    def step(self, here: str, there: str) -> Step:
        on = tuple(p for p in self.parts[there] if p not in self.parts[here])
        kinds = self.change(here, there)
        buys = tuple(f"{k} {p}" for k, p in zip(kinds, on, strict=True))
        return Step(here, there, kinds, on, buys, (), (), (), (), ())

    def goods(self) -> list[Good]:
        found = []
        for kind, id_ in sorted(
            {(k, p) for ps in self.parts.values() for k, p in zip(KINDS, ps, strict=True)}
        ):
            price = Price(90.0, 110.0, 100.0, "EUR", "o", id_, "pair", 1, "used", "2026-05-01")
            item = Buying(kind, kind, id_, 1 if kind == "pad" else 2, "")
            found.append(Good(f"{kind} {id_}", "", item, (id_,), price if kind == "disc" else None))
        return found


def mapped(
    sizes: tuple[int, int, int] = (3, 4, 2),
    seed: int = 1,
    holes: float = 0.0,
    doubts: int = 0,
    to: str = "",
) -> Mapped:
    grid = Grid(sizes, seed, holes, doubts)
    target = None
    if to:
        way = _way(grid, to)
        target = Target((to,), (), "reached", (Found(("steps",), way),))
    stock = next(s for s in grid.stops if s.key == grid.start)
    answer = Paths(
        1, "car", "A car", "front", False, False, stock, tuple(grid.stops), tuple(grid.steps),
        tuple(grid.goods()), "steps", (), (), target, tuple(grid.doubtful), tuple(grid.rim),
        len(grid.doubtful), (), {}, (), 0, "EUR", 0, (), (),
    )  # fmt: skip
    return Mapped(answer, {})


def _way(grid: Grid, to: str) -> Way:
    class Net:
        def onward(self, stop: str) -> list[str]:
            return sorted(grid.graph.successors(stop))

        def goods(self, stop: str) -> frozenset[str]:
            return frozenset()

        def spoils(self, here: str, there: str) -> frozenset[str]:
            return frozenset()

    way = best_way(Net(), grid.start, Asked(frozenset({to})))
    assert way is not None
    assert way == walk(Net(), way.stops)
    return way


FAR = "caliper-2 disc-3 pad-1"
CASES = [
    pytest.param(mapped((1, 1, 1)), id="stock alone"),
    pytest.param(mapped((2, 2, 1)), id="four"),
    pytest.param(mapped(), id="a grid"),
    pytest.param(mapped(to=FAR), id="a way"),
    pytest.param(mapped(holes=0.35, doubts=5, seed=4), id="holes and doubts"),
    pytest.param(mapped((4, 6, 4), seed=7, holes=0.2, doubts=8, to=FAR), id="seventy"),
]


# --- nothing is lost ------------------------------------------------------------------------------


@pytest.mark.parametrize("case", CASES)
def test_the_drawn_map_has_every_box_and_every_line(case: Mapped) -> None:
    way = drawing.chosen(case.paths)
    plan = folded(case.paths, way)
    svg = drawn(case, "svg")
    assert isinstance(svg, str)
    boxes, lines = read_back(svg)
    assert boxes == Counter(b.name for b in plan.boxes)
    assert lines == Counter(frozenset((x.tail, x.head)) for x in plan.lines)
    of = {s.key: b.name for b in plan.boxes for s in b.stops}
    steps = (*case.paths.steps, *case.paths.doubtful_steps)
    ends = {frozenset((of[s.here], of[s.there])) for s in steps} - {frozenset((b,)) for b in boxes}
    assert set(lines) == ends
    assert len(of) == len(case.paths.stops) + len(case.paths.doubtful)


@pytest.mark.parametrize("seed", range(40))
def test_folding_keeps_every_stop_and_every_step(seed: int) -> None:
    rng = random.Random(seed)
    sizes = rng.choice(((3, 4, 2), (2, 5, 3), (4, 4, 4)))
    case = mapped(sizes, seed, rng.choice((0.0, 0.3, 0.6)), rng.randint(0, 6))
    plan = folded(case.paths)
    stops = [s.key for b in plan.boxes for s in b.stops]
    assert sorted(stops) == sorted(s.key for s in (*case.paths.stops, *case.paths.doubtful))
    every = [(s.here, s.there) for s in (*case.paths.steps, *case.paths.doubtful_steps)]
    of = {s.key: b for b in plan.boxes for s in b.stops}
    told = [(s.here, s.there) for x in plan.lines for s in (*x.up, *x.back)]
    inside = [pair for pair in every if of[pair[0]] is of[pair[1]]]
    assert sorted(told + inside) == sorted(every)
    assert plan.inside == len(inside)
    for box in plan.boxes:
        assert len({s.verdict == "cannot tell" for s in box.stops}) == 1
        assert len({s.mechanical_only for s in box.stops}) == 1
        assert sum(n for _, n in box.verdicts) == len(box.stops)
        assert len({s.steps for s in box.stops}) == 1
        whole = 1
        for kind in KINDS:
            whole *= len(box.ids(kind))
        assert len(box.stops) == whole, "all parts of a box go with all others"
    for line in plan.lines:
        tail, head = (next(b for b in plan.boxes if b.name == n) for n in (line.tail, line.head))
        assert tail.level <= head.level
        assert all(of[s.here] is tail and of[s.there] is head for s in line.up)
        assert all(of[s.here] is head and of[s.there] is tail for s in line.back)


def test_few_setups_are_not_folded_and_many_are() -> None:
    few = folded(mapped((2, 2, 2)).paths)
    assert all(len(b.stops) == 1 for b in few.boxes)
    assert few.inside == 0
    many = mapped((4, 6, 4), seed=7, holes=0.0)
    assert len(many.paths.stops) == 96
    even = replace(
        many.paths, stops=tuple(replace(s, verdict="fits with work") for s in many.paths.stops)
    )
    plan = folded(even)
    assert len(plan.boxes) <= MOST_BOXES
    assert plan.kinds


def test_the_chosen_way_is_never_folded_and_stands_out() -> None:
    case = mapped((4, 6, 4), seed=7, holes=0.2, to=FAR)
    way = drawing.chosen(case.paths)
    assert way is not None
    plan = folded(case.paths, way)
    alone = {b.stops[0].key for b in plan.boxes if b.chosen}
    assert alone == set(way.stops)
    assert all(len(b.stops) == 1 for b in plan.boxes if b.chosen)
    assert sum(x.chosen for x in plan.lines) == len(way.legs)
    source = str(drawn(case, "dot"))
    assert len(re.findall(r"penwidth=4", source)) == len(way.legs) * 3  # two halves and a box


def test_a_lost_line_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    case = mapped()
    plan = folded(case.paths)
    svg = str(drawn(case, "svg"))
    check(svg, plan)
    tree = ElementTree.fromstring(svg)
    space = "{http://www.w3.org/2000/svg}"
    graph = tree.find(f"{space}g")
    assert graph is not None
    for sort in ("edge", "node"):
        gone = next(
            g for g in graph if g.get("class") == sort and "legend" not in (g[0].text or "")
        )
        graph.remove(gone)
        with pytest.raises(EngineError, match="not the map"):
            check(ElementTree.tostring(tree, "unicode"), plan)
        graph.append(gone)
        check(ElementTree.tostring(tree, "unicode"), plan)

    def losing(made: Any, form: str) -> bytes:
        return re.sub(r'(?s)<g id="edge2" .*?</g>', "", svg).encode()

    monkeypatch.setattr(drawing, "_laid_out", losing)
    with pytest.raises(EngineError, match="line: 1 lost, 1 too many"):
        drawn(case, "png")


@pytest.mark.parametrize("case", CASES)
def test_each_line_bears_its_number_at_both_ends(case: Mapped) -> None:
    plan = folded(case.paths, drawing.chosen(case.paths))
    space = "{http://www.w3.org/2000/svg}"
    numbers: dict[str, list[str]] = {}
    said: dict[str, str] = {}
    for group in ElementTree.fromstring(str(drawn(case, "svg"))).iter(f"{space}g"):
        if group.get("class") == "node":
            texts = ["".join(t.itertext()) for t in group.iter(f"{space}text")]
            title = group.findtext(f"{space}title") or ""
            numbers[title] = sorted(t for t in texts if t.isdecimal())
            said[title] = " ".join(texts)
    lines = {str(n): line for n, line in enumerate(plan.lines, 1)}
    for box in plan.boxes:
        own = [n for n, line in lines.items() if box.name in (line.tail, line.head)]
        assert numbers[box.name] == sorted(own)
    for n in lines:
        assert said[f"says{n}"].startswith(f"{n}. ")
    source = str(drawn(case, "dot"))
    for n, line in lines.items():
        assert f"{line.tail}:r{n}:e -> says{n}:w" in source
        head = f"{line.head}:r{n}:e -> says{n}:w", f"says{n}:e -> {line.head}:l{n}:w"
        assert any(end in source for end in head)


def test_what_a_line_says_takes_two_lines_and_is_whole_in_its_title(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    case = mapped((2, 2, 1))
    assert "…" not in words(str(drawn(case, "svg")))
    long_ = "2 calipers of a long and winding name, 2 discs of hardly a shorter one, 4 bolts"
    monkeypatch.setattr(drawing, "_bought", lambda *_: long_)
    svg = str(drawn(case, "svg"))
    assert svg.count(f'xlink:title="{long_}"') == len(folded(case.paths).lines)
    said = re.findall(r">([^<>]+)</text>", svg)
    assert sum(" …" in row for row in said) == len(folded(case.paths).lines)
    assert not any("bolts" in row and "on" not in row for row in said)
    check(svg, folded(case.paths))


# --- what it says ---------------------------------------------------------------------------------


def words(svg: str) -> str:
    space = "{http://www.w3.org/2000/svg}"
    texts = ElementTree.fromstring(svg).iter(f"{space}text")
    return " ".join(" ".join(t.itertext()) for t in texts)


def test_verdicts_are_told_by_word_and_by_shape() -> None:
    case = mapped(holes=0.35, doubts=5, seed=4)
    plan = folded(case.paths)
    svg = str(drawn(case, "svg"))
    said = words(svg)
    source = str(graph_of(case, plan).source)
    for verdict, shape in (
        ("bolts on", 'shape=box style="?solid'),
        ("fits with work", "shape=note"),
        ("cannot tell", 'shape=box style="dashed,rounded"'),
    ):
        boxes = [b for b in plan.boxes if b.verdict == verdict]
        named = [b for b in boxes if len(b.verdicts) == 1]
        assert named
        alone = [b for b in plan.boxes if len(b.verdicts) > 1 and (verdict, 1) in b.verdicts]
        assert said.count(verdict) == len(named) + len(alone) + 1  # the legend's
        assert len(re.findall(shape, source)) == len(boxes) + 1
    mixed = next(b for b in plan.boxes if len(b.verdicts) > 1)
    (_, good), (_, worse) = mixed.verdicts
    count = "{} bolts on" if good == 1 else "{} bolt on"
    also = "{} fits with work" if worse == 1 else "{} fit with work"
    assert f"{good + worse} setups: {count.format(good)}, {also.format(worse)}" in said
    assert mixed.verdict == "fits with work"
    assert "shape is that of the worse" in said
    assert "STOCK" in said
    colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg))
    assert colours <= {"none", "black", "white", "gray", "#7f7f7f"}


def test_lines_say_what_is_bought_and_the_legend_how_it_folds() -> None:
    case = mapped((3, 5, 2), seed=3)
    told = replace(case.paths, stops=tuple(replace(s, car="bolts on") for s in case.paths.stops))
    said = words(str(drawn(Mapped(told, {}), "svg")))
    assert "2 discs; EUR 90..110" in said
    assert "pad set" in said
    assert "2 calipers" in said
    assert "How to read it" in said
    assert "A box of several setups" in said
    assert "no setup drawn fails as a car" in said
    assert "not under wheel round-15" in said
    assert "A box of several setups" not in words(str(drawn(mapped((2, 2, 1)), "svg")))


def test_a_price_that_only_some_of_a_lines_steps_have_is_not_shown() -> None:
    """Pads of which one compound is unpriced must not carry the price of the other."""
    case = mapped((3, 5, 2), seed=3)
    some = case.paths.good("disc disc-2")
    goods = tuple(replace(g, price=None) if g is some else g for g in case.paths.goods)
    said = words(str(drawn(Mapped(replace(case.paths, goods=goods), {}), "svg")))
    assert "2 discs" in said
    lines = [b for b in folded(case.paths).lines if b.up]
    mixed = [
        b for b in lines
        if {"disc disc-2"} < {k for s in b.up for k in s.buys if k.startswith("disc ")}
    ]  # fmt: skip
    assert mixed
    assert said.count("2 discs; EUR 90..110") < words(str(drawn(case, "svg"))).count(
        "2 discs; EUR 90..110"
    )


def test_mechanical_only_stands_where_the_car_cannot_be_told_and_only_there() -> None:
    case = mapped((3, 5, 2), seed=3)
    marked = [b for b in folded(case.paths).boxes if b.stops[0].mechanical_only]
    assert marked
    assert all("disc-1" in s.key for b in marked for s in b.stops)
    said = words(str(drawn(case, "svg")))
    assert said.count("mechanical only") == len(marked)
    assert "Mechanical only: the car cannot be told" in said
    told = replace(case.paths, stops=tuple(replace(s, car="bolts on") for s in case.paths.stops))
    said = words(str(drawn(Mapped(told, {}), "svg")))
    assert "echanical only" not in said
    assert "left out" not in said
    stop = case.paths.stops[-1]
    fails = FailsAsCar("k", stop.parts, False, "bolts on", "heat-stop", "Heat of one stop")
    said = words(str(drawn(Mapped(replace(told, car_fails=(fails,) * 3), {}), "svg")))
    assert "3 that fit and fail as a car left out." in said


def test_names_are_no_markup() -> None:
    case = mapped((2, 1, 1))
    paths = replace(case.paths, platform_title='<b>A & "car"\\n</b>\u202e')
    svg = str(drawn(Mapped(paths, {}), "svg", "x?a=<&\\l"))
    assert '<b>A & "car"\\n</b>' in words(svg)
    check(svg, folded(paths))


def test_boxes_lead_to_their_sheets() -> None:
    case = mapped((2, 2, 1))
    svg = str(drawn(case, "svg", "https://sheets.invalid/sheet"))
    links = set(re.findall(r'xlink:href="([^"]+)"', svg))
    wanted = {
        sheet_link("https://sheets.invalid/sheet", case.paths, s).replace("&", "&amp;")
        for s in case.paths.stops
    }
    assert links == wanted
    assert len(links) == 4
    assert "xlink:href" not in str(drawn(case, "svg"))
    stop = replace(case.paths.stock, parts=(Part("disc", "a/b", "x", True),), adapter=True)
    assert sheet_link("s?x=1", case.paths, stop) == (
        "s?x=1&platform=car&axle=front&part=a%2Fb&adapter=yes"
    )


# --- forms ----------------------------------------------------------------------------------------


def test_png_is_a_picture_of_the_whole_map() -> None:
    case = mapped((4, 5, 2), seed=2)
    assert len(case.paths.stops) == 40
    png = drawn(case, "png")
    assert isinstance(png, bytes)
    assert png.startswith(b"\x89PNG\r\n\x1a\n")
    wide, high = (int.from_bytes(png[n : n + 4], "big") for n in (16, 20))
    svg = str(drawn(case, "svg"))
    size = re.search(r'<svg width="(\d+)pt" height="(\d+)pt"', svg)
    assert size is not None
    assert wide == pytest.approx(int(size[1]) * 150 / 72, rel=0.02)
    assert high == pytest.approx(int(size[2]) * 150 / 72, rel=0.02)


def test_a_map_of_sixty_is_readable_on_a3() -> None:
    """Smallest lettering 11 pt; shrunk to A3 across (1190 x 842 pt) it keeps at least 6 pt."""
    case = mapped((3, 5, 4), seed=5, to="caliper-2 disc-3 pad-1")
    assert len(case.paths.stops) == 60
    svg = str(drawn(case, "svg"))
    size = re.search(r'<svg width="(\d+)pt" height="(\d+)pt"', svg)
    assert size is not None
    shrunk = min(1190 / int(size[1]), 842 / int(size[2]), 1.0)
    letters = min(float(x) for x in re.findall(r'font-size="([\d.]+)"', svg))
    assert letters * shrunk >= 6


def test_the_map_is_the_same_each_time() -> None:
    assert drawn(mapped(), "svg") == drawn(mapped(), "svg")


def test_without_the_program_only_dot_is_written(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(drawing, "LAYOUT", "no-such-program")
    assert str(drawn(mapped(), "dot")).startswith("digraph")
    with pytest.raises(BadInput, match="write FILE"):
        drawn(mapped(), "svg")


def test_a_program_that_fails_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    broken = tmp_path / "broken"
    broken.write_text("#!/bin/sh\ncat > /dev/null\necho out of ink >&2\nexit 3\n")
    broken.chmod(0o755)
    monkeypatch.setattr(drawing, "program", lambda: broken)
    with pytest.raises(EngineError, match="out of ink"):
        drawn(mapped(), "svg")
