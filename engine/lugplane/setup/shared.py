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
from itertools import pairwise
from typing import Any, Final, TypeVar, cast

from lugplane.setup.parts import Setup

T = TypeVar("T")

MOST: Final = 40_000
"""So many results are kept; then it starts anew."""
PREMISES: Final = "(premises)"
"""The name of the words that a rule matched."""
_PRIVATE: Final = "(private)"


class Reads:
    """Objects as they are read, under names, in the order of their first reading."""

    def __init__(self) -> None:
        self._open: list[dict[str, object]] = []
        self._held: dict[str, tuple[Hashable, object]] = {}

    def held(self, name: str, read: Callable[[str], object]) -> tuple[Hashable, object]:
        """What a read gives, and what a branch goes by for it; nobody is told of it.

        What is there once stays as it is. The words of a rule do not: each rule has its own.
        """
        found = self._held.get(name)
        if found is None:
            value = read(name)
            found = _token(value), value
            if value is not None and name != PREMISES:
                self._held[name] = found
        return found

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


class _Node:
    """What is read next, and where each object leads; the result, where all is read."""

    __slots__ = ("branches", "read", "result")

    def __init__(self, read: str) -> None:
        self.read = read
        self.branches: dict[Hashable, _Node] = {}
        self.result: Any = None


class Shared:
    """Results under one rulebook: constants and limits must always be the same."""

    def __init__(self) -> None:
        self._under: tuple[object, object] | None = None
        self._roots: dict[str, _Node] = {}
        self._said: dict[tuple[int, int], Any] = {}
        # Branches go by identity: what they go by must not be freed, and its place used again.
        self._alive: dict[int, object] = {}
        self._count = 0

    def serves(self, constants: object, limits: object) -> None:
        """Raises `ValueError` where constants or limits are others than before."""
        if self._under is None:
            self._under = constants, limits
        own, same = self._under
        if (own is not constants and own != constants) or same is not limits:
            raise ValueError("results are shared under one set of constants and limits only")

    def find(self, name: str, read: Callable[[str], object], reads: Reads) -> Any:
        """What came of these reads, `read` telling what each gives; None: not known.

        Where a result is found, what it was read from counts as read.
        """
        node = self._roots.get(name)
        seen: dict[str, object] = {}
        while node is not None and node.result is None:
            token, seen[node.read] = reads.held(node.read, read)
            node = node.branches.get(token)
        if node is None:
            return None
        reads.again(seen)
        return node.result

    def keep(self, name: str, seen: Mapping[str, object], result: object) -> None:
        """Keep what came of some reads, in their order."""
        if _PRIVATE in seen:
            return
        self._one_more()
        reads = [*seen, ""]
        node = self._roots.get(name)
        if node is None:
            node = self._roots[name] = _Node(reads[0])
        for here, following in pairwise(reads):
            if node.result is not None or node.read != here:
                return  # never, of a pure function; nothing is lost but time
            token = _token(seen[here])
            after = node.branches.get(token)
            if after is None:
                self._hold(seen[here])
                after = node.branches[token] = _Node(following)
            node = after
        if not node.branches:
            node.result = result

    def said(self, finding: object, rule: object, make: Callable[[], T]) -> T:
        """What a rule says of a finding, made once."""
        key = id(finding), id(rule)
        found: T | None = self._said.get(key)
        if found is None:
            self._one_more()
            self._alive[id(finding)], self._alive[id(rule)] = finding, rule
            found = self._said[key] = make()
        return found

    def _one_more(self) -> None:
        if self._count >= MOST:
            self._roots.clear()
            self._said.clear()
            self._alive.clear()
            self._count = 0
        self._count += 1

    def _hold(self, value: object) -> None:
        self._alive[id(value)] = value
        if isinstance(value, tuple):
            self._alive.update((id(item), item) for item in value)


_PLAIN: Final = frozenset({type(None), str, bool, float})


def _token(value: object) -> Hashable:
    """What a branch goes by: words and numbers themselves, of all else which object it is."""
    if type(value) in _PLAIN:
        return value
    if isinstance(value, tuple):
        return tuple(map(id, value))
    return () if isinstance(value, dict) and not value else id(value)
