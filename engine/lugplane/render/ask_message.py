"""What to measure, as a short plain message to somebody who has the parts or the car."""

from __future__ import annotations

from collections.abc import Iterator

from lugplane.answers.ask import Ask
from lugplane.answers.ask_items import Item
from lugplane.answers.rows import DOES_NOT_FIT
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.quantity.text import number
from lugplane.render.layout import clean, wrap
from lugplane.render.names import unit_of

_WORDS = {1: "one thing", 2: "two things", 3: "three things", 4: "four things", 5: "five things"}
_LEAST_TOLD = 0.005
_TWICE = (
    "Measure each twice, please, and write down what you read; a photo with the ruler in place "
    "helps. "
)
_LEAVE_OUT = "If you cannot get at something, leave it out and say so."
NOTHING = "Hello, I have all that I need; there is nothing to measure. Many thanks."
NO_FIT = (
    "Hello, there is nothing for you to measure: as it is put together here it does not fit, "
    "whatever is measured. Please buy nothing and start no work before we have spoken. Many thanks."
)
NOT_SURE = (
    "Hello, there is nothing that you could measure for me just now, and it is not sure yet that "
    "the brakes fit. Please buy nothing and start no work before we have spoken. Many thanks."
)


def message_text(asked: Ask, *, width: int = 80) -> str:
    """The message in lines of at most `width` columns: one thing after another, no trade words."""
    items = tuple(_wanted(asked))
    requests = dict.fromkeys(request(item, asked.digital_caliper_mm) for item in items)
    if asked.ask_compound:
        requests[asked.ask_compound] = None
    if not requests:
        return "\n".join(wrap(_nothing(asked), width))
    count = _WORDS.get(len(requests), f"{len(requests)} things")
    lines = [
        "Hello,",
        "",
        *wrap(
            f"to be sure that the brakes fit the {asked.axle} axle of your "
            f"{clean(asked.platform_title)}{_parts(asked)}, I need to know {count} from you.",
            width,
        ),
    ]
    for n, said in enumerate(requests, 1):
        lines += ["", *wrap(said, width, f"{n}. ")]
    lines += [
        "",
        *wrap(f"{_TWICE if any(i.needs for i in items) else ''}{_LEAVE_OUT}", width),
        "",
        "Many thanks!",
    ]
    return "\n".join(lines)


def _parts(asked: Ask) -> str:
    """The parts that are not the factory's, by their titles, so that both speak of the same."""
    named = [clean(p.title) for p in asked.parts if not p.stock and p.kind != "pad"]
    return f", with {'; '.join(named)}" if named else ""


def _nothing(asked: Ask) -> str:
    """What is said where nothing is asked: never a yes while a verdict is no yes."""
    found = set(asked.verdicts.values())
    if DOES_NOT_FIT in found:
        return NO_FIT
    return NOT_SURE if CANNOT_TELL in found else NOTHING


def _wanted(asked: Ask) -> Iterator[Item]:
    """What somebody else can do: the lists, then what may settle the rest."""
    for found in asked.lists:
        items = [*(found.items or found.at_the_car), *(i for c in found.close for i in c.items)]
        yield from (item for item in items if item.ask)


def request(item: Item, digital_mm: float) -> str:
    """One request in plain words, with how exact it must be; see `exactness`."""
    asked = item.ask
    if asked and item.needs and item.tool:
        asked += f" {exactness(item.needs, unit_of(item.facts[0]) or 'mm', digital_mm)}"
    return asked


def exactness(plus_minus: float, unit: str, digital_mm: float) -> str:
    """How exact a figure must be, to somebody with a ruler or a caliper gauge in hand.

    `digital_mm` is the ± that a digital caliper reaches.
    """
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
    does = "a digital caliper does it" if plus_minus >= digital_mm else "that takes a micrometer"
    return f"As exactly as you can, to {fine} mm: {does}, or a workshop for you."
