"""Strict reading: values, places, and what is refused."""

from __future__ import annotations

import json
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.errors import Problem
from lugplane.facts import yaml12
from lugplane.facts.yaml12 import MAX_BYTES, MAX_DEPTH, MAX_NODES, Damaged, Document, read


def good(source: str | bytes) -> Document:
    found = read(source, "f")
    assert isinstance(found, Document), found
    return found


def bad(source: str | bytes) -> Damaged:
    found = read(source, "f")
    assert isinstance(found, Damaged), found
    assert found.problems
    return found


def told(source: str | bytes) -> list[tuple[int, int, str]]:
    return [(problem.line, problem.column, problem.code) for problem in bad(source).problems]


def test_values_and_their_places() -> None:
    text = 'a: 1\nb:\n  - x\n  - {c: "2", d: }\n\n# note\nlong name: |\n  one\n  two\n'
    found = good(text)
    assert found.data == {"a": 1, "b": ["x", {"c": "2", "d": None}], "long name": "one\ntwo\n"}
    assert found.positions.values == {
        (): (1, 1),
        ("a",): (1, 4),
        ("b",): (3, 3),
        ("b", 0): (3, 5),
        ("b", 1): (4, 5),
        ("b", 1, "c"): (4, 9),
        ("b", 1, "d"): (4, 17),
        ("long name",): (7, 12),
    }
    assert found.positions.keys == {
        ("a",): (1, 1),
        ("b",): (2, 1),
        ("b", 1, "c"): (4, 6),
        ("b", 1, "d"): (4, 14),
        ("long name",): (7, 1),
    }


def test_columns_count_characters_and_lines_may_end_either_way() -> None:
    assert good("{ä: ±, ö: 1}").positions.values[("ö",)] == (1, 11)
    assert good("a: 1\r\nb: 2\r\n").positions.values[("b",)] == (2, 4)


def test_places_of_what_has_none_are_those_around_it() -> None:
    positions = good("a: [1]\n").positions
    assert positions.of_value(("a", 0, "x", 3)) == (1, 5)
    assert positions.of_key(("a", 0)) == (1, 5)
    assert positions.of_value(("z",)) == (1, 1)


def test_quotes_make_text() -> None:
    data = good("a: \"5\"\nb: 'true'\nc: ''\nd: |-\n  null\n\"<<\": x\n'7': y\n").data
    assert data == {"a": "5", "b": "true", "c": "", "d": "null", "<<": "x", "7": "y"}


def test_any_root_is_read() -> None:
    assert good("- id: a\n- id: b\n").data == [{"id": "a"}, {"id": "b"}]
    assert good("5").data == 5


def test_an_explicit_document_is_one_document() -> None:
    assert good("# first\n--- # here\na: 1\n...\n# last\n").data == {"a": 1}


# What means something to YAML, and what takes more than one byte.
_TEXT = st.text("abn 01.eE+-:#?,'\"\\{}[]&*!|>%@`~<=\n\t\u00a0±ä本🚗", max_size=10)
_DATA = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**9), 10**9) | _TEXT
    | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(_TEXT, inner, max_size=4),
    max_leaves=12,
)  # fmt: skip


@settings(max_examples=100, deadline=None)
@given(st.dictionaries(_TEXT, _DATA, min_size=1, max_size=4), st.sampled_from([None, 1]))
def test_what_json_writes_is_read_back(data: dict[str, Any], indent: int | None) -> None:
    text = json.dumps(data, ensure_ascii=False, indent=indent)
    found = good(text)
    assert found.data == data
    lines = text.split("\n")

    def look(path: tuple[str | int, ...], value: Any) -> None:
        line, column = found.positions.values[path]
        assert lines[line - 1][column - 1 :].startswith(json.dumps(value, ensure_ascii=False)[:1])
        for key, inner in value.items() if isinstance(value, dict) else ():
            line, column = found.positions.keys[(*path, key)]
            assert lines[line - 1][column - 1 :].startswith(json.dumps(key, ensure_ascii=False))
            look((*path, key), inner)
        for index, inner in enumerate(value) if isinstance(value, list) else ():
            look((*path, index), inner)

    look((), data)


