"""The engine's lists (`fits`, `takes`, `same`) held against those of the oracle.

Every combination of parts is in exactly one place: a row, or turned down by a pair check that the
oracle fails too. A row is unfolded into all combinations that it stands for, and each is compared
as `agree` compares a sheet, over brake and wheel; a list says nothing of the whole car.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from lugplane.answers.fit import Fit, Memo, WheelLook
from lugplane.answers.fits import Fits, fits
from lugplane.answers.rows import Row
from lugplane.answers.same import Same, same
from lugplane.answers.sheet import Scope, Sheet
from lugplane.answers.takes import Take, Takes, takes
from lugplane.facts.records import Caliper, Carrier, Disc, Knuckle, Pad, Platform
from lugplane.links.links import Links
from lugplane.links.relation import CARRIED, EARS, HUB, PAD_IN_CALIPER, PAD_IN_CARRIER

from .agree import Difference, Pair, allowed, differences
from .both_sides import BothSides
from .lists import PARTS, VERDICTS, AxleList, Combination, brake_states, fails, members, seats
from .oracle import CHECKS, Answer
from .same_facts import has, known, same_as

FITTING = VERDICTS[:3]
AXLES = ("front", "rear")
TAKEN = (*PARTS, "wheel")
"""The kinds that `takes` may be asked for."""
COMPARED = (*TAKEN, "knuckle", "hose")
"""The kinds that `same` compares."""


@dataclass
class Found:
    """What a comparison came to: what was held together, by the word; and what differs.

    `told` has a kind, under which differences are counted, and the difference in full.
    """

    counts: Counter[str] = field(default_factory=Counter)
    told: list[tuple[str, str]] = field(default_factory=list)

    def say(self, kind: str, text: str) -> None:
        self.told.append((kind, text))


class BothLists:
    """Engine and oracle over one folder of facts; an axle is judged once by either."""

    def __init__(self, both: BothSides) -> None:
        self.both, self.kb, self.workshop = both, both.kb, both.workshop
        self.links = Links(self.workshop.base, self.workshop.rulebook)
        self.memo = Memo()
        self._oracle: dict[tuple[str, str, bool], AxleList] = {}
        self._engine: dict[tuple[str, str, bool], Fits] = {}
        self._purposes: dict[str, dict[str, set[str]]] = {}

    def oracle(self, platform: str, axle: str, plates: bool = False) -> AxleList:
        """The oracle's list of an axle."""
        key = platform, axle, plates
        if key not in self._oracle:
            like = self.oracle(platform, axle) if plates else None
            self._oracle[key] = AxleList(self.kb, platform, axle, plates=plates, like=like)
        return self._oracle[key]

    def engine(self, platform: str, axle: str, plates: bool = False) -> Fits:
        """The engine's list of an axle, with what does not fit, as `fits --all` gives it."""
        key = platform, axle, plates
        if key not in self._engine:
            self._engine[key] = fits(
                self.workshop, platform, axle, adapters=plates, links=self.links, memo=self.memo
            )
        return self._engine[key]

    def plain(self, platform: str, axle: str, plates: bool = False) -> Fits:
        """The engine's list as `fits` gives it unless more is asked for."""
        return fits(
            self.workshop,
            platform,
            axle,
            verdicts=FITTING,
            adapters=plates,
            fold=True,
            links=self.links,
            memo=self.memo,
        )

    def takes(self, part: str, whole: bool) -> Takes:
        return takes(self.workshop, part, whole=whole, links=self.links, memo=self.memo)

    def rows(self, platform: str, axle: str, part: str) -> list[Fit]:
        """The engine's rows of an axle with a part, or with one of a family.

        They are taken from the whole list where that was made.
        """
        key = platform, axle, False
        if key in self._engine:
            whole = self._engine[key]
        else:
            whole = fits(
                self.workshop, platform, axle, with_=(part,), links=self.links, memo=self.memo
            )
        ids = set(self.named(part))
        return [row for row in whole.rows if any(ids & {*c} for c in stands_for(row))]

    def named(self, part: str) -> tuple[str, ...]:
        """The parts that a word stands for, of whichever kind they are."""
        return next(ids for kind in TAKEN if (ids := members(self.kb, kind, part)))

    def purposes(self, kind: str) -> Mapping[str, set[str]]:
        """The purposes that the engine knows for a kind, with all facts that count anywhere."""
        if kind not in self._purposes:
            found = self._purposes[kind] = {}
            for one in self.kb.of(kind):
                for purpose in same(self.workshop, one.id).purposes:
                    found.setdefault(purpose.purpose, set()).update(purpose.facts)
        return self._purposes[kind]

    def axles(self) -> Iterator[tuple[str, str]]:
        """Every axle of which the knuckle is known."""
        for platform in self.kb.of("platform"):
            for axle in AXLES:
                if platform.get(f"{axle}.knuckle") is not None:
                    yield platform.id, axle


