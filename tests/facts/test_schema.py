"""Records against a small schema of the test's own: every keyword in our words, once, in place."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from lugplane.errors import LugplaneError, Problem
from lugplane.facts import schema_files
from lugplane.facts.codes import CODES
from lugplane.facts.schema import Schemas
from lugplane.facts.yaml12 import Damaged, read

DIALECT = "https://json-schema.org/draft/2020-12/schema"

SHARED: dict[str, Any] = {
    "$schema": DIALECT,
    "$id": "shared.json",
    "$defs": {
        "length": {
            "title": "a length",
            "examples": ["24.6 ±0.1", 25],
            "anyOf": [
                {"$ref": "#/$defs/one"},
                {"type": "array", "minItems": 2, "items": {"$ref": "#/$defs/one"}},
            ],
        },
        "one": {
            "anyOf": [
                {"type": "number"},
                {"type": "string", "pattern": "^\\d+(\\.\\d+)?( ±\\d+)?$"},
            ]
        },
        "named": {"properties": {"name": {"type": "string", "minLength": 2}}},
    },
}
CUP: dict[str, Any] = {
    "$schema": DIALECT,
    "title": "a cup",
    "type": "object",
    "additionalProperties": False,
    "required": ["kind"],
    "properties": {
        "kind": {"const": "cup"},
        "handle": {"enum": ["left", "right", "none"], "title": "side of the handle"},
        "lid": {"type": "boolean"},
        "height_mm": {"$ref": "shared.json#/$defs/length", "title": "height over all"},
        "bore_mm": {
            "$ref": "shared.json#/$defs/length",
            "x-mend": "measure it with a bore gauge",
        },
        "rivets": {"type": "integer", "minimum": 2, "exclusiveMaximum": 7, "title": "rivets"},
        "step_mm": {"type": "number", "multipleOf": 0.5},
        "code": {"type": "string", "pattern": "^[A-Z]\\d$", "maxLength": 2, "title": "its code"},
        "rim": {"type": "array", "minItems": 2, "maxItems": 2, "items": {"type": "number"}},
        "pair": {"prefixItems": [{"type": "number"}, {"type": "string", "title": "unit"}]},
        "marks": {"type": "array", "uniqueItems": True, "title": "maker's marks"},
        "depth": {"anyOf": [{"const": "through"}, {"type": "string", "pattern": "^\\d+ deep$"}]},
        "glaze": {
            "title": "glaze",
            "type": "object",
            "properties": {
                "sort": {"enum": ["salt", "ash"]},
                "fired_at": {"type": "number", "title": "kiln temperature", "examples": [1240]},
                "cones": {"type": "integer"},
                "by": {"type": "string"},
                "in": {"type": "string"},
            },
            "required": ["sort"],
            "unevaluatedProperties": False,
            "allOf": [{"$ref": "shared.json#/$defs/named"}],
            "if": {"properties": {"sort": {"const": "salt"}}, "required": ["sort"]},
            "then": {
                "required": ["fired_at"],
                "properties": {"vapour": {"type": "boolean"}, "cones": {"maximum": 12}},
            },
            "else": {"properties": {"sort": {"enum": ["ash"]}, "cones": False}},
            "dependentRequired": {"by": ["in"]},
        },
        "labels": {
            "type": "object",
            "minProperties": 1,
            "propertyNames": {"pattern": "^[a-z]+$", "title": "a language"},
            "patternProperties": {"^x": {"type": "integer"}},
            "additionalProperties": {"type": "string"},
        },
        "old": False,
    },
    "not": {"required": ["lid", "handle"]},
}


@pytest.fixture(scope="module")
def schemas(tmp_path_factory: pytest.TempPathFactory) -> Schemas:
    folder = tmp_path_factory.mktemp("schemas")
    (folder / "shared.json").write_text(json.dumps(SHARED))
    (folder / "cup.json").write_text(json.dumps(CUP))
    return Schemas(folder)


Check = Callable[[str], list[str]]


@pytest.fixture
def check(schemas: Schemas) -> Check:
    """The problems of a record whose first line is `kind: cup`, without the file's name."""

    def run(text: str) -> list[str]:
        return [str(problem).removeprefix("f:") for problem in _problems(schemas, text)]

    return run


def _problems(schemas: Schemas, text: str) -> list[Problem]:
    document = read("kind: cup\n" + text, "f")
    holes = document.holes if isinstance(document, Damaged) else frozenset()
    return schemas.check("cup", document.data, document.positions, "f", holes)


