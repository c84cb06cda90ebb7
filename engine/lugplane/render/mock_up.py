"""A mock-up sheet to fill in at the car, and the trial's record to fill in afterwards."""

from __future__ import annotations

from collections.abc import Iterator

from lugplane.answers.mock_up import MockUp
from lugplane.render.layout import clean, wrap
from lugplane.render.words import sentence

WIDTH = 80
_NUMBER, _DOUBT = "________", "±____"
_FIGURE = f"{_NUMBER} {_DOUBT} mm"
BLANK = "____ ±____"
"""Where a figure goes into the record."""
DAY = "YYYY-MM-DD"
_KINDS = ("caliper", "carrier", "disc", "pad", "wheel")
_GAPS = ("end_1_outboard", "end_1_inboard", "end_2_outboard", "end_2_inboard")
_BY_GAPS = frozenset({"spacing", "tilt"})


def sheet_to_fill(asked: MockUp) -> str:
    """The blank sheet: plain text, at most 80 columns, for A4."""
    return "\n".join(_lines(asked))


def _lines(asked: MockUp) -> Iterator[str]:
    title = f"Mock-up sheet: {clean(asked.platform_title)} ({asked.platform}), {asked.axle} axle"
    yield from wrap(title, WIDTH)
    yield "=" * WIDTH
    for part in asked.parts:
        yield from wrap(f"{clean(part.title)} ({part.id})", WIDTH, f"{part.kind:<9}")
    yield ""
    yield "Car  ______________________  Side  [ ] left  [ ] right   Date  ________________"
    yield "By   ______________________  Measured with  ________________________________"
    yield ""
    yield from _numbered(asked)
    yield ""
    yield "Came of it   [ ] fits   [ ] fits with work   [ ] does not fit   [ ] open"
    yield f"Notes  {'_' * (WIDTH - 7)}"
    yield f"       {'_' * (WIDTH - 7)}"


def _numbered(asked: MockUp) -> Iterator[str]:
    nuts = f"of {asked.wheel_bolts}" if asked.wheel_bolts is not None else "of ____"
    yield from wrap(
        "Bolt on the bare caliper, without pads, on a stack that you have measured. Nip the disc "
        "with all its wheel nuts or bolts.",
        WIDTH,
        "1. ",
    )
    yield f"   wheel nuts on   ____ {nuts}"
    yield f"   stack           {_FIGURE}   (0 if there is none)"
    yield ""
    yield from _gaps(asked)
    yield ""
    yield from wrap(
        "Put in pads and wheel where a measurement needs them. Take what you can, each with its "
        "±; leave the rest out.",
        WIDTH,
        "3. ",
    )
    for each in asked.measures:
        if each.measure in _BY_GAPS:
            continue
        yield f"   {each.measure:<15} {_FIGURE}   {clean(each.title)}"
        yield from wrap(sentence(clean(each.how)), WIDTH, " " * 6)
    yield ""
    yield from wrap(
        "Full lock: with the wheel on, turn from lock to lock and go through the spring travel.",
        WIDTH,
        "4. ",
    )
    yield "   [ ] clear   [ ] touches   nearest  ________ mm, at  _______________________"


def _gaps(asked: MockUp) -> Iterator[str]:
    """The four gaps and what they come to; a radial mount is not spaced along the axle."""
    yield from wrap(
        "Take the four gaps between disc and caliper, at both ends of it, on both faces.",
        WIDTH,
        "2. ",
    )
    yield f"   {'':16}{'end 1':<24}end 2"
    for face in ("outboard", "inboard"):
        yield f"   {face:<15} {_FIGURE:<23} {_FIGURE}"
    if not asked.radial:
        yield from _spacing(asked)
    yield "   tilt = half of (outboard - inboard at end 1, less the same at end 2)"
    yield f"{'':57}= {_FIGURE}"


def _spacing(asked: MockUp) -> Iterator[str]:
    sign = {1: "stack - e", -1: "stack + e"}.get(
        asked.sigma or 0, "stack - e (caliper outboard of the ear; inboard: + e)"
    )
    yield f"   e = (mean gap outboard - mean gap inboard) / 2        = {_NUMBER} mm"
    yield f"   spacing = {sign}"
    yield f"{'':57}= {_FIGURE}"


def record_yaml(asked: MockUp, id_: str = "") -> str:
    """The trial's record with blanks: a line counts once its `#` is gone and its blanks filled."""
    return "\n".join(_record(asked, id_)) + "\n"


def _record(asked: MockUp, id_: str) -> Iterator[str]:
    by_kind = {p.kind: p.id for p in asked.parts if p.kind in _KINDS}
    caliper = by_kind["caliper"].replace("/", "-")
    yield "# Fill in the blanks; take away the # of what you measured, leave the rest."
    yield "# `lugplane facts check` then has nothing to say; a line left empty it names."
    yield "# The file's name is the id: trials/ID.yaml in a folder of your facts."
    yield "kind: trial"
    yield f"id: {id_ or f'{asked.platform}-{caliper}'}"
    yield f"title: {caliper} tried on {asked.platform}"
    yield "readings:"
    yield "  mock-up:"
    yield "    basis: measured"
    yield "    source:  # id of the record of this sheet: lugplane facts new source ID"
    yield f'    date: "{DAY}"'
    yield "unless_said: mock-up"
    yield "# notes: wheel nuts on, side of the car, what was in the way"
    yield f"platform: {asked.platform}"
    yield f"axle: {asked.axle}"
    yield "parts:"
    for kind, part in by_kind.items():
        yield f"  {kind}: {part}"
    yield f"# stack_mm: {BLANK}"
    yield "# gaps_mm:"
    for gap in _GAPS:
        yield f"#   {gap}: {BLANK}"
    yield "# measured:"
    for each in asked.measures:
        yield f"#   {each.measure}: {BLANK}"
    yield "measured_with:  # the instruments, as depth gauge and feeler gauges"
    yield f'date: "{DAY}"'
    yield "# outcome: one of fits, fits-with-work, does-not-fit, open"
