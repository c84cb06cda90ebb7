"""What a sheet says of a trial of its very setup, in a line."""

from __future__ import annotations

from lugplane.answers.evidence import TrialFigure, TrialTold
from lugplane.render.layout import clean
from lugplane.render.words import amount, place_words

STATE_WORDS = {
    "agrees": "agrees",
    "disagrees": "disagrees",
    "tells": "tells what the facts do not",
    "tells nothing": "tells nothing",
}
"""What one trial does, by its state."""


def trial_words(told: TrialTold) -> str:
    """`tammick-q4-first (day, instrument; place): agrees; spacing 5.1 ±0.1 mm`.

    A quantity that does not agree says so; the trial's own state leads.
    """
    how = ", ".join(clean(x) for x in (told.date, told.measured_with) if x)
    figures = ", ".join(_figure(f, told.state) for f in told.figures)
    where = "; ".join(x for x in (how, place_words(told.at)) if x)
    said = f"{clean(told.id)} ({where}): {STATE_WORDS[told.state]}; {figures}."
    if told.state == "agrees":
        return said
    return f"{said} See `lugplane trial check {clean(told.id)}`."


def _figure(figure: TrialFigure, state: str) -> str:
    said = f"{clean(figure.measure)} {amount(figure, figure.unit)}"
    if figure.state in (state, "only measured"):
        return said
    return f"{said} ({STATE_WORDS[figure.state]})"
