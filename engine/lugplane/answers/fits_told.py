"""The list of what fits as it was told before, or worked out and kept to be told again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lugplane.answers.fit_plain import fits_from_text, fits_to_text
from lugplane.facts.ground import worked_out
from lugplane.facts.told import tell, told

if TYPE_CHECKING:
    from collections.abc import Callable

    from lugplane.answers.fits_list import Fits
    from lugplane.facts.ground import Ground
    from lugplane.facts.told import Question


def fits_told(ground: Ground | None, question: Question | None, judge: Callable[[], Fits]) -> Fits:
    """The answer to a question that was told on this ground, or that `judge` gives.

    Without a question nothing is told or kept. Raises what `judge` raises.
    """
    if ground is None or question is None:
        return worked_out(ground, judge)
    text = told(ground, question)
    if text is not None:
        return fits_from_text(text)
    found = worked_out(ground, judge)
    tell(ground, {question: fits_to_text(found)})
    return found
