"""Graded rows in SQL: the form in which a store keeps them.

A pair is one row that leads to its grades; pairs that came out alike share them. Of every host
there is a digest over its pairs, so that what is read back is what was written or nothing. Pairs
are remembered besides by the facts that were read of them, each with a digest of its own.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from lugplane.facts.fingerprint import digest
from lugplane.links.pair import Grade

SCHEMA = (
    "CREATE TABLE part(n INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE)",
    "CREATE TABLE grade(n INTEGER PRIMARY KEY, told TEXT NOT NULL UNIQUE)",
    "CREATE TABLE host(relation TEXT NOT NULL, host INTEGER NOT NULL, digest TEXT NOT NULL, "
    "left_out TEXT NOT NULL, PRIMARY KEY(relation, host)) WITHOUT ROWID",
    "CREATE TABLE link(relation TEXT NOT NULL, host INTEGER NOT NULL, guest INTEGER NOT NULL, "
    "grade INTEGER NOT NULL, PRIMARY KEY(relation, host, guest)) WITHOUT ROWID",
    "CREATE TABLE known(n INTEGER PRIMARY KEY, facts TEXT NOT NULL UNIQUE, told TEXT NOT NULL, "
    "digest TEXT NOT NULL)",
)
MOST = 100_000
"""So many pairs are remembered by their facts, to be found again when the base has changed."""

_HOST = (
    "SELECT h.digest, h.left_out FROM host h JOIN part p ON p.n = h.host "
    "WHERE h.relation = ? AND p.id = ?"
)
_PAIRS = (
    "SELECT g.id, grade.told FROM part h JOIN link ON link.host = h.n "
    "JOIN part g ON g.n = link.guest JOIN grade ON grade.n = link.grade "
    "WHERE link.relation = ? AND h.id = ? ORDER BY g.id"
)

Query = Callable[..., Sequence[tuple[Any, ...]] | None]
"""Gives the rows of a statement with its values; None where they cannot be read."""


@dataclass(frozen=True, slots=True)
class HostRows:
    """The pairs of one host in one relation, by their guests, in the order of their ids.

    `left_out` counts the guests without a row by the check that a window, or a group of guests
    that are alike, turned them down by.
    """

    relation: str
    host: str
    left_out: Mapping[str, int]
    pairs: Mapping[str, tuple[Grade, ...]]


def begin(connection: Any) -> None:
    """Make the tables. Raises `sqlite3.Error`."""
    for statement in SCHEMA:
        connection.execute(statement)


def keep(connection: Any, hosts: Iterable[HostRows]) -> None:
    """Add the rows of hosts that are not there yet. Raises `sqlite3.Error`."""
    parts: dict[str, int] = dict(connection.execute("SELECT id, n FROM part"))
    grades: dict[str, int] = dict(connection.execute("SELECT told, n FROM grade"))
    had = len(parts), len(grades)
    texts: dict[int, tuple[tuple[Grade, ...], str]] = {}

    def text(found: tuple[Grade, ...]) -> str:
        # Grades that are alike are one object, and turned into text once.
        if id(found) not in texts:
            texts[id(found)] = found, _told(found)
        return texts[id(found)][1]

    def number(known: dict[str, int], what: str) -> int:
        return known.setdefault(what, len(known))

    for rows in hosts:
        host = number(parts, rows.host)
        told = [(guest, text(found)) for guest, found in sorted(rows.pairs.items())]
        left_out = json.dumps(rows.left_out, sort_keys=True)
        proof = _proof_of_host(rows.relation, rows.host, left_out, told)
        head = rows.relation, host, proof, left_out
        connection.execute("INSERT INTO host VALUES(?, ?, ?, ?)", head)
        connection.executemany(
            "INSERT INTO link VALUES(?, ?, ?, ?)",
            [(rows.relation, host, number(parts, g), number(grades, t)) for g, t in told],
        )
    for table, known, before in (("part", parts, had[0]), ("grade", grades, had[1])):
        new = [(n, what) for what, n in known.items() if n >= before]
        connection.executemany(f"INSERT INTO {table} VALUES(?, ?)", new)


def kept(query: Query, relation: str, host: str) -> HostRows | None:
    """The rows of one host; None where there are none, or not as they were written."""
    head = query(_HOST, relation, host)
    told = query(_PAIRS, relation, host)
    if not head or told is None:
        return None
    proof, left_out = head[0]
    try:
        if proof != _proof_of_host(relation, host, left_out, told):
            return None
    except TypeError:
        return None
    known = {text: _grades(text) for text in {text for _, text in told}}
    return HostRows(relation, host, json.loads(left_out), {g: known[t] for g, t in told})


def there(query: Query, relation: str, host: str) -> bool:
    """Whether there is something of a host, or it cannot be seen; sound or not."""
    head = query(_HOST, relation, host)
    return head is None or bool(head)


def remember(connection: Any, found: Mapping[str, tuple[Grade, ...]]) -> None:
    """Add what pairs came to, by the digests of their facts; of too many the oldest go.

    Raises `sqlite3.Error`.
    """
    told = [(facts, _told(grades)) for facts, grades in found.items()]
    _add(connection, [(facts, text, _proof(facts, text)) for facts, text in told])


def carry_over(connection: Any, before: Query) -> None:
    """Add all pairs that another store remembers. Raises `sqlite3.Error`."""
    _add(connection, before("SELECT facts, told, digest FROM known ORDER BY n") or ())


def _add(connection: Any, rows: Sequence[tuple[Any, ...]]) -> None:
    into = "INSERT OR REPLACE INTO known(facts, told, digest) VALUES(?, ?, ?)"
    connection.executemany(into, rows)
    connection.execute("DELETE FROM known WHERE n <= (SELECT max(n) FROM known) - ?", (MOST,))


def remembered(query: Query, facts: str) -> tuple[Grade, ...] | None:
    """What a pair with these facts came to; None: it is not known, or not as it was written."""
    for told, proof in query("SELECT told, digest FROM known WHERE facts = ?", facts) or ():
        if isinstance(told, str) and proof == _proof(facts, told):
            return _grades(told)
    return None


def _told(grades: Iterable[Grade]) -> str:
    plain = [[g.check, g.state, g.band, g.margin] for g in grades]
    return json.dumps(plain, separators=(",", ":"))


def _grades(told: str) -> tuple[Grade, ...]:
    return tuple(Grade(*grade) for grade in json.loads(told))


def _proof_of_host(relation: str, host: str, left_out: str, told: Iterable[tuple[str, str]]) -> str:
    return _proof(relation, host, left_out, *(part for pair in told for part in pair))


def _proof(*texts: str) -> str:
    return digest("\0".join(texts).encode("utf-8", "surrogatepass"))
