"""What of a setup changed, in words: verdicts with what decides them, and the figures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from lugplane.answers.changes import FIGURES, SheetChange
from lugplane.answers.changes_records import FactChange
from lugplane.answers.changes_told import ScopeTold, Told, WheelTold
from lugplane.answers.evidence import FactLine
from lugplane.answers.rows import BOLTS_ON, DOES_NOT_FIT, Span
from lugplane.answers.sheet import BoltLine, StackLine
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.quantity.text import number
from lugplane.render.hardware import bolt_words, stack_words
from lugplane.render.layout import clean
from lugplane.render.names import fact_name
from lugplane.render.words import amount, fact_words, join, reading_words, rest_words
from lugplane.setup.parts import family

ARROW = "→"
_NOT_THERE = "cannot be put together"
_WHEEL_WORDS = {BOLTS_ON: "clears", DOES_NOT_FIT: "does not go on", CANNOT_TELL: "cannot tell"}
_LONG = 60

Titles = Mapping[str, str]


def pads_words(pads: Sequence[str]) -> str:
    """Pads that make no difference: their shape where it is one, else all of them."""
    shapes = {family(p) for p in pads}
    return ", ".join(clean(p) for p in (sorted(shapes) if len(pads) > 1 else pads))


def moved(before: Told | None, after: Told | None, change: str, titles: Titles) -> list[str]:
    """Everything that changed of a setup, the verdict first, each in a few words."""
    said = list(_scopes(before, after, titles)) if change != FIGURES else []
    if before is None or after is None:
        found = after or before
        if found is None or not found.fits:
            return said
        return [*said, *_as_it_is(found)] if before is None else said
    said += _figures(before, after)
    if change == FIGURES:
        said += _scopes(before, after, titles)
    said += _asking(before, after, titles)
    said += _wheels(before, after, titles)
    said += _trials(before, after)
    return said


def _as_it_is(told: Told) -> Iterator[str]:
    if told.stack:
        yield f"stack: {stack_words(told.stack)}"
    if told.bolts:
        yield f"bolt: {bolt_words(told.bolts)}"


def _scopes(before: Told | None, after: Told | None, titles: Titles) -> Iterator[str]:
    """Scopes whose verdict, or whose deciding check, is another one."""
    if before is None or after is None:
        was = _NOT_THERE if before is None else _scope(before.scopes[0], titles)
        now = _NOT_THERE if after is None else _scope(after.scopes[0], titles)
        yield f"was: {was}; now: {now}"
        return
    then = {s.name: s for s in before.scopes}
    now_ = {s.name: s for s in after.scopes}
    for name in dict.fromkeys([*then, *now_]):
        a, b = then.get(name), now_.get(name)
        if a == b:
            continue
        lead = f"{name}: " if name != "brake" else ""
        if a is None or b is None:
            said = _scope(b, titles) if b else "not asked"
            yield f"{lead}was: {_scope(a, titles) if a else 'not asked'}; now: {said}"
        elif a.verdict != b.verdict:
            yield f"{lead}was: {_scope(a, titles)}; now: {_scope(b, titles)}"
        elif a.check != b.check:
            yield f"{lead}decided by: {_decided(a, titles)} {ARROW} {_decided(b, titles)}"
        elif a.value and b.value and a.value != b.value and a.check not in ("spacing", "trim"):
            title = clean(titles.get(a.check, a.check))
            yield f"{lead}{title}: {_from_to(a.value, b.value, a.unit)}"


def _scope(scope: ScopeTold, titles: Titles) -> str:
    said = _decided(scope, titles)
    if not said or scope.verdict == BOLTS_ON:
        return scope.verdict
    return f"{scope.verdict} ({said})"


def _decided(scope: ScopeTold, titles: Titles) -> str:
    title = clean(titles.get(scope.check, scope.check))
    if scope.value is not None:
        return f"{title} {amount(scope.value, scope.unit)}"
    return f"{title}: {clean(scope.because)}" if scope.because and scope.margin is None else title


def _from_to(before: Span, after: Span, unit: str) -> str:
    """Two quantities with as many decimals as tell them apart."""
    for places in (2, 3, 4, 6):
        said = [amount(s, unit, places) for s in (before, after)]
        if said[0] != said[1]:
            break
    return f"{said[0]} {ARROW} {said[1]}"


def _figures(before: Told, after: Told) -> Iterator[str]:
    for name, unit, a, b in (
        ("spacing", "mm", before.spacing, after.spacing),
        ("trim", "share", before.trim, after.trim),
    ):
        if a != b:
            if a is not None and b is not None:
                yield f"{name}: {_from_to(a, b, unit)}"
            else:
                yield f"{name}: {_or_not(a, unit)} {ARROW} {_or_not(b, unit)}"
    # What a stack or bolt serves may have moved while the hardware is the same.
    for name, was, now in (
        ("stack", _stack(before.stack), _stack(after.stack)),
        ("bolt", _bolts(before.bolts), _bolts(after.bolts)),
    ):
        if was != now:
            yield f"{name}: {was} {ARROW} {now}"


def _stack(stack: tuple[StackLine, ...]) -> str:
    return stack_words(stack) or "none can be chosen"


def _bolts(bolts: tuple[BoltLine, ...]) -> str:
    return bolt_words(bolts) or "none can be chosen"


def _or_not(span: Span | None, unit: str) -> str:
    return "not known" if span is None else amount(span, unit)


def _asking(before: Told, after: Told, titles: Titles) -> Iterator[str]:
    """Checks that came into another state, those that decide a verdict left out."""
    a = {x.check: x.state for x in before.asking}
    b = {x.check: x.state for x in after.asking}
    deciding = (
        {s.check for t in (before, after) for s in t.scopes if s.verdict != BOLTS_ON}
        if before.verdict != after.verdict
        else set()
    )
    by_move: dict[tuple[str, str], list[str]] = {}
    for check in dict.fromkeys([*a, *b]):
        was, now = a.get(check, "holds"), b.get(check, "holds")
        if was != now and check not in deciding:
            by_move.setdefault((was, now), []).append(clean(titles.get(check, check)))
    for (was, now), checks in by_move.items():
        yield f"{', '.join(checks)}: {was} {ARROW} {now}"


def _wheels(before: Told, after: Told, titles: Titles) -> Iterator[str]:
    a, b = ({w.id: w for w in t.wheels} for t in (before, after))
    for id_ in dict.fromkeys([*a, *b]):
        was, now = a.get(id_), b.get(id_)
        if was == now or (not a or not b):
            continue
        if was and now and was.verdict == now.verdict and was.gap and now.gap:
            if was.gap != now.gap:
                yield f"gap under {clean(id_)}: {_from_to(was.gap, now.gap, 'mm')}"
            continue
        yield f"{clean(id_)}: {_wheel(was, titles)} {ARROW} {_wheel(now, titles)}"


def _wheel(wheel: WheelTold | None, titles: Titles) -> str:
    if wheel is None:
        return "not offered"
    said = _WHEEL_WORDS.get(wheel.verdict, wheel.verdict)
    if wheel.gap is not None and wheel.verdict != CANNOT_TELL:
        return f"{said} ({join(number(wheel.gap.lo, 1), 'mm')})"
    if wheel.verdict == DOES_NOT_FIT:
        return f"{said} ({clean(titles.get(wheel.check, wheel.check))})"
    return said


def _trials(before: Told, after: Told) -> Iterator[str]:
    a, b = ({t.id: t.state for t in told.trials} for told in (before, after))
    for id_ in dict.fromkeys([*a, *b]):
        if a.get(id_) != b.get(id_):
            states = (a.get(id_, "not recorded"), b.get(id_, "not recorded"))
            yield f"trial {clean(id_)}: {states[0]} {ARROW} {states[1]}"


def sheet_words(change: SheetChange) -> str:
    """What a sheet is of."""
    if change.trials:
        return f"trial {', '.join(clean(t) for t in change.trials)}"
    return "as the factory fitted it"


def fact_change_words(change: FactChange) -> str:
    """`disc height (disc.height_mm): 48 ±0.1 mm → 48.6 ±0.1 mm`."""
    a, b = change.before, change.after
    was, now = _value(a), _value(b)
    if was == now and a is not None and b is not None:
        was, now = _evidence(a, b)
    return f"{fact_name(change.path)}: {was} {ARROW} {now}"


def _value(line: FactLine | None) -> str:
    return "not known" if line is None else cut(fact_words(line))


def _evidence(a: FactLine, b: FactLine) -> tuple[str, str]:
    """The same value on other evidence, or with other readings beside it."""
    if len(a.text) > _LONG or not (a.readings and b.readings):
        return "as it was", "otherwise"
    first = rest_words(a.readings[0]), rest_words(b.readings[0])
    if first[0] != first[1]:
        value = fact_words(b)
        return f"{value}, {first[0]}", first[1]
    return _all_readings(a), _all_readings(b)


def _all_readings(line: FactLine) -> str:
    return cut(
        " and ".join(f"{reading_words(r, line.unit)} ({rest_words(r)})" for r in line.readings)
    )


def cut(text: str, most: int = 2 * _LONG) -> str:
    """A long list of points or words, cut."""
    return text if len(text) <= most else f"{text[:most].rstrip()} …"
