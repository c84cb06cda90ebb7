"""Lists judged beforehand: the same in any number of processes, and only what is not kept."""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Iterator
from dataclasses import replace
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from lugplane.answers import ready_spread
from lugplane.answers.fit import FitBench, Memo
from lugplane.answers.fit_plain import fits_to_text
from lugplane.answers.fits import fits
from lugplane.answers.kept import Kept
from lugplane.answers.ready import (
    AXLES,
    CHANGED,
    ENDED,
    INTERRUPTED,
    LEFT,
    MADE,
    UNKNOWN,
    WAS,
    Ready,
    question_of,
    ready,
)
from lugplane.answers.ready_judging import LISTED, At, Done, Judging, Task
from lugplane.errors import BadInput, EngineError, LugplaneError
from lugplane.facts import program
from lugplane.facts.cache import open_pack
from lugplane.facts.ground import Ground
from lugplane.facts.reach import Reach
from lugplane.facts.told import told
from lugplane.links.candidates import Candidate, candidates
from lugplane.links.links import Links
from lugplane.workshop import Workshop

from .conftest import cut_out, like

CARS = ("jarrick-hatch", "throssel-saloon")
ALL = [(car, axle) for car in CARS for axle in AXLES]
FIRST = ALL[0]
"""The axle that is judged first: none has more candidates."""
DISC = "odd-256"
"""A disc that only those candidates reach that have it: no other record names it."""

Parts = tuple[str, ...]