def test_a_sound_record(check: Check) -> None:
    text = (
        "handle: left\nheight_mm: [24.6 ±1, 25]\nrivets: 2\nstep_mm: 1.5\ncode: A7\nrim: [1, 2]\n"
        "marks: [1, '1', true]\nglaze: {sort: salt, fired_at: 1240, name: ox, vapour: true}\n"
        "labels: {en: cup, xa: 5}\ndepth: through\npair: [1, mm]\n"
    )
    assert check(text) == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "handel: left",
            "2:1: unknown-key: the key `handel` in a cup; allowed: handle, *and 7 more; write "
            "handle",
        ),
        (
            "zzz: 1\nhandle: left",
            "2:1: unknown-key: the key `zzz` in a cup; *; delete it",
        ),
        (
            "glaze: {sort: ash, vapour: true}",
            "2:20: unknown-key: the key `vapour` in glaze; allowed: sort, fired_at, cones, by, in "
            "or "
            "name; delete it",
        ),
        (
            "glaze: {name: ox}",
            "2:8: missing-key: no key `sort` in glaze; needed: a value; add `sort: ...`",
        ),
        (
            "glaze: {sort: salt}",
            "2:8: missing-key: no key `fired_at` in glaze; needed because sort is salt: kiln "
            "temperature, such as `1240`; add `fired_at: ...`",
        ),
        (
            "glaze: {sort: ash, by: me}",
            "2:8: missing-key: no key `in` in glaze; needed because `by` is there: a value; add "
            "`in: ...`",
        ),
        (
            "glaze: {sort: salt, fired_at: 1, cones: 13}",
            "2:41: out-of-range: the number 13; allowed because sort is salt: at most 12; write a "
            "number at most 12",
        ),
        (
            "glaze: {sort: ash, cones: 5}",
            "2:20: not-allowed: the number 5; not allowed here because sort is not salt; delete it",
        ),
        (
            "handle: Left",
            "2:9: wrong-word: the text `Left`; allowed: left, right or none (side of the handle); "
            "write left",
        ),
        (
            "handle: 5",
            "2:9: wrong-word: the number 5; allowed: left, right or none (side of the handle); "
            "write "
            "one of these",
        ),
        (
            "glaze: {sort: slat}",
            "2:15: wrong-word: the text `slat`; allowed because sort is not salt: ash; write ash",
        ),
        (
            "lid: yes",
            "2:6: wrong-type: the text `yes`; allowed: true or false; write true",
        ),
        (
            'lid: "false"',
            "2:6: wrong-type: the text `false`; allowed: true or false; take the quotes away",
        ),
        (
            "rivets: 2.5",
            "2:9: wrong-type: the number 2.5; allowed: a whole number (rivets); write a whole "
            "number",
        ),
        (
            "rivets: true",
            "2:9: wrong-type: true; allowed: a whole number (rivets); write a whole number",
        ),
        (
            "code: 5",
            "2:7: wrong-type: the number 5; allowed: text (its code); put it between quotes",
        ),
        (
            "rim: 5",
            "2:6: wrong-type: the number 5; allowed: a list; write it as a list: [...]",
        ),
        (
            "glaze:",
            "2:7: wrong-type: nothing; allowed: a mapping (glaze); write a value, or leave the key "
            "out: what is not stated is unknown",
        ),
        (
            "code: b7",
            "2:7: bad-form: the text `b7`; allowed: its code, of the form ^[A-Z]\\d$; write B7",
        ),
        (
            "code: B77",
            "2:7: bad-form: the text `B77`; allowed: its code, of the form ^[A-Z]\\d$; write it in "
            "this form",
        ),
        (
            "height_mm: 24,6",
            "2:12: bad-form: the text `24,6`; allowed: height over all, such as `24.6 ±0.1` or "
            "`25`; "
            "write the decimal point as a point",
        ),
        (
            "height_mm: {x: 1}",
            "2:12: wrong-type: a mapping; allowed: text, a number or a list (height over all, "
            "such as "
            "`24.6 ±0.1` or `25`); write text, a number or a list",
        ),
        (
            "height_mm: [1, tall]",
            "2:16: bad-form: the text `tall`; allowed: height over all, such as `24.6 ±0.1` or "
            "`25`; "
            "write it in this form",
        ),
        (
            "height_mm: [1]",
            "2:12: wrong-count: a list of 1; allowed: at least 2 entries (height over all, such as "
            "`24.6 ±0.1` or `25`); write at least 2 entries",
        ),
        (
            "bore_mm: wide",
            "2:10: bad-form: the text `wide`; allowed: a length, such as `24.6 ±0.1` or `25`; "
            "measure "
            "it with a bore gauge",
        ),
        (
            "depth: thruogh",
            "2:8: no-form-fits: the text `thruogh`; allowed: `through` or text; write through",
        ),
        (
            "depth: 5mm",
            "2:8: no-form-fits: the text `5mm`; allowed: `through` or text; leave the unit out: "
            "the "
            "name of the key states it",
        ),
        (
            "rivets: 1",
            "2:9: out-of-range: the number 1; allowed: at least 2 and under 7 (rivets); write a "
            "number "
            "at least 2 and under 7",
        ),
        (
            "rivets: 7",
            "2:9: out-of-range: the number 7; *; write a number at least 2 and under 7",
        ),
        (
            "step_mm: 0.7",
            "2:10: out-of-range: the number 0.7; allowed: a multiple of 0.5; write a number a "
            "multiple "
            "of 0.5",
        ),
        (
            "rim: [1]",
            "2:6: wrong-count: a list of 1; allowed: exactly 2 entries; write exactly 2 entries",
        ),
        (
            "labels: {}",
            "2:9: wrong-count: an empty mapping; allowed: at least 1 key; write at least 1 key",
        ),
        (
            "glaze: {sort: ash, name: x}",
            "2:26: wrong-length: a text of 1 characters; allowed: at least 2 characters; write at "
            "least 2 characters",
        ),
        (
            "marks: [a, {b: 1}, a]",
            "2:20: repeated-item: the text `a` again; allowed: each entry once (maker's marks); "
            "delete one of the two",
        ),
        ("marks: [1, 1.0]", "2:12: repeated-item: the number 1.0 again; *"),
        ("marks: [{b: [1]}, {b: [1.0]}]", "2:19: repeated-item: a mapping again; *"),
        (
            "lid: true\nhandle: left",
            "3:1: not-together: the keys `lid` and `handle` side by side; allowed: one of them (a "
            "cup); keep one of them",
        ),
        (
            "old: 5",
            "2:1: not-allowed: the number 5; not allowed here; delete it",
        ),
        (
            "labels: {De_: Tasse}",
            "2:10: bad-form: the key `De_`; allowed: a language, of the form ^[a-z]+$; write de",
        ),
        (
            "labels: {xa: cup}",
            "2:14: wrong-type: the text `cup`; allowed: a whole number; write a whole number",
        ),
        (
            "pair: [mm, in]",
            "2:8: wrong-type: the text `mm`; allowed: a number; write a number",
        ),
    ],
)
def test_one_fault(check: Check, text: str, expected: str) -> None:
    begin, _, end = expected.partition("*")
    lines = check(text)
    assert len(lines) == 1, lines
    if "*" in expected:
        assert lines[0].startswith(begin)
        assert lines[0].endswith(end)
    else:
        assert lines[0] == expected


