"""A figure of the whole car: bounds with the facts they come from, or the facts that are wanting.

Nothing here is judged. `use` takes a figure in a measure: so a proof names the facts behind it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import inf

from lugplane.facts.value import Value
from lugplane.measure.bench import Bench, DoesNotApply, Undecided
from lugplane.measure.corners import Span
from lugplane.quantity.form import Form, Missing
from lugplane.setup.override import AT


@dataclass(frozen=True, slots=True)
class Figure:
    """Least, greatest and nominal value of a number, and the paths of the facts it comes from.

    Where it cannot be told, `missing` names the facts that are not known, or `because` says why.
    `stands` is where a figure of one fact stands: two members of a family that inherit it have one.
    """

    lo: float = 0.0
    hi: float = 0.0
    nominal: float = 0.0
    facts: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    because: str = ""
    stands: str = ""

    @property
    def known(self) -> bool:
        return not self.missing and not self.because

    @property
    def span(self) -> Span:
        """Least and greatest. Raises `Missing` or `Undecided` where it cannot be told."""
        if self.missing:
            raise Missing(*self.missing)
        if self.because:
            raise Undecided(self.because)
        return self.lo, self.hi

    def one_with(self, other: Figure) -> bool:
        """Whether both are the very same reading."""
        same = bool(self.stands) and self.stands == other.stands
        return same and (self.lo, self.hi) == (other.lo, other.hi)


@dataclass(frozen=True, slots=True)
class Factor:
    """One factor of a braking torque. Two brakes whose factors have one key share its doubt."""

    key: tuple[object, ...]
    figure: Figure
    path: str


def use(b: Bench, *figures: Figure) -> None:
    """Note the facts behind some figures on the bench.

    Raises `Missing` with all facts that are not known, else `Undecided`, where any cannot be told.
    """
    for f in figures:
        b.place.note(*f.facts)
    missing = [m for f in figures for m in f.missing]
    if missing:
        raise Missing(*missing)
    for f in figures:
        if f.because:
            raise Undecided(f.because)


def word(b: Bench, path: str, text: str | None) -> str:
    """A word of the car, noted on the bench. Raises `Missing` where it is not known."""
    b.place.note(path)
    if text is None:
        raise Missing(path)
    return text


def axle_figure(
    make: Callable[[], tuple[float, float, float]], b: Bench, stands: str = ""
) -> Figure:
    """What `make` gives, as (least, greatest, nominal), with the facts that it reads on a bench."""
    missing: tuple[str, ...] = ()
    because = ""
    got = (0.0, 0.0, 0.0)
    with b.place.noting() as note:
        try:
            got = make()
        except Missing as error:
            missing = error.facts
        except (Undecided, DoesNotApply) as error:
            because = str(error)
        except ValueError as error:
            because = f"these facts contradict each other: {error}"
    return Figure(*got, tuple(note), missing, because, stands)


def fact(b: Bench, value: Value) -> Figure:
    """A fact as it stands."""
    stands = value.at if value.at != AT else ""
    return axle_figure(lambda: spread(b.place.q(value)), b, stands)


def spread(form: Form) -> tuple[float, float, float]:
    """Least, greatest and nominal value of a form."""
    return *form.bounds, form.nominal


def together(f: Callable[..., float], *figures: Figure) -> Figure:
    """`f` of some figures, `f` rising with each; what is missing of any is missing of all.

    So are all of them where no part can have them at once (`ValueError` of `f`).
    """
    facts = tuple(dict.fromkeys(p for x in figures for p in x.facts))
    if not all(x.known for x in figures):
        missing = tuple(dict.fromkeys(p for x in figures for p in x.missing))
        because = next((x.because for x in figures if x.because), "")
        return Figure(0.0, 0.0, 0.0, facts, missing, because)
    try:
        found = (
            f(*(x.lo for x in figures)),
            f(*(x.hi for x in figures)),
            f(*(x.nominal for x in figures)),
        )
    except ValueError as error:
        said = f"these facts contradict each other: {error}"
        return Figure(0.0, 0.0, 0.0, facts, facts, said)
    return Figure(*found, facts)


def between(figure: Figure, low: float = 0.0, high: float = inf) -> Figure:
    """The figure where all of it lies above `low` and below `high`; else it is as good as unknown.

    A mass that may be nought, say: nothing is told by dividing by it, and its fact has to be
    measured.
    """
    if not figure.known or low < figure.lo <= figure.hi < high:
        return figure
    return replace(figure, missing=figure.facts)
