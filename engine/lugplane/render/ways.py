"""The ways up from stock as a page, CSV and JSON."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from lugplane.answers.paths import (
    IN_DOUBT,
    NOT_REACHED,
    REACHED,
    FailsAsCar,
    Found,
    Mapped,
    Paths,
    Stop,
)
from lugplane.answers.rows import BOLTS_ON, FITS_WITH_WORK
from lugplane.answers.sheet import Line, Sheet
from lugplane.answers.steps import Off, Step
from lugplane.answers.ways import GOODS, PRICE, STEPS, Leg, Way
from lugplane.links.candidates import KINDS
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.render.blocks import Block, Cells, Group, Heading, Item, Items, Para, Table
from lugplane.render.hardware import bolt_words, cautions, figures, stack_words, torque_words
from lugplane.render.layout import clean
from lugplane.render.order import in_order
from lugplane.render.plain_json import dumped, plain
from lugplane.render.tables import ask_words, csv_text, look_words
from lugplane.render.text import page_text
from lugplane.render.verdicts import deciding, measures
from lugplane.render.ways_words import (
    good_count,
    good_words,
    kinds_words,
    mechanical_words,
    parts_words,
    price_words,
    setup_words,
    step_words,
    steps_count,
    sum_of,
    things,
    way_words,
)
from lugplane.render.words import sentence

AIMS = {STEPS: "fewest steps", GOODS: "fewest things bought", PRICE: "cheapest"}
_UNDONE = {
    "trim": "the cut in the pads, which then serve no setup that is not judged with as deep a one",
    "shield-trim": "the trimmed splash shield",
}
_ENGINEER = "an engineer's choice, with the adapter"
"""What stands for bolt and torque where a plate has its own; every other stop has both."""
MOST_STOPS = 10
"""So many setups are told in full unless all are asked for; JSON and CSV have all."""
_MOST_APART = 8
_MOST_FAILING = 6
_ORDER = (BOLTS_ON, FITS_WITH_WORK)


def paths_text(
    mapped: Mapped, *, width: int = 80, colour: bool = False, whole: bool = False
) -> str:
    """The ways in lines of at most `width` columns; `whole`: every setup in full."""
    return page_text(paths_blocks(mapped, whole=whole), width=width, colour=colour)


def paths_json(mapped: Mapped) -> str:
    """The ways as JSON (`schemas/answers/paths.json`)."""
    return dumped({"answer": "paths", **plain(mapped.paths)})


def paths_csv(mapped: Mapped) -> str:
    """The stops, one a line, best first, each with the way to it by the aim that was asked for.

    Stops along a way are parted by ` > `, parts of a stop by blanks.
    """
    found = mapped.paths
    wheels = [look.id for look in found.stock.wheels]
    heads = [
        *("verdict", "limiting", "car", *KINDS, "adapter", "changed", "work", "care"),
        *("steps", "things", "currency", "price_lo", "price_hi", "unpriced", "way", "alike"),
        *("car_limiting", "car_settles"),
        *(f"{wheel} verdict" for wheel in wheels),
    ]
    return csv_text(heads, (_csv_line(found, s, wheels) for s in (*found.stops, *found.doubtful)))


def _csv_line(found: Paths, stop: Stop, wheels: Sequence[str]) -> list[object]:
    way = found.way_to(stop.key)
    cells: list[object] = [stop.verdict, stop.limiting, stop.car]
    cells += [stop.part(kind) for kind in KINDS]
    cells += [stop.adapter, stop.changed, stop.work, stop.care]
    if way is None:
        cells += [None] * 7
    else:
        cost = sum_of(found, way.buys)
        priced = bool(cost.known) or not cost.unknown
        cells += [len(way.legs), len(way.buys), found.currency]
        cells += [cost.lo if priced else None, cost.hi if priced else None, cost.unknown]
        cells.append(" > ".join(way.stops))
    cells.append(" ".join(i for kind in KINDS for i in stop.alike.get(kind, ())))
    cells += [stop.car_limiting, " ".join(stop.car_settles)]
    looks = {look.id: look.verdict for look in stop.wheels}
    return [*cells, *(looks.get(wheel, "") for wheel in wheels)]


def paths_blocks(mapped: Mapped, *, whole: bool = True) -> Iterator[Block]:
    """The page: what was asked for step by step, or every stop with the way to it."""
    found = mapped.paths
    named = f"{clean(found.platform_title)} ({clean(found.platform)}), {found.axle} axle"
    yield Heading(f"Ways up from stock: {named}", 1)
    yield Para(tuple(_head(mapped)))
    if found.target is not None:
        yield from _target(mapped)
    if found.target is None or (not found.target.to and found.target.state == REACHED):
        yield from _stops(mapped, whole)
        yield from _apart(found)
        yield from _failing(found)
        yield from _doubtful(mapped)
    yield from _foot(mapped)


def _head(mapped: Mapped) -> Iterator[str]:
    found, stock = mapped.paths, mapped.paths.stock
    parts = parts_words(stock, KINDS)
    yield f"Stock: {parts}: {stock.verdict}."
    if not found.stops:
        fails = stock.verdict in _ORDER  # then it is the car that does
        row = mapped.sheets[stock.key].row(stock.car_limiting if fails else stock.limiting)
        yield f"No way starts there. {sentence(deciding(mapped.sheets[stock.key], row))}"
        return
    others = len(found.stops) - 1
    noun = "setup that may" if others == 1 else "setups that may"
    by = "changing one kind of part at a time"
    if found.widened:
        yield "Changing one kind of part at a time leads nowhere here."
        by = "changing several kinds at one go, as --at-once does"
    elif found.at_once:
        by += ", several at one go only where single changes lead no further"
    yield f"{others or 'No'} other {noun} be driven can be reached by {by}."
    same = _same_doubt(found)
    if same:
        yield f"All of them are judged by the brake, {same}."
    if found.reuse:
        said = f"At hand, and not bought: {', '.join(map(clean, found.reuse))}"
        unused = ", ".join(map(clean, found.unused))
        yield f"{said}; of no use here: {unused}." if unused else f"{said}."


def _same_doubt(found: Paths) -> str:
    """What all setups have in common where the car can be told of none of them."""
    said = {mechanical_words(s) for s in (*found.stops, *(a.stop for a in found.apart))}
    return said.pop() if len(said) == 1 else ""


# --- the list -------------------------------------------------------------------------------------


def _stops(mapped: Mapped, whole: bool) -> Iterator[Block]:
    found = mapped.paths
    stops = [s for s in found.stops if s.key != found.stock.key]
    if not stops:
        return
    ways = {s.key: w for s in stops if (w := found.way_to(s.key))}
    yield Heading(f"What can be reached, {AIMS[found.aim]} to each")
    if found.through:
        said = ", ".join(map(clean, found.through))
        yield Para((f"By {said}: {len(ways)} of {len(stops)}.",))
    groups = []
    wheels = {tuple(_wheel_words(s)) for s in stops if s.key in ways}
    common = wheels.pop() if len(wheels) == 1 else ()
    listed = [s for s in stops if s.key in ways]
    full = listed if whole or len(listed) <= MOST_STOPS + 1 else listed[:MOST_STOPS]
    for verdict in _ORDER:
        rows = [s for s in full if s.verdict == verdict]
        if rows:
            cells = tuple(_stop_row(found, s, ways[s.key], common) for s in rows)
            count = sum(s.verdict == verdict for s in listed)
            groups.append(Group(f"{verdict.capitalize()} ({_of(len(rows), count)})", cells))
    yield Table(("", "steps", "to buy", "price"), tuple(groups), most=(0, 5, 22, 18))
    yield from _short_stops(found, listed[len(full) :], ways, common)
    if common:
        yield Para((f"All of them alike. {common[0]}",))
    missing = [s for s in stops if s.key not in ways]
    if missing and found.aim == PRICE:
        yield Para((f"{len(missing)} more have no way whose prices are all known.",))
    dates = sum_of(found, {g for w in ways.values() for g in w.buys}).dates
    if dates:
        yield Para((f"Prices of the cheapest offers on file, {dates}; they bind nobody.",))


def _of(shown: int, count: int) -> str:
    return str(count) if shown == count else f"{shown} of {count}"


def _short_stops(
    found: Paths, rest: Sequence[Stop], ways: Mapping[str, Way], common: Sequence[str]
) -> Iterator[Block]:
    """The setups after the best ones, a line each, by what can be told of the car."""
    if not rest:
        return
    yield Para(
        (f"{len(rest)} more, by the parts that a sheet is asked for with; --all tells all.",)
    )
    by: dict[str, list[Stop]] = {}
    for stop in rest:
        car = ", the car cannot be told" if stop.mechanical_only else ""
        by.setdefault(f"{stop.verdict.capitalize()}{car}", []).append(stop)
    marked = any(_wheel_mark(s, common) for s in rest)
    heads = ("", "steps", "price", *(["wheels"] if marked else []))
    groups = []
    for title, stops in by.items():
        rows = (_short_row(found, s, ways[s.key], common, marked) for s in stops)
        groups.append(Group(f"{title} ({len(stops)})", tuple(rows)))
    yield Table(heads, tuple(groups), most=(0, 5, 23, *([12] if marked else [])))


def _short_row(found: Paths, stop: Stop, way: Way, common: Sequence[str], marked: bool) -> Cells:
    words = clean(stop.key) + (" --adapter" if stop.adapter else "")
    cells = (words, str(len(way.legs)), sum_of(found, way.buys).words)
    return Cells((*cells, _wheel_mark(stop, common)) if marked else cells)


def _wheel_mark(stop: Stop, common: Sequence[str]) -> str:
    """Whether it is not sure of every wheel of the factory's that it clears the brake."""
    if not [x for x in _wheel_words(stop) if x not in common]:
        return ""
    every = all(look.verdict not in _ORDER for look in stop.wheels)
    return "none is sure" if every else "not all"


