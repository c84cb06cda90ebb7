"""The lists of what fits judged beforehand, so that whoever asks for one first has it at once.

Only what is not kept, or does not hold any more, is judged. Several processes may judge; this one
alone writes, and once: all verdicts are in one file, and so are all lists.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from lugplane.answers.fit import Memo
from lugplane.answers.fits import Progress
from lugplane.answers.kept import Kept
from lugplane.answers.ready_judging import At, Done, Judging, Lost, Task, opened
from lugplane.errors import BadInput, LugplaneError
from lugplane.facts.cache import VARIABLE, cache_folder
from lugplane.facts.ground import Ground
from lugplane.facts.records import Platform
from lugplane.facts.told import tell, told
from lugplane.links.candidates import candidates
from lugplane.links.links import Links
from lugplane.links.stored import keep_links, open_links
from lugplane.workshop import Workshop

if TYPE_CHECKING:
    from lugplane.facts.told import Question

VERSION = 1
AXLES = ("front", "rear")
MADE, WAS, LEFT, UNKNOWN = "made ready", "was ready", "left", "knuckle not known"
"""What became of an axle's list; of an axle whose knuckle is not known nothing can be asked."""
INTERRUPTED, ENDED, CHANGED = "interrupted", "a process was ended", "changed meanwhile"
"""Why lists were left: the last where facts, rules or program were changed while they were used."""
WORTH = 100
"""So many candidates at the least are worth a process of their own, unless one is asked for."""


@dataclass(frozen=True, slots=True)
class AxleReady:
    """An axle's list: how many verdicts of brakes, wheels and cars were judged, and known before.

    `candidates` is null where nothing was to be judged.
    """

    platform: str
    axle: str
    state: str
    candidates: int | None
    judged: int
    kept: int


@dataclass(frozen=True, slots=True)
class Ready:
    """The answer, by platform and axle; `cut_short` says why lists were left, if some were."""

    version: int
    axles: tuple[AxleReady, ...]
    cut_short: str

    def count(self, *states: str) -> int:
        """How many axles are in one of some states."""
        return sum(axle.state in states for axle in self.axles)

    @property
    def judged(self) -> int:
        """How many verdicts were judged."""
        return sum(axle.judged for axle in self.axles)

    @property
    def kept(self) -> int:
        """How many were known."""
        return sum(axle.kept for axle in self.axles)


def ready(
    folders: Sequence[Path],
    platforms: Sequence[str] = (),
    *,
    jobs: int | None = None,
    progress: Progress | None = None,
) -> Ready:
    """Make ready the lists of both axles of some platforms of folders of facts; none named: of all.

    `jobs`: so many processes judge (1: this one; None: as many as there are processors for it and
    as are worth it). `progress` is told how many candidates of how many are done. An interrupt from
    the keyboard ends it early and keeps what is done. Raises `BadInput` for an unknown platform and
    where nothing can be kept, `BadFacts`, `EngineError`, and `LugplaneError` where a process fails.
    """
    ground = _ground(folders)
    with ground.working():
        work = _Work(ground, opened(folders), platforms)
        if work.tasks:
            work.judge(_jobs(jobs, work.tasks), progress)
    return work.answer()


def _ground(folders: Sequence[Path]) -> Ground:
    """What the lists rest on, as it is now. Raises `BadInput` where nothing can be kept."""
    ground = Ground.of(folders)
    folder = cache_folder()
    if ground is None or folder is None:
        raise BadInput(f"nothing is kept ({VARIABLE}=off), so nothing can be made ready")
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        raise BadInput(_unwritten(folder, error.strerror or str(error))) from error
    return ground


def _unwritten(folder: Path | None, because: str) -> str:
    return f"{folder} cannot be written: {because}; nothing can be made ready"


def _jobs(asked: int | None, tasks: Sequence[Task]) -> int:
    if asked is not None:
        return min(asked, len(tasks))
    worth = sum(t.candidates for t in tasks) // WORTH
    return max(1, min(_processors(), len(tasks), worth))