# --- rows ----------------------------------------------------------------------------------------
def stands_for(row: Fit) -> list[Combination]:
    """All combinations that a row stands for."""
    sets = [dict.fromkeys((row.part(kind), *row.alike.get(kind, ()))) for kind in PARTS]
    return [Combination(*each) for each in product(*sets)]


def as_sheet(row: Fit, answer: Answer, look: WheelLook | None = None) -> Sheet:
    """A row, and a wheel over it, as a sheet that says no more than they do.

    A row names the checks that do not plainly hold. Of any other the oracle's *holds* or *does not
    apply* is taken; where the oracle has another state, the check is taken not to apply if the
    table of `agree` explains that, else to hold.
    """
    asked = {ask.check: ask for ask in row.asks}
    rows: dict[str, Row] = {}
    for check, scope in CHECKS.items():
        theirs = answer.states[check]
        state = theirs
        if check in asked:
            ask = asked[check]
            rows[check] = Row(
                check,
                ask.title,
                scope,
                ask.state,
                ask.band,
                unit=ask.unit,
                value=ask.value,
                missing=ask.missing,
            )
            continue
        if scope == "brake" and theirs not in ("holds", "n/a"):
            state = "holds"
        if scope == "wheel" and look is not None and check == look.limiting:
            state = _state_of(look.verdict, theirs)
        value = look.gap if look is not None and check == "wheel-gap" else None
        said = "does not apply" if state == "n/a" else state
        rows[check] = Row(check, check, scope, said, said, unit="mm" if value else "", value=value)
    scopes = (
        Scope("brake", row.verdict, row.limiting),
        Scope("wheel", look.verdict, look.limiting)
        if look is not None
        else Scope("wheel", answer.verdict["wheel"], ""),
        Scope("car", answer.verdict["car"], ""),
    )
    sheet = _sheet(row, scopes, rows)
    for check, scope in CHECKS.items():
        if scope == "brake" and check not in asked and answer.states[check] not in ("holds", "n/a"):
            left_out = replace(rows[check], state="does not apply")
            pair = Pair(sheet, answer, {**rows, check: left_out})
            if allowed(pair, check) is not None:
                rows[check] = left_out
    return _sheet(row, scopes, rows)


def _state_of(verdict: str, theirs: str) -> str:
    """The state that a limiting check must have, the oracle's where it may be that one."""
    states: Mapping[str, Sequence[str]] = {
        "does not fit": ("fails",),
        "cannot tell": ("cannot tell",),
        "fits with work": ("care", "work"),
        "bolts on": ("holds",),
    }
    may = states.get(verdict, ("n/a",))
    return theirs if theirs in may else may[0]


def _sheet(row: Fit, scopes: tuple[Scope, ...], rows: Mapping[str, Row]) -> Sheet:
    none: tuple[()] = ()
    return Sheet(
        1, "", "", "", row.parts, scopes, tuple(rows.values()), row.stack, row.bolts,
        "", None, "", none, none, none, none, none, none, none,
    )  # fmt: skip


