"""The fence around durable-rules: what the library does in silence must not stay silent."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import count
from pathlib import Path
from typing import Any

import pytest

import lugplane
from lugplane.deduce import durable
from lugplane.deduce.firing import conclusions
from lugplane.deduce.grammar import Pattern, Rule
from lugplane.deduce.memory import Fact, fact, fact_of
from lugplane.errors import EngineError

pytestmark = pytest.mark.skipif(
    not durable.available(), reason="durable-rules cannot be imported by this Python"
)


def single(rule_id: str, key: str, word: str) -> Rule:
    return Rule(rule_id, "r.yaml:1", (Pattern("p", ((key, word),)),), then=((("by", rule_id),),))


CHAIN = [
    Rule("one", "r.yaml:1", (Pattern("k", (("kind", "hub"),)),), then=((("a", "b"),),)),
    Rule("two", "r.yaml:2", (Pattern("x", (("a", "b"),)),), then=((("c", "d"),),)),
]
HUB = fact(kind="hub")


def test_only_one_module_imports_the_library() -> None:
    importing = re.compile(r"^\s*(from|import) +durable\b", re.MULTILINE)
    sources = Path(lugplane.__path__[0]).rglob("*.py")
    found = [path.name for path in sources if importing.search(path.read_text(encoding="utf-8"))]
    assert found == ["durable.py"]


def test_work_of_more_than_ten_seconds_ends_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    from durable import engine

    hours = count()
    real = engine._unix_now
    elapsed = [0.0]
    monkeypatch.setattr(engine, "_unix_now", lambda: real() + elapsed[0])

    def fire(rule: Rule, chosen: tuple[Fact, ...]) -> Iterable[Fact]:
        elapsed[0] = 3600.0 * (1 + next(hours))
        return conclusions(rule, chosen)

    assert durable.match(CHAIN, [HUB], fire) == {HUB, fact(a="b"), fact(c="d")}


def test_a_session_that_the_library_ends_early_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    from durable import engine

    # The clock jumps by an hour at each look: the library then gives up after one action.
    clock = count(0, 3600)
    monkeypatch.setattr(engine, "_unix_now", lambda: next(clock))
    with pytest.raises(EngineError, match="stopped half way"):
        durable.match(CHAIN, [HUB], conclusions)
    monkeypatch.undo()
    assert len(durable.match(CHAIN, [HUB], conclusions)) == 3


def test_what_an_action_raises_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(hits: Any, number: int, size: int) -> Any:
        def note(found: Any) -> None:
            raise LookupError("lost")

        return note if number == 1 else real(hits, number, size)

    real = durable._noting
    monkeypatch.setattr(durable, "_built", {})
    monkeypatch.setattr(durable, "_noting", broken)
    with pytest.raises(EngineError, match="lost"):
        durable.match(CHAIN, [HUB], conclusions)


def test_a_batch_that_is_not_read_to_its_end_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    host = durable._host()
    real = host.assert_facts
    monkeypatch.setattr(host, "assert_facts", lambda name, batch: real(name, batch[:-1] or batch))
    with pytest.raises(EngineError, match="stopped half way"):
        durable.match(CHAIN, [HUB], conclusions)


def test_no_batch_is_empty_and_every_session_is_given_back(monkeypatch: pytest.MonkeyPatch) -> None:
    host = durable._host()
    sizes, sessions, given_back = [], set(), []
    real_assert, real_delete = host.assert_facts, host.delete_state

    def asserting(name: str, batch: list[dict[str, str]]) -> Any:
        sizes.append(len(batch))
        sessions.update(one["sid"] for one in batch)
        return real_assert(name, batch)

    def deleting(name: str, session: str) -> None:
        given_back.append(session)
        real_delete(name, session)

    def failing(rule: Rule, chosen: tuple[Fact, ...]) -> Iterable[Fact]:
        raise ValueError("no")

    monkeypatch.setattr(host, "assert_facts", asserting)
    monkeypatch.setattr(host, "delete_state", deleting)
    durable.match(CHAIN, [], conclusions)
    durable.match(CHAIN, [HUB], conclusions)
    with pytest.raises(EngineError, match="rule one"):
        durable.match(CHAIN, [HUB], failing)
    assert len(sessions) == 3
    assert given_back == sorted(sessions, key=int)
    assert min(sizes) > 0


def test_a_ruleset_is_built_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(durable, "_built", {})
    built = []
    real = durable._Ruleset.__init__
    monkeypatch.setattr(
        durable._Ruleset,
        "__init__",
        lambda self, whens: (built.append(whens), real(self, whens))[1],
    )
    for word in "xy":
        rules = [single(f"r{word}", "kind", "hub")]  # equal patterns, built anew
        assert durable.match(rules, [HUB], conclusions) == {HUB, fact(by=f"r{word}")}
    assert len(built) == 1


@pytest.mark.parametrize(
    ("rules", "said"),
    [
        ([single(f"r{n}", f"key{n}", "x") for n in range(201)], "201 keys"),
        ([single(f"r{n}", "kind", "hub") for n in range(201)], "201 patterns with the same"),
        ([single(f"r{n}", "kind", f"w{n}") for n in range(401)], "401 different patterns"),
    ],
)
def test_rulesets_near_the_librarys_limits_are_refused(rules: list[Rule], said: str) -> None:
    with pytest.raises(EngineError, match=said):
        durable.match(rules, [HUB], conclusions)


@pytest.mark.parametrize(
    ("rules", "facts", "firings"),
    [
        ([single(f"r{n}", f"key{n}", "x") for n in range(200)], [{"key7": "x"}], 1),
        ([single(f"r{n}", "kind", "hub") for n in range(200)], [{"kind": "hub"}], 200),
        (
            [single(f"r{n}", "kind", f"w{n}") for n in range(400)],
            [{"kind": f"w{n}"} for n in range(400)],
            400,
        ),
        (
            [single(f"r{n}", f"key{n}", "x") for n in range(50)],
            [{f"key{n}": "x" for n in range(50)}],
            50,
        ),
    ],
)
def test_rulesets_at_the_limits_work(
    rules: list[Rule], facts: list[dict[str, str]], firings: int
) -> None:
    fired = []
    given = [fact_of(one) for one in facts]
    durable.match(rules, given, lambda rule, chosen: fired.append(rule.id) or ())
    assert len(fired) == len(set(fired)) == firings


def test_a_fact_too_wide_for_the_library_is_an_error_not_a_silence() -> None:
    rules = [single(f"r{n}", f"key{n}", "x") for n in range(100)]
    wide = fact_of({f"key{n}": "x" for n in range(100)})
    with pytest.raises(EngineError, match=r"durable-rules failed.*303"):
        durable.match(rules, [HUB, wide], conclusions)
    assert durable.match(rules, [HUB], conclusions) == {HUB}


def test_numbers_of_facts_are_told_apart_by_the_librarys_hash() -> None:
    # The library knows a fact by a 32-bit FNV-1a hash of its id and of nothing else.
    from lugplane.deduce.firing import MOST_FACTS

    seen = set()
    for number in range(MOST_FACTS + 1):
        for name in (f"{number}", f"end{number}"):
            hashed = 2166136261
            for byte in name.encode():
                hashed = ((hashed ^ byte) * 16777619) & 0xFFFFFFFF
            seen.add(hashed)
    assert len(seen) == 2 * (MOST_FACTS + 1)
