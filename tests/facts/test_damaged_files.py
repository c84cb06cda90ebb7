"""Damage of every sort done to a good file: problems, and never anything else."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from lugplane.facts.codes import CODES
from lugplane.facts.schema import Schemas
from lugplane.facts.yaml12 import Damaged, Document, read

SCHEMAS = Schemas(Path(__file__).parents[2] / "schemas")

GOOD = """\
# A fixed caliper; invented.
kind: caliper
id: tovan-q4
title: Four-piston fixed caliper
readings:
  bench: {basis: measured, source: bench-14, date: "2026-03-14", plus_minus_mm: 0.15}
  cat:
    basis: catalogue
    source: cat-07
unless_said: cat
mount: axial
lug: {spacing_mm: 142.0 ±0.1, hole: threaded, thread: M12x1.5, depth_mm: through}
face_to_centre_mm:
  - 24.6 ±0.15 (bench)
  - '25.0 (cat)'
slot_mm: 64.0..64.6 (bench)
pistons: {a_side: 2, bores_mm: [36, 40], leading_mm: 36}
notes: |
  The left one is described;
  the right one mirrors it.
outline: {plus_minus_mm: 0.5, points_x_r_y: [[-61, 34, 0], [-61, 28, 70], [52, 36, 0]]}
members: {"41": {}, "44": {pistons: {a_side: 2, bores_mm: [40, 44]}}}
"""

PIECES = [
    *(b"[", b"]", b"{", b"}", b":", b": ", b"- ", b"? ", b"#", b" #", b",", b"'", b'"', b"|", b">"),
    *(b"&a ", b"*a", b"!", b"!!str ", b"<<: ", b"%", b"@", b"`", b"~", b"\\", b"\t", b"\n", b"\r"),
    *(b"\n---\n", b"\n...\n", b"\x00", b"\xff", b"\xef\xbb\xbf", b"\xc2\x85", b"\xe2\x80\xa8"),
    *(b"  ", b".inf", b"010", b"1e999", b"9" * 30, b"null", b"\xf0\x9f\x9a\x97", b"\xed\xa0\x80"),
    *(b"[" * 40, b"{a: " * 40, b"- " * 40, b"\n ", b"a: b", b"&", b"*", b"\\u0000", b"\\x1b"),
]


def damaged(chance: random.Random) -> bytes:
    """The good file after one to six blows."""
    text = bytearray(GOOD.encode())
    for _ in range(chance.choice([1, 1, 1, 2, 3, 6])):
        at = chance.randrange(len(text) + 1)
        to = min(len(text), at + chance.choice([0, 1, 1, 2, 5, 30, 200]))
        match chance.randrange(6):
            case 0:
                text[at:to] = b""
            case 1:
                text[at:at] = chance.choice(PIECES)
            case 2:
                text[at:to] = chance.choice(PIECES)
            case 3:
                text[at : at + 1] = bytes([chance.randrange(256)])
            case 4:
                other = chance.randrange(len(text) + 1)
                text[other:other] = text[at:to]
            case _:
                lines = text.split(b"\n")
                line = chance.randrange(len(lines))
                lines[line] = b" " * chance.randrange(6) + lines[line].lstrip()
                text[:] = b"\n".join(lines)
        if not text:
            break
    return bytes(text)


def test_the_good_file_is_good() -> None:
    document = read(GOOD, "f")
    assert isinstance(document, Document)
    assert SCHEMAS.check("caliper", document.data, document.positions, "f") == []


@pytest.mark.parametrize("seed", range(15))
def test_damage_gives_problems_and_nothing_else(seed: int) -> None:
    chance = random.Random(seed)
    unread = 0
    for _ in range(100):
        content = damaged(chance)
        document = read(content, "kb/calipers/tovan-q4.yaml")
        problems = []
        holes = frozenset()
        if isinstance(document, Damaged):
            assert document.problems, content
            problems += document.problems
            holes = document.holes
            unread += not document.complete
        if isinstance(document, Document) or document.complete:
            problems += SCHEMAS.check(
                "caliper", document.data, document.positions, document.file, holes
            )
        lines = content.count(b"\n") + content.count(b"\r") + 1
        for problem in problems:
            assert problem.code in CODES, content
            assert 1 <= problem.line <= lines + 1, (content, problem)
            assert 1 <= problem.column <= len(content) + 1, (content, problem)
            assert str(problem).isprintable(), (content, problem)
            assert len(str(problem)) < 700, (content, problem)
        assert len(set(problems)) == len(problems), content
    assert 10 < unread < 90  # some are past reading, some go on to the schema


def test_any_bytes_at_all() -> None:
    chance = random.Random(7)
    for _ in range(300):
        content = b"".join(
            chance.choice([chance.choice(PIECES), chance.randbytes(chance.randrange(4))])
            for _ in range(chance.randrange(40))
        )
        document = read(content, "f")
        if isinstance(document, Damaged):
            assert document.problems, content
            assert {problem.code for problem in document.problems} <= set(CODES), content


def test_every_beginning_of_the_good_file() -> None:
    content = GOOD.encode()
    for length in range(len(content)):
        document = read(content[:length], "f")
        if isinstance(document, Damaged):
            assert document.problems
            assert all(problem.line <= content.count(b"\n") + 1 for problem in document.problems)