def _stop_row(found: Paths, stop: Stop, way: Way, common: Sequence[str]) -> Cells:
    """One setup; what is said of the wheels of all setups is left out."""
    below: list[str] = []
    if len(way.legs) > 1:
        below.append(sentence(f"Way: {way_words(found, way)}"))
    below += _car_words(found, stop)
    below += [x for x in _wheel_words(stop) if x not in common]
    buys = ", ".join(good_count(found.good(key)) for key in way.buys) or "nothing"
    cost = sum_of(found, way.buys)
    return Cells((setup_words(stop), str(len(way.legs)), buys, cost.words), tuple(below))


def _car_words(found: Paths, stop: Stop) -> list[str]:
    """What is to be said of the car where it is not as stock's."""
    doubt = mechanical_words(stop)
    if doubt:
        return [] if _same_doubt(found) else [sentence(doubt)]
    stock = found.stock
    as_stock = (stop.car, stop.car_limiting) == (stock.car, stock.car_limiting)
    if as_stock or stop.car not in _ORDER:
        return []
    return [sentence(f"As a car: {stop.car}, decided by {clean(stop.car_limiting_title)}")]


def _wheel_words(stop: Stop) -> list[str]:
    """The factory's wheels that do not go over a brake, or of which it cannot be told."""
    bad = [look for look in stop.wheels if look.verdict not in _ORDER]
    said = [f"{clean(look.id)} {look_words(look)}" for look in bad]
    every = len(bad) == len(stop.wheels)
    lead = "No wheel of the factory's is sure to clear" if every else "Of the factory's wheels"
    return [f"{lead}: {'; '.join(said)}."] if said else []


