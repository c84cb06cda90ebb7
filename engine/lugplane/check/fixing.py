"""Mending what is mechanical: one number, word or key stands there, written in a wrong way.

A rewriting is only proposed where it states the same; then the file is checked again, and it is
kept if that finding is gone and no other has come. Everything else in the file stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

import yaml

from lugplane.errors import Problem
from lugplane.facts import show
from lugplane.facts.yaml12 import LOADER, MAX_BYTES

Recheck = Callable[[bytes], list[Problem]]
"""All problems of a file's content, by itself."""

_MOST_PASSES: Final = 200
"""So many changes are made in one file at most."""

_HIDDEN: Final = frozenset({"not-a-value", "unknown-reading"})
"""What is only looked for in a record that is sound by its schema."""

_BOM: Final = b"\xef\xbb\xbf"
# A comma before just three digits may part thousands: that is not for a program to decide.
_COMMA: Final = re.compile(r"(?<![\d.,])(\d+),(\d{1,2}|\d{4,})(?![\d.,])", re.ASCII)
_MINUS: Final = re.compile("[\u2010-\u2015\u2212]")
_YES: Final = {"yes": "true", "on": "true", "no": "false", "off": "false"}
_UNITS: Final = ("mm", "kg", "nm", "mpa", "n", "in", "kmh", "wk", "bar", "deg")
_SPELT: Final = {
    "nm": r"n[·. ]?m",
    "kmh": r"km/h",
    "deg": r"°|deg",
    "in": r"in|inch|\"",
    "wk": r"w/k",
}


@dataclass(frozen=True, slots=True)
class Fixed:
    """A change that was made, and why; the place is that in the file as it was then."""

    file: str
    line: int
    column: int
    code: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class _Token:
    """A scalar as it stands in the text: from `begin` to `end`, with its value and its key."""

    begin: int
    end: int
    line: int
    column: int
    value: str
    is_key: bool
    key: str


def fix(
    file: str, content: bytes, recheck: Recheck, moved: Mapping[str, str]
) -> tuple[bytes, list[Fixed]]:
    """The mended content and what was changed; the same content where nothing is mechanical.

    `moved`: retired id -> what took its place. Raises nothing.
    """
    made: list[Fixed] = []
    if content.startswith(_BOM):
        bare = content[len(_BOM) :]
        made.append(Fixed(file, 1, 1, "bom", "a byte order mark", "nothing"))
        content = bare
    problems = recheck(content)
    for _ in range(_MOST_PASSES):
        done = _one(file, content, problems, recheck)
        if done is None:
            break
        content, problems, fixed = done
        made.append(fixed)
    if not problems:
        content, more = _follow(file, content, recheck, moved)
        made += more
    return content, made


def _one(
    file: str, content: bytes, problems: list[Problem], recheck: Recheck
) -> tuple[bytes, list[Problem], Fixed] | None:
    """The first change that takes a problem away and brings none."""
    if len(content) > MAX_BYTES:
        return None
    tokens = {(t.line, t.column): t for t in _tokens(content)}
    for problem in problems:
        token = tokens.get((problem.line, problem.column))
        if token is None:
            continue
        for written in dict.fromkeys(_proposals(problem, token)):
            changed = _put(content, token, written)
            now = recheck(changed)
            if problem not in now and not _new(now, problems, token):
                fixed = Fixed(
                    file,
                    token.line,
                    token.column,
                    problem.code,
                    _text(content, token),
                    show.quoted(written),
                )
                return changed, now, fixed
    return None


def _new(now: list[Problem], before: list[Problem], token: _Token) -> bool:
    """Whether a change brought a problem, other than what it had been hiding.

    A mended key shows what is wrong with its value, and a sound record what is wrong with its
    readings. Columns do not count: a change on the same line moves them.
    """
    known = {(p.line, p.code, p.found) for p in before}
    return any(
        (p.line, p.code, p.found) not in known
        and p.code not in _HIDDEN
        and not (token.is_key and p.line == token.line and p.code != "duplicate-key")
        for p in now
    )


