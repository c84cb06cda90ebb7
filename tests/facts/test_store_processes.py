"""Several processes and one store: killed at any point, all at once, or started anew."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

from lugplane.facts import cache as cache_module
from lugplane.facts import cache_folder, compiling, kept, packed, store
from lugplane.facts.store import stored_parts
from lugplane.quantity.limits import Assumed

ROOT = Path(__file__).parents[2]
BASES = ("measured", "drawing", "catalogue", "standard", "report", "inferred", "invented")
ASSUMED = {basis: Assumed(mm=0.5, percent=5.0) for basis in BASES}
BUILDING = {str(m.__file__) for m in (cache_folder, cache_module, compiling, kept, packed, store)}

Ask = Callable[..., Any]


def edit(kb: Path, text: str) -> None:
    """Replace one file in one step."""
    path = kb / "discs" / "plain.yaml"
    (kb.parent / "made").write_text(text)
    (kb.parent / "made").replace(path)


def versions(kb: Path, truth: Ask) -> dict[str, Any]:
    """Two texts of one file, and what is right with each of them in place."""
    one = (kb / "discs" / "plain.yaml").read_text()
    other = one.replace("diameter_mm: 300", "diameter_mm: 301")
    found = {}
    for text in (other, one):
        edit(kb, text)
        found[text] = truth(kb)
    return found


def building(frame: FrameType) -> bool:
    """Whether this is code that makes a store."""
    return frame.f_code.co_filename in BUILDING


def writing(frame: FrameType) -> bool:
    """Whether this is code that has its file written."""
    names = {cache_module._replace.__name__, cache_module._put.__name__, "made", "fill"}
    names |= {cache_folder.replace_file.__name__, cache_folder.new_file.__name__}
    files = {cache_module.__file__, cache_folder.__file__}
    return frame.f_code.co_filename in files and frame.f_code.co_name in names


def killed_at(
    line: int, part: Callable[[FrameType], bool], work: Callable[[], Any]
) -> Callable[[], int]:
    """The work, killed at the given line of those in a part; else how many there were."""

    def run() -> int:
        count = 0

        def trace(frame: FrameType, event: str, _: object) -> Any:
            nonlocal count
            if not part(frame):
                return None
            if event == "line":
                count += 1
                if count == line:
                    os.kill(os.getpid(), signal.SIGKILL)
            return trace

        sys.settrace(trace)
        work()
        sys.settrace(None)
        return count

    return run


@pytest.mark.parametrize("before", ["nothing", "an older store"])
@pytest.mark.parametrize(("part", "points"), [(building, 8), (writing, 12)])
def test_killed_at_any_point_of_a_build(
    kb: Path,
    cache: Path,
    answer: Ask,
    truth: Ask,
    forked: Ask,
    parsed: list[str],
    before: str,
    part: Any,
    points: int,
) -> None:
    texts = versions(kb, truth)
    one, other = list(texts)

    def begin() -> None:
        edit(kb, one)
        for path in cache.glob("*"):
            path.unlink()
        if before != "nothing":
            answer(kb)
            edit(kb, other)

    begin()
    lines = forked(killed_at(0, part, lambda: answer(kb)))()
    assert lines >= points
    right = texts[(kb / "discs" / "plain.yaml").read_text()]
    killed = left_behind = 0
    for line in range(1, lines + 1, lines // points):
        begin()
        # The last of these lines may not be reached: there are fewer when files have grown old.
        killed += forked(killed_at(line, part, lambda: answer(kb)))() == -signal.SIGKILL
        left_behind += bool(list(cache.glob("*.tmp")))
        assert answer(kb) == right
        parsed.clear()
        assert answer(kb) == right
        assert parsed == []
    assert killed >= points - 2
    assert part is building or left_behind > points // 2  # killed in the middle of the file


def test_all_at_once(kb: Path, cache: Path, answer: Ask, truth: Ask, forked: Ask) -> None:
    right = truth(kb)
    started = [forked(lambda: [answer(kb) for _ in range(3)]) for _ in range(4)]
    assert [wait() for wait in started] == [[right] * 3] * 4
    assert [path.suffix for path in cache.iterdir()] == [".sqlite"]
    assert isinstance(stored_parts([kb], ASSUMED), kept.StoredParts)


def test_all_at_once_while_somebody_edits(kb: Path, answer: Ask, truth: Ask, forked: Ask) -> None:
    texts = versions(kb, truth)
    reading, writing = os.pipe()

    def ask() -> list[Any]:
        found = [answer(kb) for _ in range(10)]
        os.write(writing, b"x")
        return found

    started = [forked(ask) for _ in range(3)]
    os.set_blocking(reading, False)
    done = 0
    turns = 0
    while done < 3:
        edit(kb, list(texts)[turns % 2])
        turns += 1
        try:
            done += len(os.read(reading, 3))
        except BlockingIOError:
            assert answer(kb) == texts[(kb / "discs" / "plain.yaml").read_text()]
    os.close(reading)
    os.close(writing)
    found = [one for wait in started for one in wait()]
    assert len(found) == 30
    assert all(one in texts.values() for one in found)
    assert turns > 3
    assert answer(kb) == texts[(kb / "discs" / "plain.yaml").read_text()]


def test_a_base_serves_many_threads(kb: Path, answer: Ask) -> None:
    from concurrent.futures import ThreadPoolExecutor

    from lugplane.facts.base import load
    from lugplane.facts.records import Disc

    right = answer(kb)[1]
    assert answer(kb)[1] == right
    for _ in range(5):
        base = load([kb], ASSUMED)
        ids = ["plain", "sized/a", "sized/b"] * 5
        with ThreadPoolExecutor(8) as pool:
            found = list(pool.map(lambda id_, b=base: repr(b.get(Disc, id_)), ids))  # type: ignore[misc]
        assert found == [right[id_] for id_ in ids]


START = """
import sys
from pathlib import Path
from lugplane.facts.base import load
from lugplane.quantity.limits import Assumed

assumed = {basis: Assumed(0.5, 5.0) for basis in sys.argv[2].split(",")}
base = load([Path(sys.argv[1])], assumed)
print(len(base.ids()), base.kind_of("sized/a"))
print(*sorted({"yaml", "jsonschema", "networkx"} & set(sys.modules)))
"""


def test_a_warm_start_imports_nothing_that_reads(kb: Path, cache: Path) -> None:
    run = [sys.executable, "-c", START, str(kb), ",".join(BASES)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "engine")}
    said = [
        subprocess.run(run, env=environment, capture_output=True, text=True, check=True)
        for _ in range(2)
    ]
    assert [one.stdout.splitlines() for one in said] == [
        ["5 disc", "jsonschema yaml"],
        ["5 disc", ""],
    ]
    assert [one.stderr for one in said] == ["", ""]