def _processors() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class _Work:
    """The lists to be made ready, and what is done of them."""

    def __init__(self, ground: Ground, workshop: Workshop, platforms: Sequence[str]) -> None:
        base = workshop.base
        cars = [base.get(Platform, p) for p in platforms] or base.all(Platform)
        self._axles = list(dict.fromkeys((car.id, axle) for car in cars for axle in AXLES))
        self._ground, self._workshop = ground, workshop
        self._links: Links = open_links(workshop)
        self._kept = Kept(workshop, Memo())
        self._found: dict[tuple[str, str], AxleReady] = {}
        self._done: list[Done] = []
        self._cut_short = ""
        self._written = True
        tasks = [task for axle in self._axles if (task := self._task(*axle)) is not None]
        ground.proof = None  # no answer is made from the lists that are there
        keep_links(self._links)  # the processes find them there
        self.tasks = sorted(tasks, key=lambda t: (-t.candidates, t.platform, t.axle))

    def _task(self, platform: str, axle: str) -> Task | None:
        """What is to be done for an axle; None: nothing."""
        car = self._workshop.base.get(Platform, platform)
        fitted = car.rear if axle == "rear" else car.front
        state, count = UNKNOWN, 0
        if fitted.knuckle.text is not None:
            known = self._kept.in_file(platform, axle)
            if known is None or told(self._ground, question_of(platform, axle)) is None:
                return Task(platform, axle, len(candidates(self._links, platform, axle).items))
            state, count = WAS, known
        self._found[platform, axle] = AxleReady(platform, axle, state, None, 0, count)
        return None

    def judge(self, jobs: int, progress: Progress | None) -> None:
        """Judge all that is to be judged, and keep the verdicts, also where it is cut short."""
        total = sum(task.candidates for task in self.tasks)
        within: dict[Task, int] = {}

        def at(task: Task, n: int) -> None:
            within[task] = n
            if progress is not None:
                progress(sum(within.values()), total)

        try:
            for found in self._each(jobs, at):
                if isinstance(found, Lost):
                    self._cut_short = ENDED
                elif found.head != self._kept.head:
                    self._cut_short = CHANGED  # another program judged it
                else:
                    self._done.append(found)
                    at(found.task, found.task.candidates)
        except KeyboardInterrupt:
            self._cut_short = INTERRUPTED
        finally:
            named = {name: text for d in self._done for name, text in d.named.items()}
            self._written = not named or self._kept.write(named)

    def _each(self, jobs: int, at: At) -> Iterator[Done | Lost]:
        if jobs > 1:
            from lugplane.answers.ready_spread import spread

            yield from spread(self._workshop.folders, self.tasks, jobs, at)
            return
        judging = Judging(self._workshop, self._links)
        for task in self.tasks:
            yield judging.list(task, at)

    def answer(self) -> Ready:
        """Keep the lists, and tell what became of every axle."""
        answers = {question_of(*done.task.of): done.answer for done in self._done}
        if self._ground.proof is None:
            self._cut_short = CHANGED
        elif not self._written or (answers and not tell(self._ground, answers)):
            raise LugplaneError(_unwritten(cache_folder(), "is there no room?"))
        for d in self._done:
            self._found[d.task.of] = AxleReady(
                *d.task.of, MADE, d.task.candidates, d.judged, d.kept
            )
        for task in self.tasks:
            left = AxleReady(*task.of, LEFT, task.candidates, 0, 0)
            self._found.setdefault(task.of, left)
        axles = [self._found[axle] for axle in self._axles]
        if self._cut_short == CHANGED:
            axles = [axle if axle.state == UNKNOWN else replace(axle, state=LEFT) for axle in axles]
        return Ready(VERSION, tuple(axles), self._cut_short)


def question_of(platform: str, axle: str) -> Question:
    """What the list of an axle is told under."""
    return "fits", platform, axle
