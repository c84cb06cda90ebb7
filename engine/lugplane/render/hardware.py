"""What goes between ear and lug, which bolt, which torque and how much trim, in words."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from lugplane.answers.found import Span
from lugplane.answers.parts import BoltLine, Part, StackLine
from lugplane.facts.ids import family
from lugplane.quantity.printed import number
from lugplane.render.layout import clean
from lugplane.render.words import amount, band_words, join, sentence

if TYPE_CHECKING:
    from lugplane.answers.rows import Row
    from lugplane.answers.sheet import Buying, Line, Sheet

_DEPTHS = ("mid", "end_1", "end_2")
_FIGURES = frozenset({"stack", "bolt", "torque", "trim"})


def stack_words(options: Sequence[StackLine]) -> str:
    """A stack, or the stacks that a measured spacing decides between; empty without any.

    `2 washers of 2.5 mm (5 mm)`, `one machined ring 3 mm`, `bare`, `an adapter plate that takes up
    13 mm`, or `2 washers of 2.5 mm (5 mm) if the spacing is 4.6..5.4 mm, a ring made to the
    measured gap otherwise`.
    """
    if len(options) < 2:
        return _one_stack(options[0]) if options else ""
    fixed = [
        f"{_one_stack(o)} if the spacing is {_range(o.from_mm, o.to_mm)}"
        for o in options
        if not _made_to_gap(o)
    ]
    if len(fixed) < len(options):
        fixed.append("a ring made to the measured gap otherwise")
    return ", ".join(fixed)


def _made_to_gap(o: StackLine) -> bool:
    return o.kind == "ring" and o.thickness_mm is None


def _one_stack(o: StackLine) -> str:
    if o.kind == "bare":
        return "bare"
    if o.kind == "plate":
        return f"an adapter plate that takes up {_range(o.from_mm, o.to_mm)}"
    if _made_to_gap(o):
        return f"one machined ring made to the measured gap ({_range(o.from_mm, o.to_mm)})"
    total = number(o.thickness_mm or 0.0)
    if o.kind == "ring":
        return join(f"one machined ring {total} mm")
    if o.count == 1:
        return join(f"1 washer of {total} mm")
    return f"{join(f'{o.count} washers of {_each(o)} mm')} {join(f'({total} mm)')}"


def _each(o: StackLine) -> str:
    return number((o.thickness_mm or 0.0) / max(o.count, 1))


def _range(low: float, high: float) -> str:
    said = number(low) if number(low) == number(high) else f"{number(low)}..{number(high)}"
    return join(said, "mm")


def bolt_words(bolts: Sequence[BoltLine]) -> str:
    """A bolt, or the bolts that the measured stack decides between; empty without any.

    `M12x1.5x45 10.9, ISO 8765` or `the original M12x1.5x40 8.8 stays`.
    """
    if len(bolts) < 2:
        return one_bolt(bolts[0]) if bolts else ""
    return "; ".join(f"{one_bolt(b)}, if the stack is {_range(b.from_mm, b.to_mm)}" for b in bolts)


def one_bolt(bolt: BoltLine) -> str:
    """One bolt by size, class and standard."""
    size = clean(bolt.thread)
    if bolt.length_mm is not None:
        length = number(bolt.length_mm)
        size = f"{size}x{length}" if size.startswith("M") else f"{size}, {length} mm"
    named = join(size, clean(bolt.class_))
    if not bolt.record:
        return f"the original {named} stays"
    return f"{named}, {join(clean(bolt.standard or bolt.record))}"


def torque_words(sheet: Sheet) -> str:
    """`85 N·m (a hand wrench gives 68..103), the car's own figure`; empty where none is given.

    The figure to set the wrench to stands alone: the bounds are its doubt, not a range to choose
    from.
    """
    if sheet.torque_nm is None:
        return ""
    lo, hi, at = sheet.torque_nm
    said = join(number(at, 0), "N·m")
    if hi > lo:
        bounds = join(f"{number(math.floor(lo), 0)}..{number(math.ceil(hi), 0)}")
        said += f" (a hand wrench gives {bounds})"
    return f"{said}, {clean(sheet.torque_origin)}"


def trim_words(row: Row) -> str:
    """How much lining comes off, where and how deep.

    The share is bounded; the depths are those in the middle of all doubt, as the mark on the
    mock-up decides. Holes 1 and 2 are those of the knuckle's facts.
    """
    if row.value is None:
        return ""
    cuts = [f"{edge} edge {d}" for edge in ("inner", "outer") if (d := _depths(row, edge))]
    return "; ".join([f"{amount(row.value, row.unit)} of its area", *cuts])


def _depths(row: Row, edge: str) -> str:
    found = [row.notes.get(f"{edge}_depth_{at}_mm") for at in _DEPTHS]
    deep = [0.0 if s is None else s.nominal for s in found]
    if max(deep) < 0.05:
        return ""
    middle, by_2, by_1 = (join(number(x, 1), "mm") for x in deep)
    ends = f"{by_1} at both ends" if by_1 == by_2 else f"{by_1} by hole 1, {by_2} by hole 2"
    return f"about {middle} in the middle, {ends}"


def tightening_words(sheet: Sheet) -> tuple[str, ...]:
    """Which bolts the torque is for; a floating caliper has others besides, of another figure."""
    figure = torque_words(sheet)
    if not any(line.id == "tighten-carrier" for line in sheet.work):
        return (f"Tighten the bolts of the caliper to the knuckle to {figure}",)
    return (
        f"Tighten the bolts of the carrier to the knuckle to {figure}",
        "This is not the figure of the caliper's slide-pin bolts: they have their own, which this "
        "tool does not know",
    )


def cautions(sheet: Sheet) -> dict[str, str]:
    """The cautions of a sheet by their ids, with the figures that they rest on.

    A low slip reserve is told of a joint that is opened: the factory's own has proved itself.
    """
    untold = ("slip-low",) if sheet.as_built else ()
    return {c.id: _caution(sheet, c) for c in sheet.caution if c.id not in untold}


def _caution(sheet: Sheet, line: Line) -> str:
    said = clean(line.text)
    row = next((r for r in sheet.rows if r.check == "slip-reserve"), None)
    if line.id != "slip-low" or row is None or row.value is None:
        return said
    stock = sheet.stock_slip_reserve
    beside = f"; the stock joint, reckoned alike: {amount(stock, '1')}" if stock else ""
    return f"{sentence(said)} Here it is {amount(row.value, row.unit)}{beside}"


def subject_words(sheet: Sheet, name: str) -> str:
    """What a quantity or choice came to, by its name; empty where the sheet has no row of it.

    Of a quantity that is what is left of a need, it tells what is wanting.
    """
    check = sheet.subjects.get(name, "")
    row = next((r for r in sheet.rows if r.check == check), None)
    if row is None:
        return ""
    if name == "stack":
        return stack_words(sheet.stack)
    if name == "bolt":
        return bolt_words(sheet.bolts)
    if name == "torque":
        return torque_words(sheet)
    if name == "trim":
        return trim_words(row)
    if row.value is not None:
        v = row.value
        return amount(Span(-v.hi, -v.lo, -v.nominal) if row.need else v, row.unit)
    return clean(row.because) or band_words(row.band)


def figures(sheet: Sheet, name: str) -> str:
    """The figures that a step of the work needs; empty where its own words say all."""
    return subject_words(sheet, name) if name in _FIGURES else ""


def fill(text: str, sheet: Sheet, about: Mapping[str, str]) -> str:
    """A rule's words with its places filled in; a place of which nothing is known stays empty."""

    def word(match: re.Match[str]) -> str:
        name = match[1]
        return subject_words(sheet, about.get(name) or name)

    filled = re.sub(r"\{([a-z][a-z0-9_]*)\}", word, text.replace("{{", "\0").replace("}}", "\1"))
    filled = filled.replace("\0", "{").replace("\1", "}")
    return re.sub(r"\s*:\s*\.$", ".", filled)