def test_prefix_items_have_their_own_words(check: Check) -> None:
    assert check("pair: [1, 5]") == [
        "2:11: wrong-type: the number 5; allowed: text (unit); put it between quotes"
    ]


def test_the_root_is_told_of_too(schemas: Schemas) -> None:
    document = read("- 1\n", "f")
    (problem,) = schemas.check("cup", document.data, document.positions, "f")
    assert str(problem) == (
        "f:1:1: wrong-type: a list of 1; allowed: a mapping (a cup); write a mapping"
    )


def test_several_missing_keys_are_several_problems(check: Check) -> None:
    lines = check("glaze: {by: me}")
    assert [line.split(";")[0] for line in lines] == [
        "2:8: missing-key: no key `in` in glaze",
        "2:8: missing-key: no key `sort` in glaze",
    ]


def test_a_misspelt_key_is_not_also_missing(check: Check) -> None:
    (line,) = check("glaze: {sorts: ash}")
    assert line.startswith("2:9: unknown-key: the key `sorts`")
    assert line.endswith("write sort")


def test_a_key_already_there_is_not_what_was_meant(check: Check) -> None:
    (line,) = check("handle: left\nhandles: right")
    assert not line.endswith("write handle")


def test_a_failing_part_does_not_make_its_keys_unknown(check: Check) -> None:
    # By the standard `name` is unevaluated here, since the part that states it fails.
    lines = check("glaze: {sort: ash, name: 5}")
    assert [line.split(":")[2].strip() for line in lines] == ["wrong-type"]