def test_all_problems_of_a_file_at_once() -> None:
    text = "a: 010\na: 1\nb: &x .inf\nc: *x\nd: !!str 5\n7: y\n<<: {e: 1}\n? [f]\n: g\n~: h\n"
    assert told(text) == [
        (1, 4, "odd-number"),
        (2, 1, "duplicate-key"),
        (3, 4, "anchor"),
        (3, 4, "not-finite"),
        (4, 4, "alias"),
        (5, 4, "tag"),
        (6, 1, "bad-key"),
        (7, 1, "merge-key"),
        (8, 3, "bad-key"),
        (10, 1, "bad-key"),
    ]
    found = bad(text)
    assert found.complete
    assert found.data == {"a": None, "b": None, "c": None, "d": None, "7": "y"}
    assert found.holes == {("a",), ("b",), ("c",), ("d",)}


def test_a_repeated_key_is_looked_into_and_the_first_one_is_kept() -> None:
    text = "a: {b: 1}\na: {b: 010, b: 2}\n"
    assert told(text) == [(2, 1, "duplicate-key"), (2, 8, "odd-number"), (2, 13, "duplicate-key")]
    assert bad(text).data == {"a": {"b": 1}}
    assert bad(text).positions.values == {(): (1, 1), ("a",): (1, 4), ("a", "b"): (1, 8)}
    assert bad(text).positions.keys == {("a",): (1, 1), ("a", "b"): (1, 5)}


def test_the_same_key_in_other_quotes_is_the_same_key() -> None:
    assert told("a: 1\n\"a\": 2\n'a': 3\n") == [(2, 1, "duplicate-key"), (3, 1, "duplicate-key")]


@pytest.mark.parametrize("text", ["*a : 1\n", "&k a: 1\n", "!!str a: 1\n", "a: [*b]\n", "a: &b\n"])
def test_anchors_aliases_and_tags_are_seen_on_keys_and_nothing(text: str) -> None:
    assert {code for _, _, code in told(text)} <= {"anchor", "alias", "tag"}


def test_a_star_or_ampersand_within_text_is_text() -> None:
    assert good("a: 5 * 6 & 7\nb: 'x & *y'\n# &c *c\n").data == {"a": "5 * 6 & 7", "b": "x & *y"}


def test_an_alias_bomb_is_not_followed() -> None:
    lines = [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 30)]
    found = bad("\n".join(["a0: &a0 [x]", *lines]))
    assert {problem.code for problem in found.problems} == {"anchor", "alias"}
    assert len(found.problems) == 30 + 29 * 9


def test_an_alias_of_itself() -> None:
    assert told("&a [*a]") == [(1, 1, "anchor"), (1, 5, "alias")]


@pytest.mark.parametrize(
    "text",
    [
        *("[" * 5000, "[a, " * 5000, "{a: " * 5000, "- " * 5000 + "x", "? " * 5000),
        *("\n".join(" " * n + "a:" for n in range(500)), "{? [" * 2000, "[[[" + "{a: [" * 3000),
    ],
)
def test_nesting_without_end_is_one_problem_of_depth(text: str) -> None:
    codes = [code for _, _, code in told(text)]
    assert codes.count("too-deep") == 1
    assert set(codes) <= {"too-deep", "bad-key"}
    assert len(codes) <= 2


def test_depth_up_to_its_limit() -> None:
    assert good("[" * MAX_DEPTH + "]" * MAX_DEPTH).data is not None
    assert told("[" * (MAX_DEPTH + 1) + "]" * (MAX_DEPTH + 1)) == [(1, MAX_DEPTH + 1, "too-deep")]


