"""Which records two bases hold otherwise, and which of their facts."""

from __future__ import annotations

from dataclasses import dataclass, replace

from lugplane.answers.evidence import FactLine
from lugplane.answers.part_shown_facts import fact_line, facts_of, stated
from lugplane.facts.base import Base
from lugplane.facts.families import Single
from lugplane.facts.raw import Path
from lugplane.facts.records import RECORDS, Record
from lugplane.facts.value import Fact

ADDED, GONE, CHANGED, WORDS = "added", "gone", "changed", "words"
"""How a record changed; `words`: its title, notes or layout, and no fact."""


@dataclass(frozen=True, slots=True)
class FactChange:
    """A fact before and after; None: the file does not state it."""

    path: str
    before: FactLine | None
    after: FactLine | None


@dataclass(frozen=True, slots=True)
class RecordChange:
    """A record that is not what it was. `at` is `folder/file:line:column` in the newer facts.

    `facts` are those that changed; of a record that was added or is gone none is listed.
    """

    id: str
    kind: str
    title: str
    how: str
    at: str
    facts: tuple[FactChange, ...] = ()


def record_changes(old: Base, new: Base) -> tuple[RecordChange, ...]:
    """All records that differ, by kind and id. Raises `BadFacts`."""
    found: list[RecordChange] = []
    for id_ in sorted({*old.ids(), *new.ids()}):
        if new.kind_of(id_) is None:
            found.append(_whole(old, id_, GONE))
        elif old.kind_of(id_) is None:
            found.append(_whole(new, id_, ADDED))
        else:
            change = _compared(old, new, id_)
            if change is not None:
                found.append(change)
    return tuple(sorted(found, key=lambda c: (c.kind, c.id)))


def _whole(base: Base, id_: str, how: str) -> RecordChange:
    record = _record(base, id_)
    return RecordChange(id_, record.kind, record.title, how, _place(base.single(id_), ()))


def _compared(old: Base, new: Base, id_: str) -> RecordChange | None:
    before, after = old.single(id_), new.single(id_)
    moved = (before.kind, before.family) != (after.kind, after.family)
    if not moved and before.data == after.data:
        return None
    one, two = facts_of(_record(old, id_)), facts_of(_record(new, id_))
    facts: list[FactChange] = []
    for path in dict.fromkeys([*one, *two]):
        a, b = one.get(path), two.get(path)
        if _bare(a) != _bare(b):
            facts.append(FactChange(path, _line(path, a, before), _line(path, b, after)))
    how = CHANGED if moved or facts else WORDS
    record = _record(new, id_)
    return RecordChange(id_, record.kind, record.title, how, _place(after, ()), tuple(facts))


def _record(base: Base, id_: str) -> Record:
    return base.get(RECORDS[base.single(id_).kind], id_)


def _bare(fact: Fact | None) -> Fact | None:
    """A fact without the place that it stands in; None where it is not stated."""
    return replace(fact, at="") if fact is not None and stated(fact) else None


def _line(path: str, fact: Fact | None, single: Single) -> FactLine | None:
    if fact is None or not stated(fact):
        return None
    line = fact_line(path, single.id, fact)
    end = fact.at.partition(".yaml:")[2]
    return replace(line, at=f"{_file(single)}:{end}" if end else _file(single))


def _place(single: Single, path: Path) -> str:
    _, line, column = single.place(path)
    return f"{_file(single)}:{line}:{column}"


def _file(single: Single) -> str:
    return f"{single.raw.file.parent.name}/{single.raw.file.name}"