def row_differs(row: Fit, c: Combination, theirs: AxleList) -> list[Difference]:
    """What a row says otherwise than the oracle of a combination that it stands for."""
    looks: tuple[WheelLook | None, ...] = row.wheels or (None,)
    found: dict[Difference, None] = {}
    for look in looks:
        answer = theirs.judged(c, look.id if look is not None else "")
        found |= dict.fromkeys(differences(as_sheet(row, answer, look), answer))
    stock = [theirs.platform.get(f"{theirs.axle}.stock.{kind}") for kind in PARTS]
    changed = sum(
        bool(id_) and id_ != named and not (kind == "pad" and id_.split("/")[0] == named)
        for kind, id_, named in zip(PARTS, c, stock, strict=True)
    )
    if c == Combination(*(row.part(kind) for kind in PARTS)) and changed != row.changed:
        found[Difference("row", "changed", str(row.changed), str(changed))] = None
    states = Counter(ask.state for ask in row.asks)
    counted = {"work": row.work, "care": row.care, "cannot tell": row.doubts, "fails": row.failing}
    for state, count in counted.items():
        if states[state] != count:
            found[Difference("row", state, str(count), f"{states[state]} such checks")] = None
    return list(found)


# --- counts --------------------------------------------------------------------------------------
def assignable(counts: Mapping[str, int], things: Sequence[Collection[str]]) -> bool:
    """Whether each thing can be counted under one of its own words so that the counts come out."""
    places = [word for word, n in counts.items() for _ in range(n)]
    if len(places) != len(things):
        return False
    taken: dict[int, int] = {}

    def seat(thing: int, seen: set[int]) -> bool:
        for n, word in enumerate(places):
            if word in things[thing] and n not in seen:
                seen.add(n)
                if n not in taken or seat(taken[n], seen):
                    taken[n] = thing
                    return True
        return False

    order = sorted(range(len(things)), key=lambda t: len(things[t]))
    return all(seat(thing, set()) for thing in order)


# --- one axle ------------------------------------------------------------------------------------
def axle(lists: BothLists, platform: str, axle_: str, plates: bool = False) -> Found:
    """`fits` of an axle, with all verdicts and without, against the oracle's full product."""
    found = Found()
    whole = lists.engine(platform, axle_, plates)
    theirs = lists.oracle(platform, axle_, plates)
    compare_axle(found, whole, theirs, Naming(lists, platform, axle_, plates))
    compare_plain(found, lists, whole, lists.plain(platform, axle_, plates), theirs)
    return found


class Naming:
    """The checks by which the engine turns a pair of an axle down."""

    def __init__(self, lists: BothLists, platform: str, axle_: str, plates: bool) -> None:
        self.links, self.base, self.plates = lists.links, lists.workshop.base, plates
        car = self.base.get(Platform, platform)
        fitted = car.rear if axle_ == "rear" else car.front
        self.knuckle = self.base.get(Knuckle, fitted.knuckle.word)
        self._named: dict[tuple[str, ...], str] = {}

    def ears(self, caliper: str, carrier: str) -> str:
        """Empty where a plate is allowed and brings the seat into question."""
        key = "ears", carrier or caliper
        if key not in self._named:
            part = self._host(caliper, carrier)
            check = self.links.failing(EARS, self.knuckle, part)
            if check and self.plates:
                check = self.links.failing(EARS, self.knuckle, part, True)
            self._named[key] = check
        return self._named[key]

    def hub(self, disc: str) -> str:
        return self.links.failing(HUB, self.knuckle, self.base.get(Disc, disc))

    def carried(self, caliper: str, carrier: str) -> str:
        if not carrier:
            return ""
        host, guest = self.base.get(Carrier, carrier), self.base.get(Caliper, caliper)
        return self.links.failing(CARRIED, host, guest)

    def padded(self, caliper: str, carrier: str, pad: str) -> str:
        key = carrier or caliper, pad
        if key not in self._named:
            relation = PAD_IN_CARRIER if carrier else PAD_IN_CALIPER
            guest = self.base.get(Pad, pad)
            self._named[key] = self.links.failing(relation, self._host(caliper, carrier), guest)
        return self._named[key]

    def _host(self, caliper: str, carrier: str) -> Caliper | Carrier:
        if carrier:
            return self.base.get(Carrier, carrier)
        return self.base.get(Caliper, caliper)