def _apart(found: Paths) -> Iterator[Block]:
    if not found.apart:
        return
    count = len(found.apart)
    yield Heading(f"Fits, but not by single changes ({count})")
    yield Para(
        (
            "No stop that may be driven lies between: these kinds change at one go. "
            "--at-once takes them in.",
        )
    )
    by_seat: dict[tuple[str, str, str, str], list[str]] = {}
    alone = _same_doubt(found)
    for a in found.apart:
        others = [k for k in KINDS if k not in ("caliper", "disc")]
        kinds = [p.kind for p in a.stop.parts if not p.stock and p.kind in others]
        start = "stock" if a.nearest == found.stock.key else setup_words(found.stop(a.nearest))
        how = f"{kinds_words(a.kinds)}, from {start}"
        doubt = "" if alone else mechanical_words(a.stop)
        verdict = f"{a.stop.verdict}, {doubt}" if doubt else a.stop.verdict
        key = (verdict, how, parts_words(a.stop, kinds), a.stop.part("caliper"))
        by_seat.setdefault(key, []).append(a.stop.part("disc"))
    alike: dict[tuple[str, str, str, tuple[str, ...]], list[str]] = {}
    for (verdict, how, rest, caliper), found_discs in by_seat.items():
        alike.setdefault((verdict, how, rest, tuple(sorted(found_discs))), []).append(caliper)
    items = []
    for (verdict, how, rest, discs), calipers in alike.items():
        with_ = f" with {rest}" if rest else ""
        items.append(
            f"caliper {_several(calipers)}{with_}, disc {_several(discs)}: {verdict} ({how})"
        )
    yield Items(tuple(Item(sentence(x)) for x in items))


