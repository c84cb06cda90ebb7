"""The faults that the stores are built to bear, each with its outcome: `pytest -v` lists them.

A row runs the test of that fault where there is one, whatever its fixtures; the rest of the rows,
on answers that are kept as text, are below.
"""

from __future__ import annotations

import importlib.util
import inspect
import os
import signal
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from lugplane.facts import again, cache_folder, fingerprint, ground, kept_texts, program, texts
from lugplane.facts.again import said_again

Ask = Callable[..., Any]


def _module(name: str) -> ModuleType:
    path = Path(__file__).with_name(f"{name}.py")
    spec = importlib.util.spec_from_file_location(f"faults_{name}", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


FACTS = _module("test_store")
PROCESSES = _module("test_store_processes")
FILES = _module("test_store_cache")
INDEX = _module("test_store_index")
clock = FACTS.clock  # a fixture that its tests ask for


@dataclass(frozen=True)
class Row:
    """What goes wrong, what comes of it, and the test that shows it, with its parameters."""

    fault: str
    outcome: str
    test: Callable[..., None]
    given: dict[str, Any] = field(default_factory=dict)

    @property
    def id(self) -> str:
        return f"{self.fault} -> {self.outcome}"


RIGHT = "right answer"

# Answers that are kept as text: said again only while all they rest on is the same.


def told(kb: Path, words: str = "asked") -> str:
    """A text that tells every byte of the facts, kept."""
    return said_again([kb], [words], lambda: read(kb))


def read(kb: Path) -> str:
    return "\n".join(f"{p.name} {p.read_text()}" for p in sorted(kb.rglob("*.yaml")))


def kept_file(cache: Path) -> Path:
    (file,) = cache.glob("answers-*.texts")
    return file


def never() -> str:
    raise AssertionError("it was worked out again")


def answer_killed(kb: Path, cache: Path, forked: Ask) -> None:
    files = {str(m.__file__) for m in (again, cache_folder, ground, kept_texts, texts)}
    part = lambda frame: frame.f_code.co_filename in files  # noqa: E731
    lines = forked(PROCESSES.killed_at(0, part, lambda: told(kb)))()
    assert lines > 40
    killed = 0
    for line in range(1, lines + 1, lines // 12):
        for path in cache.glob("*"):
            path.unlink()
        killed += forked(PROCESSES.killed_at(line, part, lambda: told(kb)))() == -signal.SIGKILL
        assert told(kb) == read(kb)
        assert said_again([kb], ["asked"], never) == read(kb)
    assert killed > 9


def answer_two_at_once(kb: Path, cache: Path, forked: Ask) -> None:
    def ask(n: int) -> Callable[[], list[str]]:
        return lambda: [told(kb, f"{n} {k % 2}") for k in range(4)]

    started = [forked(ask(n)) for n in range(4)]
    assert [wait() for wait in started] == [[read(kb)] * 4] * 4
    assert [path.suffix for path in cache.iterdir()] == [".texts"]
    assert told(kb, "later") == read(kb)
    assert said_again([kb], ["later"], never) == read(kb)


def answer_read_only(kb: Path, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told(kb)
    before = kept_file(cache).read_bytes()

    def refused(*_: object) -> None:
        raise PermissionError(13, "no")

    monkeypatch.setattr(cache_folder, "new_file", refused)
    assert said_again([kb], ["asked"], never) == read(kb)
    assert told(kb, "other") == read(kb)
    FACTS.same_size(kb)
    assert told(kb) == read(kb)
    assert kept_file(cache).read_bytes() == before


def answer_full(kb: Path, cache: Path, forked: Ask) -> None:
    import resource

    told(kb)
    before = kept_file(cache).read_bytes()
    room = len(before)  # enough for what is there, not for more

    def within() -> str:
        resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
        return told(kb, "other")

    assert forked(within)() == read(kb)
    assert kept_file(cache).read_bytes() == before
    assert [path.name for path in cache.iterdir()] == [kept_file(cache).name]


def answer_clock_back(kb: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import time

    for path in kb.rglob("*"):
        os.utime(path, (1, 1))
    now = time.time_ns() + 100 * 1_000_000_000
    monkeypatch.setattr(fingerprint.time, "time_ns", lambda: now)
    assert told(kb) == read(kb)
    assert said_again([kb], ["asked"], never) == read(kb)
    monkeypatch.setattr(fingerprint.time, "time_ns", lambda: now - 50 * 1_000_000_000)
    with pytest.raises(AssertionError, match="worked out again"):
        said_again([kb], ["asked"], never)  # stamps of the future prove nothing


def answer_edited(kb: Path) -> None:
    def work() -> str:
        found = read(kb)
        FACTS.same_size(kb)  # somebody saves while the answer is being worked out
        return found

    old = said_again([kb], ["asked"], work)
    assert told(kb) == read(kb) != old


def answer_program(kb: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path / "engine"
    (home / "render").mkdir(parents=True)
    code = home / "render" / "code.py"
    code.write_text("1\n")
    monkeypatch.setattr(program, "_HOME", home)
    program.program_seen.cache_clear()
    try:

        def work() -> str:
            code.write_text("2\n")  # what runs is not what is there
            return "by the old program"

        assert said_again([kb], ["asked"], work) == "by the old program"
        program.program_seen.cache_clear()
        assert said_again([kb], ["asked"], lambda: "by the new one") == "by the new one"
    finally:
        program.program_seen.cache_clear()


def answer_flipped(kb: Path, cache: Path) -> None:
    told(kb)
    content = kept_file(cache).read_bytes()
    assert b"diameter_mm: 300" in content
    kept_file(cache).write_bytes(content.replace(b"diameter_mm: 300", b"diameter_mm: 310"))
    assert told(kb) == read(kb)


KILLED = PROCESSES.test_killed_at_any_point_of_a_build
BUILDING = {"part": PROCESSES.building, "points": 8}
WRITING = {"part": PROCESSES.writing, "points": 12}
MATRIX = [
    Row(
        "facts: killed at any point of the first build",
        f"{RIGHT}, and the next run makes a whole store",
        KILLED,
        {"before": "nothing", **BUILDING},
    ),
    Row(
        "facts: killed at any point of a later build",
        f"{RIGHT}, and the next run makes a whole store",
        KILLED,
        {"before": "an older store", **BUILDING},
    ),
    Row(
        "facts: killed while the file is written",
        f"{RIGHT}; the half file is not looked at",
        KILLED,
        {"before": "nothing", **WRITING},
    ),
    Row("facts: four at once", f"{RIGHT} in all, one store", PROCESSES.test_all_at_once),
    Row(
        "facts: three at once while somebody edits",
        "each answer is one of a state that was",
        PROCESSES.test_all_at_once_while_somebody_edits,
    ),
    Row("facts: store can only be read", f"{RIGHT}, store as it was",
        FACTS.test_a_store_that_can_only_be_read),
    Row("facts: folder cannot be", RIGHT, FACTS.test_a_folder_that_cannot_be,
        {"where": "/dev/null/lugplane"}),
    Row("facts: disk full at the first build", f"{RIGHT}, nothing left behind",
        FACTS.test_a_full_disk, {"limit": 4096}),
    Row("facts: disk full at a later build", f"{RIGHT}, the older store stays",
        FACTS.test_a_full_disk_leaves_the_store_that_is_there),
    Row("facts: clock set back", "contents are compared",
        FACTS.test_a_change_after_the_clock_was_set_back),
    Row("facts: two changes within one tick of the clock", "contents are compared",
        FACTS.test_a_change_within_one_tick_of_the_clock),
    Row("facts: files of the future", "contents are compared",
        FACTS.test_files_of_the_future_are_compared_by_content),
    Row("facts: a file edited while others are read", "all are read again: one state",
        FACTS.test_a_file_changed_while_others_are_read),
    Row("facts: files that never stand still", "nothing is kept",
        FACTS.test_files_that_never_stand_still_are_not_kept),
    Row("facts: a file edited after the base was opened", "the base stays what it was",
        FACTS.test_a_base_stays_what_it_was),
    Row("facts: schemas edited while files are read", "nothing of it is kept",
        FACTS.test_schemas_changed_while_files_are_read),
    Row("facts: store overwritten while in use", f"{RIGHT}, from the files",
        FACTS.test_a_store_damaged_while_in_use),
    Row("facts: text of a record damaged", f"{RIGHT}, from its file",
        FACTS.test_a_damaged_record_is_read_from_its_file),
    Row("facts: text and file of a record both changed while in use", "told to start again",
        FACTS.test_a_damaged_record_and_its_file_changed),
    Row("facts: a piece of the index gone", RIGHT,
        INDEX.test_a_damaged_piece_is_never_believed, {"damage": INDEX.DAMAGE[0]}),
    Row("facts: a piece of the index where another belongs", RIGHT,
        INDEX.test_a_damaged_piece_is_never_believed, {"damage": INDEX.DAMAGE[4]}),
    Row("facts: a part's name changed in the index", RIGHT,
        INDEX.test_a_damaged_piece_is_never_believed, {"damage": INDEX.DAMAGE[6]}),
    Row("facts: index damaged and facts changed while in use", "told to start again",
        INDEX.test_a_piece_damaged_in_use_and_the_facts_changed),
    Row("facts: bits of the store flipped", RIGHT,
        FACTS.test_flipped_bits_never_give_another_answer, {"seed": 3}),
    Row("facts: store cut short", RIGHT, FACTS.test_a_store_cut_short, {"part": 50}),
    Row("facts: something else in its place", RIGHT,
        FACTS.test_something_else_in_the_place_of_a_store),
    Row("facts: another user's store", "not believed",
        FACTS.test_another_users_store_is_not_believed),
    Row("facts: no sqlite in this Python", RIGHT, FACTS.test_a_python_without_sqlite),
    Row("any: what killed processes left behind", "removed after an hour",
        FILES.test_old_files_make_room),
    Row("answers: killed at any point", f"{RIGHT}, kept by the next run", answer_killed),
    Row("answers: four at once", f"{RIGHT} in all, one file", answer_two_at_once),
    Row("answers: file can only be read", f"{RIGHT}, file as it was", answer_read_only),
    Row("answers: disk full", f"{RIGHT}, the older file stays", answer_full),
    Row("answers: clock set back", "worked out again", answer_clock_back),
    Row("answers: a fact edited while it is worked out", "not kept", answer_edited),
    Row("answers: program edited while it is worked out", "not kept", answer_program),
    Row("answers: text changed in the file", "not believed", answer_flipped),
]  # fmt: skip


@pytest.mark.parametrize("row", MATRIX, ids=lambda row: row.id)
def test_fault(row: Row, request: pytest.FixtureRequest) -> None:
    asked = inspect.signature(row.test).parameters
    given = {n: row.given[n] if n in row.given else request.getfixturevalue(n) for n in asked}
    assert set(row.given) <= set(asked)
    row.test(**given)


def test_every_row_is_another_fault() -> None:
    assert len({row.fault for row in MATRIX}) == len(MATRIX)