def test_nodes_up_to_their_limit() -> None:
    assert len(good("- 1\n" * (MAX_NODES - 1)).data) == MAX_NODES - 1  # type: ignore[arg-type]
    assert told("- 1\n" * MAX_NODES) == [(MAX_NODES, 3, "too-many-nodes")]
    assert told("? [" + "1, " * MAX_NODES + "]")[-1][2] == "too-many-nodes"


def test_size_up_to_its_limit() -> None:
    assert good("a: 1 #".ljust(MAX_BYTES, "x")).data == {"a": 1}
    assert told("a: 1 #".ljust(MAX_BYTES + 1, "x")) == [(1, 1, "too-big")]
    assert told(b"a: " + b"x" * 10_000_000) == [(1, 1, "too-big")]
    assert told("ä" * (MAX_BYTES // 2 + 1)) == [(1, 1, "too-big")]


@pytest.mark.parametrize("text", ["", "\n\n", "# x\n", "---\n", "--- # x\n...\n", "~\n", "null"])
def test_nothing_in_it(text: str) -> None:
    assert [code for _, _, code in told(text)] == ["empty"]
    assert not bad(text).complete


def test_a_second_document() -> None:
    assert told("a: 1\n---\nb: 2\n") == [(2, 1, "several-documents")]
    assert told("a: 1\n...\n---\nb: 2\n") == [(3, 1, "several-documents")]


def test_directives() -> None:
    assert told("%YAML 1.2\n---\na: 1\n") == [(1, 1, "directive")]
    assert told("%TAG !e! tag:x\n---\na: 1\n") == [(1, 1, "directive")]


def test_bytes_that_are_not_utf8() -> None:
    assert told(b"a: 1\nb: caf\xe9\n") == [(2, 7, "not-utf8")]
    assert told("ä: 1\n".encode() + b"\xff") == [(2, 1, "not-utf8")]
    assert told("a: ä".encode()[:-1]) == [(1, 4, "not-utf8")]
    assert told("a: 1".encode("utf-16")) == [(1, 1, "not-utf8")]


def test_a_byte_order_mark_is_told_and_the_rest_is_read() -> None:
    found = bad(b"\xef\xbb\xbfa: 010\nb: 1\n")
    assert [problem.code for problem in found.problems] == ["bom", "odd-number"]
    assert found.data == {"a": None, "b": 1}


@pytest.mark.parametrize(
    "char", ["\0", "\x07", "\x1b", "\x7f", "\x85", "\u2028", "\u2029", "\u202e"]
)
@pytest.mark.parametrize("where", ["a: x{}y\n", "# {}\na: 1\n", "a: 1\n{}", "'{}': 1\n"])
def test_invisible_characters(char: str, where: str) -> None:
    text = where.format(char)
    index = text.index(char)
    line = text.count("\n", 0, index) + 1
    column = index - text.rfind("\n", 0, index)
    assert told(text) == [(line, column, "control-character")]
    assert told(text.encode()) == [(line, column, "control-character")]


def test_invisible_characters_are_counted_not_listed() -> None:
    (problem,) = bad("a: \x00\x00\x01\n").problems
    assert "and 2 more" in problem.found


@pytest.mark.parametrize("escape", [r"\0", r"\e", r"\r", r"\x85", r"\u202e", r"\N", r"\L", r"\P"])
@pytest.mark.parametrize("where", ['a: "{}"', '"{}": 1', 'a: ["x", "y{}"]'])
def test_invisible_characters_by_escape(escape: str, where: str) -> None:
    assert [code for _, _, code in told(where.format(escape))] == ["control-character"]


def test_a_lone_surrogate_is_no_character() -> None:
    assert told('a: "\\ud800"')[0][2] in ("syntax", "control-character")
    assert told("a: \ud800") == [(1, 4, "control-character")]


@pytest.mark.parametrize(
    ("text", "place"),
    [("a:\n\tb: 1\n", (2, 1)), ("a: 1\n\tb: 1\n", (2, 1)), ("-\ta: 1\n-\tb: 2\n", (1, 2))],
)
def test_tabs(text: str, place: tuple[int, int]) -> None:
    assert told(text) == [(*place, "tab")]


def test_tabs_that_do_no_harm() -> None:
    assert good("a:\t1\nb: [1,\t2]\t# x\n").data == {"a": 1, "b": [1, 2]}


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("a: b: c\n", (1, 5)),
        ("a: 1\n  b: 2\n", (2, 4)),
        ("a:\n    b: 1\n  c: 2\n", (3, 3)),
        ("a: 1\nb\nc: 2\n", (2, 1)),
        ("a: [1, 2\nb: 3\n", (1, 4)),
        ("x: 1\na: {x: 1\nb: 3\n", (2, 4)),
        ('a: "abc\nb: 3\n', (1, 4)),
        ("a: 'abc\nb: 3\n", (1, 4)),
        ('a: "x" y\n', (1, 8)),
        ("a: @b\n", (1, 4)),
        ('a: "\\q"\n', (1, 5)),
        ("a: - b\n", (1, 4)),
        ("a: [1,,2]\n", (1, 7)),
        ("a: *\n", (1, 4)),
        ("a: & b\n", (1, 4)),
        ("a: |x\n b\n", (1, 5)),
        ("a: ]\n", (1, 4)),
        ("a: ? b\n", (1, 4)),
        (" a: 1\nb: 2\n", (2, 1)),
        ('a: "x\n---\ny"\n', (1, 4)),
    ],
)
def test_syntax_in_our_own_words(text: str, place: tuple[int, int]) -> None:
    assert told(text) == [(*place, "syntax")]
    problem = bad(text).problems[0]
    for theirs in ("expected", "token", "scalar", "context", "mapping values", "while "):
        assert theirs not in str(problem)
    assert "cannot be read as YAML from here on" not in problem.found