def _failing(found: Paths) -> Iterator[Block]:
    """What fits as a brake and fails as a car, by the check that it fails."""
    if not found.car_fails:
        return
    yield Heading(f"Fits as a brake, yet fails as a car ({len(found.car_fails)})")
    yield Para(("No stop is one of them, and no way leads over them.",))
    by_check: dict[str, list[FailsAsCar]] = {}
    for each in found.car_fails:
        by_check.setdefault(each.limiting, []).append(each)
    yield Items(tuple(Item(sentence(_fails_words(of_it))) for of_it in by_check.values()))


def _fails_words(of_it: Sequence[FailsAsCar]) -> str:
    shown = "; ".join(map(setup_words, of_it[:_MOST_FAILING]))
    more = len(of_it) - _MOST_FAILING
    rest = f"; and {more} more" if more > 0 else ""
    return f"{clean(of_it[0].limiting_title)} ({len(of_it)}): {shown}{rest}"


def _several(ids: Sequence[str]) -> str:
    shown = [clean(i) for i in ids[:_MOST_APART]]
    more = len(ids) - len(shown)
    return " or ".join(shown) + (f" or {more} more" if more else "")


def _doubtful(mapped: Mapped) -> Iterator[Block]:
    found = mapped.paths
    if not found.doubts:
        return
    if not found.doubtful:
        noun = "setup" if found.doubts == 1 else "setups"
        yield Para(
            (f"{found.doubts} {noun} one step further cannot be told: --doubtful lists them.",)
        )
        return
    yield Heading(f"Cannot tell, one step further ({len(found.doubtful)})")
    groups: dict[tuple[str, ...], list[Cells]] = {}
    for stop in found.doubtful:
        sheet = mapped.sheets[stop.key]
        doubts = [r for r in sheet.rows if r.scope == "brake" and r.state == CANNOT_TELL]
        title = clean(stop.limiting_title)
        if len(doubts) > 1:
            title += f" and {len(doubts) - 1} more"
        cells = Cells((setup_words(stop), _nearest_words(found, stop), title))
        asked = tuple(m.rstrip(".") for m in measures(sheet, doubts))
        groups.setdefault(asked, []).append(cells)
    table = (
        Group(sentence(f"Measure {'; '.join(asked)}"), tuple(rows))
        for asked, rows in groups.items()
    )
    yield Table(("", "from", "in doubt"), tuple(table), most=(30, 22, 0))


def _nearest_words(found: Paths, stop: Stop) -> str:
    """The setup that a doubtful one is a step away from, the one nearest to stock."""
    here = min(
        (s.here for s in found.doubtful_steps if s.there == stop.key),
        key=lambda key: (found.stop(key).steps or 0, key),
    )
    return setup_words(found.stop(here))


# --- what was asked for ---------------------------------------------------------------------------


