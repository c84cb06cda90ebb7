"""The title block and the notes at the foot of the sheet.

Data fields as ISO 7200 asks of a title block where a fit drawing has them: title, identification,
date, scale; the rest is what the reader must know before he trusts a line of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from lugplane.answers.rows import NOT_ASKED
from lugplane.answers.sheet import Judged, Sheet
from lugplane.measure.bench import Bench
from lugplane.quantity.form import Form
from lugplane.render.drawing.hatch import Point
from lugplane.render.drawing.lettering import SPACING, wrap
from lugplane.render.drawing.marks import corners
from lugplane.render.drawing.pens import NARROW, WIDE
from lugplane.render.drawing.scene import Group, Shape, Text, path
from lugplane.render.drawing.sketch import Sketch
from lugplane.render.drawing.values import value

HEIGHT_MM, HEADING_MM = 2.5, 3.5
LINE_MM = HEIGHT_MM * SPACING
WIDTH_MM = 180.0
_COLUMNS_MM = (68.0, 56.0, 56.0)
_INSET_MM = 2.0
WARNING = "Made from recorded facts: mock up before making anything."


@dataclass(frozen=True, slots=True)
class Written:
    """A line of lettering and its weight."""

    text: str
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """Three columns of lines, already broken to their widths, and the warning below."""

    columns: tuple[tuple[Written, ...], ...]

    @property
    def height_mm(self) -> float:
        """Height on paper."""
        lines = max(len(c) for c in self.columns)
        return lines * LINE_MM + LINE_MM + 3 * _INSET_MM + HEADING_MM


def block(judged: Judged, scale: float, paper: str, date: str) -> Block:
    """What the title block says."""
    sheet, bench = judged.sheet, judged.deduction.bench
    said = (_what(sheet), _outcome(sheet, scale, paper, date), _main(bench))
    columns = []
    for lines, wide in zip(said, _COLUMNS_MM, strict=True):
        room = wide - 2 * _INSET_MM
        columns.append(
            tuple(
                Written(part, line.bold)
                for line in lines
                for part in wrap(line.text, room, HEIGHT_MM, line.bold, 3)
            )
        )
    return Block(tuple(columns))


def _what(sheet: Sheet) -> list[Written]:
    lines = [Written(f"{sheet.platform_title} ({sheet.platform}), {sheet.axle} axle", True)]
    return lines + [Written(f"{part.kind}: {part.id}") for part in sheet.parts]


def _outcome(sheet: Sheet, scale: float, paper: str, date: str) -> list[Written]:
    lines = []
    for scope in sheet.scopes:
        if scope.verdict == NOT_ASKED:
            continue
        lines.append(Written(f"{scope.name}: {scope.verdict}", scope.name != "car"))
    lines.append(Written(f"scale {scale_words(scale)}, sheet {paper}, mm"))
    if sheet.measured:
        lines.append(Written(f"measured on this car: {', '.join(sheet.measured)}"))
    lines.append(Written(f"date {date}" if date else "undated"))
    return lines


def _main(b: Bench) -> list[Written]:
    """The dimensions that all else hangs on, with their doubt."""
    p = b.place

    found: list[Written] = [Written("Main dimensions", True)]
    quiet = Sketch(1.0)
    wanted: tuple[tuple[str, Callable[[], Form]], ...] = (
        ("ear face x_e", lambda: p.ear_face),
        ("lug to centre d", lambda: p.to_centre),
        ("mid-plane x_mid", lambda: p.middle),
        ("ring T", lambda: p.ring),
        ("disc edge D/2", lambda: p.disc_radius),
        ("bolt line R_b", lambda: p.bolt_line_bare),
        ("stack k", lambda: b.stack.k),
        ("error e", lambda: b.error),
    )
    for name, get in wanted:
        words = "not known"
        with quiet.part(name):
            given = get()
            words = value(given.lo, given.hi, given.nominal)
        found.append(Written(f"{name} {words}"))
    return found


def scale_words(scale: float) -> str:
    """`1:2` for a half (ISO 5455)."""
    return f"1:{1 / scale:g}" if scale <= 1 else f"{scale:g}:1"


def block_group(made: Block, corner: Point, unit: float) -> Group:
    """The title block with its lower left corner at a place of the section frame."""
    x, r = corner
    wide, high = WIDTH_MM * unit, made.height_mm * unit
    inset = _INSET_MM * unit
    shapes: list[Shape] = [path(corners(x, r, x + wide, r + high), WIDE, closed=True)]
    foot = r + (LINE_MM + _INSET_MM) * unit
    shapes.append(path([(x, foot), (x + wide, foot)], NARROW))
    shapes.append(Text((x + inset, r + 2.0 * unit), WARNING, "start", HEIGHT_MM, True))
    head = r + high - (HEADING_MM + _INSET_MM) * unit
    title = "Caliper on knuckle: section through hub axis and caliper"
    shapes.append(Text((x + inset, head), title, "start", HEADING_MM))
    under = head - _INSET_MM * unit
    shapes.append(path([(x, under), (x + wide, under)], NARROW))
    at = x
    for n, (column, width_mm) in enumerate(zip(made.columns, _COLUMNS_MM, strict=True)):
        if n:
            shapes.append(path([(at, under), (at, foot)], NARROW))
        shapes += lines_of(column, (at + inset, under), unit)
        at += width_mm * unit
    return Group("title block", tuple(shapes))


def lines_of(lines: Sequence[Written], top: Point, unit: float) -> list[Shape]:
    """Lines of lettering downwards from a place."""
    return [
        Text((top[0], top[1] - (n + 0.8) * LINE_MM * unit), w.text, "start", HEIGHT_MM, w.bold)
        for n, w in enumerate(lines)
    ]


def notes(s: Sketch, room_mm: float) -> tuple[Written, ...]:
    """What was left out and why, then how the drawing is to be read, broken to a width."""
    reasons: dict[str, list[str]] = {}
    for what, why in s.left_out.items():
        reasons.setdefault(why, []).append(what)
    said = [Written(f"Left out, {why}: {', '.join(what)}.", True) for why, what in reasons.items()]
    said += [Written(text) for text in (*_READING, *s.notes)]
    return tuple(
        Written(part, line.bold)
        for line in said
        for part in wrap(line.text, room_mm, HEIGHT_MM, line.bold, 6)
    )


_READING = (
    "Nominal values, mm. Wide outlines: recorded; narrow: not recorded; hidden: cheeks, pistons "
    "home, shield.",
    "Hatches: iron single, steel paired, aluminium half broken, lining crossed, lining to come "
    "off squared.",
)


def limiting_words(sheet: Sheet) -> dict[str, list[str]]:
    """Check -> the scopes it decides, brake and wheel only."""
    found: dict[str, list[str]] = {}
    for scope in sheet.scopes:
        if scope.name != "car" and scope.limiting and scope.verdict != NOT_ASKED:
            found.setdefault(scope.limiting, []).append(scope.name)
    return found
