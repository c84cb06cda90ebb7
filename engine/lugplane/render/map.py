"""The ways up from stock as a map: boxes of setups, lines of what is changed and bought.

The layout is that of `dot`. What it gives back is read again: a map that has lost a box or a line
is refused.
"""

from __future__ import annotations

import math
import shutil
import sys
import sysconfig
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar
from urllib.parse import urlencode
from xml.etree import ElementTree

from lugplane.answers.paths import Mapped, Paths, Stop
from lugplane.answers.rows import BOLTS_ON, FITS_WITH_WORK
from lugplane.answers.steps import Step
from lugplane.answers.ways import Way
from lugplane.errors import BadInput, EngineError
from lugplane.links.candidates import KINDS
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.render.drawing.lettering import CAPITAL_EM, width
from lugplane.render.layout import JOIN, clean, wrap
from lugplane.render.map_fold import Box, Folded, Line, folded
from lugplane.render.ways_words import good_count, kinds_words, part_word, sum_of

if TYPE_CHECKING:
    from graphviz import Digraph

T = TypeVar("T")
Row = tuple[str, str]
"""A line of lettering and its style."""

LAYOUT = "graphviz-pure"
"""The program that lays the map out; it comes with the package of that name."""
SHAPES = {
    BOLTS_ON: ("box", "solid"),
    FITS_WITH_WORK: ("note", "solid"),
    CANNOT_TELL: ("box", "dashed,rounded"),
}
"""Shape and outline of a verdict; the word stands in the box as well."""
_MANY = {BOLTS_ON: "bolt on", FITS_WITH_WORK: "fit with work"}
FONT = "Helvetica"
_MECHANICAL = "mechanical only"
_LEGEND = "legend"
_LABEL = "says"
_LISTED = 6
_CLOSE, _ROOMY = "0.45", "1"
"""Room between columns, inches."""
_FEW_BESIDE = 4
_ROOM = 150
"""Width of what the lines beside such a column say, points: so all begin below each other."""
_WIDTH, _ROWS = 26, 2
"""Columns and lines of what a line says."""
_LEFT, _RIGHT = "l", "r"
_BARE = 'BORDER="0" CELLBORDER="0" CELLSPACING="0"'
_EXTRAS = 3
_DPI = "150"
_SIZE, _SMALL = 12, 11
_BOLD, _SLANTED = "B", "I"
_THIN, _THICK = "1", "4"


def drawn(mapped: Mapped, form: str, links: str = "") -> str | bytes:
    """The map as `svg`, `png` or `dot`; `links`: what addresses of sheets begin with.

    Raises `BadInput` where no way starts from stock or the program that lays the map out is not
    there, `EngineError` where that fails or loses anything.
    """
    if not mapped.paths.stops:
        raise BadInput("nothing to draw: no way starts from the stock setup")
    way = chosen(mapped.paths)
    plan = folded(mapped.paths, way)
    if form == "dot":
        return str(graph_of(mapped, plan, links).source)
    svg = _laid_out(graph_of(mapped, plan, links), "svg").decode("utf-8")
    check(svg, plan)
    if form == "svg":
        return svg
    made = graph_of(mapped, plan, links)
    made.attr(dpi=_DPI)
    return _laid_out(made, form)


def chosen(found: Paths) -> Way | None:
    """The way that stands out: the first of those asked for."""
    return found.target.ways[0].way if found.target and found.target.ways else None


# --- boxes, lines, legend -------------------------------------------------------------------------


def graph_of(mapped: Mapped, plan: Folded, links: str = "") -> Digraph:
    """The map in the language of `dot`."""
    from graphviz import Digraph

    found = mapped.paths
    levels = {box.name: box.level for box in plan.boxes}
    crowded = _crowded(plan, levels)
    made = Digraph(
        "ways",
        graph_attr={
            "rankdir": "LR",
            "fontname": FONT,
            "fontsize": "16",
            "labelloc": "t",
            "label": f"<{escape(_title(found))}>",
            "nodesep": "0.2",
            "ranksep": _ROOMY if crowded else _CLOSE,
            "pad": "0.3",
            "bgcolor": "white",
        },
        node_attr={"fontname": FONT, "fontsize": str(_SIZE), "margin": "0.12,0.08"},
        edge_attr={"fontname": FONT, "arrowsize": "0.8"},
    )
    _legend(made, found, plan)
    for box in plan.boxes:
        _box(made, found, box, _ends(plan, box, levels), links)
    for n, line in enumerate(plan.lines, 1):
        beside = levels[line.tail] == levels[line.head]
        _line(made, found, n, line, beside, _ROOM if crowded and beside else 0)
    for names in _columns(plan, levels):
        with made.subgraph() as column:
            column.attr(rank="same")
            for name in names:
                column.node(name)
    return made