def test_alternatives_that_fail_do_not_make_their_keys_unknown(tmp_path: Path) -> None:
    _write(
        tmp_path,
        {
            "unevaluatedProperties": False,
            "anyOf": [
                {"required": ["a"], "properties": {"a": {"const": 1}, "b": True}},
                {"required": ["c"], "properties": {"c": {"const": 1}}},
            ],
        },
    )
    own = Schemas(tmp_path)

    def codes(text: str) -> list[str]:
        document = read(text, "f")
        found = own.check("cup", document.data, document.positions, "f")
        return [problem.code for problem in found]

    assert codes("{a: 1, b: 5}") == []
    assert codes("{a: 1, c: 1}") == []
    assert codes("{c: 1, b: 5}") == ["unknown-key"]  # `b` belongs to the other alternative
    assert codes("{a: 2, b: 5}") == ["no-form-fits"]


def test_an_example_of_a_list_is_not_one_of_its_entries(tmp_path: Path) -> None:
    entries = {"type": "array", "examples": [[36, 40], 38], "items": {"type": "number"}}
    _write(tmp_path, {"properties": {"bores_mm": entries}})
    document = read("bores_mm: [wide]\n", "f")
    (problem,) = Schemas(tmp_path).check("cup", document.data, document.positions, "f")
    assert problem.allowed == "allowed: a number (such as `38`)"


def test_nothing_is_said_of_holes(schemas: Schemas) -> None:
    text = "rivets: 010\nheight_mm: [*a, *b]\nlid: !!str x\nrim: [.inf, 1]\n"
    assert _problems(schemas, text) == []


def test_an_unquoted_constant_is_to_be_quoted(tmp_path: Path) -> None:
    _write(tmp_path, {"properties": {"class": {"enum": ["8.8", "10.9"]}}})
    document = read("class: 8.8\n", "f")
    (problem,) = Schemas(tmp_path).check("cup", document.data, document.positions, "f")
    assert problem.mend == "put it between quotes"


def test_the_narrower_of_two_lists_of_words_counts(tmp_path: Path) -> None:
    _write(
        tmp_path,
        {
            "properties": {"a": {"enum": ["x", "y", "z"]}},
            "allOf": [{"properties": {"a": {"enum": ["y", "z"]}}}],
        },
    )
    document = read("a: w\n", "f")
    (problem,) = Schemas(tmp_path).check("cup", document.data, document.positions, "f")
    assert problem.allowed == "allowed: y or z"


def test_many_odd_entries_are_compared_in_one_pass(tmp_path: Path) -> None:
    _write(tmp_path, {"properties": {"a": {"uniqueItems": True}}})
    items = [item for n in range(6000) for item in (str(n), n)]
    data: Any = {"a": [*items, "7"]}
    document = read("a: []\n", "f")
    (problem,) = Schemas(tmp_path).check("cup", data, document.positions, "f")
    assert problem.code == "repeated-item"


# The patterns' dialect.


@pytest.mark.parametrize("value", ['"A7\\n"', "A٣", '"\\nA7"'])
def test_patterns_mean_what_the_standard_says(check: Check, value: str) -> None:
    assert [line.split(":")[2] for line in check(f"code: {value}")] == [" bad-form"]


def test_a_long_text_is_refused_before_a_pattern_grinds_on_it(tmp_path: Path) -> None:
    # Matching this takes time that grows with the square of its length: minutes, if tried.
    _write(tmp_path, {"properties": {"a": {"pattern": "^\\d+\\s*(x)?\\s*$"}}})
    own = Schemas(tmp_path)
    for blanks, code in ((400, []), (200_000, ["bad-form"])):
        document = read(f'a: "1{" " * blanks}"\n', "f")
        found = own.check("cup", document.data, document.positions, "f")
        assert [problem.code for problem in found] == code
    document = read(f'a: "1{" " * 200_000}y"\n', "f")
    (problem,) = own.check("cup", document.data, document.positions, "f")
    assert len(str(problem)) < 300


def test_many_unknown_keys_are_all_told(schemas: Schemas) -> None:
    problems = _problems(schemas, "".join(f"handel{n}: 1\n" for n in range(300)))
    assert [problem.code for problem in problems] == ["unknown-key"] * 300
    assert problems[0].mend == "write handle"


def test_a_dollar_within_a_pattern_stays_one(tmp_path: Path) -> None:
    _write(tmp_path, {"properties": {"a": {"pattern": "^[$]\\$(x$|y)$"}}})
    own = Schemas(tmp_path)
    for text, good in (("$$x", True), ("$$y", True), ('"$$x\\n"', False), ("$$z", False)):
        document = read(f"a: {text}\n", "f")
        assert (own.check("cup", document.data, document.positions, "f") == []) is good


# Against the library: the same records are taken and refused.

