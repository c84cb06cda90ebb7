"""The parts of a setup and the hardware between them, as answers show them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from lugplane.frozen import frozen


@frozen
class Part:
    """A part of the setup; `stock` tells that the factory fitted it (or offered it)."""

    kind: str
    id: str
    title: str
    stock: bool
    sided: bool = False


class OfParts:
    """What answers have in common that name parts; `alike` names by kind what is like them."""

    __slots__ = ()

    parts: tuple[Part, ...]
    alike: Mapping[str, tuple[str, ...]]

    def part(self, kind: str) -> str:
        """The id of the part of a kind; empty where there is none."""
        return next((p.id for p in self.parts if p.kind == kind), "")

    def has(self, ids: Iterable[str]) -> bool:
        """Whether one of these parts is named, or alike to one that is."""
        own = {p.id for p in self.parts}.union(*self.alike.values())
        return not own.isdisjoint(ids)


@frozen
class StackLine:
    """A stack and the spacings it serves: `kind` bare, washers, ring or plate."""

    kind: str
    count: int
    thickness_mm: float | None
    from_mm: float
    to_mm: float


@frozen
class BoltLine:
    """A bolt and the stacks it serves. `record` empty: the car's own bolt."""

    record: str
    thread: str
    length_mm: float | None
    class_: str
    from_mm: float
    to_mm: float
    standard: str = ""
