"""Strict reading of one YAML file, with the place of every key and value.

The text is walked event by event, so that a file is left at once when it goes too deep or grows
too large, aliases are never followed, and anchors and tags are seen where they stand. Scalars are
those of YAML 1.2 (see `scalar`). A file's problems are all reported, except that nothing can be
said of what comes after a syntax error or a limit.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, TypeAlias

import yaml
from yaml.events import (
    AliasEvent,
    CollectionEndEvent,
    CollectionStartEvent,
    DocumentStartEvent,
    Event,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from lugplane.errors import Problem
from lugplane.facts import scalar, show, syntax
from lugplane.facts.raw import Path as Path
from lugplane.facts.raw import Place
from lugplane.facts.raw import Positions as Positions

MAX_BYTES: Final = 256 * 1024
"""Largest file, in bytes. A part family with outlines and members takes some 10 KiB."""

MAX_DEPTH: Final = 24
"""Deepest nesting of mappings and lists. A record needs about six."""

MAX_NODES: Final = 4000
"""Most keys, values, mappings and lists in one file. A part family takes some hundreds."""

Plain: TypeAlias = "bool | int | float | str | list[Plain] | dict[str, Plain] | None"

LOADER: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

# What libyaml or an editor would not show, would take for the end of a line, or would show in
# another order than it stands: C0 and C1 controls but tab, LF and CR; zero-width blanks; line and
# paragraph separators; the controls of writing direction; BOM; surrogates and noncharacters.
_INVISIBLE: Final = (
    "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b\u2028-\u202e\u2060\u2066-\u2069"
    "\ud800-\udfff\ufeff\ufffe\uffff"
)
_UNWANTED: Final = re.compile(f"[{_INVISIBLE}]|\r(?!\n)")
# Line ends are LF by the time they are in a value; a CR there was written as an escape.
_UNWANTED_IN_VALUE: Final = re.compile(f"[{_INVISIBLE}\r]")


@dataclass(frozen=True, slots=True)
class Document:
    """A file that was read without any problem."""

    file: str
    data: Plain
    positions: Positions


@dataclass(frozen=True, slots=True)
class Damaged:
    """A file with problems: never to be used as facts.

    `complete` tells whether it was read to its end; then `data` is what could be made of it, so
    that further checks can report their problems in the same run. `holes` are the paths whose
    values had to be left out (they hold None) or given up; a complaint about one is no news.
    """

    file: str
    problems: tuple[Problem, ...]
    complete: bool
    data: Plain
    positions: Positions
    holes: frozenset[Path]


def read(source: bytes | str, file: str) -> Document | Damaged:
    """Read one file. `file` is the name to show in problems. Raises nothing."""
    reading = _Reading(file)
    complete = True
    data: Plain = None
    try:
        data = reading.document(reading.text(source))
    except _GiveUp:
        complete = False
    if complete and not reading.problems:
        return Document(file, data, reading.positions)
    return Damaged(
        file,
        tuple(sorted(set(reading.problems))),
        complete,
        data,
        reading.positions,
        frozenset(reading.holes),
    )


class _GiveUp(Exception):
    """No more can be said of this file."""


class _Reading:
    """The state of reading one file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.positions = Positions()
        self.holes: set[Path] = set()
        self.nodes = 0
        self.depth = 0
        self.aside = 0  # over 0 while reading what is looked at but not kept

    def report(self, place: Place, code: str, found: str, allowed: str, mend: str) -> None:
        self.problems.append(Problem(self.file, *place, code, found, allowed, mend))

    # Bytes to text.

    def text(self, source: bytes | str) -> str:
        """The text of the file, or give up."""
        content = source if isinstance(source, bytes) else source.encode("utf-8", "replace")
        if len(content) > MAX_BYTES:
            self.report(
                (1, 1),
                "too-big",
                f"over {MAX_BYTES} bytes",
                "allowed: a record, with its members and outlines",
                "split it into several records",
            )
            raise _GiveUp
        text = self.decoded(source) if isinstance(source, bytes) else source
        if text.startswith("\ufeff"):
            self.report(
                (1, 1),
                "bom",
                "a byte order mark before the text",
                "allowed: UTF-8 without one",
                "save the file as UTF-8 without byte order mark",
            )
            text = text[1:]
        first = _UNWANTED.search(text)
        if first:
            count = len(_UNWANTED.findall(text))
            others = f" and {count - 1} more" if count > 1 else ""
            self.report(
                _place_in(text, first.start()),
                "control-character",
                f"the invisible character {show.quoted(first.group())}{others}",
                "allowed: visible characters, blanks and line ends",
                "delete it",
            )
            raise _GiveUp
        return text

    def decoded(self, source: bytes) -> str:
        try:
            return source.decode("utf-8")
        except UnicodeDecodeError as error:
            before = source[: error.start].decode("utf-8", "replace")
            self.report(
                _place_in(before, len(before)),
                "not-utf8",
                f"the byte 0x{source[error.start]:02x}, which is not UTF-8 here",
                "allowed: UTF-8",
                "save the file as UTF-8",
            )
            raise _GiveUp from None

    # Text to value.

    def document(self, text: str) -> Plain:
        """The value of the only document, or give up."""
        try:
            return self.only_document(yaml.parse(text, Loader=LOADER))
        except yaml.YAMLError as error:
            self.problems.append(syntax.explain(error, text, self.file))
            raise _GiveUp from None

    def only_document(self, events: Iterator[Event]) -> Plain:
        next(events)  # the stream begins
        start = next(events)
        if isinstance(start, StreamEndEvent):
            self.empty((1, 1))
        assert isinstance(start, DocumentStartEvent)
        if start.version or start.tags:
            self.report(
                _place(start),
                "directive",
                "a line beginning with `%`",
                "allowed: a document without directives",
                "delete that line",
            )
        first = next(events)
        data = self.value(first, events, ())
        next(events)  # the document ends
        after = next(events)
        if not isinstance(after, StreamEndEvent):
            self.report(
                _place(after),
                "several-documents",
                "a second YAML document",
                "allowed: one document a file",
                "put it into a file of its own, or delete the `---`",
            )
            raise _GiveUp
        if data is None and () not in self.holes:
            self.empty(_place(first))
        return data

    def empty(self, place: Place) -> None:
        self.report(
            place, "empty", "nothing in the file", "needed: one record", "write it or delete it"
        )
        raise _GiveUp

    def value(self, event: Event, events: Iterator[Event], path: Path) -> Plain:
        """The value that begins with `event`; takes all of its events."""
        self.count(event)
        place = _place(event)
        if not self.aside:
            self.positions.values[path] = place
        if isinstance(event, AliasEvent):
            self.report(
                place,
                "alias",
                f"the alias {show.quoted('*' + str(event.anchor))}",
                "allowed: values written out",
                "write the value out where it is needed; a text that begins with `*` goes "
                "between quotes",
            )
            self.hole(path)
            return None
        assert isinstance(event, NodeEvent)
        if event.anchor is not None:
            self.report(
                place,
                "anchor",
                f"the anchor {show.quoted('&' + event.anchor)}",
                "allowed: values without anchors",
                "delete it; a text that begins with `&` goes between quotes",
            )
        if isinstance(event, ScalarEvent):
            return self.scalar(event, path)
        assert isinstance(event, MappingStartEvent | SequenceStartEvent)
        if event.tag is not None:
            self.tagged(event.tag, place)
        self.depth += 1
        if self.depth > MAX_DEPTH:
            self.report(
                place,
                "too-deep",
                f"mappings and lists nested over {MAX_DEPTH} deep",
                f"allowed: at most {MAX_DEPTH} deep",
                "write it flatter",
            )
            raise _GiveUp
        data: Plain
        if isinstance(event, MappingStartEvent):
            data = self.mapping(events, path)
        else:
            data = self.sequence(events, path)
        self.depth -= 1
        return data

    def sequence(self, events: Iterator[Event], path: Path) -> Plain:
        items: list[Plain] = []
        while not isinstance(event := next(events), CollectionEndEvent):
            items.append(self.value(event, events, (*path, len(items))))
        return items

    def mapping(self, events: Iterator[Event], path: Path) -> Plain:
        data: dict[str, Plain] = {}
        places: dict[str, Place] = {}
        while not isinstance(event := next(events), CollectionEndEvent):
            key = self.key(event, events)
            if key is None:
                self.looked_at(next(events), events)
                continue
            if key in data:
                self.report(
                    _place(event),
                    "duplicate-key",
                    f"the key {show.quoted(key)} again, after line {places[key][0]}",
                    "allowed: a key once in its mapping",
                    "keep the right one and delete the other",
                )
                value = self.looked_at(next(events), events)
            else:
                places[key] = _place(event)
                if not self.aside:
                    self.positions.keys[(*path, key)] = places[key]
                value = data[key] = self.value(next(events), events, (*path, key))
            if isinstance(event, ScalarEvent) and _is_plain_number(event):
                self.number_as_key(event, value, (*path, key))
        return data

    def number_as_key(self, event: ScalarEvent, value: Plain, path: Path) -> None:
        """A key that is a number or true or false; and `142,0` between braces makes a key `0`."""
        mend = f'put it between quotes: "{show.plain(event.value)}"'
        if value is None:
            mend = "if this is the end of a number, write its decimal point as a point"
            self.hole(path)
        self.bad_key(event, f"the key {show.quoted(event.value)}, which is no text", mend)

    def looked_at(self, event: Event, events: Iterator[Event]) -> Plain:
        """Read a value for the problems in it only."""
        self.aside += 1
        value = self.value(event, events, ())
        self.aside -= 1
        return value

    def skipped(self, events: Iterator[Event]) -> None:
        """Pass over the rest of a mapping or list that has begun."""
        begun = 1
        while begun:
            event = next(events)
            self.count(event)
            begun += isinstance(event, CollectionStartEvent)
            begun -= isinstance(event, CollectionEndEvent)

    def key(self, event: Event, events: Iterator[Event]) -> str | None:
        """The key that begins with `event`; None when there is none to go on with."""
        if not isinstance(event, ScalarEvent):
            if isinstance(event, AliasEvent):
                self.looked_at(event, events)
            else:
                self.bad_key(event, "a mapping or list as a key", "write the key as one word")
                self.skipped(events)
            return None
        self.count(event)
        place = _place(event)
        before = len(self.problems)
        if event.anchor is not None:
            self.looked_at(event, events)
        elif event.tag is not None:
            self.tagged(event.tag, place)
        if len(self.problems) > before or not event.implicit[0]:
            return self.visible(event.value, place)
        if event.value == "<<":
            self.report(
                place,
                "merge-key",
                "the merge key `<<`",
                "allowed: keys written out",
                "write the keys out; a family states shared facts once and lists its members",
            )
            return None
        if scalar.resolve(event.value) is None:
            self.bad_key(event, "an empty key", "write the key before the colon")
            return None
        return event.value

    def bad_key(self, event: Event, found: str, mend: str) -> None:
        self.report(_place(event), "bad-key", found, "allowed: text as a key", mend)

    def scalar(self, event: ScalarEvent, path: Path) -> Plain:
        place = _place(event)
        if event.tag is not None:
            self.tagged(event.tag, place)
            self.hole(path)
            return None
        if not event.implicit[0]:
            return self.visible(event.value, place)
        data = scalar.resolve(event.value)
        if isinstance(data, scalar.Refused):
            found = f"the number {show.quoted(event.value)}"
            self.report(place, data.code, found, data.allowed, data.mend)
            self.hole(path)
            return None
        return data

    def visible(self, text: str, place: Place) -> str:
        """`text`, after a look for what an escape such as `\\0` put into it."""
        unwanted = _UNWANTED_IN_VALUE.search(text)
        if unwanted:
            self.report(
                place,
                "control-character",
                f"a text with the invisible character {show.quoted(unwanted.group())}",
                "allowed: visible characters, blanks and line ends",
                "delete it",
            )
        return text

    def tagged(self, tag: str, place: Place) -> None:
        core = "tag:yaml.org,2002:"
        written = "!!" + tag.removeprefix(core) if tag.startswith(core) else tag
        self.report(
            place,
            "tag",
            f"the tag {show.quoted(written)}",
            "allowed: values without tags",
            "delete the tag; put between quotes what is to be text",
        )

    def hole(self, path: Path) -> None:
        """Note that the value of `path` is not what the file says."""
        if not self.aside:
            self.holes.add(path)

    def count(self, event: Event) -> None:
        self.nodes += 1
        if self.nodes > MAX_NODES:
            self.report(
                _place(event),
                "too-many-nodes",
                f"over {MAX_NODES} keys and values",
                f"allowed: at most {MAX_NODES} in one file",
                "split the file into several records",
            )
            raise _GiveUp


def _is_plain_number(key: ScalarEvent) -> bool:
    """Whether a key without quotes is a number, true or false."""
    return key.implicit[0] and not isinstance(scalar.resolve(key.value), str)


def _place(event: Event) -> Place:
    mark = event.start_mark
    assert mark is not None  # the parser marks every event
    return (mark.line + 1, mark.column + 1)


def _place_in(text: str, index: int) -> Place:
    before = text[:index]
    return (before.count("\n") + 1, index - (before.rfind("\n") + 1) + 1)
