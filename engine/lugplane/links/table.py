"""Graded rows in SQL: the form in which a store keeps them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import astuple
from typing import TYPE_CHECKING

from lugplane.links.links import Link

if TYPE_CHECKING:
    import sqlite3

SCHEMA = (
    "CREATE TABLE link("
    "relation TEXT NOT NULL, host TEXT NOT NULL, guest TEXT NOT NULL, check_id TEXT NOT NULL, "
    "state TEXT NOT NULL, band TEXT NOT NULL, margin REAL, "
    "PRIMARY KEY(relation, host, guest, check_id)) WITHOUT ROWID",
    "CREATE INDEX link_by_guest ON link(relation, guest)",
)
"""A pair that a window leaves out has no row: it fails the windowed check of its relation."""


def keep(connection: sqlite3.Connection, rows: Iterable[Link]) -> None:
    """Make the table and fill it. Raises `sqlite3.Error`."""
    for statement in SCHEMA:
        connection.execute(statement)
    connection.executemany("INSERT INTO link VALUES(?, ?, ?, ?, ?, ?, ?)", map(astuple, rows))


def kept(connection: sqlite3.Connection, relation: str, host: str) -> Iterator[Link]:
    """The rows of one host, guest by guest. Raises `sqlite3.Error`."""
    query = "SELECT * FROM link WHERE relation = ? AND host = ? ORDER BY guest, check_id"
    for row in connection.execute(query, (relation, host)):
        yield Link(*row)
