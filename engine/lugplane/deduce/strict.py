"""Read a YAML text strictly: words, lists and tables, each with its place; nothing else.

YAML reads `no`, `010` and `1:30` as something other than what stands there. Rules hold words, so
whatever some version of YAML takes for no text is refused and wants quotes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

from lugplane.errors import Problem

# The library itself is imported where a text is read: rules that are kept compiled need none.
if TYPE_CHECKING:
    import yaml

MOST_BYTES = 1_000_000
MOST_DEPTH = 12

_TEXT = "tag:yaml.org,2002:str"
_KINDS = {
    "tag:yaml.org,2002:bool": "yes or no",
    "tag:yaml.org,2002:null": "nothing",
    "tag:yaml.org,2002:int": "a number",
    "tag:yaml.org,2002:float": "a number",
    "tag:yaml.org,2002:timestamp": "a date",
}
# Numbers of YAML 1.2 that the library, which follows 1.1, takes for text.
_NUMBER = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?|0o[0-7]+|0x[0-9a-fA-F]+")


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Line and column, both from 1."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Word:
    """A text."""

    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class Listing:
    """A list; None stands for an item that was refused and reported."""

    items: tuple[Node | None, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Table:
    """Keys with their values; None stands for a value that was refused and reported."""

    rows: tuple[tuple[Word, Node | None], ...]
    place: Place

    def get(self, key: str) -> Node | None:
        """The value under a key; None where there is none or it was refused."""
        return next((value for word, value in self.rows if word.text == key), None)

    def has(self, key: str) -> bool:
        """Whether the key is there, even with a refused value."""
        return any(word.text == key for word, _ in self.rows)


Node: TypeAlias = Word | Listing | Table


@dataclass(frozen=True, slots=True)
class Report:
    """Where the problems of one file go."""

    file: str
    problems: list[Problem]

    def __call__(
        self, place: Place, code: str, found: str, allowed: str = "", mend: str = ""
    ) -> None:
        """Add a problem at a place: what was found, what is allowed, how to mend it."""
        problem = Problem(self.file, place.line, place.column, code, found, allowed, mend)
        self.problems.append(problem)


def read_file(path: Path, report: Report) -> Node | None:
    """The content of a YAML file; None where it could not be read at all, which is reported."""
    start = Place(1, 1)
    try:
        content = path.read_bytes()
    except OSError as error:
        report(start, "unreadable", error.strerror or str(error), mend="check the name and rights")
        return None
    if len(content) > MOST_BYTES:
        report(
            start,
            "too-large",
            f"{len(content)} bytes",
            f"at most {MOST_BYTES} are read",
            "split it",
        )
        return None
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        report(Place(line, 1), "encoding", "bytes that are not UTF-8", mend="save it as UTF-8")
        return None
    return read_text(text, report)


def read_text(text: str, report: Report) -> Node | None:
    """The content of a YAML text; None where it is none or unfit, which is reported."""
    import yaml

    before = len(report.problems)
    try:
        _refuse_by_event(text, report)
        # Composing recurses; it is safe only once the depth is known.
        if len(report.problems) > before:
            return None
        node = yaml.compose(text, Loader=_loader())
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = Place(mark.line + 1, mark.column + 1) if mark else Place(1, 1)
        said = ", ".join(part for part in (error.context, error.problem) if part)
        report(
            place, "yaml", said, "this is no YAML", "check indentation, colons, quotes and brackets"
        )
        return None
    except yaml.YAMLError as error:
        report(_odd_character(text), "yaml", str(error).splitlines()[0], "", "take it out")
        return None
    if node is None:
        report(Place(1, 1), "empty", "no content", "", "write something or take the file away")
        return None
    return _convert(node, report)


def _odd_character(text: str) -> Place:
    """The first character that YAML does not allow."""
    odd = re.search(r"[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", text)
    before = text[: odd.start()] if odd else ""
    return Place(before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1)


def _refuse_by_event(text: str, report: Report) -> None:
    """Refuse what a composed tree no longer shows: anchors, aliases, tags, further documents."""
    import yaml

    depth = documents = 0
    for event in _events(text):
        place = Place(event.start_mark.line + 1, event.start_mark.column + 1)
        if isinstance(event, yaml.AliasEvent):
            report(place, "alias", f"the alias *{event.anchor}", mend="write the value out")
            continue
        if getattr(event, "anchor", None):
            report(place, "anchor", f"the anchor &{event.anchor}", mend="take it out")
        if getattr(event, "tag", None):
            report(place, "tag", f"the tag {event.tag}", "", "take it out; quote words")
        if isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents > 1:
                report(
                    place, "documents", "a second document", "a file holds one", "take the --- out"
                )
        elif isinstance(event, yaml.CollectionStartEvent):
            depth += 1
            if depth > MOST_DEPTH:
                report(place, "too-deep", "deep nesting", f"at most {MOST_DEPTH} levels")
                return
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1


def _events(text: str) -> Iterator[Any]:
    import yaml

    parse: Callable[..., Iterator[Any]] = yaml.parse
    return parse(text, Loader=_loader())


def _loader() -> Any:
    import yaml

    return getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def _convert(node: yaml.Node, report: Report) -> Node | None:
    import yaml

    place = Place(node.start_mark.line + 1, node.start_mark.column + 1)
    if isinstance(node, yaml.ScalarNode):
        return _word(node, place, report)
    if isinstance(node, yaml.SequenceNode):
        return Listing(tuple(_convert(item, report) for item in node.value), place)
    rows: list[tuple[Word, Node | None]] = []
    seen: dict[str, Place] = {}
    for key_node, value_node in node.value:
        key = _convert(key_node, report)
        value = _convert(value_node, report)
        if key is None:
            continue
        if not isinstance(key, Word):
            report(key.place, "key", "a list or table as a key", "a word is expected")
        elif key.text in seen:
            first = seen[key.text]
            report(
                key.place,
                "duplicate-key",
                f"{key.text} again",
                f"each key stands once, this one in line {first.line}",
                "take one out",
            )
        else:
            seen[key.text] = key.place
            rows.append((key, value))
    return Table(tuple(rows), place)


def _word(node: yaml.ScalarNode, place: Place, report: Report) -> Word | None:
    text: str = node.value
    if node.style is None or node.style == "":
        kind = None if node.tag == _TEXT else _KINDS.get(node.tag, "a mark of its own")
        if kind is None and _NUMBER.fullmatch(text):
            kind = "a number"
        if kind is not None and not text:
            report(
                place,
                "not-a-word",
                "nothing",
                "a word is expected",
                "write the word or take the key out",
            )
            return None
        if kind is not None:
            found = f"{text}, which YAML can read as {kind}"
            report(place, "not-a-word", found, "a word is expected", f'quote it: "{text}"')
            return None
    if not text.strip():
        report(place, "not-a-word", "an empty word", "a word is expected", "write the word")
        return None
    return Word(text, place)