def compare_axle(found: Found, whole: Fits, theirs: AxleList, naming: Naming) -> None:
    """Every row, and everything that is no row, against the oracle."""
    rows: dict[Combination, Fit] = {}
    for row in whole.rows:
        for c in stands_for(row):
            if c in rows:
                found.say("twice a row", f"{c} on {whole.platform} {whole.axle}")
            rows[c] = row
    found.counts["rows of fits"] += len(whole.rows)
    _partition(found, whole, rows, theirs, naming)
    for c, row in rows.items():
        found.counts["combinations judged in full"] += 1
        found.counts[f"brake: {row.verdict}"] += 1
        if row.adapter != (theirs.plates and theirs.plate(c.caliper, c.carrier)):
            found.say("adapter of a row", f"{c} on {whole.platform} {whole.axle}")
        for difference in row_differs(row, c, theirs):
            text = f"{difference}\n      {whole.platform} {whole.axle} {c}"
            found.say(difference.kind, text + (" (adapter)" if row.adapter else ""))
    _in_order(found, whole)
    _counted(found, whole, theirs, naming)


def _partition(
    found: Found,
    whole: Fits,
    rows: Mapping[Combination, Fit],
    theirs: AxleList,
    naming: Naming,
) -> None:
    """Each combination is one row, or fails a named check; pair by pair, as checks are."""
    kb, here = theirs.kb, f"{whole.platform} {whole.axle}"
    discs, pads = [d.id for d in kb.of("disc")], [p.id for p in kb.of("pad")]
    met: set[Combination] = set()

    def named(check: str, states: Mapping[str, str], parts: str) -> str:
        found.counts["pairs held against the pair checks"] += 1
        if check and states[check] != "fails":
            found.say(f"turned down by {check}: oracle {states[check]}", f"{parts} on {here}")
        if not check and fails(states):
            said = ", ".join(sorted(fails(states)))
            found.say(f"not turned down: oracle fails {said}", f"{parts} on {here}")
        return check

    there = [d for d in discs if not named(naming.hub(d), theirs.hub(d), d)]
    asked: dict[str, str] = {}
    for caliper, carrier in seats(kb):
        host = carrier or caliper
        if host not in asked:
            plate = theirs.plates and theirs.plate(caliper, carrier)
            states = theirs.ears(caliper, carrier, plate)
            asked[host] = named(naming.ears(caliper, carrier), states, host)
        down = asked[host]
        if carrier:
            states = theirs.carried(caliper, carrier)
            down = named(naming.carried(caliper, carrier), states, f"{caliper} {host}") or down
        taken = [
            pad
            for pad in pads
            if not named(
                naming.padded(caliper, carrier, pad),
                theirs.padded(caliper, carrier, pad),
                f"{host} {pad}",
            )
        ]
        if not down:
            met |= {Combination(caliper, carrier, d, p) for d in there for p in taken}
    every = len(seats(kb)) * len(discs) * len(pads)
    found.counts["combinations of the product"] += every
    found.counts["combinations turned down by a pair"] += every - len(met)
    for c in met - rows.keys():
        found.say("lost", f"{c} on {here} is no row, and no check turns it down")
    for c in rows.keys() - met:
        found.say("row beside the product", f"{c} on {here}")


def _in_order(found: Found, list_: Fits) -> None:
    ranks = [(VERDICTS.index(row.verdict), row.adapter, row.failing) for row in list_.rows]
    if ranks != sorted(ranks):
        found.say("order of rows", f"{list_.platform} {list_.axle}")


