"""Graded rows kept in SQL come back as they were."""

from __future__ import annotations

import sqlite3

import pytest

from lugplane.links.links import Links
from lugplane.links.relation import EARS, HUB
from lugplane.links.table import keep, kept


def test_rows_come_back_as_they_were(shipped: Links) -> None:
    rows = [*shipped.rows(HUB), *shipped.rows(EARS)]
    connection = sqlite3.connect(":memory:")
    keep(connection, rows)
    hosts = {(r.relation, r.host) for r in rows}
    back = [row for relation, host in sorted(hosts) for row in kept(connection, relation, host)]
    key = lambda r: (r.relation, r.host, r.guest, r.check)  # noqa: E731
    assert sorted(back, key=key) == sorted(rows, key=key)
    assert list(kept(connection, "hub", "nobody")) == []


def test_a_pair_is_graded_once_in_each_check(shipped: Links) -> None:
    row = next(shipped.rows(HUB))
    with pytest.raises(sqlite3.IntegrityError):
        keep(sqlite3.connect(":memory:"), [row, row])
