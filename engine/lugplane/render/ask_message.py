"""What to measure, as a short plain message to somebody who has the parts or the car."""

from __future__ import annotations

from collections.abc import Iterator

from lugplane.answers.ask import Ask
from lugplane.answers.ask_items import Item
from lugplane.quantity.text import number
from lugplane.render.layout import wrap
from lugplane.render.names import unit_of

_WORDS = {1: "one thing", 2: "two things", 3: "three things", 4: "four things", 5: "five things"}
_LEAST_TOLD = 0.005
NOTHING = "Hello, I have all that I need; there is nothing to measure. Many thanks."


def message_text(asked: Ask, *, width: int = 80) -> str:
    """The message in lines of at most `width` columns: one thing after another, no trade words."""
    items = tuple(_wanted(asked))
    if not items:
        return "\n".join(wrap(NOTHING, width))
    count = _WORDS.get(len(items), f"{len(items)} things")
    lines = [
        "Hello,",
        "",
        *wrap(f"to be sure that the brakes fit your car I need to know {count} from you.", width),
    ]
    for n, item in enumerate(items, 1):
        lines += ["", *wrap(request(item), width, f"{n}. ")]
    lines += [
        "",
        *wrap(
            "Measure each twice, please, and write down what you read; a photo with the ruler in "
            "place helps. If you cannot get at something, leave it out and say so.",
            width,
        ),
        "",
        "Many thanks!",
    ]
    return "\n".join(lines)


def _wanted(asked: Ask) -> Iterator[Item]:
    """What somebody else can do, each thing once: the lists, then what may settle the rest."""
    seen: set[str] = set()
    for found in asked.lists:
        items = [*(found.items or found.at_the_car), *(i for c in found.close for i in c.items)]
        for item in items:
            text = request(item)
            if text and text not in seen:
                seen.add(text)
                yield item


def request(item: Item) -> str:
    """One request in plain words, with how exact it must be."""
    asked = item.ask
    if asked and item.needs and item.tool:
        asked += f" {exactness(item.needs, unit_of(item.facts[0]) or 'mm')}"
    return asked


def exactness(plus_minus: float, unit: str) -> str:
    """How exact a figure must be, to somebody with a ruler or a caliper gauge in hand."""
    if unit != "mm":
        return f"To about {number(plus_minus)} {unit}, please.".replace("  ", " ")
    if plus_minus >= 1:
        return "To the nearest millimetre is enough."
    if plus_minus >= 0.5:
        return "To half a millimetre is enough; a ruler does."
    if plus_minus >= 0.1:
        tenths = int(plus_minus * 10 + 1e-6)
        said = "a tenth" if tenths == 1 else f"{tenths} tenths"
        return f"To {said} of a millimetre, please: a sliding caliper does it."
    fine = number(max(plus_minus, _LEAST_TOLD), 2 if plus_minus >= 0.01 else 3)
    return f"As exactly as you can, to {fine} mm: a digital caliper or a workshop's gauge does it."