def _counted(found: Found, list_: Fits, theirs: AxleList, naming: Naming) -> None:
    """What a list counts: verdicts, parts turned down, what does not fit, seats for a plate."""
    here, kb = f"{list_.platform} {list_.axle}", theirs.kb
    counts = Counter(row.verdict for row in list_.rows)
    if {v: n for v, n in list_.counts.items() if n} != dict(counts):
        found.say("counts of verdicts", f"{here}: {dict(list_.counts)}, rows {dict(counts)}")
    alone = [caliper for caliper, carrier in seats(kb) if not carrier]
    keeping = {
        "caliper": [fails(theirs.ears(c, "")) for c in alone],
        "carrier": [fails(theirs.ears("", c.id)) for c in kb.of("carrier")],
        "disc": [fails(theirs.hub(d.id)) for d in kb.of("disc")],
        "pad": [],
    }
    taken = {c.pad for c in theirs.open()}
    if taken:
        keeping["pad"] = [frozenset({"pad-shape"}) for p in kb.of("pad") if p.id not in taken]
    for kind, each in keeping.items():
        told = {t.check: t.count for t in list_.turned_down if t.kind == kind}
        found.counts["counts of a list"] += 1
        if not assignable(told, [checks for checks in each if checks]):
            found.say(f"counted {kind}s turned down", f"{here}: {told}")
    plates = sum(
        theirs.plate(caliper, carrier) and not fails(theirs.carried(caliper, carrier))
        for caliper, carrier in seats(kb)
    )
    if list_.for_adapter != (0 if list_.adapters else plates):
        found.say("seats for an adapter", f"{here}: {list_.for_adapter}, oracle {plates}")
    _unfit(found, list_, [row for row in list_.rows if row.verdict == "does not fit"], theirs)


def _unfit(found: Found, list_: Fits, rows: Iterable[Fit], theirs: AxleList) -> None:
    """What does not fit is counted by a check that it fails."""
    each = [fails(brake_states(theirs.judged(stands_for(row)[0]).states)) for row in rows]
    if not assignable(list_.unfit, each):
        found.say("counted as not fitting", f"{list_.platform} {list_.axle}: {dict(list_.unfit)}")


# --- the list as it is given unless more is asked for --------------------------------------------
def compare_plain(
    found: Found, lists: BothLists, whole: Fits, plain: Fits, theirs: AxleList
) -> None:
    """The list without what does not fit and what cannot be told by the dozen."""
    here = f"{whole.platform} {whole.axle}"
    left = {stands_for(row)[0]: row for row in whole.rows}
    groups: Counter[tuple[str, ...]] = Counter()
    shown: Counter[tuple[str, ...]] = Counter()
    unfit: Counter[tuple[str, ...]] = Counter()
    open_to: dict[tuple[str, ...], set[str]] = {}
    for c, row in left.items():
        parts, checks = _untold(c, row, theirs)
        groups[parts] += 1
        unfit[parts] += row.verdict == "does not fit"
        open_to.setdefault(parts, set()).update(checks)
    for row in plain.rows:
        c = stands_for(row)[0]
        found.counts["rows of the short list"] += 1
        if left.pop(c, None) != row:
            found.say("short list: another row", f"{c} on {here}")
        shown[_untold(c, row, theirs)[0]] += 1
    untold = {u.parts: u for u in plain.untold}
    for parts, u in untold.items():
        found.counts["counts of a list"] += 1
        judged_unfit = groups[parts] - shown[parts] - u.count
        if u.check not in open_to.get(parts, ()) or not 0 <= judged_unfit <= unfit[parts]:
            found.say("short list: not told of", f"{here}: {' '.join(parts)} {u.check} {u.count}")
    down = 0
    for c, row in left.items():
        parts, _ = _untold(c, row, theirs)
        if row.verdict == "does not fit":
            down += parts not in untold
        elif parts not in untold or row.verdict != "cannot tell":
            found.say("short list: a row is wanting", f"{c} on {here}: {row.verdict}")
        if parts in untold and theirs.listed(c).verdict in VERDICTS[:2]:
            found.say("short list: told by the oracle", f"{c} on {here}")
    whole_count = sum(plain.counts.values()) + sum(u.count for u in plain.untold)
    shown_as = Counter(row.verdict for row in plain.rows)
    if dict(shown_as) != {v: n for v in FITTING if (n := plain.counts[v])}:
        found.say("short list: counts", f"{here}: {dict(plain.counts)}, rows {dict(shown_as)}")
    if whole_count != len(whole.rows):
        found.say("short list: counts", f"{here}: {whole_count} of {len(whole.rows)}")
    if not untold:
        _unfit(found, plain, left.values(), theirs)
    sieved = lists.memo.sieved
    for c, row in ((stands_for(r)[0], r) for r in whole.rows):
        key = whole.platform, whole.axle, tuple(filter(None, c)), row.adapter
        check = sieved.get(key, "")
        found.counts["sieved"] += bool(check)
        if check and theirs.judged(c).states[check] != "fails":
            found.say(f"sieved by {check}: oracle {theirs.judged(c).states[check]}", f"{c} {here}")