def _follow(
    file: str, content: bytes, recheck: Recheck, moved: Mapping[str, str]
) -> tuple[bytes, list[Fixed]]:
    """References to retired ids, put to what took their place; the record's own id stays."""
    made: list[Fixed] = []
    # From the end, so that the places before stay right.
    for token in sorted(_tokens(content), key=lambda t: -t.begin):
        target = moved.get(token.value)
        if target is None or token.is_key or token.key in ("id", "title", "notes", "to"):
            continue
        changed = _put(content, token, target)
        if recheck(changed):
            continue
        was = _text(content, token)
        made.append(Fixed(file, token.line, token.column, "moved-id", was, show.quoted(target)))
        content = changed
    return content, made[::-1]


def _proposals(problem: Problem, token: _Token) -> Iterator[str]:
    """Ways to write the same thing; none of them states another number or word."""
    value = token.value
    meant = re.search(r"(?:^|; )write (\S+)$", problem.mend)
    if token.is_key:
        # Only capitals, `_` and `-` may differ: a guess at another key is no matter of form.
        if problem.code == "unknown-key" and meant and _bare(meant[1]) == _bare(value):
            yield meant[1]
        return
    if problem.code in ("wrong-type", "wrong-word") and problem.mend == "put it between quotes":
        yield f'"{value}"'
        return
    if problem.code == "wrong-type" and problem.mend == "take the quotes away":
        yield value
    if problem.code == "wrong-type" and value.casefold() in _YES:
        yield _YES[value.casefold()]
    if problem.code == "wrong-word" and meant and _bare(meant[1]) == _bare(value):
        yield meant[1]
    if problem.code == "bad-form" and meant and _close_up(meant[1]) == _close_up(value):
        yield meant[1]
    if problem.code in ("wrong-type", "no-form-fits", "bad-form", "not-a-value"):
        for written in _numbers(value, token.key):
            yield written
            yield f'"{written}"'


def _numbers(value: str, key: str) -> Iterator[str]:
    """The same number with a decimal point, a plain minus, and without the unit of its key."""
    pointed = _COMMA.sub(r"\1.\2", value)
    signed = _MINUS.sub("-", pointed)
    unit = key.rsplit("_", 1)[-1]
    if unit in _UNITS:
        spelt = _SPELT.get(unit, unit)
        without = re.sub(rf"(?i)(?<=[\d ])\s*(?:{spelt})(?![\w/])", "", signed).strip()
        yield from (each for each in (without,) if each != value)
    yield from (each for each in (signed, pointed) if each != value)


def _bare(text: str) -> str:
    return re.sub(r"[-_ ]", "", text).casefold()


def _close_up(text: str) -> str:
    return re.sub(r" ", "", text).casefold()


def _tokens(content: bytes) -> list[_Token]:
    """The scalars of a document that stand on one line, in their order; none where it is torn."""
    try:
        text = content.decode("utf-8")
        events = list(yaml.parse(text, Loader=LOADER))
    except (UnicodeDecodeError, yaml.YAMLError):
        return []
    found: list[_Token] = []
    # One entry a collection: [is a mapping, a key comes next, the last key].
    open_: list[tuple[bool, bool, str]] = []
    for event in events:
        kind = type(event).__name__
        if kind in ("MappingEndEvent", "SequenceEndEvent"):
            open_.pop()
            _step(open_, None)
        elif kind in ("MappingStartEvent", "SequenceStartEvent"):
            inherited = open_[-1][2] if open_ else ""
            open_.append((kind == "MappingStartEvent", True, inherited))
        elif isinstance(event, yaml.ScalarEvent):
            is_key = bool(open_) and open_[-1][0] and open_[-1][1]
            begin, end = event.start_mark, event.end_mark
            if begin is not None and end is not None and begin.line == end.line:
                found.append(
                    _Token(
                        begin.index,
                        end.index,
                        begin.line + 1,
                        begin.column + 1,
                        event.value,
                        is_key,
                        open_[-1][2] if open_ else "",
                    )
                )
            _step(open_, event.value if is_key else None)
        elif isinstance(event, yaml.AliasEvent):
            _step(open_, None)
    return found


def _step(open_: list[tuple[bool, bool, str]], key: str | None) -> None:
    """One node of the innermost collection is behind us."""
    if open_ and open_[-1][0]:
        _, before_key, last = open_[-1]
        open_[-1] = (True, not before_key, key if key is not None else last)


def _text(content: bytes, token: _Token) -> str:
    return show.quoted(content.decode("utf-8")[token.begin : token.end])


def _put(content: bytes, token: _Token, written: str) -> bytes:
    text = content.decode("utf-8")
    return (text[: token.begin] + written + text[token.end :]).encode("utf-8")