PROBES = [
    *("handle: left", "handle: up", "lid: 1", "rivets: 6", "rivets: 7.0", "rivets: 3.0", "rim: []"),
    *("marks: [1, true]", "marks: [[1], [1.0]]", "marks: [a, b, a]", "glaze: {sort: ash}"),
    *("glaze: {sort: salt}", "glaze: {sort: ash, x: 1}", "glaze: {sort: ash, name: 5}"),
    *("glaze: {sort: salt, fired_at: 5, vapour: 1}", "glaze: {sort: salt, vapour: true}"),
    *("glaze: {sort: ash, vapour: true}", "glaze: {name: ab, sort: ash, by: x, in: y}"),
    *("labels: {a: 1}", "labels: {a: b, x: 1}", "labels: {A: b}", "depth: 5 deep", "depth: [x]"),
    *("lid: true\nhandle: left", "step_mm: 1.0", "step_mm: 0.25", "old: 1", "pair: [1, x, 2]"),
    *("height_mm: 5", "height_mm: [5, 6 ±1]", "height_mm: []", "height_mm: '5 ±'", "bore_mm: true"),
]


@pytest.mark.parametrize("text", PROBES)
def test_the_library_by_itself_refuses_the_same(check: Check, text: str) -> None:
    document = read("kind: cup\n" + text, "f")
    inlined = json.loads(json.dumps(CUP).replace("shared.json#/", "#/"))
    inlined["$defs"] = SHARED["$defs"]
    assert Draft202012Validator(inlined).is_valid(document.data) is (check(text) == [])


def test_codes_are_those_of_the_table(schemas: Schemas) -> None:
    for text in PROBES:
        assert {problem.code for problem in _problems(schemas, text)} <= set(CODES)


# The schema files.


def _write(folder: Path, schema: Any, name: str = "cup.json") -> None:
    if isinstance(schema, dict):
        schema = json.dumps({"$schema": DIALECT, **schema})
    (folder / name).write_text(schema)


@pytest.mark.parametrize(
    ("schema", "said"),
    [
        ("{", "not a schema"),
        ("[]", "not a schema"),
        ("{}", "not a schema with"),
        ('{"$schema": "x"}', "not a schema with"),
        ('{"$schema": "x", "$schema": "y"}', "twice"),
        ({"oneOf": [{}]}, "oneOf is not provided for"),
        ({"properties": {"a": {"format": "date"}}}, "#/properties/a: the keyword format"),
        ({"properties": {"a": 5}}, "#/properties/a: a schema is"),
        ({"pattern": "("}, "cannot be used"),
        ({"unevaluatedProperties": {}}, "can only be false"),
    ],
)
def test_schemas_that_cannot_be_taken(tmp_path: Path, schema: Any, said: str) -> None:
    _write(tmp_path, schema)
    with pytest.raises(LugplaneError, match=said):
        Schemas(tmp_path)


def test_a_folder_without_schemas(tmp_path: Path) -> None:
    with pytest.raises(LugplaneError, match="no schemas here"):
        Schemas(tmp_path)


@pytest.mark.parametrize(
    ("schema", "said"),
    [
        ({"type": "text"}, "cup.json"),
        ({"minimum": "5"}, "cup.json"),
        ({"properties": {"a": {"$ref": "#/$defs/a"}}}, "nothing at schema:cup.json#/"),
        ({"$ref": "other.json#/$defs/a"}, "nothing at schema:other.json#/"),
    ],
)
def test_schemas_are_held_against_the_standard(tmp_path: Path, schema: Any, said: str) -> None:
    _write(tmp_path, schema)
    with pytest.raises(LugplaneError, match=said):
        Schemas(tmp_path).verify()


def test_a_reference_to_nothing_is_a_fault_of_ours_not_a_crash(tmp_path: Path) -> None:
    _write(tmp_path, {"properties": {"a": {"$ref": "https://elsewhere.test/x.json#/$defs/b"}}})
    document = read("a: 1\n", "f")
    with pytest.raises(LugplaneError, match=r"nothing at schema:x\.json#/"):
        Schemas(tmp_path).check("cup", document.data, document.positions, "f")


def test_the_projects_schemas_are_sound() -> None:
    Schemas(Path(__file__).parents[2] / "schemas").verify()


def test_every_keyword_provided_for_is_a_keyword_of_the_standard() -> None:
    unknown = [
        word
        for word in schema_files.KEYWORDS
        if word not in Draft202012Validator.VALIDATORS and not word.startswith("$")
    ]
    # Annotations, and the two that `if` takes along.
    assert sorted(unknown) == ["default", "description", "else", "examples", "then", "title"]