def _crowded(plan: Folded, levels: Mapping[str, int]) -> bool:
    """Whether many lines join boxes of the one column beside stock: they need room there."""
    beside = sum(levels[x.tail] == levels[x.head] for x in plan.lines)
    return max(levels.values()) == 1 and beside > _FEW_BESIDE


def _columns(plan: Folded, levels: Mapping[str, int]) -> Iterator[list[str]]:
    """The boxes of each level, and to the right of them what their lines say."""
    for level in sorted(set(levels.values())):
        yield [box.name for box in plan.boxes if box.level == level]
        lines = enumerate(plan.lines, 1)
        labels = [f"{_LABEL}{n}" for n, x in lines if levels[x.tail] == level]
        if labels:
            yield labels


def _title(found: Paths) -> str:
    named = f"{clean(found.platform_title)} ({clean(found.platform)}), {found.axle} axle"
    return f"Ways up from stock: {named}"


Ends = tuple[tuple[int, ...], tuple[int, ...]]
"""The numbers of the lines that end on the left of a box, and on its right."""


def _ends(plan: Folded, box: Box, levels: Mapping[str, int]) -> Ends:
    lines = list(enumerate(plan.lines, 1))
    up = [n for n, x in lines if x.head == box.name and levels[x.tail] < levels[x.head]]
    return tuple(up), tuple(n for n, x in lines if box.name in (x.tail, x.head) and n not in up)


def _box(made: Digraph, found: Paths, box: Box, ends: Ends, links: str) -> None:
    shape, style = SHAPES[box.verdict]
    attributes = {
        "shape": shape,
        "style": style,
        "peripheries": "2" if box.stock else "1",
        "penwidth": _THICK if box.chosen and not box.stock else _THIN,
        "tooltip": "\n".join(s.key for s in box.stops),
    }
    if links:
        attributes["URL"] = sheet_link(links, found, box.stops[0])
    words = _table(_box_rows(found, box), _SIZE, pad=2)
    made.node(box.name, _between(words, ends), margin="0", **_safe(attributes))


def _box_rows(found: Paths, box: Box) -> Iterator[Row]:
    """Bold first line: verdict, and how many setups; then the parts that are not stock."""
    first = box.stops[0]
    if box.stock:
        yield f"STOCK: {box.verdict}", _BOLD
        yield from ((_part(first, p.kind), "") for p in first.parts)
        if first.mechanical_only:
            yield _MECHANICAL, _SLANTED
        return
    many = f"{len(box.stops)} setups: " if len(box.stops) > 1 else ""
    mixed = [
        f"{n} {verdict if n == 1 else _MANY.get(verdict, verdict)}" for verdict, n in box.verdicts
    ]
    yield many + (", ".join(mixed) if len(mixed) > 1 else box.verdict), _BOLD
    for kind in KINDS:
        ids = box.ids(kind)
        if len(ids) > 1:
            noun = "pads" if kind == "pad" else f"{kind}s"
            yield f"one of {len(ids)} {noun}:", _BOLD
            yield from ((row, "") for row in _listed(box, kind))
        elif any(p.kind == kind and not p.stock for p in first.parts):
            yield _part(first, kind), ""
    if first.adapter:
        yield "with an adapter plate", ""
    if first.mechanical_only:
        yield _MECHANICAL, _SLANTED
    yield from ((row, _SLANTED) for row in _wheel_rows(box))


def _part(stop: Stop, kind: str) -> str:
    return f"{'pads' if kind == 'pad' else kind} {part_word(stop, kind)}"


def _listed(box: Box, kind: str) -> list[str]:
    words = sorted({part_word(s, kind) for s in box.stops})
    more = len(words) - _LISTED
    return words if more <= 1 else [*words[:_LISTED], f"and {more} more"]


def _wheel_rows(box: Box) -> Iterator[str]:
    """The factory's wheels that surely do not go over any setup of a box."""
    bad = [{look.id for look in s.wheels if look.verdict not in SHAPES} for s in box.stops]
    for wheel in sorted(set.intersection(*bad)):
        yield f"not under wheel {clean(wheel)}"


