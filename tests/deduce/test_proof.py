"""Proofs: canonical, free of circles, shared causes once."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence

import pytest

from lugplane.deduce.firing import conclusions
from lugplane.deduce.grammar import Pattern, Rule
from lugplane.deduce.memory import Fact, fact
from lugplane.deduce.plain import match
from lugplane.deduce.proof import Cause, Derivation, Ledger, Step, simplify


def rule(rule_id: str, premises: str, then: str) -> Rule:
    """`rule("r", "ab", "c")`: from the facts a and b follows the fact c."""
    when = tuple(Pattern(f"p{n}", (("is", name),)) for n, name in enumerate(premises))
    return Rule(rule_id, "r.yaml:1", when, then=((("is", then),),))


def name(one: Fact) -> str:
    return one.get("is") or ""


def a(word: str) -> Fact:
    return fact(**{"is": word})


def ledger_of(given: str, rules: Sequence[Rule]) -> Ledger:
    facts = [a(word) for word in given]
    ledger = Ledger(facts, conclusions)
    match(rules, facts, ledger.fire)
    return ledger


def shape(step: Step) -> str:
    """A proof in one line: `c<r(a b)`."""
    if step.rule_id is None:
        return name(step.fact)
    return f"{name(step.fact)}<{step.rule_id}({' '.join(shape(one) for one in step.premises)})"


def test_a_chain() -> None:
    ledger = ledger_of("ab", [rule("r1", "ab", "c"), rule("r2", "cb", "d")])
    assert shape(ledger.proof_of(a("d").id)) == "d<r2(c<r1(a b) b)"
    assert shape(ledger.proof_of(a("a").id)) == "a"
    assert ledger.derivations == {
        Derivation(a("c").id, "r1", (a("a").id, a("b").id)),
        Derivation(a("d").id, "r2", (a("c").id, a("b").id)),
    }


def test_what_does_not_follow_has_no_proof() -> None:
    ledger = ledger_of("a", [rule("r1", "ab", "c")])
    with pytest.raises(KeyError):
        ledger.proof_of(a("c").id)
    with pytest.raises(KeyError):
        ledger.proof_of(a("b").id)


def test_the_shortest_way_then_the_first_rule_then_the_first_premises() -> None:
    longer_first = [rule("a1", "a", "m"), rule("a2", "m", "z"), rule("b1", "ab", "z")]
    assert shape(ledger_of("ab", longer_first).proof_of(a("z").id)) == "z<b1(a b)"
    two_rules = [rule("y", "a", "z"), rule("x", "b", "z")]
    assert shape(ledger_of("ab", two_rules).proof_of(a("z").id)) == "z<x(b)"
    either = fact(**{"is": "a", "from": "here"}), fact(**{"is": "a", "from": "there"})
    ledger = Ledger(either, conclusions)
    match([rule("r", "a", "z")], either, ledger.fire)
    assert ledger.proof_of(a("z").id).premises[0].fact.id == min(one.id for one in either)


def test_what_is_given_needs_no_proof() -> None:
    ledger = ledger_of("ab", [rule("r1", "a", "b")])
    assert ledger.proof_of(a("b").id) == Step(a("b"), None, ())


def test_no_circles() -> None:
    # b and c prove each other; only the way from a counts. `a0` would come first by its id.
    rules = [rule("z9", "a", "b"), rule("b1", "b", "c"), rule("a0", "c", "b"), rule("a1", "b", "b")]
    for given in (rules, rules[::-1]):
        ledger = ledger_of("a", given)
        assert shape(ledger.proof_of(a("b").id)) == "b<z9(a)"
        assert shape(ledger.proof_of(a("c").id)) == "c<b1(b<z9(a))"
    # A later shorter way reaches into nothing that rests on the fact itself.
    tangled = [
        rule("r1", "c", "b"),
        rule("r2", "b", "c"),
        rule("r3", "ac", "d"),
        rule("r4", "d", "a"),
    ]
    ledger = ledger_of("ab", tangled)
    assert shape(ledger.proof_of(a("d").id)) == "d<r3(a c<r2(b))"


def test_the_order_of_firing_leaves_no_trace() -> None:
    rng = random.Random(3)
    for _ in range(60):
        letters = "abcdefgh"
        rules = [
            rule(
                f"r{number}", "".join(rng.sample(letters, rng.choice((1, 2)))), rng.choice(letters)
            )
            for number in range(14)
        ]
        expected = ledger_of("ab", rules)
        derivations = list(expected.derivations)
        by_id = {one.id: one for one in rules}
        facts = {a(letter).id: a(letter) for letter in letters}
        for _ in range(5):
            rng.shuffle(derivations)
            shuffled = Ledger([a("b"), a("a")], conclusions)
            for one in derivations:
                shuffled.fire(by_id[one.rule_id], tuple(facts[p] for p in one.premise_ids))
            for fact_id in {one.fact_id for one in derivations}:
                assert shuffled.proof_of(fact_id) == expected.proof_of(fact_id)


def test_proofs_hold_what_was_recorded_since_the_last_one() -> None:
    ledger = Ledger([a("a")], conclusions)
    ledger.fire(rule("r2", "a", "c"), (a("a"),))
    assert shape(ledger.proof_of(a("c").id)) == "c<r2(a)"
    ledger.fire(rule("r1", "a", "c"), (a("a"),))
    assert shape(ledger.proof_of(a("c").id)) == "c<r1(a)"


def test_a_ledger_passes_on_what_the_work_gives_and_raises() -> None:
    def work(rule: Rule, chosen: tuple[Fact, ...]) -> Iterable[Fact]:
        yield a("z")
        if rule.id == "bad":
            raise LookupError("lost")

    ledger = Ledger([a("a")], work)
    assert ledger.fire(rule("good", "a", "c"), (a("a"),)) == (a("z"),)
    with pytest.raises(LookupError):
        ledger.fire(rule("bad", "a", "c"), (a("a"),))


def test_simplified_shared_causes_come_once() -> None:
    rules = [
        rule("r1", "a", "b"),
        rule("r2", "ba", "c"),
        rule("r3", "bc", "d"),
        rule("r4", "b", "e"),
    ]
    ledger = ledger_of("a", rules)
    d, e = ledger.proof_of(a("d").id), ledger.proof_of(a("e").id)
    ids = {letter: a(letter).id for letter in "abcde"}
    assert simplify(d) == (
        Cause(a("d"), "r3", (ids["b"], ids["c"]), depth=0, uses=0),
        Cause(a("b"), "r1", (ids["a"],), depth=1, uses=2),
        Cause(a("a"), None, (), depth=2, uses=2),
        Cause(a("c"), "r2", (ids["b"], ids["a"]), depth=1, uses=1),
    )
    both = simplify(d, e)
    assert [name(one.fact) for one in both] == ["d", "b", "a", "c", "e"]
    assert {name(one.fact): one.uses for one in both} == {"d": 0, "b": 3, "a": 2, "c": 1, "e": 0}
    assert simplify() == ()


def test_much_sharing_stays_small() -> None:
    # Each of sixty steps rests twice on the one before: written out, some 10**18 lines.
    given = fact(step="0")
    ledger = Ledger([given], conclusions)
    below = given
    for number in range(1, 61):
        when = (Pattern("p", (("step", str(number - 1)),)), Pattern("q", (("side", "x"),)))
        left = Rule(f"l{number}", "r.yaml:1", when[:1], then=((("left", str(number)),),))
        joint = Rule(f"j{number}", "r.yaml:1", when, then=((("step", str(number)),),))
        (side,) = ledger.fire(left, (below,))
        (below,) = ledger.fire(joint, (below, side))
    listed = simplify(ledger.proof_of(below.id))
    assert len(listed) == 121
    assert len({one.fact for one in listed}) == 121
