"""The measures and choices by their names; a rule calls them so.

They register themselves when their modules are imported, and that is done when one is looked up
that is not there yet: an answer that was worked out before needs none of them.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator, Mapping
from importlib import import_module
from typing import TYPE_CHECKING, Any, Final, NamedTuple

if TYPE_CHECKING:
    from lugplane.measure.bench import Choice, Reckoned

MODULES: Final = (
    *("mount", "hub", "pads", "hose", "wheel", "stack", "bolts", "clamp", "lining", "side"),
    *("car_balance", "car_pedal", "car_heat"),
)
"""Where measures and choices are: first what pairs of parts are judged by, last the whole car's."""


class Entry(NamedTuple):
    """A registered measure or choice and the constants it takes."""

    call: Callable[..., Any]
    constants: tuple[str, ...]


class Registry(Mapping[str, Entry]):
    """Entries by name, those of all modules."""

    def __init__(self) -> None:
        self._entries: dict[str, Entry] = {}

    def add(self, name: str, function: Callable[..., Any]) -> None:
        """Register a function; its keyword arguments are named as the constants it takes."""
        taken = inspect.signature(function).parameters.values()
        constants = tuple(p.name for p in taken if p.kind is p.KEYWORD_ONLY)
        self._entries[name] = Entry(function, constants)

    def __getitem__(self, name: str) -> Entry:
        for module in MODULES:
            if name in self._entries:
                break
            _import(module)
        return self._entries[name]

    def __iter__(self) -> Iterator[str]:
        _import(*MODULES)
        return iter(self._entries)

    def __len__(self) -> int:
        _import(*MODULES)
        return len(self._entries)


def _import(*modules: str) -> None:
    for name in modules:
        import_module(f"lugplane.measure.{name}")


MEASURES = Registry()
CHOICES = Registry()


def measure(function: Callable[..., Reckoned]) -> Callable[..., Reckoned]:
    """Register a measure under its own name."""
    MEASURES.add(function.__name__, function)
    return function


def choice(function: Callable[..., Choice]) -> Callable[..., Choice]:
    """Register a choice under its own name (a trailing underscore is dropped)."""
    CHOICES.add(function.__name__.rstrip("_"), function)
    return function
