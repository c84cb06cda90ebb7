"""What a change changes, as a page, as a comment on a pull request and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lugplane.answers.changes import (
    FIGURES,
    GAINED,
    JUDGED_AGAIN,
    LOST,
    NOT_COMPARED,
    VERDICT,
    Changes,
    SetupChange,
)
from lugplane.answers.changes_records import ADDED, GONE, WORDS, RecordChange
from lugplane.render.blocks import Block, Cells, Group, Heading, Item, Items, Para, Table
from lugplane.render.changes_words import fact_change_words, moved, pads_words, sheet_words
from lugplane.render.layout import clean
from lugplane.render.markdown import escaped, page_markdown
from lugplane.render.plain_json import dumped, plain
from lugplane.render.text import page_text
from lugplane.render.words import sentence

MOST_FIGURES = 12
"""So many setups of which only figures changed are shown unless all are asked for."""
MOST_FACTS = 40
"""So many records are shown unless all are asked for."""
FOLD_AFTER = 6
"""A part of a comment with more entries than this is folded."""
MOST_IN_COMMENT = 60
"""So many entries has a part of a comment at most: a comment has an end."""
_TITLES = {
    LOST: "No longer fits",
    GAINED: "Fits now",
    VERDICT: "Other verdict",
    FIGURES: "Same verdict, other figures",
}
_HOW = {ADDED: "new", GONE: "gone", WORDS: "its words or layout only, no fact"}


@dataclass(frozen=True, slots=True)
class _Entry:
    """One thing that changed: under which title it stands, its name, what is said of it."""

    group: str
    name: str
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Part:
    title: str
    entries: tuple[_Entry, ...]
    most: int = 0


def changes_text(
    found: Changes, *, width: int = 80, colour: bool = False, whole: bool = False
) -> str:
    """What changes, in lines of at most `width` columns; `whole`: every setup and record."""
    return page_text(_page(found, whole), width=width, colour=colour)


def changes_json(found: Changes) -> str:
    """What changes, as JSON (`schemas/answers/changes.json`)."""
    return dumped({"answer": "changes", **plain(found)})


def changes_markdown(found: Changes) -> str:
    """What changes, as a comment; long parts are folded."""
    parts = [f"## {escaped(_title(found))}", *(f"{escaped(s)}" for s in _summary(found))]
    for part in _parts(found):
        body = _listed(part)
        count = len(part.entries)
        if count > FOLD_AFTER:
            head = f"<details><summary>{escaped(part.title)} ({count})</summary>"
            parts.append(f"{head}\n\n{body}\n\n</details>")
        else:
            parts.append(f"### {escaped(part.title)} ({count})\n\n{body}")
    return "\n\n".join(parts)


def _listed(part: _Part) -> str:
    blocks: list[Block] = []
    group: list[Item] = []
    title = ""
    shown = part.entries[:MOST_IN_COMMENT]
    for entry in shown:
        if entry.group != title and group:
            blocks += _group(title, group)
            group = []
        title = entry.group
        said = " ".join(sentence(s) for s in entry.said)
        group.append(Item(f"{entry.name}: {said}" if said else entry.name))
    blocks += _group(title, group)
    more = len(part.entries) - len(shown)
    if more:
        blocks.append(Para((f"{more} more.",)))
    return page_markdown(blocks)


def _group(title: str, items: list[Item]) -> Iterator[Block]:
    if title:
        yield Para((), title)
    yield Items(tuple(items))


def _page(found: Changes, whole: bool) -> Iterator[Block]:
    yield Heading(_title(found), 1)
    yield Para(_summary(found))
    for part in _parts(found):
        count = len(part.entries)
        yield Heading(f"{part.title} ({count})")
        most = count if whole or not part.most else part.most
        yield _table(part.entries[:most])
        if count > most:
            yield Para((f"{count - most} more: --all lists them.",))


def _table(entries: tuple[_Entry, ...]) -> Table:
    groups: dict[str, list[Cells]] = {}
    for e in entries:
        below = tuple(sentence(s) for s in e.said)
        groups.setdefault(e.group, []).append(Cells((e.name,), below))
    return Table(("",), tuple(Group(title, tuple(rows)) for title, rows in groups.items()))


def _title(found: Changes) -> str:
    return f"What changes from {clean(found.old)} to {clean(found.new)}"


def _summary(found: Changes) -> tuple[str, ...]:
    said: list[str] = []
    counts = {c: sum(s.change == c for s in found.setups) for c in _TITLES}
    words = {
        LOST: "no longer {fit}",
        GAINED: "{fit} now",
        VERDICT: "{come} to another verdict",
        FIGURES: "{keep} the verdict with other figures",
    }
    told = [_counted(n, "setup") + " " + _verb(words[c], n) for c, n in counts.items() if n]
    if found.sheets:
        n = len(found.sheets)
        told.append(f"{_counted(n, 'whole-car sheet')} {_verb('{change}', n)}")
    if told:
        said.append(sentence(f"{', '.join(told)}"))
    else:
        said.append("No answer changes.")
    if found.rules == JUDGED_AGAIN:
        said.append("Rules changed: everything is judged again, each side by its own rules.")
    elif found.rules == NOT_COMPARED:
        said.append(
            "Rules changed, and this program cannot read those of both sides: "
            "only facts are compared, by the rules of this program."
        )
    facts = sum(len(r.facts) for r in found.records)
    records = len(found.records)
    said.append(
        f"{_counted(records, 'record')} changed"
        + (f" ({_counted(facts, 'fact')})." if facts else ".")
        if records
        else "No record changed."
    )
    said.append(
        f"Looked at {found.setups_reached} of {_counted(found.setups_total, 'setup')} and "
        f"{found.sheets_reached} of {_counted(found.sheets_total, 'whole-car sheet')}: "
        "those that a change can reach."
    )
    return tuple(said)


def _counted(n: int, noun: str) -> str:
    return f"{n} {noun}" if n == 1 else f"{n} {noun}s"


def _verb(words: str, n: int) -> str:
    ends = {v: f"{v}s" if n == 1 else v for v in ("fit", "come", "keep", "change")}
    return words.format(**ends)


def _parts(found: Changes) -> Iterator[_Part]:
    if found.records:
        yield _Part("Facts", tuple(_record(r) for r in found.records), MOST_FACTS)
    if found.sheets:
        entries = tuple(
            _Entry(
                f"{clean(s.platform_title)} ({clean(s.platform)}), {s.axle}",
                sheet_words(s),
                tuple(moved(s.before, s.after, s.change, found.titles)) or ("other figures",),
            )
            for s in found.sheets
        )
        yield _Part("Whole cars: as the factory fitted them, and trials", entries)
    for change, title in _TITLES.items():
        setups = [s for s in found.setups if s.change == change]
        if setups:
            entries = tuple(_setup(s, found) for s in setups)
            yield _Part(title, entries, MOST_FIGURES if change == FIGURES else 0)


def _record(record: RecordChange) -> _Entry:
    place = clean(record.at.rsplit(":", 1)[0])
    how = _HOW.get(record.how, "")
    name = f"{clean(record.id)} ({clean(record.title)}), {place}" + (f": {how}" if how else "")
    return _Entry("", name, tuple(fact_change_words(f) for f in record.facts))


def _setup(setup: SetupChange, found: Changes) -> _Entry:
    plate = ", with an adapter plate" if setup.adapter else ""
    seat = clean(setup.caliper) + (f" on {clean(setup.carrier)}" if setup.carrier else "")
    return _Entry(
        f"{clean(setup.platform_title)} ({clean(setup.platform)}), {setup.axle}",
        f"{seat}, {clean(setup.disc)}, pad {pads_words(setup.pads)}{plate}",
        tuple(moved(setup.before, setup.after, setup.change, found.titles)) or ("other figures",),
    )
