"""What to measure, as a page and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from lugplane.answers.ask import Ask, AskList, InDoubt
from lugplane.answers.ask_close import Close
from lugplane.answers.ask_items import Item, Range
from lugplane.answers.sheet import Part
from lugplane.quantity.text import number
from lugplane.render.blocks import Block, Heading, Items, Para
from lugplane.render.blocks import Item as Entry
from lugplane.render.layout import clean, wrap
from lugplane.render.names import fact_name, fact_title, unit_of
from lugplane.render.plain_json import dumped, plain
from lugplane.render.text import page_text
from lugplane.render.words import amount, join, least_doubt, sentence
from lugplane.setup.parts import family

_HEADS = {"fit": "To settle brake and wheel", "car": "To settle what it does to the car"}
_MOST_RANGES = 8
_MOST_FACTS = 4


def ask_text(asked: Ask, *, width: int = 80, colour: bool = False) -> str:
    """What to measure in lines of at most `width` columns."""
    return page_text(ask_blocks(asked), width=width, colour=colour)


def ask_json(asked: Ask) -> str:
    """What to measure as JSON (`schemas/answers/ask.json`)."""
    return dumped({"answer": "ask", **plain(asked)})


def ask_blocks(asked: Ask) -> Iterator[Block]:
    """The page: list by list what to measure, what may settle the rest, and what cannot."""
    named = f"{clean(asked.platform_title)} ({clean(asked.platform)}), {asked.axle} axle"
    yield Heading(f"What to measure: {named}", 1)
    said = "; ".join(f"{scope}: {v}" for scope, v in asked.verdicts.items())
    parts = ", ".join(_part(asked, p) for p in asked.parts if p.kind != "knuckle")
    yield Para((f"Parts: {parts}.", sentence(said)))
    if not asked.lists:
        yield Para((nothing_words(asked),))
    for found in asked.lists:
        yield from _list(found, asked)


def _part(asked: Ask, part: Part) -> str:
    """A part by its id; pads named by their shape alone are of no compound yet."""
    if part.kind == "pad" and asked.open_pads:
        return f"{clean(family(part.id))} (compound not named)"
    return clean(part.id)


def hint_text(words: Sequence[str], *, width: int = 80) -> str:
    """Where to go from a sheet that cannot tell; `words` are those that it was asked with."""
    asked = " ".join(clean(w) for w in words)
    return "\n".join(wrap(f"The fewest measurements that settle it: lugplane ask {asked}", width))


def nothing_words(asked: Ask) -> str:
    """Why nothing is asked."""
    if "does not fit" in (asked.verdicts.get("brake"), asked.verdicts.get("wheel")):
        return "Nothing to measure: it does not fit, whatever is measured."
    if "does not fit" in asked.verdicts.values():
        return "Nothing to measure: nothing is in doubt that measuring would change."
    return "Nothing to measure: nothing is in doubt."


def _list(found: AskList, asked: Ask) -> Iterator[Block]:
    titles = asked.titles
    yield Heading(_HEADS.get(found.name, found.name))
    if found.items:
        yield Para((_lead(found, titles),))
        yield from _items(found.items, titles)
        if found.outcome:
            yield Para((f"If all reads as it does now: {found.outcome}.",))
    if found.at_the_car:
        yield Para((), "Or at the car, with the parts at hand" if found.items else "At the car")
        yield from _items(found.at_the_car, titles)
    for close in found.close:
        yield from _close(close, titles)
    if found.beyond:
        yield Para((), "No measurement settles")
        yield Items(tuple(Entry(x) for x in _beyond(found.beyond, asked.open_pads)))


def _lead(found: AskList, titles: Mapping[str, str]) -> str:
    count = len(found.items)
    doubts = ", ".join(clean(titles[d.check]) for d in found.doubts)
    what = "this one measurement settles" if count == 1 else f"these {count} measurements settle"
    shorter = "" if found.proven else " (a shorter list may exist)"
    return f"{what.capitalize()}{shorter}: {doubts}."


def _items(items: Sequence[Item], titles: Mapping[str, str]) -> Iterator[Block]:
    for n, item in enumerate(items, 1):
        yield Para(tuple(_sentences(item, titles)), f"{n}. {item_words(item)}")


def item_words(item: Item) -> str:
    """A measurement with the ± it must have: `disc height (disc.height_mm) to ±0.1 mm`."""
    fact = item.facts[0]
    name = fact_name(fact)
    if len(item.facts) > 1:
        titles = dict.fromkeys(fact_title(f).rpartition(": ")[2] for f in item.facts)
        head = fact_title(fact).rpartition(": ")[0]
        name = f"{head}: {', '.join(titles)} ({', '.join(item.facts)})"
    if not item.needs or not least_doubt(item.needs):
        return name
    unit = unit_of(fact) or ("mm" if len(item.facts) > 1 else "")
    return f"{name} to {_plus_minus(item.needs, unit)}"


def _plus_minus(half: float, unit: str) -> str:
    return join("±" + number(half, 2 if half >= 0.01 else 3), unit)


def _sentences(item: Item, titles: Mapping[str, str]) -> Iterator[str]:
    if item.now is not None:
        places = 3 if item.needs and item.needs < 0.01 else 2
        yield f"Now {amount(item.now, item.unit, places)}."
    elif not item.known and not item.at_the_car:
        yield "Not known."
    if item.how:
        yield sentence(clean(item.how))
    if item.tool:
        reach = ""
        if item.reaches and item.needs:
            unit = unit_of(item.facts[0]) or "mm"
            reach = f" (reaches {_plus_minus(item.reaches, unit)})"
        yield f"With: {item.tool}{reach}."
    if item.finer:
        yield "That is finer than the instrument commonly reaches: measure often and take the mean."
    said = list(ranges_words(item, titles))
    if said:
        yield "; ".join(said) + "."
    if item.share is not None and item.share < 0.995:
        yield f"It decides for about {number(100 * item.share, 0)} % of the readings now possible."
    if item.set_:
        given = " ".join(f"--set '{s}'" for s in item.set_)
        yield f"Then judge again with what it reads, as in {given}."


def ranges_words(item: Item, titles: Mapping[str, str]) -> Iterator[str]:
    """What follows from which reading: `up to 43.2 mm does not fit (caliper bolt)`."""
    if len({r.verdict for r in item.ranges}) < 2:
        return
    for r in item.ranges[:_MOST_RANGES]:
        why = ", ".join(clean(titles[c]) for c in r.checks[:2])
        more = " and more" * (len(r.checks) > 2)
        because = f" ({why}{more})" if why else ""
        yield f"{_readings(r, item)}: {r.verdict}{because}"
    if len(item.ranges) > _MOST_RANGES:
        yield f"{len(item.ranges) - _MOST_RANGES} more stretches"


def _readings(r: Range, item: Item) -> str:
    unit = unit_of(item.facts[0])
    if r.word:
        return {"true": "yes", "false": "no"}.get(r.word, r.word)
    if r.from_ is None and r.to is None:
        return "whatever it reads"
    if r.from_ is None:
        return join("up to", number(r.to or 0.0), unit)
    if r.to is None:
        return join("from", number(r.from_), unit)
    return join(number(r.from_), "to", number(r.to), unit)


def _close(close: Close, titles: Mapping[str, str]) -> Iterator[Block]:
    names = ", ".join(clean(titles[c]) for c in close.checks)
    said = ["So close to its limit that no instrument settles it if all reads as it does now."]
    if close.all_to and least_doubt(close.all_to) >= 0.001:
        fine = number(least_doubt(close.all_to), 3)
        said.append(f"Every fact behind it known to ±{fine} of its own unit would.")
    elif close.finer:
        said.append(
            f"Every fact behind it known {number(close.finer, 1)} times as well as now would."
        )
    else:
        said.append(
            "Nor would every fact behind it known exactly: it lies on the limit itself, or part of "
            "the doubt is in no fact of a part."
        )
    if not close.items:
        said.append("Measuring hardly helps.")
    yield Para(tuple(said), f"Close: {names}")
    if close.items:
        share = number(100 * close.share, 0)
        what = "This settles" if len(close.items) == 1 else "These together settle"
        yield Para((f"{what} it for about {share} % of the readings now possible:",))
        yield from _items(close.items, titles)


def _beyond(doubts: Iterable[InDoubt], open_pads: Sequence[str]) -> Iterator[str]:
    """What no measurement settles, each reason once."""
    by_why: dict[str, list[str]] = {}
    for doubt in doubts:
        named = f"{clean(doubt.title)} ({doubt.check})"
        by_why.setdefault(_why(doubt, open_pads), []).append(named)
    for why, names in by_why.items():
        yield sentence(f"{', '.join(names)}: {why}")


def _why(doubt: InDoubt, open_pads: Sequence[str]) -> str:
    if doubt.because:
        return clean(doubt.because)
    if open_pads and doubt.of_compound:
        *most, last = (clean(i) for i in open_pads)
        return f"name the pads' compound, {', '.join(most)} or {last}; each is judged apart then"
    if not doubt.facts:
        return "what is left of the doubt is nothing that can be measured"
    names = [fact_name(f) for f in doubt.facts[:_MOST_FACTS]]
    more = len(doubt.facts) - len(names)
    hangs = "; ".join([*names, *([f"and {more} more"] if more else [])])
    return f"measured as finely as instruments reach, it may still stay open. It hangs on {hangs}"