def _target(mapped: Mapped) -> Iterator[Block]:
    found, target = mapped.paths, mapped.paths.target
    if target is None:
        return
    asked = " and ".join(map(clean, target.to))
    by = f"by {' and '.join(map(clean, target.through))}" if target.through else ""
    named = " ".join(x for x in (asked and f"to {asked}", by) if x)
    if target.state == NOT_REACHED:
        yield Para((f"No way leads {named}.",), "Not reached.")
        yield from _why_not(found)
        return
    if target.state == IN_DOUBT:
        said = "Ways lead there only by setups that cannot be told."
        yield Para(
            (f"No sure way leads {named}. {said}", "Measure what is in doubt: --doubtful."),
            "Cannot tell.",
        )
        return
    for each in target.ways:
        yield from _way(mapped, each)
    if target.unpriced:
        names = [good_count(found.good(key)) for key in target.unpriced]
        lines = [f"No price is known for {', '.join(names)}."]
        if not target.ways:
            lines.append("The way with the fewest things to buy: --by parts.")
        yield Para(tuple(lines), "Cheapest: cannot be told.")


def _why_not(found: Paths) -> Iterator[Block]:
    target = found.target
    if target is None:
        return
    said: list[str] = []
    if target.apart:
        count = len(target.apart)
        many = "1 such setup fits" if count == 1 else f"{count} such setups fit"
        said.append(f"{many}, but not by single changes: --at-once")
    fails = {f.key: f for f in found.car_fails}
    for check in dict.fromkeys(fails[k].limiting_title for k in target.car_fails):
        count = sum(fails[k].limiting_title == check for k in target.car_fails)
        many = (
            "1 such setup fits, yet fails" if count == 1 else f"{count} such setups fit, yet fail"
        )
        said.append(f"{many} as a car by {clean(check)}")
    said += [
        f"turned down: {clean(r.part)} on {clean(r.host)}: {ask_words(r.ask)}"
        for r in target.refused
    ]
    if not said:
        parts = " ".join(f"--with {clean(p)}" for p in (*target.to, *target.through))
        said.append(f"why: lugplane fits {clean(found.platform)} {found.axle} {parts} --all")
    yield Items(tuple(Item(sentence(x)) for x in said))


def _way(mapped: Mapped, each: Found) -> Iterator[Block]:
    found, way = mapped.paths, each.way
    title = ", ".join(AIMS[aim] for aim in each.aims)
    yield Heading(title[0].upper() + title[1:])
    cost = sum_of(found, way.buys)
    if not way.legs:
        yield Para(("Stock has it already.",))
        return
    said = f"{steps_count(len(way.legs))}, {things(len(way.buys))} to buy"
    if way.buys:
        said += f": {cost.words}, {cost.dates}" if cost.known else ", prices not known"
    lines = [sentence(said)]
    if PRICE in each.aims:
        lines.append("Compared with the ways whose prices are all known.")
    yield Para(tuple(lines))
    for n, leg in enumerate(way.legs, 1):
        yield from _leg(mapped, n, leg)


def _leg(mapped: Mapped, n: int, leg: Leg) -> Iterator[Block]:
    found = mapped.paths
    step, stop = found.step(leg.here, leg.there), found.stop(leg.there)
    sheet = mapped.sheets[stop.key]
    row = sheet.row(stop.limiting)
    lead = "The least to spare" if stop.verdict == BOLTS_ON else "Decided by"
    words = step_words(stop, step)
    at_once = f" ({kinds_words(step.kinds)} at one go)" if len(step.kinds) > 1 else ""
    yield Para(
        (f"{lead}: {deciding(sheet, row)}.", *_car_words(found, stop)),
        f"{n}. Change to {words}{at_once}. Then: {stop.verdict}.",
    )
    yield Items(tuple(_leg_items(mapped, leg, step, stop, sheet)))


def _leg_items(mapped: Mapped, leg: Leg, step: Step, stop: Stop, sheet: Sheet) -> Iterator[Item]:
    found = mapped.paths
    for key in leg.buys:
        good = found.good(key)
        price = price_words(good.price) if good.price else "price not known"
        again = "again, the old ones are used up: " if key in found.stop(leg.here).goods else ""
        yield Item(sentence(f"Buy {again}{good_words(mapped, good)}; {price}"))
    for key in leg.kept:
        why = "at hand" if _is_owned(found, key) else "from earlier on the way"
        yield Item(sentence(f"Use, {why}: {good_words(mapped, found.good(key))}"))
    yield from (Item(sentence(x)) for x in _hardware(mapped.sheets[leg.here], sheet, step))
    for line, stops in in_order(step.work, step.hold):
        yield Item(sentence(clean(line.text)) if stops else _work(sheet, line), stop=stops)
    yield from (Item(sentence(x)) for x in _comes_off(mapped, step))
    undone = [_UNDONE.get(line.id, clean(line.text)) for line in step.undone]
    if undone:
        yield Item(sentence(f"Cannot be undone: {'; '.join(undone)}"))
    yield from (Item(x) for x in _wheel_words(stop))


