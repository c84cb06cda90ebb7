"""What the tests of the store share: a small folder of facts, and what an answer consists of."""

from __future__ import annotations

import os
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from lugplane.errors import LugplaneError
from lugplane.facts import program
from lugplane.facts.base import Base, load
from lugplane.facts.records import RECORDS
from lugplane.quantity.limits import Assumed

BASES = ("measured", "drawing", "catalogue", "standard", "report", "inferred", "invented")
ASSUMED = {basis: Assumed(mm=0.5, percent=5.0) for basis in BASES}

FILES = {
    "sources/sheet.yaml": "kind: source\nid: sheet\ntitle: A sheet\nsort: bench\n",
    "discs/plain.yaml": (
        "kind: disc\nid: plain\ntitle: A plain disc\n"
        "readings:\n  cat: {basis: invented, source: sheet, plus_minus_mm: 0.1}\n"
        "unless_said: cat\ndiameter_mm: 300\nheight_mm: [50, 51 ±0.2]\n"
    ),
    "discs/sized.yaml": (
        "kind: disc\nid: sized\ntitle: A disc in two sizes\n"
        "readings:\n  cat: {basis: invented, source: sheet}\n"
        "unless_said: cat\nbolts: {count: 5, circle_mm: 108 ±0.1}\n"
        'members:\n  "a": {diameter_mm: 280}\n'
        '  "b": {diameter_mm: 312, bolts: {circle_mm: 112}, title: The larger one}\n'
    ),
    "moved/older.yaml": 'kind: moved\nid: older\ntitle: Renamed\nto: plain\ndate: "2026-01-02"\n',
}


@pytest.fixture(autouse=True)
def cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache folder of its own for each test; it is not there yet."""
    program.program_seen.cache_clear()  # each test is a run of the program as it is now
    folder = tmp_path_factory.mktemp("cache") / "lugplane"
    monkeypatch.setenv("LUGPLANE_CACHE", str(folder))
    return folder


@pytest.fixture
def kb(tmp_path: Path) -> Path:
    """A small folder of facts without a problem."""
    folder = tmp_path / "kb"
    for name, text in FILES.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return folder


Answer = Any


def facts_of(base: Base) -> dict[str, str]:
    """All records of a base, with every value and place, as text."""
    return {record.id: repr(record) for cls in RECORDS.values() for record in base.all(cls)}


@pytest.fixture
def answer() -> Callable[..., Answer]:
    """All that folders of facts say, or the error that they give."""

    def ask(*folders: Path) -> Answer:
        try:
            base = load(folders, ASSUMED)
            return [base.ids(), facts_of(base), [base.find(i) for i in base.ids("moved")]]
        except LugplaneError as error:
            return str(error)

    return ask


@pytest.fixture
def truth(answer: Callable[..., Answer], monkeypatch: pytest.MonkeyPatch) -> Callable[..., Answer]:
    """The same without any cache."""

    def ask(*folders: Path) -> Answer:
        with monkeypatch.context() as patch:
            patch.setenv("LUGPLANE_CACHE", "off")
            return answer(*folders)

    return ask


@pytest.fixture
def parsed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files whose text was read as YAML, in the order of reading; to be cleared at will."""
    from lugplane.facts import scan

    names: list[str] = []
    record = scan.record

    def noted(source: scan.SourceFile, *rest: Any) -> Any:
        names.append(source.path.name)
        return record(source, *rest)

    monkeypatch.setattr(scan, "record", noted)
    return names


@pytest.fixture
def forked() -> Callable[[Callable[[], Any]], Callable[[], Any]]:
    """Start a function in a process of its own; calling what comes back waits for its result.

    That is what the function gave, or the negative number of the signal that ended the process.
    """

    def start(function: Callable[[], Any]) -> Callable[[], Any]:
        reading, writing = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(reading)
            code = 1
            try:
                with os.fdopen(writing, "wb") as stream:
                    pickle.dump(function(), stream)
                code = 0
            finally:
                os._exit(code)
        os.close(writing)

        def wait() -> Any:
            with os.fdopen(reading, "rb") as stream:
                said = stream.read()
            code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
            assert code <= 0, "the function raised"
            return pickle.loads(said) if code == 0 else code

        return wait

    return start