def _line(made: Digraph, found: Paths, n: int, line: Line, level: bool, room: int) -> None:
    """A line is drawn in two halves that meet in what it says; its number stands at both ends.

    What it says is laid out like a box, at least `room` wide, so that no other line is drawn across
    it. `level`: both its boxes are of one column.
    """
    name = f"{_LABEL}{n}"
    either = level and bool(line.up and line.back)
    steps = (*line.up, *line.back) if either else line.up or line.back
    style = _BOLD if line.chosen else ""
    said = _bought(found, steps)
    rows = [(row, style) for row in _short(f"{n}. {said}")]
    full = _safe({"tooltip": said.replace(JOIN, " ")})
    made.node(name, _table(rows, _SMALL, least=room), shape="plain", fontsize=str(_SMALL), **full)
    pen = _THICK if line.chosen else _THIN
    into = {"dir": "back" if line.back and (level or not line.up) else "none"}
    tail = "vee" if either else "normal"
    made.edge(f"{line.tail}:{_RIGHT}{n}:e", f"{name}:w", penwidth=pen, arrowtail=tail, **into)
    if level:
        made.edge(
            f"{line.head}:{_RIGHT}{n}:e",
            f"{name}:w",
            penwidth=pen,
            dir="back" if line.up else "none",
            arrowtail=tail,
        )
    else:
        way = "forward" if line.up else "none"
        made.edge(f"{name}:e", f"{line.head}:{_LEFT}{n}:w", penwidth=pen, dir=way)


def _short(said: str) -> list[str]:
    """Two lines at most; what is longer is whole in the tooltip."""
    rows = list(wrap(said, _WIDTH))
    return rows if len(rows) <= _ROWS else [*rows[: _ROWS - 1], f"{rows[_ROWS - 1]} …"]


def _bought(found: Paths, steps: Sequence[Step]) -> str:
    """What the steps of a line have you buy, with the price if it is known and the same for all."""
    lists = [[good_count(found.good(k)) for k in _by_kind(found, s.buys)] for s in steps]
    common = [x for x in lists[0] if all(x in other for other in lists)]
    others = [x for x in dict.fromkeys(x for each in lists for x in each) if x not in common]
    said = ", ".join(common)
    if others:
        also = ", ".join(others) if len(others) <= _EXTRAS else "more"
        said = f"{said}; for some also {also}" if said else f"for some {also}"
    said = said or "nothing to buy"
    sums = {(cost.words, cost.unknown) for s in steps for cost in (sum_of(found, s.buys),)}
    priced = [words for words, unknown in sums if not unknown and words != "nothing"]
    if len(sums) == 1 and priced and not others:
        said += f"; {priced[0]}"
    at_once = len(steps[0].kinds) > 1
    return f"at one go: {said}" if at_once else said


def _by_kind(found: Paths, keys: Iterable[str]) -> list[str]:
    """Parts first, in the order of their kinds, then hardware."""
    order = {kind: n for n, kind in enumerate(KINDS)}
    return sorted(keys, key=lambda k: (order.get(found.good(k).item.what, len(order)), k))


def _table(rows: Iterable[Row], size: int, pad: int = 1, least: int = 0) -> str:
    """Rows of lettering, each as wide as the widest common face would make it, or `least`."""
    cells = "".join(_cell(text, style, size, pad, least) for text, style in rows)
    return f"<<TABLE {_BARE}>{cells}</TABLE>>"


def _cell(text: str, style: str, size: int, pad: int, least: int) -> str:
    room = math.ceil(width(text, size * CAPITAL_EM, style == _BOLD)) + 2 * (pad - 1)
    room = max(room, least)
    said = f"<{style}>{escape(text)}</{style}>" if style else escape(text)
    return f'<TR><TD ALIGN="LEFT" WIDTH="{room}">{said}</TD></TR>'


def _between(words: str, ends: Ends) -> str:
    """The words of a box between the numbers of the lines that end on either side of it."""
    left, right = (
        "".join(
            f'<TR><TD PORT="{side}{n}"><FONT POINT-SIZE="{_SMALL}">{n}</FONT></TD></TR>'
            for n in numbers
        )
        for side, numbers in zip((_LEFT, _RIGHT), ends, strict=True)
    )
    cells = [f"<TD>{words[1:-1]}</TD>"]
    if left:
        cells.insert(0, f'<TD><TABLE {_BARE} CELLPADDING="1">{left}</TABLE></TD>')
    if right:
        cells.append(f'<TD><TABLE {_BARE} CELLPADDING="1">{right}</TABLE></TD>')
    return f"<<TABLE {_BARE}><TR>{''.join(cells)}</TR></TABLE>>"


