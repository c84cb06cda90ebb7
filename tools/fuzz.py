"""Damage done to the shipped facts: what `facts check` says of it, and how long it takes.

Each file is a shipped one after some blows: bytes lost, doubled or swapped, pieces of YAML put in,
numbers turned into others, lines moved, kinds mixed up; now and then a bomb of aliases, brackets
5,000 deep or a file of 10 MB. All of it must give findings with a known code, on one line, at a
place within the file, and never an exception. Times are the processor's, so that a busy machine
does not count. Exit 0: so it was; 1: it was not; 2: bad arguments.
"""

from __future__ import annotations

import argparse
import random
import re
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from lugplane.check.codes import CHECK_CODES
from lugplane.check.finding import Finding
from lugplane.check.one import Yardstick, content_findings
from lugplane.check.yardsticks import assumed, plausible, schemas
from lugplane.data import data_folder
from lugplane.facts import scan
from lugplane.facts.codes import CODES
from lugplane.facts.kinds import FOLDER_OF

DAY = date(2026, 11, 25)
LONGEST = 1200
"""Most characters of a finding; a message is a line or two on a terminal."""

PIECES = [
    *(b"[", b"]", b"{", b"}", b":", b": ", b"- ", b"? ", b"#", b" #", b",", b"'", b'"', b"|", b">"),
    *(b"&a ", b"*a", b"!", b"!!str ", b"<<: ", b"%", b"@", b"`", b"~", b"\\", b"\t", b"\n", b"\r"),
    *(b"\n---\n", b"\n...\n", b"\x00", b"\xff", b"\xef\xbb\xbf", b"\xc2\x85", b"\xe2\x80\xa8"),
    *(b"  ", b".inf", b"010", b"1e999", b"9" * 30, b"null", b"\xf0\x9f\x9a\x97", b"\xed\xa0\x80"),
    *(b"[" * 40, b"{a: " * 40, b"- " * 40, b"\n ", b"a: b", b"&", b"*", b"\\u0000", b"\\x1b"),
    *(b"yes", b"-1", b"0", b"24,6", b"1:30", b"through", b"(r)", b" mm", "±".encode(), b"..", b"e"),
]
NUMBERS = [
    "0",
    "-1",
    "1e9",
    "1e-9",
    "25,4",
    ".5",
    "007",
    "-0.0",
    "1e308",
    "9" * 25,
    "0x1f",
    "1_000",
]


@dataclass
class Tally:
    """What came of the files."""

    files: int = 0
    sound: int = 0
    codes: Counter[str] = field(default_factory=Counter)
    slowest_s: float = 0.0
    slowest: str = ""
    slow: int = 0
    wrong: list[str] = field(default_factory=list)

    def lines(self) -> Iterator[str]:
        """The counts, a line each."""
        yield f"{self.files} files: {self.sound} without a finding, {self.files - self.sound} with"
        yield f"{len(self.codes)} codes: " + ", ".join(
            f"{c} {n}" for c, n in self.codes.most_common()
        )
        yield f"slowest: {self.slowest_s * 1000:.1f} ms, {self.slowest}"
        yield f"over the limit: {self.slow}"
        yield f"wrong: {len(self.wrong)}"
        yield from self.wrong[:10]


def good_files() -> list[tuple[str, Path]]:
    """Kind and file of every shipped record."""
    home = data_folder() / "kb"
    return [(k, f) for k, name in FOLDER_OF.items() for f in sorted((home / name).glob("*.yaml"))]


