"""What several setups have in common, worked out once: findings of measures, places of parts.

Each is a pure function of what it reads of its bench: parts of the setup, earlier findings, the
words that its rule matched. What it reads next is settled by what it has read so far. So the reads
are noted in their order, with the very objects read, and kept as a tree: a read at each node, a
branch for each object, the result at the end. Whoever holds these objects, read by read, is given
that result; whatever else it holds was not asked for. One object is another than its equal copy
here, so with a part that was changed in anything all that read it is worked out anew.

What hangs on a memory of its reader (the figures of the whole car) is not kept: `Reads.private`.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, cast

from lugplane.quantity.judge import Judgement, Limit
from lugplane.setup.parts import Setup

MOST: Final = 20_000
"""So many results are kept; then it starts anew."""
_PRIVATE: Final = "(private)"


class Reads:
    """Objects as they are read, under names, in the order of their first reading."""

    def __init__(self) -> None:
        self._open: list[dict[str, object]] = []

    def begin(self) -> Mapping[str, object]:
        """Watch what is read until `end`; what is given fills as things are read."""
        seen: dict[str, object] = {}
        self._open.append(seen)
        return seen

    def end(self) -> None:
        """The last watch is over; whoever watches around it is told of all of it too."""
        self.again(self._open.pop())

    def saw(self, name: str, value: object) -> None:
        """An object was read."""
        if self._open:
            self._open[-1].setdefault(name, value)

    def again(self, seen: Mapping[str, object]) -> None:
        """What was read once for a result counts as read by whoever uses that result."""
        if self._open and seen:
            # Its own order stands; what it has read already gives the same again.
            self._open[-1].update(seen)

    def private(self) -> None:
        """A memory of the reader's own was looked at: nobody else may have what comes of it."""
        self.saw(_PRIVATE, None)

    def of(self, setup: Setup) -> Setup:
        """A setup whose parts are noted as they are read."""
        return cast("Setup", _Watched(setup, self))


class _Watched:
    """Stands for a setup and notes each attribute that is read of it."""

    __slots__ = ("_reads", "_setup")

    def __init__(self, setup: Setup, reads: Reads) -> None:
        self._setup, self._reads = setup, reads

    def __getattr__(self, name: str) -> Any:
        value = getattr(self._setup, name)
        self._reads.saw(name, value)
        return value


@dataclass(slots=True)
class _Node:
    """What is read next, and where each object leads; the result, where all is read."""

    read: str
    branches: dict[Hashable, _Node] = field(default_factory=dict)
    result: Any = None


class Shared:
    """Results under one rulebook: constants and limits must always be the same."""

    def __init__(self) -> None:
        self._under: tuple[object, object] | None = None
        self._roots: dict[str, _Node] = {}
        self._judged: dict[tuple[int, str], Judgement] = {}
        # Branches go by identity: what they go by must not be freed, and its place used again.
        self._alive: dict[int, object] = {}
        self._count = 0

    def serves(self, constants: object, limits: object) -> None:
        """Raises `ValueError` where constants or limits are others than before."""
        if self._under is None:
            self._under = constants, limits
        if self._under[0] != constants or self._under[1] is not limits:
            raise ValueError("results are shared under one set of constants and limits only")

    def find(self, name: str, read: Callable[[str], object]) -> Any:
        """What came of these reads, `read` telling what each gives; None: not known."""
        node = self._roots.get(name)
        while node is not None and node.result is None:
            node = node.branches.get(_token(read(node.read)))
        return None if node is None else node.result

    def keep(self, name: str, seen: Mapping[str, object], result: object) -> None:
        """Keep what came of some reads, in their order."""
        if _PRIVATE in seen:
            return
        if self._count >= MOST:
            self._roots.clear()
            self._judged.clear()
            self._alive.clear()
            self._count = 0
        self._count += 1
        reads = list(seen)
        node = self._roots.setdefault(name, _Node(reads[0] if reads else ""))
        for here, following in zip(reads, [*reads[1:], ""], strict=True):
            if node.result is not None or node.read != here:
                return  # never, of a pure function; nothing is lost but time
            node = node.branches.setdefault(self._held(seen[here]), _Node(following))
        if not node.branches:
            node.result = result

    def judgement(self, finding: object, limit: Limit, make: Callable[[], Judgement]) -> Judgement:
        """The judgement of a finding by a limit, made once."""
        key = id(finding), limit.id
        if key not in self._judged:
            self._alive[id(finding)] = finding
            self._judged[key] = make()
        return self._judged[key]

    def _held(self, value: object) -> Hashable:
        self._alive[id(value)] = value
        if isinstance(value, tuple):
            self._alive.update((id(item), item) for item in value)
        return _token(value)


def _token(value: object) -> Hashable:
    """What a branch goes by: words and numbers themselves, of all else which object it is."""
    if value is None or isinstance(value, (str, bool, float)):
        return value
    if isinstance(value, tuple):
        return tuple(map(id, value))
    if isinstance(value, Mapping) and not value:
        return ()
    return id(value)