def _legend(made: Digraph, found: Paths, plan: Folded) -> None:
    """Samples of what the map uses, and how it folds, in one cluster of its own."""
    words = {
        BOLTS_ON: "plain box: bolts on",
        FITS_WITH_WORK: "folded corner: fits with work",
        CANNOT_TELL: "dashed outline: cannot tell",
    }
    used = [v for v in SHAPES if any(b.verdict == v for b in plan.boxes)]
    said = [
        "A line is one step: it says what is bought for it, and its number",
        "stands at both its ends.",
        "Each column of boxes is a step further from stock.",
        "Arrow: up from stock. Two open arrows: either way.",
    ]
    if any(b.chosen for b in plan.boxes):
        said.append("Thick: the way that was asked for.")
    if plan.kinds:
        said += [
            f"A box of several setups: they differ only in {kinds_words(plan.kinds)},",
            "are as far from stock, and any part it lists goes with any other.",
            f"A line to it stands for all their steps; {plan.inside} more lie within boxes.",
        ]
    if any(len(b.verdicts) > 1 for b in plan.boxes):
        said.append("Where a box holds both verdicts its shape is that of the worse.")
    said.append("Verdicts are those of the brake; no setup drawn fails as a car.")
    if found.car_fails:
        count = len(found.car_fails)
        fits = "1 that fits and fails" if count == 1 else f"{count} that fit and fail"
        said.append(f"{fits} as a car left out.")
    if any(s.mechanical_only for b in plan.boxes for s in b.stops):
        said.append("Mechanical only: the car cannot be told; the sheet names the fact.")
    with made.subgraph(name="cluster_legend") as cluster:
        cluster.attr(label="<<B>How to read it</B>>", style="rounded", color="gray50")
        cluster.node(f"{_LEGEND}_words", _table(((x, "") for x in said), _SIZE), shape="plain")
        for n, verdict in enumerate(used):
            shape, style = SHAPES[verdict]
            sample = _table([(words[verdict], "")], _SIZE)
            cluster.node(f"{_LEGEND}_{n}", sample, shape=shape, style=style)


def sheet_link(base: str, found: Paths, stop: Stop) -> str:
    """The address of a setup's sheet: the base with platform, axle and parts as its query."""
    query = [("platform", found.platform), ("axle", found.axle)]
    query += [("part", p.id) for p in stop.parts]
    if stop.adapter:
        query.append(("adapter", "yes"))
    return f"{base}{'&' if '?' in base else '?'}{urlencode(query)}"


def _safe(attributes: dict[str, str]) -> dict[str, str]:
    """Text in which a backslash is no escape of `dot`."""
    from graphviz import escape as plain

    return {k: str(plain(v)) if k in ("tooltip", "URL") else v for k, v in attributes.items()}


# --- laying out and reading back ------------------------------------------------------------------


def program() -> Path:
    """The program that lays maps out. Raises `BadInput` where it is not installed."""
    beside = [sysconfig.get_path("scripts"), str(Path(sys.executable).parent)]
    for folder in (*beside, None):
        found = shutil.which(LAYOUT, path=folder)
        if found:
            return Path(found)
    raise BadInput(f"{LAYOUT} is not there: install the package {LAYOUT}, or write FILE.dot")


def _laid_out(made: Digraph, form: str) -> bytes:
    from graphviz import CalledProcessError, ExecutableNotFound
    from graphviz.backend import dot_command

    dot_command.DOT_BINARY = program()
    try:
        # The program's warnings are of letters whose width it guesses; nothing to tell a user.
        return bytes(made.pipe(format=form, quiet=True))
    except (CalledProcessError, ExecutableNotFound) as error:
        raise EngineError(f"the map was not laid out: {error}") from error


def check(svg: str, plan: Folded) -> None:
    """Compare what was drawn with the map, box by box and line by line. Raises `EngineError`."""
    boxes, lines = read_back(svg)
    _compare("box", Counter(box.name for box in plan.boxes), boxes)
    _compare("line", Counter(frozenset((x.tail, x.head)) for x in plan.lines), lines)


def _compare(what: str, wanted: Counter[T], got: Counter[T]) -> None:
    lost, more = (wanted - got).total(), (got - wanted).total()
    if lost or more:
        raise EngineError(f"the drawn map is not the map: {what}: {lost} lost, {more} too many")


def read_back(svg: str) -> tuple[Counter[str], Counter[frozenset[str]]]:
    """The boxes of a drawn map by their names, and the two ends of each line."""
    boxes: Counter[str] = Counter()
    halves: dict[str, list[str]] = {}
    space = "{http://www.w3.org/2000/svg}"
    for group in ElementTree.fromstring(svg).iter(f"{space}g"):
        title = group.findtext(f"{space}title") or ""
        if group.get("class") == "node":
            if title.startswith(_LABEL):
                halves.setdefault(title, [])
            elif not title.startswith(_LEGEND):
                boxes[title] += 1
        elif group.get("class") == "edge":
            ends = [end.partition(":")[0] for end in title.split("->")]
            label = next((e for e in ends if e.startswith(_LABEL)), title)
            halves.setdefault(label, []).extend(e for e in ends if e != label)
    return boxes, Counter(frozenset(ends) for ends in halves.values())
