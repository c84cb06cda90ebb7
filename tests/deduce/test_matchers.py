"""Each matcher on cases worked out by hand, and how each behaves when a rule's work fails."""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import permutations

import pytest

from lugplane.deduce import clips, durable, firing, plain
from lugplane.deduce.firing import Match, conclusions
from lugplane.deduce.grammar import Pattern, Rule
from lugplane.deduce.memory import Fact, fact
from lugplane.errors import BadInput, EngineError

needs_durable = pytest.mark.skipif(
    not durable.available(), reason="durable-rules cannot be imported by this Python"
)
MATCHERS = [
    pytest.param(plain.match, id="plain"),
    pytest.param(clips.match, id="clips"),
    pytest.param(durable.match, id="durable", marks=needs_durable),
]
every_matcher = pytest.mark.parametrize("match", MATCHERS)


def pattern(name: str, **equals: str) -> Pattern:
    return Pattern(name, tuple(equals.items()))


def rule(rule_id: str, *when: Pattern, then: dict[str, str] | None = None) -> Rule:
    facts = (tuple(then.items()),) if then else ()
    return Rule(rule_id, "rules.yaml:1", when, then=facts)


class Log:
    """Does what `then` says and notes what fired."""

    def __init__(self) -> None:
        self.firings: Counter[tuple[str, tuple[Fact, ...]]] = Counter()

    def __call__(self, rule: Rule, chosen: tuple[Fact, ...]) -> Iterable[Fact]:
        self.firings[rule.id, chosen] += 1
        return conclusions(rule, chosen)


KNUCKLE = fact(kind="knuckle", mount="axial")
CALIPER = fact(kind="caliper")
DISC = fact(kind="disc")


@every_matcher
def test_chains_through_what_it_deduces(match: Match) -> None:
    rules = [
        rule("doubt", pattern("q", state="cannot tell"), then={"ask": "$q"}),
        rule("spacer", pattern("s", quantity="spacing", state="spacer"), then={"buy": "ring"}),
        rule("other", pattern("k", kind="knuckle", mount="radial"), then={"buy": "nothing"}),
        rule(
            "spacing",
            pattern("k", kind="knuckle", mount="axial"),
            pattern("c", kind="caliper"),
            then={"quantity": "spacing", "state": "spacer"},
        ),
        rule("ring", pattern("r", buy="ring"), pattern("c", kind="caliper"), then={"of": "$c"}),
    ]
    log = Log()
    spacing, ring = fact(quantity="spacing", state="spacer"), fact(buy="ring")
    found = match(rules, [CALIPER, DISC, KNUCKLE], log)
    assert found == {KNUCKLE, CALIPER, DISC, spacing, ring, fact(of=CALIPER.id)}
    assert log.firings == {
        ("spacing", (KNUCKLE, CALIPER)): 1,
        ("spacer", (spacing,)): 1,
        ("ring", (ring, CALIPER)): 1,
    }


@every_matcher
def test_a_fact_never_fills_two_patterns_of_a_rule(match: Match) -> None:
    rules = [rule("pair", pattern("a", kind="disc"), pattern("b", kind="disc", vented="yes"))]
    plain_disc, vented, other = (
        fact(kind="disc"),
        fact(kind="disc", vented="yes"),
        fact(kind="disc", vented="yes", id="other"),
    )
    log = Log()
    match(rules, [vented], log)
    assert log.firings == {}
    match(rules, [plain_disc, vented, other], log)
    assert log.firings == {
        ("pair", (plain_disc, vented)): 1,
        ("pair", (plain_disc, other)): 1,
        ("pair", (vented, other)): 1,
        ("pair", (other, vented)): 1,
    }


@every_matcher
def test_fires_once_for_each_order_of_equal_patterns(match: Match) -> None:
    facts = [fact(kind="bolt", id=str(number)) for number in range(4)]
    rules = [
        rule(rule_id, *(pattern(f"b{place}", kind="bolt") for place in range(4)))
        for rule_id in ("one", "same")
    ]
    log = Log()
    match(rules, facts, log)
    assert log.firings == {(r.id, chosen): 1 for r in rules for chosen in permutations(facts)}


@every_matcher
def test_sixteen_patterns(match: Match) -> None:
    facts = [fact(kind=f"k{number}") for number in range(16)]
    whole = rule("whole", *(pattern(f"p{number}", kind=f"k{number}") for number in range(16)))
    log = Log()
    match([whole], facts[::-1], log)
    assert log.firings == {("whole", tuple(facts)): 1}
    log = Log()
    match([whole], facts[1:], log)
    assert log.firings == {}


