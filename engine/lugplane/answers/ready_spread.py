"""Lists judged by several processes, each with an axle at a time, the first ones first.

The processes are begun anew (`spawn`), not forked: a rule engine may have threads in this one. A
process that is ended from outside loses its list and no other.
"""

from __future__ import annotations

import signal
import threading
import time
from collections import deque
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess
from pathlib import Path
from typing import Final, cast

from lugplane.answers.ready_judging import At, Done, Judging, Lost, Task, opened
from lugplane.errors import LugplaneError

_EVERY_S: Final = 0.2
"""A process tells no more often than this how far it is."""


@dataclass(frozen=True, slots=True)
class _Failed:
    """What a process says of an error; `ours`: it is a defect."""

    text: str
    ours: bool


def spread(
    folders: Sequence[Path], tasks: Sequence[Task], jobs: int, at: At
) -> Iterator[Done | Lost]:
    """Judge lists of some folders of facts in so many processes, as they come.

    Raises what judging raises, as `LugplaneError`. The processes are ended when this is left.
    """
    waiting = deque(tasks)
    busy: dict[Connection, tuple[SpawnProcess, Task]] = {}
    begun: list[tuple[Connection, SpawnProcess]] = []
    try:
        for _ in range(min(jobs, len(waiting))):
            line, process = _begin(folders)
            begun.append((line, process))
            busy[line] = process, waiting.popleft()
            _give(line, busy[line][1])
        while busy:
            for each in wait(list(busy)):
                line = cast("Connection", each)
                process, task = busy[line]
                told = _heard(line)
                if isinstance(told, int):
                    at(task, told)
                    continue
                del busy[line]
                if isinstance(told, _Failed):
                    raise RuntimeError(told.text) if told.ours else LugplaneError(told.text)
                yield Lost(task) if told is None else told
                if told is not None and waiting:
                    busy[line] = process, waiting.popleft()
                    _give(line, busy[line][1])
        yield from map(Lost, waiting)
    finally:
        for line, process in begun:
            line.close()
            if any(process is other for other, _ in busy.values()):
                process.kill()  # at work on what nobody waits for any more
            process.join()


def _begin(folders: Sequence[Path]) -> tuple[Connection, SpawnProcess]:
    context = get_context("spawn")
    ours, theirs = context.Pipe()
    process = context.Process(target=_work, args=(theirs, tuple(folders)), daemon=True)
    with _unheard():
        process.start()
    theirs.close()
    return ours, process


@contextmanager
def _unheard() -> Iterator[None]:
    """Ctrl-C reaches every process of a terminal; those begun within this do not hear it."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _give(line: Connection, task: Task) -> None:
    """Ask a process for a list; where it is no more, that is heard next."""
    try:
        line.send(task)
    except OSError:
        return


def _heard(line: Connection) -> Done | _Failed | int | None:
    """What a process says; None: it is no more."""
    try:
        told: Done | _Failed | int = line.recv()
    except (EOFError, OSError):
        return None
    return told


def _work(line: Connection, folders: tuple[Path, ...]) -> None:
    """Judge one list after another, until nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    last = 0.0

    def at(_: Task, n: int) -> None:
        nonlocal last
        if time.monotonic() - last > _EVERY_S:
            last = time.monotonic()
            with suppress(OSError):  # that nobody listens any more is noticed at the end
                line.send(n)

    judging: Judging | None = None
    while True:
        try:
            task = line.recv()
        except (EOFError, OSError):
            return
        try:
            if judging is None:
                judging = Judging(opened(folders))
            told: Done | _Failed = judging.list(task, at)
        except LugplaneError as error:
            told = _Failed(str(error), False)
        except Exception as error:
            told = _Failed(f"{type(error).__name__}: {error}", True)
        try:
            line.send(told)
        except OSError:
            return
