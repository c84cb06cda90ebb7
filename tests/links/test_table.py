"""Graded rows kept in SQL come back as they were, or not at all."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from lugplane.links import table
from lugplane.links.links import Links
from lugplane.links.pair import Grade
from lugplane.links.relation import EARS, HUB
from lugplane.links.table import HostRows, begin, carry_over, keep, kept, remember, remembered

GOOD = (Grade("hub-bore", "holds", "snug", 0.05), Grade("drum", "does not apply", "", None))
BAD = (Grade("hub-bore", "fails", "loose", -0.4), GOOD[1])
HOST = HostRows("hub", "knuckle-1", {"bolt-circle": 3}, {"disc-a": GOOD, "disc-b": BAD})


@pytest.fixture
def connection() -> sqlite3.Connection:
    connection = sqlite3.connect(":memory:")
    begin(connection)
    return connection


def reader(connection: sqlite3.Connection) -> Callable[..., list[tuple[Any, ...]]]:
    return lambda statement, *keys: list(connection.execute(statement, keys))


def test_rows_come_back_as_they_were(shipped: Links, connection: sqlite3.Connection) -> None:
    hosts: list[HostRows] = []
    for relation, kind in ((HUB, "disc"), (EARS, "carrier")):
        for id_ in shipped.base.ids("knuckle"):
            host = shipped.record("knuckle", id_)
            near, left_out = shipped.near(relation, host, kind, False)
            judge = shipped.judge(relation)
            pairs = {i: judge.grades(host, shipped.record(kind, i)) for i in sorted(near)}
            hosts.append(HostRows(relation.name, id_, dict(left_out), pairs))
    keep(connection, hosts)
    back = [kept(reader(connection), h.relation, h.host) for h in hosts]
    assert back == hosts
    assert sum(len(h.pairs) for h in hosts) > 20
    assert kept(reader(connection), "hub", "nobody") is None
    more = HostRows("hub", "knuckle-late", {}, hosts[0].pairs)
    keep(connection, [more])
    assert kept(reader(connection), "hub", "knuckle-late") == more


def test_pairs_that_came_out_alike_share_their_grades(connection: sqlite3.Connection) -> None:
    keep(connection, [HOST, replace(HOST, host="knuckle-2")])
    assert connection.execute("SELECT count(*) FROM link").fetchone() == (4,)
    assert connection.execute("SELECT count(*) FROM grade").fetchone() == (2,)


def test_a_host_is_kept_once_in_each_relation(connection: sqlite3.Connection) -> None:
    with pytest.raises(sqlite3.IntegrityError):
        keep(connection, [HOST, HOST])


@pytest.mark.parametrize(
    "damage",
    [
        "DELETE FROM link WHERE guest IN (SELECT n FROM part WHERE id = 'disc-b')",
        "UPDATE link SET grade = (SELECT min(grade) FROM link)",
        "UPDATE grade SET told = replace(told, 'fails', 'holds')",
        "UPDATE grade SET told = x'00' WHERE n = 0",
        "UPDATE part SET id = 'disc-c' WHERE id = 'disc-b'",
        "UPDATE host SET left_out = '{}'",
        "DELETE FROM host",
    ],
)
def test_damaged_rows_are_no_rows(connection: sqlite3.Connection, damage: str) -> None:
    keep(connection, [HOST])
    assert kept(reader(connection), "hub", "knuckle-1") == HOST
    assert connection.execute(damage).rowcount > 0
    assert kept(reader(connection), "hub", "knuckle-1") is None


# Pairs that are remembered by their facts.


def test_a_pair_is_remembered_by_its_facts(connection: sqlite3.Connection) -> None:
    remember(connection, {"one": GOOD, "two": BAD, "none": ()})
    query = reader(connection)
    assert remembered(query, "one") == GOOD
    assert remembered(query, "two") == BAD
    assert remembered(query, "none") == ()
    assert remembered(query, "three") is None
    remember(connection, {"one": BAD})
    assert remembered(query, "one") == BAD


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE known SET told = replace(told, 'fails', 'holds')",
        "UPDATE known SET told = (SELECT told FROM known WHERE facts = 'good') WHERE facts = 'bad'",
        "UPDATE known SET told = (SELECT told FROM known WHERE facts = 'good'), "
        "digest = (SELECT digest FROM known WHERE facts = 'good') WHERE facts = 'bad'",
        "UPDATE known SET facts = facts || '!'",
        "UPDATE known SET told = x'00' WHERE facts = 'bad'",
        "UPDATE known SET digest = x'00' WHERE facts = 'bad'",
        "DELETE FROM known",
        "DROP TABLE known",
    ],
)
def test_damaged_pairs_are_not_remembered(connection: sqlite3.Connection, damage: str) -> None:
    remember(connection, {"good": GOOD, "bad": BAD})
    connection.execute(damage)

    def query(*asked: Any) -> list[tuple[Any, ...]] | None:
        try:
            return list(connection.execute(asked[0], asked[1:]))
        except sqlite3.Error:
            return None

    assert remembered(query, "bad") is None
    assert remembered(query, "good") in (GOOD, None)


def test_of_too_many_the_oldest_go(
    connection: sqlite3.Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(table, "MOST", 3)
    remember(connection, {"one": GOOD, "two": GOOD, "three": GOOD})
    remember(connection, {"one": GOOD})  # asked for again: it is not the oldest any more
    remember(connection, {"four": GOOD})
    query = reader(connection)
    found = [facts for facts in ("one", "two", "three", "four") if remembered(query, facts)]
    assert found == ["one", "three", "four"]
    later = sqlite3.connect(":memory:")
    begin(later)
    carry_over(later, query)
    assert [f for f in ("one", "three", "four") if remembered(reader(later), f) == GOOD] == found
    remember(later, {"five": GOOD})
    assert remembered(reader(later), "three") is None
    assert remembered(reader(later), "one") == GOOD
