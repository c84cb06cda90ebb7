"""How a car is asked for: parts and measured facts of either axle, and of the car itself."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from lugplane.errors import BadInput

if TYPE_CHECKING:
    from lugplane.setup.car import CarWanted

AXLES = ("front", "rear")
_SHARED = ("platform", "master")


def car_wanted(
    platform: str,
    front: Sequence[str],
    rear: Sequence[str],
    set_: Sequence[str],
    adapter: bool,
) -> CarWanted:
    """The car that part ids and `--set WHOSE.FACT=VALUE` ask for. Raises `BadInput`."""
    from lugplane.setup.car import CarWanted

    facts: dict[str, list[str]] = {"front": [], "rear": [], "platform": []}
    for text in set_:
        whose, dot, rest = text.strip().partition(".")
        if whose in _SHARED and dot:
            facts["platform"].append(text)
        elif whose in AXLES and dot:
            facts[whose].append(rest)
        else:
            raise BadInput(
                f"--set '{text}': say whose fact it is, as in front.disc.height_mm=50±0.1 "
                "(front, rear, platform, master)"
            )
    return CarWanted(
        platform,
        tuple(front),
        tuple(rear),
        tuple(facts["front"]),
        tuple(facts["rear"]),
        tuple(facts["platform"]),
        adapter,
    )


def names_both(words: Sequence[str]) -> bool:
    """Whether the words of a question name both axles."""
    return set(AXLES) <= set(words)


def both_wanted(
    words: Sequence[str], set_: Sequence[str], adapter: bool, wheel_spacer: float
) -> CarWanted:
    """PLATFORM front [PART]... rear [PART]...: each axle's parts follow its word.

    Raises `BadInput` for a part before the first of both words, or an axle that is named twice.
    """
    if wheel_spacer:
        raise BadInput("--wheel-spacer: one axle a sheet for that, front or rear")
    platform, *rest = words
    parts: dict[str, list[str]] = {}
    at: list[str] | None = None
    for word in rest:
        if word in parts:
            raise BadInput(f"{word} stands twice: name the parts of an axle after its word, once")
        if word in AXLES:
            at = parts[word] = []
        elif at is None:
            raise BadInput(f"'{word}': say front or rear before it, since both axles are named")
        else:
            at.append(word)
    return car_wanted(platform, parts["front"], parts["rear"], set_, adapter)