@every_matcher
def test_facts_are_a_set(match: Match) -> None:
    rules = [
        rule("one", pattern("k", kind="knuckle"), then={"buy": "ring"}),
        rule("two", pattern("c", kind="caliper"), then={"buy": "ring"}),
        rule("given", pattern("k", kind="knuckle"), then={"kind": "caliper"}),
        rule("ring", pattern("r", buy="ring")),
    ]
    log = Log()
    found = match(rules, [KNUCKLE, CALIPER, fact(kind="caliper"), KNUCKLE], log)
    assert found == {KNUCKLE, CALIPER, fact(buy="ring")}
    assert log.firings["ring", (fact(buy="ring"),)] == 1
    assert set(log.firings.values()) == {1}


@every_matcher
def test_little_or_nothing_to_match(match: Match) -> None:
    rules = [rule("hub", pattern("h", kind="hub"), then={"a": "b"})]
    unmentioned = {fact(colour="red"), fact(), fact(kind="rim", weight="light")}
    assert match(rules, [], Log()) == frozenset()
    assert match([], [KNUCKLE], Log()) == {KNUCKLE}
    assert match([], [], Log()) == frozenset()
    assert match(rules, unmentioned, Log()) == unmentioned
    # What is not mentioned takes nothing along with it.
    facts = {*unmentioned, fact(kind="hub"), fact(size="large")}
    assert match(rules, facts, Log()) == {*facts, fact(a="b")}


@every_matcher
def test_one_match_leaves_nothing_to_the_next(match: Match) -> None:
    rules = [rule("pair", pattern("k", kind="knuckle"), pattern("c", kind="caliper"))]
    for facts, expected in (([KNUCKLE], 0), ([CALIPER], 0), ([KNUCKLE, CALIPER], 1)):
        log = Log()
        match(rules, facts, log)
        assert log.firings.total() == expected


@every_matcher
def test_rules_that_differ_only_in_name_or_work_are_told_apart(match: Match) -> None:
    for rule_id, word in (("one", "x"), ("two", "y")):
        log = Log()
        found = match(
            [rule(rule_id, pattern("k", kind="knuckle"), then={"a": word})], [KNUCKLE], log
        )
        assert found == {KNUCKLE, fact(a=word)}
        assert log.firings == {(rule_id, (KNUCKLE,)): 1}


def failing_at_once(rule: Rule, chosen: tuple[Fact, ...]) -> Iterable[Fact]:
    if rule.id == "bad-rule":
        raise ZeroDivisionError("no lugs")
    return conclusions(rule, chosen)


def failing_while_walked(rule: Rule, chosen: tuple[Fact, ...]) -> Iterator[Fact]:
    yield from conclusions(rule, chosen)
    if rule.id == "bad-rule":
        raise ZeroDivisionError("no lugs")


FAILING = [
    rule("good-rule", pattern("k", kind="knuckle"), then={"a": "b"}),
    rule("bad-rule", pattern("x", a="b"), pattern("k", kind="knuckle"), then={"c": "d"}),
    rule("next-rule", pattern("x", a="b"), then={"e": "f"}),
]


@every_matcher
@pytest.mark.parametrize("fire", [failing_at_once, failing_while_walked])
def test_a_failure_surfaces_with_the_rules_id(match: Match, fire: firing.Fire) -> None:
    with pytest.raises(EngineError, match=r"bad-rule \(rules.yaml:1\).*no lugs") as caught:
        match(FAILING, [KNUCKLE], fire)
    assert isinstance(caught.value.__cause__, ZeroDivisionError)
    # And the next match is none the worse for it.
    assert match(FAILING, [KNUCKLE], Log()) == {
        KNUCKLE,
        fact(a="b"),
        fact(c="d"),
        fact(e="f"),
    }


@every_matcher
def test_our_own_errors_pass_unchanged(match: Match) -> None:
    error = BadInput("spacing_mm: no number")

    def fire(rule: Rule, chosen: tuple[Fact, ...]) -> Iterable[Fact]:
        raise error

    with pytest.raises(BadInput) as caught:
        match(FAILING, [KNUCKLE], fire)
    assert caught.value is error
    assert caught.value.__cause__ is None