def named_words(sheet: Sheet, part: Part) -> str:
    """A part by title and id; pads of which only the shape is named, by that and no compound."""
    if part.kind == "pad" and sheet.open_pads:
        return f"pads of the shape {clean(family(part.id))}, compound not named"
    return f"{clean(part.title)} ({clean(part.id)})"


def part_words(part: Part) -> str:
    """Whether the factory fitted a part."""
    return "stock" if part.stock else "not stock"


def buying_words(sheet: Sheet, item: Buying) -> str:
    """`2 × caliper: Four-piston caliper (tovan-q4/41), one left, one right`."""
    part = next((p for p in sheet.parts if p.kind == item.what), None)
    if part is not None and item.id == part.id:
        named = f"{clean(part.title)} ({clean(item.id)})"
    else:
        named = clean(item.id) or _bought_words(sheet, item)
    said = f"{item.count} × {clean(item.text)}"
    if item.what == "pad" and sheet.open_pads and item.id == family(item.id):
        *most, last = (clean(i) for i in sheet.open_pads)
        named += f"; name the compound before it is bought: {', '.join(most)} or {last}"
    return ", ".join(x for x in (f"{said}: {named}" if named else said, clean(item.sides)) if x)


def _bought_words(sheet: Sheet, item: Buying) -> str:
    if item.reason == "hub_bore":
        return f"to fill {subject_words(sheet, item.reason)} between bore and spigot, across"
    if item.what == "hose":
        return "at the caliper; its length and its other end as the original hose"
    if item.what == "washers" and sheet.stack:
        stack = sheet.stack[0]
        size = next((clean(b.thread).split("x")[0] for b in sheet.bolts), "")
        fit = f" for {size}" if size.startswith("M") else ""
        strong = any(b.class_ == "10.9" for b in sheet.bolts)
        hard = ", 300 HV under the class 10.9" if strong else ""
        each = f"{join(_each(stack), 'mm')} each{fit}{hard}, {stack.count} under each lug"
        return f"{each}, measured and matched in sets"
    if item.reason == "bolt":
        return _bought_bolts(sheet.bolts)
    return subject_words(sheet, item.reason)


def _bought_bolts(bolts: Sequence[BoltLine]) -> str:
    """The bolts to buy; where the original may yet stay, that none is bought then."""
    bought = [b for b in bolts if b.record]
    if len(bolts) < 2:
        return bolt_words(bought)
    said = [f"{one_bolt(b)}, if the stack is {_range(b.from_mm, b.to_mm)}" for b in bought]
    said += [f"none if it is {_range(b.from_mm, b.to_mm)}" for b in bolts if not b.record]
    return "; ".join(said)
