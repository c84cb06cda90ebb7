"""The rule grammar: what it takes, and that all else is refused in its place with a mend."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent

import pytest

from lugplane.deduce.grammar import MOST_PATTERNS, Pattern, Rule, read_rules
from lugplane.errors import BadFacts, Problem

MEASURES = ("spacing", "engagement", "pad-trim")
CHOICES = ("stack", "bolt")
LIMITS = ("spacing", "engagement")

GOOD = """\
# Spacing at the ear.
- id: spacing
  when: {k: {kind: knuckle, mount: axial}, c: {kind: caliper}, d: {kind: disc}}
  measure: spacing
  judge: spacing

- id: spacer
  when:
    s: {quantity: spacing, state: spacer}
    k: {kind: knuckle}
  choose: stack
  then: [{hold: mock-up}]
  say: "Space the caliper {s} off the ear, {stack} under both {{lugs}}."
- id: class-raised
  when: {t: {quantity: stack, state: long}}
  then: [{kind: class, least: "10.9"}]
- id: bolt-bought
  when: {n: {choice: bolt, state: replaced}}
  then: [{buy: bolt, as: $n, per: lug}, {work: tighten, as: $n}]
- id: doubt
  when: {q: {state: cannot tell}}
  then: [{ask: $q}]
- id: threads
  when: {a: {thread: 3/8-24}, b: {thread: M10x1}, h: {state: none}}
  measure: pad-trim
  say: "{pad-trim} at {a}"
