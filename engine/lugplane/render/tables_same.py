"""Parts that are the same for a purpose, as a page, CSV and JSON."""

from __future__ import annotations

from collections.abc import Iterator

from lugplane.answers.same import SAME, Differs, Other, Same, SamePurpose, Side
from lugplane.render.blocks import Block, Cells, Group, Heading, Para, Table
from lugplane.render.layout import clean
from lugplane.render.names import fact_title
from lugplane.render.plain_json import dumped, plain
from lugplane.render.tables import csv_text
from lugplane.render.text import page_text
from lugplane.render.words import amount

MOST_DIFFERS = 6
"""So many differences of a part are told; JSON and CSV have all."""
_FEW = 3
"""Up to so many are named once for a group."""


def same_text(same: Same, *, width: int = 80, colour: bool = False) -> str:
    """The same parts in lines of at most `width` columns."""
    return page_text(same_blocks(same), width=width, colour=colour)


def same_json(same: Same) -> str:
    """The same parts as JSON (`schemas/answers/same.json`)."""
    return dumped({"answer": "same", **plain(same)})


def same_csv(same: Same) -> str:
    """One line for each purpose, part and fact in which it differs, or that only one of them has.

    At least one a part.
    """
    heads = ("purpose", "state", "kind", "part", "missing", "fact", same.part, "other")
    lines: list[list[object]] = []
    for purpose in same.purposes:
        for o in purpose.others:
            first = [purpose.purpose, o.state, o.kind, o.id, " ".join(o.missing)]
            facts = (*o.differs, *o.one_sided)
            told = [[d.fact, side_words(d.asked), side_words(d.other)] for d in facts]
            lines += [[*first, *cells] for cells in told or [["", "", ""]]]
    return csv_text(heads, lines)


def same_blocks(same: Same) -> Iterator[Block]:
    """The page: purpose by purpose, those alike together, by what they differ in."""
    yield Heading(f"The same as {clean(same.title)} ({clean(same.part)})", 1)
    if not same.purposes:
        yield Para(("Nothing is known of it by which it could be compared.",))
    for purpose in same.purposes:
        sure = [o for o in purpose.others if o.state == SAME]
        yield Heading(f"{purpose.title.capitalize()} ({len(sure)})")
        if purpose.facts:
            names = [fact_title(f) or f for f in purpose.facts]
            yield Para((f"Compared: {'; '.join(names)}. Values: {clean(same.part)} / the other.",))
        if purpose.others:
            yield _table(purpose, same.part)
        else:
            yield Para(("None.",))


def _table(purpose: SamePurpose, asked: str) -> Table:
    groups: dict[str, list[Cells]] = {}
    for other in purpose.others:
        groups.setdefault(_group(other), []).append(_row(other, asked))
    found = tuple(Group(title, tuple(rows)) for title, rows in groups.items())
    return Table(("", ""), found, most=(30, 0))


def _group(other: Other) -> str:
    """Parts are put together by which facts they differ in, not by how much."""
    if other.state != SAME:
        return f"Cannot tell: not known {', '.join(clean(m) for m in other.missing)}"
    if not other.differs:
        return "Nothing else differs" + (" of what is known of both" if other.one_sided else "")
    if len(other.differs) > _FEW:
        return f"{len(other.differs)} other facts differ"
    return f"Differs in {', '.join(_short(d) for d in other.differs)}"


def _row(other: Other, asked: str) -> Cells:
    named = other.state != SAME or len(other.differs) > _FEW
    told = [differs_words(d) if named else _values(d) for d in other.differs[:MOST_DIFFERS]]
    more = len(other.differs) - len(told)
    if more > 0:
        told.append(f"{more} more")
    told += _one_sided(other, asked)
    kind = f"{other.kind} " if other.kind in ("carrier", "caliper") else ""
    below = (f"{'; '.join(told)}.",) if told else ()
    return Cells((f"{kind}{clean(other.id)}", clean(other.title)), below)


def _one_sided(other: Other, asked: str) -> Iterator[str]:
    """The facts that cannot be compared, each with its value, by which part has it."""
    theirs = [d for d in other.one_sided if d.asked == Side()]
    own = [d for d in other.one_sided if d.asked != Side()]
    for facts, whose in ((theirs, "it"), (own, clean(asked))):
        said = [
            f"{_short(d)} {side_words(d.other if d.asked == Side() else d.asked)}"
            for d in facts[:MOST_DIFFERS]
        ]
        more = len(facts) - len(said)
        if more > 0:
            said.append(f"{more} more")
        if said:
            yield f"known of {whose} only: {', '.join(said)}"


def differs_words(d: Differs) -> str:
    """`face_to_centre_mm 46.4 ±0.05 mm / 47.1 mm`: of the part asked for, and of the other."""
    return f"{_short(d)} {_values(d)}"


def _short(d: Differs) -> str:
    return clean(d.fact.split(".", 1)[1])


def _values(d: Differs) -> str:
    return f"{side_words(d.asked)} / {side_words(d.other)}"


def side_words(side: Side) -> str:
    """A fact in words."""
    if side.span is None:
        said = {"true": "yes", "false": "no"}.get(side.text, side.text)
        return clean(said) or "not known"
    return amount(side.span, side.unit, 3)
