"""The rule grammar: what a rule is, and the strict reader of rule files.

A file holds a list of rules. A rule has an `id`; `when`, named patterns, each a table of words
that some fact must have; one of `measure` (with `judge`, if a limit applies) and `choose`, or
neither; `then`, a list of facts that follow; and `say`. That is the whole grammar.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from string import Formatter

from lugplane.deduce import not_offered
from lugplane.deduce.not_offered import Refusal
from lugplane.deduce.strict import Listing, Node, Place, Report, Table, Word, read_file
from lugplane.errors import BadFacts, Problem

MOST_PATTERNS = 16
"""Patterns of one rule; the default matcher holds no more."""

KEYS = ("id", "when", "measure", "judge", "choose", "then", "say")

_ID = re.compile(r"[a-z0-9][a-z0-9-]*")
_NAME = re.compile(r"[a-z][a-z0-9_]*")
_KEY = re.compile(r"[a-z][a-z0-9_-]*")


@dataclass(frozen=True, slots=True)
class Pattern:
    """Asks for a fact that has all these words under these keys.

    Raises ValueError without any, or with two words for one key.
    """

    name: str
    equals: tuple[tuple[str, str], ...]

    def __post_init__(self) -> None:
        if not self.equals or len(dict(self.equals)) < len(self.equals):
            raise ValueError(f"pattern {self.name}: one word for each key, and at least one key")


@dataclass(frozen=True, slots=True)
class Rule:
    """When distinct facts fill all patterns: measure and judge, or choose; and what follows.

    `at` is `file:line`. In `then`, `$name` stands for the id of the fact that fills that pattern.
    Raises ValueError where there are no patterns, too many, or two of one name.
    """

    id: str
    at: str
    when: tuple[Pattern, ...]
    measure: str | None = None
    judge: str | None = None
    choose: str | None = None
    then: tuple[tuple[tuple[str, str], ...], ...] = ()
    say: str | None = None

    def __post_init__(self) -> None:
        if not 1 <= len({pattern.name for pattern in self.when}) == len(self.when) <= MOST_PATTERNS:
            raise ValueError(f"rule {self.id}: 1 to {MOST_PATTERNS} patterns of different names")


def read_rules(
    files: Sequence[Path],
    *,
    measures: Collection[str],
    choices: Collection[str],
    limits: Collection[str],
) -> tuple[Rule, ...]:
    """The rules of all files, in order. `measures`, `choices` and `limits` are the names that
    rules may call. Raises BadFacts with every problem of every file at once."""
    problems: list[Problem] = []
    rules: list[Rule] = []
    names = _Names(measures, choices, limits)
    first_at: dict[str, str] = {}
    for file in files:
        report = Report(str(file), problems)
        content = read_file(file, report)
        if content is None:
            continue
        if not isinstance(content, Listing):
            report(
                content.place,
                "shape",
                "no list",
                "a list of rules is expected",
                "begin with `- id:`",
            )
            continue
        for item in content.items:
            if isinstance(item, Table):
                rule = _RuleReader(item, names, report, first_at).read()
                if rule is not None:
                    rules.append(rule)
            elif item is not None:
                report(item.place, "shape", "no table", "a rule is expected", "begin with `- id:`")
    if problems:
        raise BadFacts(tuple(problems))
    return tuple(rules)


@dataclass(frozen=True, slots=True)
class _Names:
    measures: Collection[str]
    choices: Collection[str]
    limits: Collection[str]


@dataclass(frozen=True, slots=True)
class _RuleReader:
    table: Table
    names: _Names
    report: Report
    first_at: dict[str, str]

    def read(self) -> Rule | None:
        """The rule, or None where anything was reported so far: then no rule is of use."""
        self._keys()
        rule_id = self._id()
        when = self._when()
        measure = self._called("measure", self.names.measures)
        judge = self._called("judge", self.names.limits)
        choose = self._called("choose", self.names.choices)
        then = self._then()
        say = self._say()
        self._does_one_thing()
        if self.report.problems:
            return None
        at = f"{self.report.file}:{self.table.place.line}"
        return Rule(rule_id, at, when, measure, judge, choose, then, say)

    def _refuse(self, place: Place, found: str, refusal: Refusal) -> None:
        self.report(place, refusal.code, found, refusal.allowed, refusal.mend)

    def _keys(self) -> None:
        for key, _ in self.table.rows:
            if key.text in KEYS:
                continue
            refusal = not_offered.key(key.text)
            if refusal is not None:
                self._refuse(key.place, f"`{key.text}` in a rule", refusal)
            else:
                self.report(
                    key.place,
                    "unknown-key",
                    f"`{key.text}` in a rule",
                    f"there are {', '.join(KEYS)}",
                    _meant(key.text, KEYS),
                )
        for key_name in ("id", "when"):
            if not self.table.has(key_name):
                mend = f"add `{key_name}:`"
                self.report(self.table.place, "missing-key", f"no `{key_name}`", "", mend)

    def _bound(self) -> set[str]:
        """The names of all patterns, also of those that were refused: one problem, one report."""
        node = self.table.get("when")
        return {name.text for name, _ in node.rows} if isinstance(node, Table) else set()

    def _word(self, key: str) -> Word | None:
        node = self.table.get(key)
        if node is None or isinstance(node, Word):
            return node
        self.report(node.place, "shape", f"a list or table under `{key}`", "one word is expected")
        return None

    def _id(self) -> str:
        word = self._word("id")
        if word is None:
            return ""
        if not _ID.fullmatch(word.text):
            allowed = "use small letters, digits and hyphens"
            self.report(word.place, "id", f"the id `{word.text}`", allowed, "rename the rule")
            return ""
        if word.text in self.first_at:
            allowed = f"each id stands once, this one at {self.first_at[word.text]}"
            self.report(word.place, "duplicate-id", f"{word.text} again", allowed, "rename one")
            return ""
        self.first_at[word.text] = f"{self.report.file}:{word.place.line}"
        return word.text

    def _called(self, key: str, known: Collection[str]) -> str | None:
        word = self._word(key)
        if word is None:
            return None
        if word.text not in known:
            thing = {"measure": "measure", "judge": "limit", "choose": "choice"}[key]
            self.report(
                word.place,
                f"unknown-{thing}",
                f"the {thing} `{word.text}`",
                f"no such {thing}",
                _meant(word.text, known),
            )
            return None
        return word.text

    def _does_one_thing(self) -> None:
        has = self.table.has
        if has("judge") and not has("measure"):
            mend = "add `measure:`, or match what an earlier rule judged"
            self.report(self.table.place, "judge", "`judge` without `measure`", "", mend)
        if has("measure") and has("choose"):
            found, mend = "`measure` and `choose` in one rule", "make two rules of it"
            self.report(self.table.place, "two-things", found, "a rule has one of them", mend)
        unknown = any(key.text not in KEYS for key, _ in self.table.rows)
        if not (has("measure") or has("choose") or has("then") or unknown):
            found = "neither `measure` nor `choose` nor `then`"
            self.report(self.table.place, "no-effect", found, "", "say what follows")

    def _when(self) -> tuple[Pattern, ...]:
        node = self.table.get("when")
        if node is None:
            return ()
        if not isinstance(node, Table):
            mend = "name each, as in {k: {kind: knuckle}}"
            self.report(node.place, "shape", "`when` without names", "patterns have names", mend)
            return ()
        if not node.rows:
            self.report(node.place, "no-pattern", "no pattern", "at least one is needed", "add one")
        if len(node.rows) > MOST_PATTERNS:
            found, mend = f"{len(node.rows)} patterns", "make two rules, the first deducing a fact"
            self.report(node.place, "too-many", found, f"at most {MOST_PATTERNS}", mend)
            return ()
        patterns = (self._pattern(name, value) for name, value in node.rows)
        return tuple(pattern for pattern in patterns if pattern is not None)

    def _pattern(self, name: Word, value: Node | None) -> Pattern | None:
        refusal = not_offered.name(name.text)
        if refusal is not None:
            self._refuse(name.place, f"`{name.text}` in when", refusal)
            return None
        if not _NAME.fullmatch(name.text):
            allowed = "use small letters, digits and underscores"
            self.report(name.place, "name", f"the name `{name.text}`", allowed, "rename it")
            return None
        if value is None:
            return None
        if not isinstance(value, Table):
            mend = f"write a table, as in {name.text}: {{kind: knuckle}}"
            self.report(
                value.place,
                "shape",
                f"no table for `{name.text}`",
                "words under keys are expected",
                mend,
            )
            return None
        if not value.rows:
            found, mend = f"nothing asked of `{name.text}`", "add a word, as in {kind: knuckle}"
            self.report(value.place, "no-equality", found, "at least one word is needed", mend)
            return None
        equals = tuple(
            (key.text, word.text)
            for key, word in value.rows
            if self._equality(key, word) and isinstance(word, Word)
        )
        return Pattern(name.text, equals) if equals else None

    def _equality(self, key: Word, value: Node | None) -> bool:
        refusal = not_offered.name(key.text)
        if refusal is not None:
            self._refuse(key.place, f"`{key.text}` in a pattern", refusal)
            return False
        if not self._key(key) or value is None:
            return False
        refusal = not_offered.value(value)
        if refusal is not None:
            kinds = {Listing: "a list", Table: "a table"}
            found = f"`{value.text}`" if isinstance(value, Word) else kinds[type(value)]
            self._refuse(value.place, f"{found} for `{key.text}`", refusal)
            return False
        return True

    def _key(self, key: Word) -> bool:
        if _KEY.fullmatch(key.text):
            return True
        allowed = "use small letters, digits, underscores and hyphens"
        self.report(key.place, "key", f"the key `{key.text}`", allowed, "rename it")
        return False

    def _then(self) -> tuple[tuple[tuple[str, str], ...], ...]:
        node = self.table.get("then")
        if node is None:
            return ()
        if not isinstance(node, Listing) or not node.items:
            mend = "write a list, as in then: [{ask: $q}]"
            self.report(
                node.place, "shape", "no list under `then`", "a list of facts is expected", mend
            )
            return ()
        bound = self._bound()
        facts: list[tuple[tuple[str, str], ...]] = []
        for item in node.items:
            if item is None:
                continue
            if not isinstance(item, Table) or not item.rows:
                mend = "write a table, as in {hold: mock-up}"
                self.report(item.place, "shape", "no table in `then`", "a fact is expected", mend)
                continue
            facts.append(tuple(self._concluded(key, word, bound) for key, word in item.rows))
        return tuple(facts)

    def _concluded(self, key: Word, value: Node | None, bound: set[str]) -> tuple[str, str]:
        """A key and its word; where either was reported, the rule is dropped in the end."""
        self._key(key)
        if value is None:
            return key.text, ""
        if not isinstance(value, Word):
            found = f"a list or table for `{key.text}`"
            self.report(
                value.place, "shape", found, "one word is expected", "write one fact for each word"
            )
            return key.text, ""
        if "$" in value.text and value.text not in {f"${name}" for name in bound}:
            allowed = "the whole word is $ and the name of a pattern"
            mend = _meant(value.text.strip("$"), bound, "$")
            self.report(value.place, "unbound", f"`{value.text}`", allowed, mend)
        return key.text, value.text

    def _say(self) -> str | None:
        word = self._word("say")
        if word is None:
            return None
        called = (self.table.get("measure"), self.table.get("choose"))
        own = {node.text for node in called if isinstance(node, Word)}
        bound = self._bound()
        known = bound | own
        try:
            parts = list(Formatter().parse(word.text))
        except ValueError as error:
            self.report(
                word.place, "say", str(error), "a place is {name}", "write {{ or }} for a brace"
            )
            return None
        for _, name, spec, conversion in parts:
            if name is None:
                continue
            if name not in known or spec or conversion:
                found = f"`{{{name}{'!' if conversion else ''}{conversion or ''}"
                found += f"{':' if spec else ''}{spec or ''}}}`"
                allowed = "a place names a pattern, or what is measured or chosen"
                self.report(word.place, "say", found, allowed, _meant(name, known))
            elif name in own and name in bound:
                found = f"`{{{name}}}` is a pattern and what is measured or chosen"
                self.report(
                    word.place, "say", found, "a name has one meaning", "rename the pattern"
                )
        return word.text


def _meant(text: str, known: Collection[str], sign: str = "") -> str:
    close = get_close_matches(text, sorted(known), 3, 0.5)
    offered = close or sorted(known)[:8]
    listed = ", ".join(f"{sign}{name}" for name in offered)
    return f"did you mean {listed}?" if close else f"there are: {listed}" if listed else ""
