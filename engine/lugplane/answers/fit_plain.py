"""The list of what fits and its rows as JSON takes them, and back, to be kept."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import fields
from typing import Any

from lugplane.answers.fit_row import Ask, CarLook, Fit, WheelLook
from lugplane.answers.fits_list import Donor, Fits, Refused, Untold
from lugplane.answers.found import BandLine, Settles, Span
from lugplane.answers.parts import BoltLine, Part, StackLine
from lugplane.links.combination import TurnedDown

_NAMES = [f.name for f in fields(Fit)]
_PARTS, _WHEELS = _NAMES.index("parts"), _NAMES.index("wheels")


def fit_to_plain(fit: Fit) -> Any:
    """A row without its wheels, its cars, and what is like its parts: those are kept elsewhere."""
    return [_plain(getattr(fit, name)) for name in _NAMES[:_WHEELS]]


def fit_from_plain(
    plain: Any,
    wheels: tuple[WheelLook, ...] = (),
    alike: Mapping[str, tuple[str, ...]] | None = None,
    cars: tuple[CarLook, ...] = (),
) -> Fit:
    """The reverse of `fit_to_plain`, also after a way through JSON, with what was left out."""
    row = list(plain)
    *_, stack, bolts, asks = row
    row[_PARTS] = tuple(Part(*p) for p in row[_PARTS])
    row[-3:] = (
        tuple(StackLine(*s) for s in stack),
        tuple(BoltLine(*b) for b in bolts),
        tuple(_ask(a) for a in asks),
    )
    row += [wheels, alike or {}, cars]
    return Fit(*row)


def _ask(plain: Any) -> Ask:
    *row, value, margin, bands, missing, settles = plain
    row += [_span(value), margin, tuple(BandLine(*b) for b in bands), tuple(missing)]
    row.append(tuple(Settles(*s) for s in settles))
    return Ask(*row)


def look_to_plain(look: WheelLook) -> Any:
    """A wheel's column of a row."""
    return _plain(look)


def look_from_plain(plain: Any) -> WheelLook:
    """The reverse of `look_to_plain`, also after a way through JSON."""
    *row, gap = plain
    row.append(_span(gap))
    return WheelLook(*row)


def car_to_plain(look: CarLook) -> Any:
    """The whole car of a row, whose pads are named elsewhere."""
    return [look.verdict, look.limiting, look.limiting_title, look.settles]


def car_from_plain(plain: Any, pads: Iterable[str] = ()) -> CarLook:
    """The reverse of `car_to_plain`, also after a way through JSON, with its pads."""
    verdict, limiting, title, settles = plain
    return CarLook(tuple(pads), verdict, limiting, title, tuple(settles))


def _span(plain: Any) -> Span | None:
    return None if plain is None else Span(*plain)


def fits_to_text(fits: Fits) -> str:
    """A whole list as JSON, with the wheels and cars of its rows."""
    plain = {f.name: _plain(getattr(fits, f.name)) for f in fields(fits) if f.name != "rows"}
    plain["rows"] = [_row_to_plain(row) for row in fits.rows]
    return json.dumps(plain, separators=(",", ":"))


def fits_from_text(text: str) -> Fits:
    """The reverse of `fits_to_text`."""
    plain = json.loads(text)
    for name in ("wheels", "with_", "verdicts"):
        plain[name] = tuple(plain[name])
    plain["rows"] = tuple(_row_from_plain(row) for row in plain["rows"])
    plain["turned_down"] = tuple(TurnedDown(*t) for t in plain["turned_down"])
    plain["refused"] = tuple(Refused(part, host, _ask(a)) for part, host, a in plain["refused"])
    plain["untold"] = tuple(Untold(tuple(parts), *rest) for parts, *rest in plain["untold"])
    plain["donors"] = {
        part: tuple(Donor(*d) for d in those) for part, those in plain["donors"].items()
    }
    return Fits(**plain)


def _row_to_plain(row: Fit) -> list[Any]:
    cars = [[car.pads, *car_to_plain(car)] for car in row.cars]
    return [*fit_to_plain(row), _plain(row.wheels), _plain(row.alike), cars]


def _row_from_plain(plain: list[Any]) -> Fit:
    *own, looks, alike, cars = plain
    return fit_from_plain(
        own,
        tuple([look_from_plain(look) for look in looks]),
        {kind: tuple(ids) for kind, ids in alike.items()},
        tuple([car_from_plain(car, pads) for pads, *car in cars]),
    )


def _plain(value: Any) -> Any:
    """Objects as lists of their fields, within lists and mappings too."""
    if isinstance(value, tuple | list):
        return [_plain(each) for each in value]
    if isinstance(value, Mapping):
        return {name: _plain(each) for name, each in value.items()}
    names = getattr(value, "__match_args__", None)  # the fields, as dataclasses say
    return value if names is None else [_plain(getattr(value, name)) for name in names]
