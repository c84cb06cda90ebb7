"""Matchers in a process of their own: hostile words, thousands of sessions, a missing library.

Native code can take the whole process with it, and memory is only measured well in a fresh one.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import lugplane
from lugplane.deduce import durable

needs_durable = pytest.mark.skipif(
    not durable.available(), reason="durable-rules cannot be imported by this Python"
)
NAMES = [
    pytest.param("plain"),
    pytest.param("clips"),
    pytest.param("durable", marks=needs_durable),
]
needs_proc = pytest.mark.skipif(
    not Path("/proc/self/statm").exists(), reason="reads the memory of a process from /proc"
)

COMMON = """
import sys, threading, time
from lugplane.deduce.choose import matcher
from lugplane.deduce.firing import conclusions
from lugplane.deduce.grammar import Pattern, Rule
from lugplane.deduce.memory import fact, fact_of

def rule(rule_id, *equals, then=()):
    when = tuple(Pattern(f"p{n}", tuple(one.items())) for n, one in enumerate(equals))
    return Rule(rule_id, "r.yaml:1", when, then=tuple(tuple(one.items()) for one in then))
"""


def run(script: str, *arguments: str) -> str:
    """Run a script in a fresh Python; gives what it printed, fails if it died."""
    source = str(Path(lugplane.__path__[0]).parent)
    environment = {name: value for name, value in os.environ.items() if name != "LUGPLANE_MATCHER"}
    done = subprocess.run(
        [sys.executable, "-c", COMMON + script, *arguments],
        capture_output=True,
        text=True,
        timeout=300,
        env={**environment, "PYTHONPATH": source},
        check=False,
    )
    assert done.returncode == 0, f"exit {done.returncode}: {done.stderr}"
    return done.stdout.strip()


HOSTILE = r"""
match = matcher(sys.argv[1])
words = [
    "", " ", '"', "\\", '\\"', "'", "{", "}", "{}", "[", "]", "(", ")", ")(exit)", "?x", "$?x",
    "&~|", ";", "#", "\n", "\r\n", "\t", "\0", "a\0b", "\x1b[0m", "\x7f", "é", "日本語", "💥",
    "\ud800", "\u2028", "e\u0301", "nil", "TRUE", "null", "true", "1", "1.5", "-0", "1e999", "$s",
    "sid", "id", "role", "fact", "end", "never", "number", "p0", "k0", "w0", "w1", "$and", "$nex",
    "%s%n", "{0}", "x" * 10**6, "x" * 10**6 + "y", "{" * 10**6, '"' * 10**6, "\n" * 10**6,
]
assert len(set(words)) == len(words)
rules, facts, expected = [], [], set()
for number, word in enumerate(words):
    found = {"value": word, "number": str(number)}
    rules.append(rule(f"value{number}", {"it": word}, then=[found]))
    rules.append(rule(f"key{number}", {word: "it"}, {"it": word}, then=[{word: "found"}]))
    facts += [fact_of({"it": word}), fact_of({word: "it", "unasked": word})]
    expected |= {fact_of(found), fact_of({word: "found"})}
fired = []
def fire(rule, chosen):
    fired.append(rule.id)
    return conclusions(rule, chosen)
for _ in range(2):
    fired.clear()
    assert match(rules, facts, fire) == expected | set(facts)
    assert sorted(fired) == sorted(one.id for one in rules)
# Words that no rule asks for come through as they are.
assert match(rules[:2], facts, fire) >= set(facts)
print("alive")
"""


@pytest.mark.parametrize("name", NAMES)
def test_hostile_words(name: str) -> None:
    assert run(HOSTILE, name) == "alive"


SESSIONS = r"""
match = matcher(sys.argv[1])
rules = [
    rule("spacing", {"kind": "knuckle"}, {"kind": "caliper"}, then=[{"state": "spacer"}]),
    rule("spacer", {"state": "spacer"}, {"kind": "knuckle"}, then=[{"buy": "ring", "for": "$p1"}]),
    rule("ring", {"buy": "ring"}, {"state": "spacer"}, then=[{"ask": "$p0"}]),
]
pages = int(sys.argv[2])

def one(number, busy):
    def fire(rule, chosen):
        end = time.perf_counter() + busy
        while time.perf_counter() < end:
            pass
        return conclusions(rule, chosen)
    parts = [fact(kind=kind, id=str(number)) for kind in ("knuckle", "caliper")]
    given = [*parts, fact(a="b")]
    assert len(match(rules, given, fire)) == 6

def memory():
    with open("/proc/self/statm") as file:
        return int(file.read().split()[1]) * pages / 1e6

for number in range(500):
    one(number, 0)
before = memory()
for number in range(5000):
    one(number, 0.003 if number % 25 == 0 else 0)
assert threading.active_count() == 1, threading.enumerate()
print(memory() - before)
"""


@needs_proc
@pytest.mark.parametrize("name", NAMES[1:])
def test_thousands_of_sessions_leave_memory_flat(name: str) -> None:
    grown_mb = float(run(SESSIONS, name, str(os.sysconf("SC_PAGE_SIZE"))))
    assert grown_mb < 4


QUIET = r"""
match = matcher("durable")
rules = [rule("pair", {"kind": "hub"}, {"kind": "disc"}), rule("odd", {"size": "odd"})]
for facts in ([], [fact(kind="hub")], [fact(colour="red")], [fact(kind="hub"), fact(a="b")]) * 10:
    assert match(rules, facts, conclusions) == set(facts)
wide = [rule(f"r{n}", {f"key{n}": "x"}) for n in range(100)]
from lugplane.errors import EngineError
for _ in range(5):
    try:
        match(wide, [fact_of({f"key{n}": "x" for n in range(100)})], conclusions)
    except EngineError as error:
        assert "303" in str(error)
    else:
        raise SystemExit("a fact was lost")
print("alive")
"""


@needs_durable
def test_sessions_in_which_nothing_fires_or_all_fails_can_be_given_back(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # The library frees what was never set, unless an action ran; make such memory look used.
    monkeypatch.setenv("MALLOC_PERTURB_", "165")
    assert run(QUIET) == "alive"


KEPT = r"""
from lugplane.deduce import durable
from lugplane.errors import EngineError
durable._Ruleset.forget = lambda self, session: None
try:
    for number in range(2000):
        durable.match([rule("r", {"kind": "hub"})], [fact(kind="hub", id=str(number))], conclusions)
except EngineError as error:
    print("stopped", error)
"""


@needs_durable
def test_sessions_that_are_kept_exhaust_the_library() -> None:
    # Why every session is given back; and that the library's own failure does surface.
    assert run(KEPT).startswith("stopped durable-rules failed")


ABSENT = r"""
sys.modules["durable"] = None
from lugplane.deduce import clips
from lugplane.errors import BadInput
assert matcher() is clips.match
assert matcher()([rule("r", {"a": "b"}, then=[{"c": "d"}])], [fact(a="b")], conclusions) == {
    fact(a="b"), fact(c="d")
}
try:
    matcher("durable")
except BadInput as error:
    print(error)
"""


def test_without_durable_rules_clips_answers() -> None:
    said = run(ABSENT)
    assert "durable-rules cannot be imported" in said
    assert "clips" in said


UNTOUCHED = r"""
import lugplane.deduce.choose
import lugplane.deduce.grammar
print([name for name in sys.modules if name.split(".")[0] in ("durable", "clips", "_clips")])
"""


def test_engines_are_imported_only_when_asked_for() -> None:
    assert run(UNTOUCHED) == "[]"
