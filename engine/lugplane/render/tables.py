"""What the lists share: a candidate's needs, doubts and wheels in few words, CSV, tallies."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from lugplane.answers.fit_row import Ask, CarLook, Fit, WheelLook
from lugplane.answers.found import BOLTS_ON, DOES_NOT_FIT, FITS_WITH_WORK
from lugplane.facts.ids import family
from lugplane.quantity.printed import number
from lugplane.quantity.states import CANNOT_TELL, FAILS
from lugplane.render.hardware import one_bolt, stack_words
from lugplane.render.layout import JOIN, clean
from lugplane.render.words import amount, band_words, bands_words, join, single

_TOLD = frozenset(
    {"stack", "spacing", "lift", "centring", "bolt", "class", "engagement", "torque", "trim"}
)
"""Work of these checks is told by the stack, the bolt and the trim."""
_WORK = {
    "adapter": "an adapter plate (an engineer's work)",
    "hub-bore": "a spigot ring",
    "shield-lip": "the shield trimmed",
    "shield-face": "the shield set back",
    "overhang": "the lining's outer edge trimmed",
    "surroundings": "a look around ring and caliper",
    "hand": "the calipers swapped side to side",
    "hose-thread": "another hose",
    "hose-seat": "another hose",
}
_MOST_FACTS = 3


def needs(row: Fit) -> tuple[str, ...]:
    """What has to be done and bought beside the parts, the hardware first; each thing once."""
    asks = {a.check: a for a in row.asks if a.state == "work"}
    said: dict[str, None] = {}
    if row.adapter:
        # The plate takes up the spacing and the distance of the lugs.
        asks = {check: a for check, a in asks.items() if check not in ("stack", "lug-spacing")}
    if "stack" in asks and row.stack:
        said[stack_words(row.stack)] = None
    if "bolt" in asks and row.bolts:
        said[_bolts_words(row)] = None
    trim = asks.get("trim")
    if trim is not None and trim.value is not None:
        said[f"pads trimmed {amount(trim.value, trim.unit)}"] = None
    for check, ask in asks.items():
        if check not in _TOLD:
            said[_WORK.get(check) or clean(ask.title)] = None
    return tuple(said)


def cares(row: Fit) -> tuple[str, ...]:
    """The checks that hold with care."""
    return tuple(clean(a.title) for a in row.asks if a.state == "care")


def _bolts_words(row: Fit) -> str:
    """The bolts without their standard; where there are several the mock-up decides."""
    said = dict.fromkeys(one_bolt(b).split(", ", 1)[0] for b in row.bolts if b.record)
    stays = " or the original" if any(not b.record for b in row.bolts) else ""
    return " or ".join(said) + stays if said else "the original bolt"


def needs_words(row: Fit, but: Collection[str] = ()) -> str:
    """All that a candidate needs, in one line, without what is in `but`."""
    said = ", ".join(n for n in needs(row) if n not in but)
    care = ", ".join(c for c in cares(row) if c not in but)
    return "; ".join(x for x in (said, f"care: {care}" if care else "") if x)


def seat_words(row: Fit) -> str:
    """Caliper, and the carrier of a floating one."""
    carrier = row.part("carrier")
    said = clean(row.part("caliper"))
    return f"{said} on {clean(carrier)}" if carrier else said


def pad_words(row: Fit) -> str:
    """The pad's shape where its compound makes no difference, else the pad itself."""
    pad = row.part("pad")
    others = {family(p) for p in row.alike.get("pad", ())}
    return clean(family(pad) if others == {family(pad)} else pad)


def alike_words(row: Fit, kinds: Sequence[str]) -> str:
    """The parts of some kinds that no check can tell from those of the row."""
    ids = [clean(i) for kind in kinds for i in row.alike.get(kind, ())]
    return f"or {', '.join(ids)}" if ids else ""


def decided_words(row: Fit) -> str:
    """What decides a candidate: the least to spare, what cannot be told, or what fails."""
    if row.verdict == BOLTS_ON:
        spare = "" if row.margin is None else single(row.margin, row.margin_unit)
        stock = "; stock" if row.changed == 0 else ""
        where = clean(row.limiting_title)
        return (f"{join(spare, 'at')} {where}" if spare else where) + stock
    if row.verdict == DOES_NOT_FIT:
        asks = _first(row, FAILS)
        return _and_more(ask_words(asks[0]), asks)
    if row.verdict == CANNOT_TELL:
        return _doubt_words(row)
    return ""