@pytest.fixture(scope="module")
def two_cars(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = cut_out(tmp_path_factory.mktemp("two") / "kb", *CARS)
    like(folder, "discs/vetch-256.yaml", DISC, title="Front disc 256 x 22, higher", height_mm="49")
    return folder


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    program.program_seen.cache_clear()  # each test is a run of the program as it is now
    return use(tmp_path / "cache", monkeypatch)


def use(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("LUGPLANE_CACHE", str(folder))
    return folder


@pytest.fixture
def kb(two_cars: Path, tmp_path: Path, cache: Path) -> Path:
    return copytree(two_cars, tmp_path / "kb")


@pytest.fixture
def judged(monkeypatch: pytest.MonkeyPatch) -> set[Parts]:
    """The parts of the candidates that anything was judged of, in this process."""
    done: set[Parts] = set()
    for name in ("_too_far", "_judged", "_looked_at"):
        real = getattr(FitBench, name)

        def noted(self: FitBench, candidate: Candidate, real: Any = real) -> Any:
            done.add(candidate.parts)
            return real(self, candidate)

        monkeypatch.setattr(FitBench, name, noted)
    return done


def make(kb: Path, *cars: str, jobs: int = 1) -> Ready:
    return ready([kb], cars, jobs=jobs)


def states(found: Ready) -> dict[tuple[str, str], str]:
    return {(a.platform, a.axle): a.state for a in found.axles}


def kept(cache: Path) -> dict[str, bytes]:
    """The digests of all verdicts that are kept, by the name of their axle."""
    found = {}
    for file in cache.glob("judged-*.sqlite"):
        pack = open_pack(file)
        assert pack is not None
        found.update(dict(pack.rows("SELECT name, digest FROM named") or ()))
    return found


def in_file(kb: Path, car: str, axle: str) -> int | None:
    return Kept(Workshop.open(only=kb), Memo()).in_file(car, axle)


def lists(kb: Path) -> dict[tuple[str, str], str]:
    """The lists that are told, by their axles."""
    ground = Ground.of([kb])
    assert ground is not None
    found = {axle: told(ground, question_of(*axle)) for axle in ALL}
    return {axle: text for axle, text in found.items() if text is not None}


def rewrite(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


def test_two_processes_do_what_one_does(
    kb: Path, cache: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    one = make(kb, jobs=1)
    alone, answers = kept(cache), lists(kb)
    assert set(states(one).values()) == {MADE}
    assert all(a.candidates and a.judged and not a.kept for a in one.axles)
    other = use(tmp_path / "other", monkeypatch)
    assert make(kb, jobs=2) == one
    assert (kept(other), lists(kb)) == (alone, answers)
    assert (len(alone), len(answers)) == (1 + len(ALL), len(ALL))
    assert multiprocessing.active_children() == []


def test_nothing_is_judged_where_nothing_changed(kb: Path, judged: set[Parts]) -> None:
    first = make(kb)
    assert judged
    judged.clear()
    again = make(kb)
    assert judged == set()
    assert (again.judged, again.kept) == (0, first.judged)
    assert set(states(again).values()) == {WAS}


def test_after_a_change_only_what_it_reaches_is_judged(kb: Path, judged: set[Parts]) -> None:
    first = make(kb)
    judged.clear()
    rewrite(kb / "discs" / f"{DISC}.yaml", "title: ", "title: Other ")
    again = make(kb)
    shop = Workshop.open(only=kb)
    reach = Reach(shop.base)

    def reached(c: Candidate) -> bool:
        return any(DISC in reach.ids(id_) for id_ in (c.platform, *c.parts))

    links = Links(shop.base, shop.rulebook)
    every = [c for axle in ALL for c in candidates(links, *axle).items]
    reaching = {c.parts for c in every if reached(c)}
    assert judged == reaching
    assert {c.parts for c in every} - reaching
    assert 0 < again.judged < first.judged
    assert again.judged + again.kept == first.judged
    for car, axle in ALL:
        fresh = fits(Workshop.open(only=kb), car, axle, verdicts=LISTED, fold=True)
        assert lists(kb)[car, axle] == fits_to_text(fresh)
        if (car, axle) == FIRST:
            assert any(p.title.startswith("Other") for row in fresh.rows for p in row.parts)


def test_one_car_of_two(kb: Path) -> None:
    assert states(make(kb, CARS[1], CARS[1])) == {(CARS[1], axle): MADE for axle in AXLES}
    assert list(states(make(kb)).values()) == [MADE, MADE, WAS, WAS]


def test_an_axle_of_which_nothing_can_be_asked(kb: Path) -> None:
    file = kb / "platforms" / f"{CARS[0]}.yaml"
    text = file.read_text("utf-8")
    start, end = text.index("rear:"), text.index("wheelbase_mm")
    file.write_text(text[:start] + text[end:], "utf-8")
    assert states(make(kb, CARS[0])) == {(CARS[0], "front"): MADE, (CARS[0], "rear"): UNKNOWN}


@pytest.fixture
def first_one_killed(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The first process that is begun is killed at once; numbers are those killed."""
    real = ready_spread._begin
    killed: list[int] = []

    def begin(folders: Any) -> tuple[Connection, SpawnProcess]:
        line, process = real(folders)
        if not killed:
            process.kill()
            assert process.pid is not None
            killed.append(process.pid)
        return line, process

    monkeypatch.setattr(ready_spread, "_begin", begin)
    return killed


def test_a_process_that_is_killed_loses_its_list_only(
    kb: Path, first_one_killed: list[int]
) -> None:
    found = make(kb, jobs=2)
    assert first_one_killed
    assert found.cut_short == ENDED
    assert states(found) == {axle: LEFT if axle == FIRST else MADE for axle in ALL}
    assert in_file(kb, *FIRST) is None
    again = make(kb)
    assert states(again) == {axle: MADE if axle == FIRST else WAS for axle in ALL}
    assert again.kept == found.judged


def test_where_no_process_is_left_nothing_hangs(kb: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = ready_spread._begin

    def begin(folders: Any) -> tuple[Connection, SpawnProcess]:
        line, process = real(folders)
        process.kill()
        return line, process

    monkeypatch.setattr(ready_spread, "_begin", begin)
    found = make(kb, jobs=2)
    assert set(states(found).values()) == {LEFT}
    assert (found.judged, found.cut_short) == (0, ENDED)


def _second(monkeypatch: pytest.MonkeyPatch, then: Any) -> None:
    """Something else is done in place of judging the second list."""
    real = Judging.list
    asked: list[Task] = []

    def noted(self: Judging, task: Task, at: At) -> Done:
        asked.append(task)
        if len(asked) == 2:
            then()
        return real(self, task, at)

    monkeypatch.setattr(Judging, "list", noted)


@pytest.fixture
def interruptible() -> Iterator[None]:
    """An interrupt from the keyboard is heard, also where whoever began the tests ignores it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("interruptible")
def test_interrupted_in_this_process(kb: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _second(monkeypatch, lambda: signal.raise_signal(signal.SIGINT))
    found = make(kb)
    assert found.cut_short == INTERRUPTED
    assert states(found) == {axle: MADE if axle == FIRST else LEFT for axle in ALL}
    assert in_file(kb, *FIRST) == found.judged > 0


@pytest.mark.usefixtures("interruptible")
def test_interrupted_while_others_judge(kb: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = ready_spread._heard
    done: list[Task] = []

    def heard(line: Connection) -> Any:
        if done:
            signal.raise_signal(signal.SIGINT)
        told = real(line)
        if isinstance(told, Done):
            done.append(told.task)
        return told

    monkeypatch.setattr(ready_spread, "_heard", heard)
    found = make(kb, jobs=2)
    assert found.cut_short == INTERRUPTED
    made = [axle for axle, state in states(found).items() if state == MADE]
    assert made == [(t.platform, t.axle) for t in done]
    assert in_file(kb, *made[0]) == found.judged > 0
    assert multiprocessing.active_children() == []


def test_what_is_done_is_kept_where_a_rule_of_ours_fails(
    kb: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail() -> None:
        raise EngineError("rule spacing: no")

    _second(monkeypatch, fail)
    with pytest.raises(EngineError, match="rule spacing"):
        make(kb)
    assert in_file(kb, *FIRST)
    assert in_file(kb, *ALL[1]) is None


def test_an_error_in_another_process_is_told_in_this_one(
    kb: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Facts that are damaged after this one has read them, and before the other one does."""
    real = ready_spread._begin

    def begin(folders: Any) -> tuple[Connection, SpawnProcess]:
        (kb / "discs" / f"{DISC}.yaml").write_text("kind: disc\nid: other\n")
        return real(folders)

    monkeypatch.setattr(ready_spread, "_begin", begin)
    with pytest.raises(LugplaneError, match=rf"{DISC}.yaml:\d+:\d+: "):
        make(kb, jobs=2)
    assert multiprocessing.active_children() == []


def test_what_another_program_judged_is_not_kept(
    kb: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = Judging.list
    monkeypatch.setattr(
        Judging, "list", lambda self, task, at: replace(real(self, task, at), head="other")
    )
    found = make(kb)
    assert found.cut_short == CHANGED
    assert set(states(found).values()) == {LEFT}
    assert kept(cache) == {}


def test_facts_that_are_changed_meanwhile(kb: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The verdicts are those of the records as they were; a list of them is no list of these."""
    make(kb, CARS[1])
    file = kb / "discs" / f"{DISC}.yaml"
    _second(monkeypatch, lambda: rewrite(file, "title: ", "title: Other "))
    found = make(kb)
    assert found.cut_short == CHANGED
    assert set(states(found).values()) == {LEFT}
    assert lists(kb) == {}
    again = make(kb)
    assert set(states(again).values()) == {MADE}
    assert 0 < again.judged < found.judged


def test_a_cache_that_cannot_be_written(
    kb: Path, cache: Path, judged: set[Parts], monkeypatch: pytest.MonkeyPatch
) -> None:
    cache.write_text("a file where a folder should be")
    with pytest.raises(BadInput, match=r"cache cannot be written: .*; nothing can be made ready"):
        make(kb)
    monkeypatch.setenv("LUGPLANE_CACHE", "off")
    with pytest.raises(BadInput, match="LUGPLANE_CACHE=off"):
        make(kb)
    assert judged == set()


def test_how_far_it_is(kb: Path) -> None:
    told: list[tuple[int, int]] = []
    found = ready([kb], jobs=1, progress=lambda n, of: told.append((n, of)))
    total = sum(a.candidates or 0 for a in found.axles)
    assert {of for _, of in told} == {total}
    assert [n for n, _ in told] == sorted(n for n, _ in told)
    assert told[-1][0] == total