def bombs() -> dict[str, bytes]:
    """Files made to take time or room."""
    lines = ["a0: &a0 [x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 12)]
    head = "kind: disc\nid: d\ntitle: t\n"
    points = ", ".join("[1, 2, 3]" for _ in range(900))
    return {
        "aliases": "\n".join(lines).encode(),
        "merges": ("a: &a {b: 1}\n" + "c: {<<: *a}\n" * 900).encode(),
        "brackets 5000 deep": (head + "height_mm: " + "[" * 5000 + "]" * 5000).encode(),
        "mappings 5000 deep": (head + "height_mm: " + "{a: " * 5000 + "}" * 5000).encode(),
        "blocks 700 deep": "".join(" " * n + "a:\n" for n in range(700)).encode(),
        "open brackets": b"[" * 200_000,
        "10 MB of one word": b"a" * 10_000_000,
        "10 MB of lines": (head + "notes: x\n" * 1_100_000).encode(),
        "10 MB of blanks": b" " * 10_000_000,
        "one long number": (head + "height_mm: " + "9" * 200_000).encode(),
        "one long value": (head + "height_mm: " + "1 " * 100_000).encode(),
        "one long text": (head + 'notes: "' + "x" * 200_000 + '"').encode(),
        "many points": (
            f"kind: caliper\nid: d\ntitle: t\noutline: {{points_x_r_y: [{points}]}}"
        ).encode(),
        "many keys": (head + "".join(f"k{n}: {n}\n" for n in range(1900))).encode(),
        "many readings": (head + "height_mm: [" + "48, " * 3900 + "48]\n").encode(),
        "readings as they may be": (head + "height_mm: [" + "48, " * 49 + "48]\n").encode(),
        "members as they may be": (
            head
            + "height_mm: [48, 49, 50]\noutline: 1\nmembers:\n"
            + "".join(f"  m{n}: {{bore_mm: -{n}, mass_kg: 7000}}\n" for n in range(100))
        ).encode(),
        "many members": (
            head + "members:\n" + "".join(f"  m{n}: {{}}\n" for n in range(1200))
        ).encode(),
        "nothing but ends": b"\n" * 200_000,
        "carriage returns": b"\r" * 200_000,
        "noughts": b"\x00" * 200_000,
    }


def blow(chance: random.Random, text: bytearray) -> None:
    """One blow, anywhere."""
    at = chance.randrange(len(text) + 1)
    to = min(len(text), at + chance.choice([0, 1, 1, 2, 5, 30, 200]))
    lines = text.split(b"\n")
    line = chance.randrange(len(lines))
    match chance.randrange(10):
        case 0:
            text[at:to] = b""
        case 1:
            text[at:at] = chance.choice(PIECES)
        case 2:
            text[at:to] = chance.choice(PIECES)
        case 3:
            text[at : at + 1] = bytes([chance.randrange(256)])
        case 4:
            at_other = chance.randrange(len(text) + 1)
            text[at_other:at_other] = text[at:to]
        case 5:
            lines[line] = bytearray(b" " * chance.randrange(6)) + lines[line].lstrip()
            text[:] = b"\n".join(lines)
        case 6:
            other = chance.randrange(len(lines))
            lines[line], lines[other] = lines[other], lines[line]
            text[:] = b"\n".join(lines)
        case 7:
            lines[line : line + 1] = [lines[line]] * chance.choice([0, 2, 2, 40])
            text[:] = b"\n".join(lines)
        case _:
            text[:] = other_number(chance, bytes(text))


def other_number(chance: random.Random, text: bytes) -> bytes:
    """One number of the text turned into another: scaled, turned round, or no number at all."""
    found = list(re.finditer(rb"\d+(?:\.\d+)?", text))
    if not found:
        return text
    one = chance.choice(found)
    value = float(one.group())
    scaled = value * chance.choice([25.4, 1 / 25.4, 2, 0.5, 1000, 0.001, 10, -1, 0])
    written = chance.choice([f"{scaled:g}", *chance.sample(NUMBERS, 1)])
    return text[: one.start()] + written.encode() + text[one.end() :]


def damaged(chance: random.Random, good: bytes) -> bytes:
    """A good file after one to six blows."""
    text = bytearray(good)
    for _ in range(chance.choice([1, 1, 1, 2, 3, 6])):
        if text:
            blow(chance, text)
    return bytes(text)


def faults(findings: Sequence[Finding], content: bytes) -> Iterator[str]:
    """What is wrong with findings themselves."""
    lines = content.count(b"\n") + content.count(b"\r") + 2
    for finding in findings:
        problem = finding.problem
        if problem.code not in CODES and problem.code not in CHECK_CODES:
            yield f"an unknown code: {problem.code}"
        if not (1 <= problem.line <= lines and 1 <= problem.column <= len(content) + 2):
            yield f"a place out of the file: {problem}"
        if not str(problem).isprintable() or len(str(problem)) > LONGEST:
            yield f"not a line to be read: {str(problem)[:300]!r}"
        if not problem.found or finding.level not in ("error", "warning"):
            yield f"says nothing: {problem!r}"
    if len(set(findings)) != len(findings):
        yield "the same said twice"


class Range:
    """Where damaged files are looked at; `folder` takes those that are read from disc."""

    def __init__(self, folder: Path, limit_s: float) -> None:
        self.tally = Tally()
        self._folder = folder
        self._limit_s = limit_s
        self._by = Yardstick(plausible(), assumed(), DAY, {})

    def look(self, kind: str, name: str, content: bytes) -> None:
        """Check one file, written and read as any other."""
        path = self._folder / f"{name}.yaml"
        path.write_bytes(content)
        source = scan.SourceFile(kind, name, path, f"kb/{FOLDER_OF[kind]}/{name}.yaml")
        begun = time.process_time()
        try:
            findings, _ = content_findings(source, scan.content(source), schemas(), self._by)
        except Exception:
            self.tally.wrong.append(f"{name}: {content[:200]!r}\n{traceback.format_exc()}")
            findings = []
        took = time.process_time() - begun
        path.unlink()
        self._count(name, took, findings, content)

    def _count(self, name: str, took: float, findings: list[Finding], content: bytes) -> None:
        tally = self.tally
        tally.files += 1
        tally.sound += not findings
        tally.codes.update(finding.problem.code for finding in findings)
        tally.wrong += [
            f"{name}: {fault}: {content[:200]!r}" for fault in faults(findings, content)
        ]
        tally.slow += took > self._limit_s
        if took > tally.slowest_s:
            tally.slowest_s, tally.slowest = took, f"{name} ({len(content)} bytes)"


def run(count: int, seed: int, limit_s: float, folder: Path) -> Tally:
    """Look at `count` damaged files and at all bombs; `folder` is for files in between."""
    stand = Range(folder, limit_s)
    files = [(kind, file.stem, file.read_bytes()) for kind, file in good_files()]
    for kind, name, content in files[:3]:  # what is imported and built at first is no file's fault
        stand.look(kind, name, content)
    for kind in FOLDER_OF:
        stand.look(kind, "d", b"kind: x\n")
    stand.tally = Tally()
    for said, content in bombs().items():
        stand.look(
            "caliper" if content.startswith(b"kind: caliper") else "disc",
            said.replace(" ", "-").lower(),
            content,
        )
    for n in range(count):
        chance = random.Random(f"{seed} {n}")
        kind, name, content = chance.choice(files)
        # Now and then it lies in the folder of another kind.
        kind = chance.choice(list(FOLDER_OF)) if chance.random() < 0.02 else kind
        stand.look(
            kind, f"{name}.{n}" if chance.random() < 0.05 else name, damaged(chance, content)
        )
    return stand.tally


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, prog="tools/fuzz")
    parser.add_argument("--count", type=int, default=20_000, help="damaged files (20000)")
    parser.add_argument("--seed", type=int, default=1, help="another run of blows (1)")
    parser.add_argument("--limit", type=float, default=0.1, help="most seconds a file (0.1)")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        tally = run(asked.count, asked.seed, asked.limit, Path(folder))
    print("\n".join(tally.lines()))
    return 1 if tally.wrong or tally.slow else 0


if __name__ == "__main__":
    sys.exit(main())