def cars_words(row: Fit) -> str:
    """The whole car of a row: holds, fails by which check, or cannot be told, and of which pads.

    `as a car: street holds with care; track cannot tell`
    """
    said: dict[str, list[str]] = {}
    for car in row.cars:
        said.setdefault(_car_words(car), []).extend(car.pads)
    if len(said) == 1:
        return f"as a car: {next(iter(said))}"
    told = [f"{', '.join(clean(_compound(p)) for p in pads)} {x}" for x, pads in said.items()]
    return f"as a car: {'; '.join(told)}" if told else ""


def _compound(pad: str) -> str:
    return pad.removeprefix(f"{family(pad)}/")


def _car_words(car: CarLook) -> str:
    if car.verdict == DOES_NOT_FIT:
        return f"fails: {clean(car.limiting_title)}"
    if car.verdict == CANNOT_TELL:
        return CANNOT_TELL
    return "holds with care" if car.verdict == FITS_WITH_WORK else "holds"


def _first(row: Fit, state: str) -> list[Ask]:
    """The checks in a state, the one that decides first."""
    return sorted((a for a in row.asks if a.state == state), key=lambda a: a.check != row.limiting)


def _and_more(said: str, asks: Sequence[Ask]) -> str:
    return f"{said}; {join(str(len(asks) - 1), 'more')}" if len(asks) > 1 else said


def _doubt_words(row: Fit) -> str:
    """The check in doubt that decides, and the facts for want of which it cannot be told."""
    asks = _first(row, CANNOT_TELL)
    said = _and_more(clean(asks[0].title), asks)
    unknown = dict.fromkeys(f for a in asks for f in a.missing)
    if unknown:
        return f"{said}: not known {_listed(list(unknown))}"
    if asks[0].because:
        return f"{said}: {clean(asks[0].because)}"
    facts = dict.fromkeys(s.fact for a in asks for s in a.settles[:1])
    return f"{said}: measure {_listed(list(facts))}" if facts else said


def _listed(facts: Sequence[str]) -> str:
    more = len(facts) - _MOST_FACTS
    rest = f" and {join(str(more), 'more')}" if more > 0 else ""
    return ", ".join(clean(f) for f in facts[:_MOST_FACTS]) + rest


def ask_words(ask: Ask) -> str:
    """A check that fails, in a few words."""
    title = clean(ask.title)
    if ask.value is not None and ask.bands:
        needed = bands_words(ask.bands, ask.unit)
        return f"{title}: {amount(ask.value, ask.unit)}, needs {needed}"
    return f"{title}: {clean(ask.because) or band_words(ask.band)}"


def look_words(look: WheelLook) -> str:
    """What a wheel does over a brake: its gap, or why it does not go on."""
    gap = join(number(look.gap.lo, 1), "mm") if look.gap else ""
    if look.verdict == BOLTS_ON:
        return gap or "clears"
    if look.verdict == FITS_WITH_WORK:
        return f"{gap} {join('with care' if look.limiting == 'wheel-gap' else 'with work')}".strip()
    if look.verdict == DOES_NOT_FIT:
        return join("no:", gap) if look.limiting == "wheel-gap" and gap else _no(look)
    return "cannot tell"


def _no(look: WheelLook) -> str:
    return f"no: {clean(look.limiting_title)}"


def tally(counts: Mapping[str, int], titles: Mapping[str, str]) -> str:
    """How many by which check, most first; one check alone needs no number."""
    most = sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))
    if len(most) == 1:
        return clean(titles.get(most[0][0], most[0][0]))
    return ", ".join(f"{join(str(n))} {clean(titles.get(check, check))}" for check, n in most)


def csv_text(heads: Sequence[str], lines: Iterable[Sequence[object]]) -> str:
    """Lines of cells after a line of heads, without a line end after the last."""
    import csv  # a page does without them
    import io

    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(heads)
    writer.writerows([_cell(c) for c in line] for line in lines)
    return out.getvalue().removesuffix("\n")


def _cell(value: object) -> object:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return round(value, 3) + 0.0  # a minus zero becomes a zero
    return value.replace(JOIN, " ") if isinstance(value, str) else value