def test_a_tag_that_is_none() -> None:
    for text in ("a: !foo!bar x\n", "a: !<foo x\n", "a: !%zz x\n"):
        assert told(text) == [(1, 4, "tag")]


def test_a_syntax_error_ends_the_file_but_not_what_was_told_before() -> None:
    found = bad("a: 010\nb: ]\nc: 010\n")
    assert [problem.code for problem in found.problems] == ["odd-number", "syntax"]
    assert not found.complete


def test_numbers_as_keys() -> None:
    (quotes,) = bad("a: {41: {b: 1}}").problems
    assert quotes.code == "bad-key"
    assert '"41"' in quotes.mend
    (point,) = bad("a: {b: 142,5}").problems
    assert "point" in point.mend


@pytest.mark.parametrize(
    "text",
    [
        *("a: b: c\n", "a:\n    b: 1\n  c: 2\n", "a: [1, 2\nb: 3\n", "a:\n\tb: 1\n"),
        *("a: &x [*x]\n", "a: !t x\n", '"a', "a: 1\n---\nb: 1\n", "a: [1,,2]\n", "[" * 400),
        *("a: *\n", "a: 010\na: 1\n"),
    ],
)
def test_the_parser_in_plain_python_gives_the_same(
    text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    fast = bad(text).problems
    monkeypatch.setattr(yaml12, "LOADER", yaml.SafeLoader)
    slow = bad(text).problems

    def key(problem: Problem) -> tuple[int, int, str, str]:
        return (problem.line, problem.column, problem.code, problem.found)

    assert list(map(key, slow)) == list(map(key, fast))


def test_the_plain_parser_reads_the_same_values(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "a: [1, {b: 1:30}]\nc: 'x'\nd: |\n  y\n"
    fast = good(text)
    monkeypatch.setattr(yaml12, "LOADER", yaml.SafeLoader)
    assert good(text) == fast