def _untold(c: Combination, row: Fit, theirs: AxleList) -> tuple[tuple[str, ...], set[str]]:
    """The disc or seat of which a pair check cannot tell, and these checks; none: all can."""
    by_disc = _doubts(theirs.hub(c.disc))
    if by_disc:
        return (c.disc,), by_disc
    by_seat = _doubts(theirs.ears(c.caliper, c.carrier, row.adapter))
    return (tuple(filter(None, c[:2])), by_seat) if by_seat else ((), set())


def _doubts(states: Mapping[str, str]) -> set[str]:
    return {check for check, state in states.items() if state == "cannot tell"}


# --- one part ------------------------------------------------------------------------------------
def part(lists: BothLists, id_: str) -> Found:
    """`takes` of a part, or of one of a family, against the oracle's list of every axle."""
    found = Found()
    for whole in (True, False):
        compare_takes(found, lists, lists.takes(id_, whole))
    return found


def compare_takes(found: Found, lists: BothLists, told: Takes) -> None:
    """Every axle is a row with the best that can be made of the part, or counted."""
    rows = {(take.platform, take.axle): take for take in told.rows}
    if len(rows) != len(told.rows):
        found.say("takes: twice a row", told.part)
    keeping: list[frozenset[str]] = []
    ids = lists.named(told.part)
    for platform, axle_ in lists.axles():
        theirs, here = lists.oracle(platform, axle_), f"{told.part} on {platform} {axle_}"
        found.counts["axles asked of a part"] += 1
        take = rows.pop((platform, axle_), None)
        best = theirs.best(told.kind, ids)
        if (take is None) != (not best):
            said = "no row" if take is None else take.verdict
            found.say(f"takes: {said}, oracle {best or 'no combination'}", here)
        if take is not None:
            found.counts[f"takes: {take.verdict}"] += 1
            _take(found, lists, told, take, best)
        if take is None:
            keeping.append(_kept_by([k for id_ in ids for k in theirs.keeping(told.kind, id_)]))
    for left in rows:
        found.say("takes: no such axle", f"{told.part} on {' '.join(left)}")
    if not assignable(told.turned_down, keeping):
        found.say("takes: counted as turned down", f"{told.part}: {dict(told.turned_down)}")
    verdicts = [VERDICTS.index(take.verdict) for take in told.rows]
    if verdicts != sorted(verdicts):
        found.say("takes: order of rows", told.part)


def _kept_by(each: Sequence[frozenset[str]]) -> frozenset[str]:
    """The checks that may be named; the empty name where some seat that may hold it is let pass."""
    if not each:
        return frozenset({"carrier-takes", "pad-shape"})
    if not all(each):
        return frozenset({""})
    return frozenset().union(*each)


