"""A record as it is known, as a page and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from lugplane.answers.part_shown import FactShown, PartShown, Referring
from lugplane.render.blocks import Block, Cells, Group, Heading, Para, Table
from lugplane.render.changes_words import cut
from lugplane.render.layout import clean
from lugplane.render.names import fact_title, unit_of
from lugplane.render.plain_json import dumped, plain
from lugplane.render.text import page_text
from lugplane.render.words import (
    fact_words,
    join,
    place_words,
    reading_words,
    rest_words,
    sentence,
    single,
)

_AS_STATED = "As the file states it"
_ROLES = {
    "platform": "Platforms",
    "caliper": "Calipers",
    "carrier": "Carriers",
    "trial": "Trials",
    "offer": "Offers",
}
_STANDS = {
    "bolt": "To choose from in",
    "washer": "To choose from in",
    "wheel": "Offered by the factory and looked at over",
}


def part_text(part: PartShown, *, width: int = 80, colour: bool = False) -> str:
    """A record in lines of at most `width` columns."""
    return page_text(_page(part), width=width, colour=colour)


def part_json(part: PartShown) -> str:
    """A record, as JSON (`schemas/answers/part.json`)."""
    return dumped({"answer": "part", **plain(part)})


def _page(part: PartShown) -> Iterator[Block]:
    yield Heading(f"{clean(part.title)} ({clean(part.id)})", 1)
    said = [sentence(f"a {part.kind}, {place_words(part.at)}")]
    if part.notes:
        said.append(sentence(clean(part.notes)))
    if part.members:
        others = ", ".join(clean(m) for m in part.members)
        said.append(f"Of the family {clean(part.family)}; the others: {others}.")
    if part.moved:
        said.append(f"Once called {', '.join(clean(m) for m in part.moved)}.")
    yield Para(tuple(said))
    known = [f for f in part.facts if f.line.known]
    if known:
        yield Heading(f"Facts ({len(known)})")
        yield _facts(known)
    unknown = [f.line.path for f in part.facts if not f.line.known]
    if unknown:
        names = ", ".join(p.partition(".")[2] or p for p in unknown)
        yield Heading(f"Not known ({len(unknown)})")
        yield Para((f"{clean(names)}.",))
    yield from _relying(part)


def _facts(facts: list[FactShown]) -> Table:
    """Facts under what they rest on, in the order of the file's kind."""
    groups: dict[str, list[Cells]] = {}
    for fact in facts:
        line = fact.line
        title = sentence(rest_words(line.readings[0])) if line.readings else f"{_AS_STATED}."
        line_number = line.at.rsplit(":", 2)[1] if line.at.count(":") >= 2 else ""
        name = fact_title(line.path) or line.path
        row = Cells((name, cut(fact_words(line), 60), f"line {line_number}"), _rivals(fact))
        groups.setdefault(title, []).append(row)
    stated = groups.pop(f"{_AS_STATED}.", None)
    if stated:
        groups[f"{_AS_STATED}."] = stated
    found = tuple(Group(title, tuple(rows)) for title, rows in groups.items())
    return Table(("", "", ""), found, most=(38, 0, 8))


def _rivals(fact: FactShown) -> tuple[str, ...]:
    line = fact.line
    said: list[str] = []
    for reading, beyond in zip(line.readings[1:], fact.beyond, strict=True):
        assumed = " (± assumed)" if reading.assumed else ""
        if beyond:
            # The unit of a fact is the ending of its name.
            unit = line.unit if unit_of(line.path) else "1"
            agrees = f"apart from the first by {join(single(beyond, unit))}"
        else:
            agrees = "agrees with the first"
        said.append(
            f"Another reading, not used: {reading_words(reading, line.unit)}{assumed}; "
            f"{rest_words(reading)}; {agrees}."
        )
    return tuple(said)


def _relying(part: PartShown) -> Iterator[Block]:
    yield Heading("Who relies on it")
    groups: dict[str, list[Referring]] = {}
    for each in part.referring:
        groups.setdefault(_ROLES.get(each.kind, "Other records"), []).append(each)
    order = [*_ROLES.values(), "Other records"]
    rows = tuple(
        Group(name, tuple(_reference(r) for r in groups[name])) for name in order if name in groups
    )
    if rows:
        yield Table(("", "", ""), rows, most=(22, 20, 0))
    else:
        yield Para(("No other record names it.",))
    if part.stands_in is None:
        return
    if not part.stands_in:
        yield Para(("It stands in no setup that comes into question.",), "")
        return
    total = sum(s.setups for s in part.stands_in)
    noun = "setup" if total == 1 else "setups"
    yield Heading(f"{_STANDS.get(part.kind, 'Stands in')} {total} {noun}")
    lines = tuple(
        Cells((f"{clean(s.platform_title)} ({clean(s.platform)})", s.axle, f"{s.setups} of {s.of}"))
        for s in part.stands_in
    )
    yield Table(("", "", ""), (Group("", lines),))


def _reference(each: Referring) -> Cells:
    where = each.path.partition(".")[2]  # the words of the file itself
    return Cells((clean(each.id), clean(where), place_words(each.at)))
