"""The plots of a car answer, by the names of their files."""

from __future__ import annotations

from lugplane.answers.car import CarAnswer
from lugplane.answers.curves import Doubt
from lugplane.render.car import BARE
from lugplane.render.car_words import amount_words
from lugplane.render.layout import clean
from lugplane.render.plots.adhesion import Bounds, adhesion_svg
from lugplane.render.plots.heat import heat_svg
from lugplane.render.plots.share import share_svg

_SHARE = "front-share"


def plot_names(*, own: bool) -> tuple[str, ...]:
    """The files that an answer's plots go to; `own`: with a list of stops."""
    return ("adhesion.svg", "heat-type-one.svg", *(["heat-own.svg"] if own else []), "share.svg")


def car_plots(answer: CarAnswer) -> dict[str, str]:
    """File name -> SVG, the same text each time."""
    car = f"{clean(answer.platform_title)} ({clean(answer.platform)})"
    notes = [_proposed(answer)]
    c = answer.conditions
    bounds = Bounds(c.slopes, (c.adhesion_from, c.adhesion_to), (c.z_from, c.z_to))
    bare = [BARE] if answer.valve == "electronic" else []
    found = {
        "adhesion.svg": adhesion_svg(
            f"{car}: adhesion used by the axles", answer.adhesion, bounds, [*bare, *notes]
        )
    }
    for course in answer.heat:
        title = f"{car}: {clean(course.title)}"
        found[f"heat-{course.name}.svg"] = heat_svg(title, course, notes)
    check = answer.check(_SHARE)
    now = check.proposed
    change = now.value or Doubt(now.missing, now.because)
    found["share.svg"] = share_svg(
        f"{car}: front share of the braking",
        change,
        check.bands,
        check.limit_source,
        [_shares(answer), *notes],
    )
    return found


def _proposed(answer: CarAnswer) -> str:
    """Which parts are proposed."""
    said = [
        f"{axle} {', '.join(clean(p.id) for p in parts if not p.stock)}"
        for axle, parts in (("front", answer.front), ("rear", answer.rear))
        if any(not p.stock for p in parts)
    ]
    return f"Proposed: {'; '.join(said)}." if said else "Proposed: nothing but stock parts."


def _shares(answer: CarAnswer) -> str:
    """Both shares themselves, which the plot shows the difference of."""
    share = next(f for f in answer.figures if f.name == _SHARE)
    stock, proposed = (amount_words(a, share.unit) for a in (share.stock, share.proposed))
    return f"Front share at equal line pressure: stock {stock}; proposed {proposed}."
