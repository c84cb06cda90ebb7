"""What the program brings along to hold facts against: rules, schemas."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from lugplane.check.plausible import Plausible, read_plausible
from lugplane.data import data_folder
from lugplane.errors import LugplaneError
from lugplane.facts.schema import Schemas
from lugplane.measure.corners import Span
from lugplane.quantity.limits import Assumed, Limits


@cache
def plausible() -> Plausible:
    """`rules/plausible.yaml`. Raises `LugplaneError`."""
    return read_plausible(data_folder() / "rules" / "plausible.yaml")


@cache
def schemas() -> Schemas:
    """The shipped schemas. Raises `LugplaneError`."""
    return Schemas(data_folder() / "schemas")


def assumed() -> Mapping[str, Assumed]:
    """The ± of readings that state none, by their basis, of `rules/limits.yaml`.

    Raises `LugplaneError`.
    """
    return _limits().assumed


def friction_window_c() -> Span:
    """The temperatures over which a friction curve has to be known, °C, of `rules/limits.yaml`.

    Raises `LugplaneError`.
    """
    c = _limits().numbers
    return c["friction_curve_from_c"], c["friction_curve_to_c"]


@cache
def _limits() -> Limits:
    """The rules are not read: facts can be checked whatever becomes of them."""
    from lugplane.facts import yaml12
    from lugplane.quantity.limits import limits_of

    file = data_folder() / "rules" / "limits.yaml"
    found = yaml12.read(file.read_bytes(), file.name)
    if isinstance(found, yaml12.Damaged) or not isinstance(found.data, dict):
        raise LugplaneError(f"{file.name} cannot be read as YAML")
    return limits_of(found.data, file.name)