@every_matcher
@pytest.mark.parametrize("stop", [KeyboardInterrupt, SystemExit])
def test_a_wish_to_stop_is_heard(match: Match, stop: type[BaseException]) -> None:
    def fire(rule: Rule, chosen: tuple[Fact, ...]) -> Iterable[Fact]:
        raise stop

    with pytest.raises(stop):
        match(FAILING, [KNUCKLE], fire)


@every_matcher
def test_work_that_gives_no_facts(match: Match) -> None:
    with pytest.raises(EngineError, match=r"good-rule.*'spacer'.*no fact"):
        match(FAILING, [KNUCKLE], lambda rule, chosen: ["spacer"])  # type: ignore[list-item]
    with pytest.raises(EngineError, match="good-rule"):
        match(FAILING, [KNUCKLE], lambda rule, chosen: None)  # type: ignore[arg-type,return-value]


@every_matcher
def test_a_rule_that_feeds_itself_is_stopped(match: Match, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(firing, "MOST_FACTS", 200)
    endless = rule("endless", pattern("k", kind="knuckle"), then={"kind": "knuckle", "of": "$k"})
    with pytest.raises(EngineError, match=r"endless.*200"):
        match([endless], [KNUCKLE], Log())


@every_matcher
def test_a_match_within_a_match(match: Match) -> None:
    rules = [rule("a", pattern("k", kind="knuckle"), pattern("c", kind="caliper"), then={"a": "b"})]
    inner: list[frozenset[Fact]] = []

    def fire(rule: Rule, chosen: tuple[Fact, ...]) -> Iterable[Fact]:
        inner.append(match(rules, [*chosen, DISC], Log()))
        return conclusions(rule, chosen)

    outer = match(rules, [KNUCKLE, CALIPER, fact(kind="caliper", body="fixed")], fire)
    assert outer == {KNUCKLE, CALIPER, fact(kind="caliper", body="fixed"), fact(a="b")}
    assert len(inner) == 2
    assert all(found >= {KNUCKLE, DISC, fact(a="b")} for found in inner)


@every_matcher
def test_threads_do_not_disturb_each_other(match: Match) -> None:
    rules = [
        rule("pair", pattern("a", kind="bolt"), pattern("b", kind="bolt"), then={"of": "$a"}),
        rule("next", pattern("a", kind="bolt"), pattern("c", kind="caliper"), then={"a": "b"}),
    ]
    wrong: list[str] = []

    def work(name: str) -> None:
        bolts = [fact(kind="bolt", id=f"{name}{number}") for number in range(3)]
        expected = {*bolts, CALIPER, fact(a="b"), *(fact(of=bolt.id) for bolt in bolts)}
        for _ in range(40):
            log = Log()
            if match(rules, [*bolts, CALIPER], log) != expected or log.firings.total() != 9:
                wrong.append(name)

    threads = [threading.Thread(target=work, args=(name,)) for name in "abcd"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []


@every_matcher
def test_many_facts(match: Match) -> None:
    bolts = [fact(kind="bolt", id=str(number)) for number in range(90)]
    log = Log()
    match([rule("pair", pattern("a", kind="bolt"), pattern("b", kind="bolt"))], bolts, log)
    assert len(log.firings) == 90 * 89
    assert log.firings.total() == 90 * 89


class TestMissing:
    """Why not: the first pattern that stands in a rule's way."""

    WHEN = (
        pattern("k", kind="knuckle"),
        pattern("a", kind="disc"),
        pattern("b", kind="disc", vented="yes"),
    )

    def missing(self, *facts: Fact) -> str | None:
        found = plain.missing(rule("r", *self.WHEN), facts)
        return None if found is None else found.name

    def test_names_the_first_pattern_that_no_fact_fills(self) -> None:
        assert self.missing() == "k"
        assert self.missing(CALIPER, DISC) == "k"
        assert self.missing(KNUCKLE) == "a"
        assert self.missing(KNUCKLE, DISC) == "b"

    def test_one_fact_cannot_stand_for_two(self) -> None:
        vented = fact(kind="disc", vented="yes")
        assert self.missing(KNUCKLE, vented) == "b"
        assert self.missing(KNUCKLE, vented, vented) == "b"

    def test_a_fact_moves_on_to_where_it_is_needed(self) -> None:
        # The vented disc would fill `a` too, but only it can fill `b`.
        vented = fact(kind="disc", vented="yes")
        assert self.missing(KNUCKLE, vented, DISC) is None
        assert self.missing(DISC, vented, KNUCKLE) is None
