"""Immutable classes of plain fields that cost next to nothing to define.

`dataclasses` writes six methods of every frozen class as text and compiles them: in a program of
many such classes that is a good part of the time that a short answer takes. The classes made here
share their methods. In all else they are dataclasses, frozen and with slots; where very many
objects of a class are made, those of the library are quicker.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, FrozenInstanceError, dataclass, field, fields
from typing import Any, ClassVar, Final, TypeVar, dataclass_transform

T = TypeVar("T")
_set: Final = object.__setattr__


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(cls: type[T]) -> type[T]:
    """Make a frozen dataclass with slots of a class.

    Two objects are equal if they are of the very same class and all their fields are equal. What
    the class defines itself stays. Raises `TypeError` for a class with `__post_init__`.
    """
    if hasattr(cls, "__post_init__"):
        raise TypeError(f"{cls.__qualname__}: nothing calls __post_init__")
    for method in _SHARED:
        if method.__name__ not in vars(cls):
            setattr(cls, method.__name__, method)
    return dataclass(init=False, repr=False, eq=False, slots=True)(cls)


class _Methods:
    """What the classes share; `__match_args__` are the names of the fields, as dataclasses say."""

    __match_args__: ClassVar[tuple[str, ...]] = ()

    def __init__(self, *values: object, **named: object) -> None:
        names = self.__match_args__
        if values or len(named) != len(names):
            named = _by_name(self, values, named)
        try:
            for name in names:
                _set(self, name, named[name])
        except KeyError as error:
            raise TypeError(f"{_name(self)} lacks {error}") from None

    def __repr__(self) -> str:
        told = (f"{name}={getattr(self, name)!r}" for name in self.__match_args__)
        return f"{_name(self)}({', '.join(told)})"

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return _values(self) == _values(other)

    def __hash__(self) -> int:
        return hash(_values(self))

    def __setattr__(self, name: str, value: object) -> None:
        raise FrozenInstanceError(f"cannot assign to field {name!r}")

    def __delattr__(self, name: str) -> None:
        raise FrozenInstanceError(f"cannot delete field {name!r}")

    def __reduce__(self) -> tuple[type[Any], tuple[Any, ...]]:
        return type(self), _values(self)


_SHARED: Final[tuple[Callable[..., Any], ...]] = tuple(
    method for method in vars(_Methods).values() if callable(method)
)


def _name(made: object) -> str:
    return type(made).__qualname__


def _values(made: Any) -> tuple[Any, ...]:
    return tuple([getattr(made, name) for name in made.__match_args__])


def _by_name(made: Any, values: tuple[object, ...], named: dict[str, object]) -> dict[str, object]:
    """All fields by name: of what is given in order and by name, and of defaults."""
    names = made.__match_args__
    in_order = dict(zip(names, values, strict=False))
    if len(values) > len(names) or not named.keys() <= set(names[len(values) :]):
        raise TypeError(f"{_name(made)} takes each of {', '.join(names)} once")
    given = in_order | named
    if len(given) < len(names):
        for each in fields(made):
            if each.name not in given and each.default is not MISSING:
                given[each.name] = each.default
            elif each.name not in given and each.default_factory is not MISSING:
                given[each.name] = each.default_factory()
    return given
