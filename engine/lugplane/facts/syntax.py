"""What stops a text from being YAML, told in our own words and with the way to mend it.

The parser knows where it had to give up and what it was looking for. Where something was opened
and not closed, the place it was opened is the place to mend, so the problem stands there.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import yaml

from lugplane.errors import Problem
from lugplane.facts import show


@dataclass(frozen=True, slots=True)
class _Stop:
    """Where the parser gave up, 1-based, and what it had begun (where it says so)."""

    line: int
    column: int
    begun_line: int
    begun_column: int
    char: str
    begun_char: str


@dataclass(frozen=True, slots=True)
class _Case:
    """One way of not being YAML: known by any of the parser's `signs`."""

    signs: tuple[str, ...]
    found: Callable[[_Stop], str]
    mend: str
    code: str = "syntax"
    at_beginning: bool = False


def _place(stop: _Stop) -> str:
    return f"line {stop.line}, column {stop.column}"


def _char(stop: _Stop) -> str:
    return show.quoted(stop.char) if stop.char.strip() else "the end of the line"


_QUOTE_ALL: Final = "put the whole value between quotes"
_CASES: Final = (
    _Case(
        ("mapping values are not allowed",),
        lambda stop: "a `:` where no key can stand",
        "line the key up with its neighbours; a text that holds `: ` goes between quotes",
    ),
    _Case(
        ("sequence entries are not allowed",),
        lambda stop: "a `- ` on the line of its key",
        "begin the list on a line of its own, or write it as [a, b]",
    ),
    _Case(
        ("mapping keys are not allowed",),
        lambda stop: "a `? ` where no key can stand",
        _QUOTE_ALL,
    ),
    _Case(
        ("could not find expected ':'",),
        lambda stop: "a line that is neither `key: value` nor an entry of a list",
        "write `key: value` with a blank after the colon",
        at_beginning=True,
    ),
    _Case(
        ("',' or ']'", "',' or '}'"),
        lambda stop: (
            f"{show.quoted(stop.begun_char)} opened here, and at {_place(stop)} "
            "neither a comma nor the closing bracket"
        ),
        "close the bracket, or put the missing comma",
        at_beginning=True,
    ),
    _Case(
        ("found unexpected end of stream",),
        lambda stop: f"a quotation opened here with {stop.begun_char} and never closed",
        "close the quotation",
        at_beginning=True,
    ),
    _Case(
        ("unexpected document indicator", "unexpected document separator"),
        lambda stop: f"a quotation opened here, and a document mark at line {stop.line} within it",
        "close the quotation, or indent the line",
        at_beginning=True,
    ),
    _Case(
        ("undefined tag handle", "parsing a tag", "scanning a tag"),
        lambda stop: "a tag (`!`)",
        "delete the tag; a text that begins with `!` goes between quotes",
        code="tag",
        at_beginning=True,
    ),
    _Case(
        ("unknown escape character", "escape sequence", "hexdecimal", "escape code"),
        lambda stop: "a backslash followed by something it cannot stand before",
        "put the text between single quotes, where a backslash is a backslash",
    ),
    _Case(
        ("incompatible YAML document", "directive", "'<document start>', but found '<stream end>'"),
        lambda stop: "a line beginning with `%`",
        "delete that line; a value that begins with `%` goes between quotes",
        code="directive",
    ),
    _Case(
        ("scanning an alias", "scanning an anchor"),
        lambda stop: f"a value that begins with {show.quoted(stop.begun_char)}",
        _QUOTE_ALL,
        at_beginning=True,
    ),
    _Case(
        ("scanning a block scalar",),
        lambda stop: f"{_char(stop)} behind a `|` or `>`",
        "begin the text on the next line; a value that begins with `|` or `>` goes between quotes",
    ),
    _Case(
        ("<document start>",),
        lambda stop: f"{_char(stop)} where the mapping has already ended",
        "line all keys of the record up with the first one; a text that begins with a quotation "
        "goes between quotes as a whole",
    ),
    _Case(
        ("expected node content", "the node content"),
        lambda stop: f"{_char(stop)} where a value belongs",
        "write the value, or put it between quotes",
    ),
    _Case(
        ("'-' indicator", "while parsing a block collection"),
        lambda stop: f"{_char(stop)} where the next `- ` of the list belongs",
        "line the entries of the list up",
    ),
    _Case(
        ("did not find expected key", "expected <block end>"),
        lambda stop: f"{_char(stop)} that does not line up with the keys around it",
        "line the key up with its neighbours; a text with quotation marks in it goes between "
        "quotes as a whole",
    ),
    _Case(
        ("cannot start any token",),
        lambda stop: f"a value that begins with {_char(stop)}",
        _QUOTE_ALL,
    ),
    _Case(
        ("maximum nesting depth",),
        lambda stop: "brackets within brackets without end",
        "write it flatter",
        code="too-deep",
    ),
    _Case(
        ("",),
        lambda stop: "text that cannot be read as YAML from here on",
        "compare it with a record that works",
    ),
)

_ALLOWED: Final = {
    "syntax": "allowed: YAML 1.2",
    "too-deep": "allowed: a few levels of mappings and lists",
    "directive": "allowed: a document without directives",
    "tag": "allowed: values without tags",
}


def explain(error: yaml.YAMLError, text: str, file: str) -> Problem:
    """The problem behind a parser's error, at the place where it can be mended."""
    stop = _stop(error, text)
    said = ""
    if isinstance(error, yaml.MarkedYAMLError):
        said = f"{error.context or ''} {error.problem or ''}"
    if stop.char == "\t" or "tab character" in said:
        return Problem(
            file,
            stop.line,
            stop.column,
            "tab",
            "a tab",
            "allowed: blanks to indent and to part",
            "replace the tab by blanks",
        )
    case = next(case for case in _CASES if any(sign in said for sign in case.signs))
    line, column = stop.line, stop.column
    if case.at_beginning:
        line, column = stop.begun_line, stop.begun_column
    return Problem(file, line, column, case.code, case.found(stop), _ALLOWED[case.code], case.mend)


def _stop(error: yaml.YAMLError, text: str) -> _Stop:
    lines = text.splitlines()

    def char(line: int, column: int) -> str:
        return lines[line][column : column + 1] if line < len(lines) else ""

    if not isinstance(error, yaml.MarkedYAMLError) or error.problem_mark is None:
        return _Stop(1, 1, 1, 1, "", "")
    mark = error.problem_mark
    begun = error.context_mark or mark
    return _Stop(
        mark.line + 1,
        mark.column + 1,
        begun.line + 1,
        begun.column + 1,
        char(mark.line, mark.column),
        char(begun.line, begun.column),
    )