def _is_owned(found: Paths, key: str) -> bool:
    ids = {*found.reuse}
    return any(i in ids or i.split("/", 1)[0] in ids for i in found.good(key).ids)


def _work(sheet: Sheet, line: Line) -> str:
    more = figures(sheet, line.detail)
    text = sentence(clean(line.text))
    return sentence(f"{text[:-1]}: {more}") if more else text


def _hardware(before: Sheet, after: Sheet, step: Step) -> Iterator[str]:
    said = {
        "stack": ("Between ear and lug", _stack(before), _stack(after)),
        "bolt": ("Bolt to the knuckle", bolt_words(before.bolts), bolt_words(after.bolts)),
        "torque": ("Torque", torque_words(before), torque_words(after)),
    }
    for name in step.changes:
        lead, was, is_ = said.get(name, ("", "", ""))
        if was != is_:
            yield f"{lead}: {is_ or _ENGINEER}, before: {was or _ENGINEER}"


def _stack(sheet: Sheet) -> str:
    if any(o.kind == "plate" for o in sheet.stack):
        return "the adapter plate"
    return stack_words(sheet.stack)


def _comes_off(mapped: Mapped, step: Step) -> Iterator[str]:
    again = [o for o in step.off if o.again]
    spent = [o for o in step.off if not o.again]
    if again:
        said = "; ".join(_off_words(mapped, o) for o in again)
        yield f"Comes off, looked at it may serve again: {said}"
    if spent:
        said = "; ".join(_off_words(mapped, o) for o in spent)
        yield f"Comes off, used up: {said}"


def _off_words(mapped: Mapped, off: Off) -> str:
    if not off.key:
        return {"original bolt": "the original bolts", "original hose": "the original hoses"}.get(
            off.what, off.what
        )
    good = mapped.paths.good(off.key)
    named = f" {clean(good.item.id)}" if good.item.id else ""
    return f"{good_count(good)}{named}"


def _foot(mapped: Mapped) -> Iterator[Block]:
    found = mapped.paths
    said: list[str] = []
    if found.for_adapter:
        noun = "caliper" if found.for_adapter == 1 else "calipers"
        said.append(f"An adapter plate would bring {found.for_adapter} more {noun} in: --adapters.")
    if found.other_currencies:
        said.append(f"{found.other_currencies} offers in other currencies were passed over.")
    for key in _shown(found):
        failing = next((f for f in found.car_fails if f.key == key), None)
        plate = " --adapter" if (failing or found.stop(key)).adapter else ""
        words = f"lugplane sheet {clean(found.platform)} {found.axle} {clean(key)}{plate}"
        said.append(f"The whole sheet: {words}")
    if said:
        yield Heading("Besides")
        yield Items(tuple(Item(x) for x in said))
    if found.stops:
        # Every caution once, by its id: what stock asks for too, and what is asked for on the way.
        sheets = [mapped.sheets[key] for key in (found.stock.key, *_walked(found))]
        said_of = {id_: said for sheet in sheets for id_, said in cautions(sheet).items()}
        yield Heading("Mind")
        yield Items(tuple(Item(sentence(x)) for x in said_of.values()))


def _walked(found: Paths) -> list[str]:
    """The setups that the ways asked for lead over."""
    ways = found.target.ways if found.target is not None else ()
    return list(dict.fromkeys(leg.there for each in ways for leg in each.way.legs))


def _shown(found: Paths) -> list[str]:
    """The setups whose sheets come next: those asked for, else the first that is not stock."""
    if found.target is not None and found.target.to:
        ends = [f.way.end for f in found.target.ways] or list(found.target.apart[:1])
        ends = ends or list(found.target.car_fails[:1])
        return list(dict.fromkeys(ends))
    return [s.key for s in found.stops if s.key != found.stock.key][:1]
