"""Facts of working memory: equality and identity by content alone."""

from __future__ import annotations

import dataclasses

import pytest

from lugplane.deduce.firing import conclusions
from lugplane.deduce.grammar import Pattern, Rule
from lugplane.deduce.memory import Fact, fact, fact_of


def test_the_id_is_the_content() -> None:
    one = fact(kind="caliper", mount="axial")
    two = fact_of({"mount": "axial", "kind": "caliper"})
    assert one == two
    assert hash(one) == hash(two)
    assert one.id == two.id
    assert one.words == (("kind", "caliper"), ("mount", "axial"))
    # Stands in stored answers: a change of it is a change of format.
    assert one.id == "74c71d69b8f66608"


@pytest.mark.parametrize(
    ("one", "two"),
    [
        ({"a": "b"}, {"a": "c"}),
        ({"a": "bc"}, {"ab": "c"}),
        ({"a": "b", "c": "d"}, {"a": "b"}),
        ({"a": "b1 1 cd"}, {"a": "b", "c": "d"}),
        ({"a": ""}, {"": "a"}),
        ({"a": "\ud800"}, {"a": "?"}),
        ({}, {"": ""}),
    ],
)
def test_other_content_is_another_fact(one: dict[str, str], two: dict[str, str]) -> None:
    assert fact_of(one) != fact_of(two)
    assert fact_of(one).id != fact_of(two).id


def test_get() -> None:
    assert fact(kind="caliper").get("kind") == "caliper"
    assert fact(kind="caliper").get("mount") is None


def test_holds_text_only_and_cannot_change() -> None:
    with pytest.raises(TypeError, match="least"):
        fact_of({"least": 10.9})  # type: ignore[dict-item]
    with pytest.raises(ValueError, match="sorted"):
        Fact((("b", "x"), ("a", "y")))
    with pytest.raises(ValueError, match="once"):
        Fact((("a", "x"), ("a", "y")))
    with pytest.raises(dataclasses.FrozenInstanceError):
        fact(a="b").words = ()  # type: ignore[misc]


def test_conclusions_name_the_facts_they_rest_on() -> None:
    when = (Pattern("n", (("choice", "bolt"),)), Pattern("k", (("kind", "knuckle"),)))
    then = ((("buy", "bolt"), ("as", "$n")), (("note", "costs $n"), ("of", "$k")))
    bolt, knuckle = fact(choice="bolt", state="replaced"), fact(kind="knuckle")
    assert conclusions(Rule("bought", "x:1", when, then=then), (bolt, knuckle)) == (
        fact_of({"buy": "bolt", "as": bolt.id}),
        fact_of({"note": "costs $n", "of": knuckle.id}),
    )