"""


def read(folder: Path, *texts: str) -> tuple[Rule, ...]:
    files = []
    for number, text in enumerate(texts):
        file = folder / f"rules{number}.yaml"
        file.write_text(text, encoding="utf-8")
        files.append(file)
    return read_rules(files, measures=MEASURES, choices=CHOICES, limits=LIMITS)


def problems_of(folder: Path, *texts: str) -> tuple[Problem, ...]:
    with pytest.raises(BadFacts) as caught:
        read(folder, *texts)
    return caught.value.problems


def test_reads_the_whole_grammar(tmp_path: Path) -> None:
    spacing, spacer, raised, bought, doubt, threads = read(tmp_path, GOOD)
    assert spacing == Rule(
        id="spacing",
        at=f"{tmp_path / 'rules0.yaml'}:2",
        when=(
            Pattern("k", (("kind", "knuckle"), ("mount", "axial"))),
            Pattern("c", (("kind", "caliper"),)),
            Pattern("d", (("kind", "disc"),)),
        ),
        measure="spacing",
        judge="spacing",
    )
    assert spacer.choose == "stack"
    assert spacer.at.endswith("rules0.yaml:7")
    assert spacer.then == ((("hold", "mock-up"),),)
    assert spacer.say == "Space the caliper {s} off the ear, {stack} under both {{lugs}}."
    assert raised.then == ((("kind", "class"), ("least", "10.9")),)
    assert bought.then[1] == (("work", "tighten"), ("as", "$n"))
    assert doubt.when == (Pattern("q", (("state", "cannot tell"),)),)
    assert threads.when[0].equals == (("thread", "3/8-24"),)
    assert threads.when[2].equals == (("state", "none"),)


def test_reads_files_in_order_and_with_a_byte_order_mark(tmp_path: Path) -> None:
    one = "\ufeff- {id: one, when: {k: {kind: hub}}, then: [{a: b}]}\n"
    two = "---\n- {id: two, when: {k: {kind: hub}}, then: [{a: b}]}\n"
    assert [rule.id for rule in read(tmp_path, one, two)] == ["one", "two"]


def test_takes_as_many_patterns_as_are_allowed(tmp_path: Path) -> None:
    when = ", ".join(f"p{n}: {{kind: k{n}}}" for n in range(MOST_PATTERNS))
    (rule,) = read(tmp_path, f"- {{id: many, when: {{{when}}}, then: [{{a: b}}]}}\n")
    assert len(rule.when) == MOST_PATTERNS


def rule(when: str = "{k: {kind: hub}}", rest: str = "then: [{ask: $k}]") -> str:
    """A rule whose `when` begins in line 2, column 9 and whose rest begins in line 3, column 3."""
    return f"- id: r\n  when: {when}\n  {rest}\n"


REFUSED = {
    # name: (text, code, line, column, part of the mend)
    "a join": (rule("{k: {kind: hub}, d: {of: $k}}"), "join", 2, 34, "carries what is shared"),
    "a comparison as a word": (rule("{k: {d_mm: '>= 5'}}"), "comparison", 2, 20, "judge"),
    "an inequality": (rule("{k: {kind: '!= hub'}}"), "negation", 2, 20, "opposite"),
    "a comparison as a table": (rule("{k: {d_mm: {lt: x}}}"), "comparison", 2, 20, "judge"),
    "a comparison as a key": (rule("{k: {'d_mm >': x}}"), "comparison", 2, 14, "judge"),
    "a sum": (rule("{k: {d: 'a + b'}}"), "arithmetic", 2, 17, "measure"),
    "a sum as a table": (rule("{k: {d: {add: x}}}"), "arithmetic", 2, 17, "measure"),
    "a regex": (rule("{k: {kind: /hub.*/}}"), "regex", 2, 20, "write the word out"),
    "a bare regex": (rule("{k: {kind: '^hub'}}"), "regex", 2, 20, "write the word out"),
    "a regex as a table": (rule("{k: {kind: {matches: x}}}"), "regex", 2, 20, "word out"),
    "not as a pattern": (
        rule("{not: {kind: hub}}", "then: [{a: b}]"),
        "negation",
        2,
        10,
        "opposite case",
    ),
    "none as a pattern": (
        rule("{none: {kind: hub}}", "then: [{a: b}]"),
        "negation",
        2,
        10,
        "opposite case",
    ),
    "not in a pattern": (rule("{k: {not: hub}}"), "negation", 2, 14, "opposite case"),
    "not as a value": (rule("{k: {kind: {not: hub}}}"), "negation", 2, 20, "opposite case"),
    "not as a rule's key": (rule(rest="not: {a: b}"), "negation", 3, 3, "opposite case"),
    "any": (
        rule("{any: {kind: hub}}", "then: [{a: b}]"),
        "alternatives",
        2,
        10,
        "one rule for each",
    ),
    "or in a pattern": (rule("{k: {or: hub}}"), "alternatives", 2, 14, "one rule for each"),
    "or as a rule's key": (rule(rest="or: {a: b}"), "alternatives", 3, 3, "one rule for each"),
    "a list of words": (rule("{k: {kind: [a, b]}}"), "alternatives", 2, 20, "one rule for each"),
    "a nested table": (rule("{k: {kind: {sort: hub}}}"), "nested", 2, 20, "write the word"),
    "a priority": (rule(rest="priority: high"), "priority", 3, 3, "take it out"),
    "a salience": (rule(rest="salience: high"), "priority", 3, 3, "take it out"),
    "a guard": (rule(rest="if: something"), "guard", 3, 3, "deduce a word"),
    "a misspelt key": (rule(rest="mesure: spacing"), "unknown-key", 3, 3, "mean measure?"),
    "a number": (rule("{k: {teeth: 5}}"), "not-a-word", 2, 21, 'quote it: "5"'),
    "a number in then": (rule(rest="then: [{a: 10.9}]"), "not-a-word", 3, 14, 'it: "10.9"'),
    "a number of YAML 1.2": (rule("{k: {teeth: 1e3}}"), "not-a-word", 2, 21, 'quote it: "1e3"'),
    "a time": (rule("{k: {ratio: 1:30}}"), "not-a-word", 2, 21, 'quote it: "1:30"'),
    "a date": (rule("{k: {on: 2026-03-14}}"), "not-a-word", 2, 14, 'quote it: "on"'),
    "a bool": (rule("{k: {vented: true}}"), "not-a-word", 2, 22, 'quote it: "true"'),
    "no": (rule("{k: {vented: no}}"), "not-a-word", 2, 22, 'quote it: "no"'),
    "a null": (rule("{k: {kind: ~}}"), "not-a-word", 2, 20, 'quote it: "~"'),
    "an empty word": (rule("{k: {kind: ' '}}"), "not-a-word", 2, 20, "write the word"),
    "nothing asked": (rule("{k: {}}"), "no-equality", 2, 13, "add a word"),
    "no pattern": (rule("{}", "then: [{a: b}]"), "no-pattern", 2, 9, "add one"),
    "too many patterns": (
        rule("{" + ", ".join(f"p{n}: {{a: b}}" for n in range(17)) + "}", "then: [{a: b}]"),
        "too-many",
        2,
        9,
        "two rules",
    ),
    "patterns without names": (rule("[{kind: hub}]", "then: [{a: b}]"), "shape", 2, 9, "name"),
    "a pattern that is a word": (rule("{k: hub}"), "shape", 2, 13, "k: {kind: knuckle}"),
    "a pattern's odd name": (rule("{K1: {a: b}}", "then: [{a: b}]"), "name", 2, 10, "rename"),
    "an odd key": (rule("{k: {Kind of: hub}}"), "key", 2, 14, "rename"),
    "an unbound $": (rule(rest="then: [{ask: $kk}]"), "unbound", 3, 16, "mean $k?"),
    "a bare $": (rule(rest="then: [{ask: $}]"), "unbound", 3, 16, "there are: $k"),
    "a $ within a word": (rule(rest="then: [{ask: the $k}]"), "unbound", 3, 16, "$k"),
    "then without a list": (rule(rest="then: {a: b}"), "shape", 3, 9, "write a list"),
    "an empty then": (rule(rest="then: []"), "shape", 3, 9, "write a list"),
    "a word in then": (rule(rest="then: [hold]"), "shape", 3, 10, "write a table"),
    "a list in then": (rule(rest="then: [{a: [b, c]}]"), "shape", 3, 14, "one fact for each"),
    "an unknown measure": (rule(rest="measure: spacin"), "unknown-measure", 3, 12, "mean spacing"),
    "an unknown choice": (rule(rest="choose: stak"), "unknown-choice", 3, 11, "mean stack?"),
    "an unknown limit": (
        rule(rest="measure: spacing\n  judge: engagment"),
        "unknown-limit",
        4,
        10,
        "mean engagement?",
    ),
    "a list as measure": (rule(rest="measure: [spacing]"), "shape", 3, 12, ""),
    "judge alone": (rule(rest="choose: stack\n  judge: spacing"), "judge", 1, 3, "add `measure:`"),
    "two things": (
        rule(rest="choose: stack\n  measure: spacing"),
        "two-things",
        1,
        3,
        "two rules",
    ),
    "no effect": (rule(rest="say: hello"), "no-effect", 1, 3, "what follows"),
    "no id": ("- when: {k: {kind: hub}}\n  then: [{a: b}]\n", "missing-key", 1, 3, "`id:`"),
    "no when": ("- id: r\n  then: [{a: b}]\n", "missing-key", 1, 3, "`when:`"),
    "an odd id": ("- {id: R 1, when: {k: {a: b}}, then: [{a: b}]}\n", "id", 1, 8, "rename"),
    "an unknown place in say": (rule(rest="measure: spacing\n  say: '{kk}'"), "say", 4, 8, "k"),
    "a format in say": (rule(rest="measure: spacing\n  say: '{k:.1f}'"), "say", 4, 8, "k"),
    "an attribute in say": (rule(rest="measure: spacing\n  say: '{k.id}'"), "say", 4, 8, "k"),
    "an index in say": (rule(rest="measure: spacing\n  say: '{}'"), "say", 4, 8, "there are"),
    "a lone brace in say": (rule(rest="measure: spacing\n  say: 'a { b'"), "say", 4, 8, "{{"),
    "two meanings in say": (
        rule("{spacing: {a: b}}", "measure: spacing\n  say: '{spacing}'"),
        "say",
        4,
        8,
        "rename the pattern",
    ),
    "an anchor": (rule("&a {k: {kind: hub}}"), "anchor", 2, 9, "take it out"),
    "an alias": (rule("{k: {b: c}, l: *a}"), "alias", 2, 24, "write the value out"),
    "a tag": (rule("{k: {kind: !!str 5}}"), "tag", 2, 20, "take it out"),
    "a key twice": (rule("{k: {kind: a, kind: b}}"), "duplicate-key", 2, 23, "take one out"),
    "a name twice": (rule("{k: {a: b}, k: {c: d}}"), "duplicate-key", 2, 21, "take one out"),
    "a table as key": (rule("{k: {{a: b}: c}}"), "key", 2, 14, ""),
    "two documents": (rule() + "---\n" + rule(), "documents", 4, 1, "take the --- out"),
    "a table of rules": ("rules: []\n", "shape", 1, 1, "- id:"),
    "a word for a rule": ("- spacing\n", "shape", 1, 3, "- id:"),
    "nothing at all": ("# no rules yet\n", "empty", 1, 1, ""),
    "a bracket left open": ("- id: r\n  when: {k: {a: b\n", "yaml", 3, 1, "brackets"),
    "a tab as indentation": ("- id: r\n\twhen: x\n", "yaml", 2, 1, "indentation"),
    "a control character": ("- id: r\n  say: a\x07b\n", "yaml", 2, 9, ""),
    "deep nesting": ("- " + "[" * 50, "too-deep", 1, 14, ""),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refuses_with_place_and_mend(name: str, tmp_path: Path) -> None:
    text, code, line, column, mend = REFUSED[name]
    found = [problem for problem in problems_of(tmp_path, text) if problem.code == code]
    assert [(p.line, p.column) for p in found][:1] == [(line, column)], problems_of(tmp_path, text)
    assert mend in found[0].mend
    assert str(found[0]).startswith(f"{tmp_path / 'rules0.yaml'}:{line}:{column}: {code}: ")


ALSO_REPORTED = {"a date", "a table as key"}  # their key is refused, so nothing is asked


@pytest.mark.parametrize("name", [name for name in REFUSED if name not in ALSO_REPORTED])
def test_one_slip_is_one_problem(name: str, tmp_path: Path) -> None:
    assert len(problems_of(tmp_path, REFUSED[name][0])) == 1


def test_a_missing_word(tmp_path: Path) -> None:
    # The column is where the library of YAML says that nothing stands.
    (found,) = problems_of(tmp_path, rule("{k: {kind: }}"))
    assert (found.line, found.code, found.found) == (2, "not-a-word", "nothing")
    assert "write the word" in found.mend


def test_bottomless_nesting_is_survived(tmp_path: Path) -> None:
    (found,) = problems_of(tmp_path, "- " + "[" * 100_000)
    assert (found.line, found.code in ("too-deep", "yaml")) == (1, True)


def test_all_problems_of_all_files_at_once(tmp_path: Path) -> None:
    first = dedent("""\
        - id: spacing
          when: {k: {kind: $x, depth: 5}}
          measure: spacng
        - id: other
          when: {k: {kind: hub}}
    """)
    second = "- {id: spacing, when: {k: {kind: hub}}, then: [{a: b}]}\n- when: [\n"
    third = "- {id: spacing, when: {k: {kind: hub}}, then: [{ask: $j}]}\n"
    found = problems_of(tmp_path, first, second, third)
    assert [(Path(p.file).name, p.line, p.code) for p in found] == [
        ("rules0.yaml", 2, "join"),
        ("rules0.yaml", 2, "not-a-word"),
        ("rules0.yaml", 3, "unknown-measure"),
        ("rules0.yaml", 4, "no-effect"),
        ("rules1.yaml", 3, "yaml"),
        ("rules2.yaml", 1, "duplicate-id"),
        ("rules2.yaml", 1, "unbound"),
    ]
    assert "rules0.yaml:1" in found[5].allowed


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    latin = tmp_path / "latin.yaml"
    latin.write_bytes(b"# line one\n- id: caf\xe9\n")
    large = tmp_path / "large.yaml"
    large.write_bytes(b"#" * 1_000_001)
    with pytest.raises(BadFacts) as caught:
        read_rules([tmp_path / "no.yaml", latin, large], measures=(), choices=(), limits=())
    assert {(Path(p.file).name, p.line, p.code) for p in caught.value.problems} == {
        ("no.yaml", 1, "unreadable"),
        ("latin.yaml", 2, "encoding"),
        ("large.yaml", 1, "too-large"),
    }


def test_patterns_and_rules_keep_their_promises_however_they_are_made() -> None:
    pattern = Pattern("k", (("kind", "hub"),))
    with pytest.raises(ValueError, match="pattern k"):
        Pattern("k", ())
    with pytest.raises(ValueError, match="pattern k"):
        Pattern("k", (("kind", "hub"), ("kind", "disc")))
    for when in ((), (pattern, pattern), (Pattern("k", (("a", "b"),)),) * 17):
        with pytest.raises(ValueError, match="rule r"):
            Rule("r", "x:1", when)