def _take(found: Found, lists: BothLists, told: Takes, take: Take, best: str) -> None:
    here = f"{told.part} on {take.platform} {take.axle}"
    theirs = lists.oracle(take.platform, take.axle)
    if best and take.verdict != best:
        sort = "edge" if _by_an_edge(lists, told, take) else "takes"
        found.say(f"{sort}: engine {take.verdict}, oracle {best}", here)
    if told.kind == "wheel":
        return
    ids = set(lists.named(told.part))
    having = theirs.having(ids)
    listed = lists.rows(take.platform, take.axle, told.part)
    if sum(take.counts.values()) + take.untold != len(listed):
        found.say("takes: counts", f"{here}: {dict(take.counts)}, {take.untold} untold")
    rows = Counter(row.verdict for row in listed)
    for verdict, count in take.counts.items():
        exact = verdict in VERDICTS[:2] or not take.untold
        if count > rows[verdict] or (exact and count != rows[verdict]):
            found.say("takes: counts", f"{here}: {count} {verdict}, {rows[verdict]} rows")
    if take.fit is not None:
        c = next((c for c in stands_for(take.fit) if ids & {*c}), None)
        if c not in having or take.fit.verdict != take.verdict:
            found.say("takes: the best row", f"{here}: {c}")
        else:
            for difference in row_differs(take.fit, c, theirs):
                found.say(difference.kind, f"takes {difference}\n      {here}: {c}")
    if take.failing and not any(take.failing in theirs.listed(c).fails for c in having):
        found.say(f"takes: failing {take.failing}", here)


def _by_an_edge(lists: BothLists, told: Takes, take: Take) -> bool:
    """Whether a verdict is the best where rows that differ by an edge are taken as the engine's."""
    if told.kind == "wheel":
        return False
    theirs = lists.oracle(take.platform, take.axle)
    rows = lists.rows(take.platform, take.axle, told.part)
    row_of = {c: row for row in rows for c in stands_for(row)}
    found: set[str] = set()
    for c in theirs.having(lists.named(told.part)):
        row, verdict = row_of.get(c), theirs.listed(c).verdict
        if row is not None and row.verdict != verdict:
            edge = {d.sort for d in row_differs(row, c, theirs)} == {"edge"}
            verdict = row.verdict if edge else verdict
        found.add(verdict)
    return next((v for v in VERDICTS if v in found), "") == take.verdict


# --- the same part -------------------------------------------------------------------------------
def alike(lists: BothLists, id_: str) -> Found:
    """`same` of a part against the facts."""
    found = Found()
    compare_same(found, lists, same(lists.workshop, id_))
    return found


def compare_same(found: Found, lists: BothLists, told: Same) -> None:
    """Every purpose and every part of it; of the printed answer only which facts count is read."""
    kb, kind = lists.kb, told.kind
    asked, purposes = kb.need(kind, told.part), lists.purposes(kind)
    for purpose in purposes.keys() - {p.purpose for p in told.purposes}:
        facts = [fact.split(".", 1)[1] for fact in purposes[purpose]]
        if has(asked, purpose) and (not facts or any(known(asked, f) for f in facts)):
            found.say(f"same: {purpose} is not asked", told.part)
    for each in told.purposes:
        facts = [fact.split(".", 1)[1] for fact in each.facts]
        theirs = same_as(kb, kind, told.part, each.purpose, facts)
        ours = {(o.kind, o.id): o for o in each.others}
        found.counts["purposes of same"] += 1
        found.counts["pairs of parts"] += len(theirs)
        for key in ours.keys() ^ theirs.keys():
            where = "engine" if key in ours else "oracle"
            found.say(f"same: {each.purpose}: only {where}", f"{told.part}: {' '.join(key)}")
        if len(ours) != len(each.others):
            found.say(f"same: {each.purpose}: twice", told.part)
        for key in ours.keys() & theirs.keys():
            other, how = ours[key], theirs[key]
            said = f"{told.part} and {other.id}, {each.purpose}"
            if other.state != how.state:
                found.say(f"same: engine {other.state}, oracle {how.state}", said)
            if set(other.missing) != how.missing:
                found.say("same: missing", f"{said}: {other.missing}, {sorted(how.missing)}")
            differing = {d.fact for d in other.differs}
            for fact in sorted(differing ^ how.differs):
                where = "engine" if fact in differing else "oracle"
                found.say(f"same: differs by {where} only: {fact}", said)
            if other.open != how.open:
                found.say("same: how many are open", f"{said}: {other.open}, {how.open}")
