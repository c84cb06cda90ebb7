"""One default list after another, judged with what is kept of its verdicts, for `answers/ready`."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from lugplane.answers.fit import VERDICTS, Memo
from lugplane.answers.fit_plain import fits_to_text
from lugplane.answers.fits import fits
from lugplane.answers.kept import Kept
from lugplane.answers.rows import DOES_NOT_FIT
from lugplane.links.links import Links
from lugplane.links.stored import open_links
from lugplane.workshop import Workshop

LISTED = tuple(v for v in VERDICTS if v != DOES_NOT_FIT)
"""The verdicts of which a list has rows where none are asked for."""


@dataclass(frozen=True, slots=True)
class Task:
    """An axle whose list is to be judged, and how many candidates it has."""

    platform: str
    axle: str
    candidates: int

    @property
    def of(self) -> tuple[str, str]:
        """Platform and axle."""
        return self.platform, self.axle


@dataclass(frozen=True, slots=True)
class Done:
    """A list as judged, in plain words for another process.

    `named` are the texts of its verdicts to be kept under `head` (`Kept.new`), `answer` that of
    the list. `judged` counts the verdicts of brakes, wheels and cars that were judged, `kept` those
    that were known.
    """

    task: Task
    head: str
    named: Mapping[str, bytes]
    answer: str
    judged: int
    kept: int


@dataclass(frozen=True, slots=True)
class Lost:
    """A list that was not judged: its process was ended, or none was left to judge it."""

    task: Task


At = Callable[[Task, int], None]
"""Told how many candidates of a list are judged."""


def opened(folders: Sequence[Path]) -> Workshop:
    """The workshop of some folders of facts. Raises `BadFacts`."""
    return Workshop.open(folders[1:], folders[0])


class Judging:
    """Judges lists of one workshop; nothing is written."""

    def __init__(self, workshop: Workshop, links: Links | None = None) -> None:
        self._workshop = workshop
        self._links = links or open_links(workshop)
        self._kept = Kept(workshop, Memo())

    def list(self, task: Task, at: At) -> Done:
        """Judge what is not kept of a list. Raises `EngineError`."""
        platform, axle = task.platform, task.axle
        kept = self._kept.alone()
        kept.load(platform, axle)
        known = kept.in_memo(platform, axle)
        found = fits(
            self._workshop,
            platform,
            axle,
            verdicts=LISTED,
            fold=True,
            links=self._links,
            memo=kept.memo,
            progress=lambda n, _: at(task, n),
        )
        judged = kept.in_memo(platform, axle) - known
        return Done(task, kept.head, kept.new(), fits_to_text(found), judged, known)
