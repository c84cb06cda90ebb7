"""What the answers about folders of facts rest on, as it is at a moment.

That is the facts, the schemas, the rules and the program. As soon as one of these is another one,
no answer that was given on it is believed.
"""

from __future__ import annotations

import os
import time

from lugplane.data import data_home
from lugplane.facts.cache_folder import cache_home
from lugplane.facts.fingerprint import SECONDS, Witness, just_seen, look
from lugplane.facts.program import all_rooms, program_now, program_seen

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from typing import TypeVar

    from lugplane.facts.fingerprint import Seen
    from lugplane.facts.folders import Folder

    T = TypeVar("T")


class Ground:
    """Folders of facts, and what answers about them rest on, as `seen` when this was made.

    `proof` is what an answer may be kept with: the witness of the answer that it is made from,
    which holds on this ground, or that of this ground itself where it was the same after `working`
    as before; None: neither is so. `later` is the last look at which it still was as `seen`.
    """

    __slots__ = ("facts", "folders", "later", "proof", "seen")

    def __init__(self, folders: Sequence[Folder]) -> None:
        self.folders = tuple(os.fspath(folder) for folder in folders)
        self.facts = look(self.folders)
        self.seen = self._with(self.facts, program_seen(all_rooms()))
        self.later = self.seen
        self.proof: Witness | None = None

    @classmethod
    def of(cls, folders: Sequence[Folder]) -> Ground | None:
        """The ground as it is now; None where nothing is kept and so nothing has to be proved."""
        return None if cache_home() is None else cls(folders)

    def is_of(self, folders: Sequence[Folder]) -> bool:
        """Whether it is that of these folders."""
        return [*map(os.path.realpath, self.folders)] == [*map(os.path.realpath, folders)]

    def young(self) -> bool:
        """Whether it was looked at a moment ago."""
        return 0 <= time.time_ns() - self.seen.at < SECONDS * 1_000_000_000

    def working(self) -> Working:
        """Within this an answer is worked out; afterwards the ground is looked at once more."""
        return Working(self)

    def still(self, witness: Witness) -> bool:
        """Whether the witness of what was `seen` holds now; `later` is now, if so."""
        # The contents of files touched just now are compared, since their stamps prove nothing.
        now = self._with(look(self.folders), program_now(all_rooms()))
        if not witness.holds(now):
            return False
        self.later = now
        return True

    def _with(self, facts: Seen, program: Seen) -> Seen:
        home = data_home()
        beside = [
            (os.path.join(home, "schemas"), ".json"),
            (os.path.join(home, "rules"), ".yaml"),
        ]
        # However a folder is spelled, it is the same one, as it is in the names of kept files.
        words = [os.path.realpath(folder) for folder in self.folders]
        return facts.along(look((), beside, words)).along(program)


class Working:
    """The time in which an answer is worked out on a ground."""

    def __init__(self, ground: Ground) -> None:
        self._ground = ground
        self._just = just_seen(ground.folders, ground.facts)

    def __enter__(self) -> None:
        ground = self._ground
        ground.proof = None
        self._before = Witness.of(ground.seen)
        self._just.__enter__()

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        self._just.__exit__()
        same = kind is None and self._ground.still(self._before)
        self._ground.proof = self._before if same else None


def worked_out(ground: Ground | None, work: Callable[[], T]) -> T:
    """What `work` gives, within `working` where there is a ground."""
    if ground is None:
        return work()
    with ground.working():
        return work()
