"""The index of a store: what it tells is what was written, piece by piece, or it tells nothing."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugplane.errors import LugplaneError
from lugplane.facts import compiling, kept
from lugplane.facts.base import load
from lugplane.facts.fingerprint import digest
from lugplane.facts.index import LEAF, Index, Line, index_of
from lugplane.facts.records import Disc
from lugplane.facts.store import stored_parts
from lugplane.quantity.limits import Assumed

BASES = ("measured", "drawing", "catalogue", "standard", "report", "inferred", "invented")
ASSUMED = {basis: Assumed(mm=0.5, percent=5.0) for basis in BASES}
FIRST = 100

WORD = st.text("ab.-1", min_size=1, max_size=3)
LINES = st.dictionaries(
    WORD,
    st.tuples(
        st.sampled_from(["disc", "pad", "wheel"]),
        st.none() | st.lists(WORD, min_size=1, max_size=3, unique=True),
    ),
    max_size=3 * LEAF,
).map(
    lambda found: [
        Line(kind, id_, 0, digest(id_.encode()), n, "body", members)
        for n, (id_, (kind, members)) in enumerate(found.items())
    ]
)


class Shelf:
    """Gives the pieces of an index, and knows which were asked for."""

    def __init__(self, pieces: list[bytes]) -> None:
        self.pieces = pieces
        self.asked: list[int] = []

    def __call__(self, number: int, expected: str) -> bytes:
        text = self.pieces[number - FIRST]
        assert digest(text) == expected
        self.asked.append(number)
        return text


def opened(lines: list[Line]) -> tuple[Index, Shelf]:
    marks = {line.kind: f"mark of {line.kind}" for line in lines}
    directory, pieces = index_of(lines, marks, FIRST)
    shelf = Shelf(pieces)
    return Index(directory, shelf), shelf


@given(LINES, st.lists(WORD), st.lists(st.tuples(WORD, WORD)))
def test_every_part_and_no_other(
    lines: list[Line], others: list[str], inner: list[tuple[str, str]]
) -> None:
    index, _ = opened(lines)
    of = {part: line for line in lines for part in line.ids}
    asked = [*of, *others, *(f"{a}/{b}" for a, b in inner), *(line.id for line in lines), ""]
    for part in asked:
        assert index.line_of(part) == of.get(part)
    for line in lines:
        assert index.line(line.id) == line
    kinds = {line.kind for line in lines}
    assert set(index.kinds) == kinds
    for kind in ("disc", "pad", "wheel", "none"):
        assert index.mark_of(kind) == (f"mark of {kind}" if kind in kinds else None)
        assert list(index.ids(kind)) == sorted(p for p, line in of.items() if line.kind == kind)


@given(LINES, st.data())
def test_the_mark_is_another_one_as_soon_as_a_line_is(lines: list[Line], data: Any) -> None:
    mark = opened(lines)[0].mark
    assert opened(lines[::-1])[0].mark == mark
    if lines:
        n = data.draw(st.integers(0, len(lines) - 1))
        other = [*lines[:n], lines[n]._replace(content="another"), *lines[n + 1 :]]
        assert opened(other)[0].mark != mark
        assert opened([*lines[:n], *lines[n + 1 :]])[0].mark != mark


def test_only_the_piece_that_is_needed_is_read_and_once() -> None:
    lines = [Line("disc", f"part-{n:04}", 0, "", n, "", None) for n in range(20 * LEAF)]
    index, shelf = opened(lines)
    assert shelf.asked == []
    assert index.line_of("part-0100") == lines[100]
    assert index.line_of("part-0100/a") is None
    assert index.line_of("part-0101") == lines[101]
    assert index.line_of("part-0100-b") is None
    assert index.line_of("before-all") is None
    assert shelf.asked == [FIRST + 100 // LEAF]
    assert len(index.ids("disc")) == len(index.ids("disc")) == 20 * LEAF
    assert shelf.asked[1:] == [FIRST + 20]


def test_the_mark_of_a_kind_rests_on_its_facts_alone(kb: Path) -> None:
    def marks() -> dict[str, str]:
        cold, warm = (load([kb], ASSUMED) for _ in range(2))
        found = {kind: warm.mark_of(kind) for kind in ("disc", "source", "moved", "hose")}
        assert found == {kind: cold.mark_of(kind) for kind in found}
        return found

    first = marks()
    path = kb / "discs" / "plain.yaml"
    text = path.read_text()
    path.write_text("# A line more.\n" + text)
    assert marks() == first
    path.write_text(text.replace("300", "301"))
    assert marks() == {**first, "disc": marks()["disc"]} != first
    path.write_text(text)
    (kb / "discs" / "sized.yaml").unlink()
    assert marks() == {**first, "disc": marks()["disc"]} != first


# Damage to the pieces in a store.


def of_store(cache: Path) -> tuple[Path, list[int]]:
    """The store, and the numbers of the pieces of its index."""
    (file,) = cache.glob("facts-*.sqlite")
    connection = sqlite3.connect(file)
    ((body,),) = connection.execute("SELECT body FROM named WHERE name = 'index'")
    connection.close()
    _, leaves, kinds, _ = json.loads(body)
    return file, [number for number, _ in (*leaves, *kinds.values())]


DAMAGE = [
    "DELETE FROM numbered WHERE n = ?1",
    "UPDATE numbered SET body = x'5b5d' WHERE n = ?1",
    "UPDATE numbered SET body = NULL WHERE n = ?1",
    "UPDATE numbered SET n = -1 WHERE n = ?1",
    # Another piece in its place: whole, but not the one.
    "UPDATE numbered SET body = (SELECT body FROM numbered WHERE n = ?1 + 1) WHERE n = ?1",
    "UPDATE numbered SET body = (SELECT body FROM numbered WHERE n = ?1 - 1) WHERE n = ?1",
    # A part that is no longer there, one that never was, and one of another kind.
    "UPDATE numbered SET body = CAST(replace(body, 'plain', 'plane') AS BLOB) WHERE n = ?1",
    "UPDATE numbered SET body = CAST(replace(body, 'sized', 'seized') AS BLOB) WHERE n = ?1",
    "UPDATE numbered SET body = CAST(replace(body, 'disc', 'hose') AS BLOB) WHERE n = ?1",
    "UPDATE numbered SET body = CAST(replace(body, '\"b\"', '\"c\"') AS BLOB) WHERE n = ?1",
]


def everything(kb: Path) -> list[Any]:
    """What a base tells of its index, and of parts that are not there."""
    base = load([kb], ASSUMED)
    asked = (*base.ids(), "plane", "plain/a", "seized/a", "sized", "sized/c", "nobody")
    return [
        sorted(base.kinds),
        [
            (base.mark_of(kind), list(base.ids(kind)))
            for kind in ("disc", "hose", "source", "moved")
        ],
        [(id_, base.kind_of(id_), list(base.members(id_))) for id_ in asked],
        [repr(record) for record in base.all(Disc)],
    ]


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_piece_is_never_believed(kb: Path, cache: Path, damage: str) -> None:
    right = everything(kb)
    assert everything(kb) == right
    _, numbers = of_store(cache)
    assert len(numbers) == 4
    changed = 0
    for number in numbers:
        file, _ = of_store(cache)
        good = file.read_bytes()
        connection = sqlite3.connect(file, isolation_level=None)
        connection.execute(damage, (number,))
        connection.close()
        changed += file.read_bytes() != good
        assert everything(kb) == right
        assert everything(kb) == right
    assert changed


def test_a_damaged_piece_is_mended_without_reading_a_file(
    kb: Path, cache: Path, parsed: list[str]
) -> None:
    right = everything(kb)
    file, numbers = of_store(cache)
    good = file.read_bytes()
    connection = sqlite3.connect(file, isolation_level=None)
    connection.execute(DAMAGE[0], (numbers[0],))
    connection.close()
    parsed.clear()
    assert isinstance(stored_parts([kb], ASSUMED), kept.StoredParts)
    assert everything(kb) == right
    assert parsed == []
    assert len(of_store(cache)[0].read_bytes()) == len(good)


def test_all_pieces_are_made_anew_at_once(
    kb: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    right = everything(kb)
    done: list[int] = []
    real = compiling.compile_facts

    def noted(*given: Any) -> Any:
        done.append(1)
        return real(*given)

    monkeypatch.setattr(compiling, "compile_facts", noted)
    file, numbers = of_store(cache)
    connection = sqlite3.connect(file, isolation_level=None)
    connection.execute("DELETE FROM numbered WHERE n >= ?", (numbers[0],))
    connection.close()
    assert everything(kb) == right
    assert len(done) == 1


def test_a_piece_damaged_in_use_and_the_facts_changed(kb: Path, cache: Path) -> None:
    load([kb], ASSUMED)
    base = load([kb], ASSUMED)
    file, _ = of_store(cache)
    with file.open("r+b") as stream:
        stream.write(b"\xff" * file.stat().st_size)
    path = kb / "discs" / "plain.yaml"
    path.write_text(path.read_text().replace("300", "301"))
    with pytest.raises(LugplaneError, match=r"facts were changed while .*: start again"):
        base.kind_of("plain")
    assert load([kb], ASSUMED).get(Disc, "plain").diameter_mm.reading.nominal == 301


def test_a_piece_damaged_in_use_and_the_facts_broken(kb: Path, cache: Path) -> None:
    load([kb], ASSUMED)
    base = load([kb], ASSUMED)
    file, _ = of_store(cache)
    with file.open("r+b") as stream:
        stream.write(b"\xff" * file.stat().st_size)
    (kb / "discs" / "plain.yaml").write_text("kind: disc\n")
    with pytest.raises(LugplaneError, match=r"facts were changed while .*: start again"):
        base.kind_of("plain")
