"""Parts that are the same for a purpose: their facts of one interface agree within their ±.

Each part is held against the one that was asked for, fact by fact; nothing follows from a third
part or from what somebody reports. What is not known on either side leaves it open.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lugplane.answers.rows import Span
from lugplane.errors import BadInput
from lugplane.facts.base import Base
from lugplane.facts.records import RECORDS, Caliper, Carrier, Record
from lugplane.facts.value import Fact, Number, Numbers, Points, Value, Word, Words
from lugplane.links.fact import fact_at, paths_of
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.setup.parts import family
from lugplane.workshop import Workshop

VERSION = 1
SAME = "same"
_GRAIN = 1e-9
_MADE_FOR = frozenset({"designed_for.disc", "designed_for.pad"})
"""What a part was designed for is no property of the part."""
_BY_HOLE = {"threaded": "thread", "plain": "hole_diameter_mm"}


@dataclass(frozen=True, slots=True)
class Purpose:
    """An interface: the facts that make it, and in which kinds of parts it is looked for.

    `holes` names the hole group whose thread or plain hole counts besides.
    """

    id: str
    title: str
    kinds: tuple[str, ...]
    facts: tuple[str, ...]
    holes: str = ""


PURPOSES = (
    Purpose(
        "mount",
        "bolted to the same ears",
        ("caliper", "carrier"),
        ("mount", "lug.hole", "lug.spacing_mm"),
        "lug",
    ),
    Purpose("pad", "taking the same pad shape", ("caliper", "carrier"), ("pad",)),
    Purpose("carrier", "taken by the same carrier", ("caliper",), ()),
    Purpose("calipers", "taking the same calipers", ("carrier",), ("calipers",)),
    Purpose(
        "hub",
        "on the same hub",
        ("disc",),
        ("bolts.count", "bolts.circle_mm", "bore_mm"),
    ),
    Purpose(
        "ring",
        "with the same ring in the same place",
        ("disc",),
        ("diameter_mm", "thickness_mm", "height_mm", "height_to", "plate_mm"),
    ),
    Purpose("shape", "of the same shape", ("pad",), ()),
    Purpose(
        "seat",
        "on the same hub, centred alike",
        ("wheel",),
        ("bolts.count", "bolts.circle_mm", "bore_mm", "centring"),
    ),
    Purpose("rim", "with the same rim and offset", ("wheel",), ("rim_in", "width_in", "offset_mm")),
    Purpose(
        "ears",
        "with the same ears",
        ("knuckle",),
        ("mount", "ear.hole", "ear.spacing_mm"),
        "ear",
    ),
    Purpose(
        "hub-seat",
        "with the same hub",
        ("knuckle",),
        ("hub.bolts.count", "hub.bolts.circle_mm", "hub.spigot_mm", "hub.disc_from"),
    ),
    Purpose("ends", "with the same ends", ("hose",), ("thread", "seat")),
)


@dataclass(frozen=True, slots=True)
class Side:
    """A fact of one part: words, or bounds with their unit; neither: not known."""

    text: str = ""
    span: Span | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Differs:
    """A fact as the part asked for has it, and as the other has it."""

    fact: str
    asked: Side
    other: Side


@dataclass(frozen=True, slots=True)
class Other:
    """A part that is the same for the purpose, or may be: then `missing` are not known.

    `differs` are the other facts in which the two surely differ, `one_sided` those that cannot be
    compared, since they are known of one of the two only; `open` counts these.
    """

    id: str
    kind: str
    title: str
    state: str
    missing: tuple[str, ...]
    differs: tuple[Differs, ...]
    open: int
    one_sided: tuple[Differs, ...] = ()


@dataclass(frozen=True, slots=True)
class SamePurpose:
    """One purpose: the facts that were held against each other, and the parts."""

    purpose: str
    title: str
    facts: tuple[str, ...]
    others: tuple[Other, ...]


@dataclass(frozen=True, slots=True)
class Same:
    """The answer; a purpose for which nothing is known of the part itself has no others."""

    version: int
    part: str
    kind: str
    title: str
    purposes: tuple[SamePurpose, ...]


def same(workshop: Workshop, part: str) -> Same:
    """Parts that are the same as one, purpose by purpose, those that differ least first.

    Raises `BadInput` for an unknown part, or one of a kind that has no purpose.
    """
    base = workshop.base
    kinds = tuple(dict.fromkeys(k for p in PURPOSES for k in p.kinds))
    id_ = base.find(part, kinds)
    kind = base.kind_of(id_) or ""
    if kind not in kinds:
        raise BadInput(f"'{part}' is a {kind}: name {', '.join(kinds)}")
    asked = base.get(RECORDS[kind], id_)
    found = [_purpose(base, p, asked) for p in PURPOSES if kind in p.kinds]
    return Same(VERSION, asked.id, kind, asked.title, tuple(p for p in found if p is not None))


def _purpose(base: Base, purpose: Purpose, asked: Record) -> SamePurpose | None:
    facts = _facts(purpose, asked)
    if not _asks(purpose, asked) or (facts and not any(_known(fact_at(asked, f)) for f in facts)):
        return None
    carried = _carried(base, asked) if purpose.id == "carrier" else None
    others: list[Other] = []
    for kind in purpose.kinds:
        for record in base.all(RECORDS[kind]):
            if record.id != asked.id and _asks(purpose, record):
                if carried is not None and record.id not in carried:
                    continue
                other = _other(purpose, facts, asked, record)
                if other is not None:
                    others.append(other)
    others.sort(key=lambda o: (o.state != SAME, len(o.missing), len(o.differs), o.kind, o.id))
    paths = tuple(_named(asked, f) for f in facts)
    return SamePurpose(purpose.id, purpose.title, paths, tuple(others))


def _asks(purpose: Purpose, part: Record) -> bool:
    """Whether a part has such an interface: lugs are the carrier's where a caliper floats."""
    floating = isinstance(part, Caliper) and part.body.text == "floating"
    if purpose.id == "carrier":
        return floating
    return not (floating and purpose.id in ("mount", "pad"))


def _carried(base: Base, asked: Record) -> set[str]:
    """The calipers that are taken by a carrier that takes this one."""
    lists = [set(c.calipers.items) for c in base.all(Carrier)]
    names = {n for found in lists if found & {asked.id, family(asked.id)} for n in found}
    return {c.id for c in base.all(Caliper) if {c.id, family(c.id)} & names}


def _facts(purpose: Purpose, asked: Record) -> tuple[str, ...]:
    if not purpose.holes:
        return purpose.facts
    hole = fact_at(asked, f"{purpose.holes}.hole")
    word = hole.text if isinstance(hole, Word) else None
    besides = _BY_HOLE.get(word or "")
    return (*purpose.facts, f"{purpose.holes}.{besides}") if besides else purpose.facts


def _other(purpose: Purpose, facts: Sequence[str], asked: Record, other: Record) -> Other | None:
    """How another part stands to the one asked for; None: surely not the same."""
    missing: list[str] = []
    if purpose.id == "shape" and family(asked.id) != family(other.id):
        return None
    known = 0
    for path in facts:
        one, two = fact_at(asked, path), fact_at(other, path)
        known += _known(two)
        agree = _agree(one, two)
        if agree is False:
            return None
        if agree is None:
            missing += [_named(r, path) for r, f in ((asked, one), (other, two)) if not _known(f)]
    if facts and not known:
        return None  # nothing at all speaks for it
    differs, one_sided = _compare(facts, asked, other)
    state = CANNOT_TELL if missing else SAME
    return Other(
        other.id,
        other.kind,
        other.title,
        state,
        tuple(dict.fromkeys(missing)),
        tuple(differs),
        len(one_sided),
        tuple(one_sided),
    )


def _compare(
    facts: Sequence[str], asked: Record, other: Record
) -> tuple[list[Differs], list[Differs]]:
    """The facts beside the interface in which two parts differ, and those known of one only."""
    differs: list[Differs] = []
    one_sided: list[Differs] = []
    theirs = set(paths_of(other))
    for path in paths_of(asked):
        if path in facts or path in _MADE_FOR or path not in theirs:
            continue
        one, two = fact_at(asked, path), fact_at(other, path)
        agree = _agree(one, two)
        if agree is False:
            differs.append(Differs(_named(asked, path), _side(one), _side(two)))
        elif agree is None and (_known(one) or _known(two)):
            one_sided.append(Differs(_named(asked, path), _side(one), _side(two)))
    return differs, one_sided


def _named(part: Record, path: str) -> str:
    """A fact's path with its kind, as files and `--set` write it."""
    return ".".join((part.kind, *(key.rstrip("_") for key in path.split("."))))


def _known(fact: Fact) -> bool:
    return fact.known or (isinstance(fact, Value) and fact.through)


def _agree(one: Fact, two: Fact) -> bool | None:
    """Whether two facts agree within their ±; None where one of them is not known."""
    if not (_known(one) and _known(two)):
        return None
    if isinstance(one, Value) and isinstance(two, Value):
        if one.through or two.through:
            return one.through == two.through
        a, b = one.reading, two.reading
        return a.lo <= b.hi + _GRAIN and b.lo <= a.hi + _GRAIN
    if isinstance(one, Word) and isinstance(two, Word):
        pad = one.path.endswith(".pad")
        return family(one.word) == family(two.word) if pad else one.text == two.text
    if isinstance(one, Number) and isinstance(two, Number):
        return one.value == two.value
    if isinstance(one, Words) and isinstance(two, Words):
        return bool(set(one.items) & set(two.items))
    if isinstance(one, Points) and isinstance(two, Points):
        return _together(one, two)
    if isinstance(one, Numbers) and isinstance(two, Numbers):
        return one.items == two.items
    return False


def _together(one: Points, two: Points) -> bool:
    """Whether two outlines agree point by point, each coordinate within the ± of both."""
    apart = one.plus_minus + two.plus_minus + _GRAIN
    return len(one.items) == len(two.items) and all(
        len(a) == len(b) and all(abs(x - y) <= apart for x, y in zip(a, b, strict=True))
        for a, b in zip(one.items, two.items, strict=True)
    )


def _side(fact: Fact) -> Side:
    if not _known(fact):
        return Side()
    if isinstance(fact, Value):
        if fact.through:
            return Side("through")
        r = fact.reading
        return Side("", Span(r.lo, r.hi, r.nominal), fact.unit)
    return Side(" ".join(_words(fact)))


def _words(fact: Fact) -> Iterator[str]:
    if isinstance(fact, Word):
        yield fact.word
    elif isinstance(fact, Number):
        yield f"{fact.number:g}"
    elif isinstance(fact, Points):
        yield f"{len(fact.items)} points"
    elif isinstance(fact, Numbers | Words):
        for item in fact.items:
            yield f"{item:g}" if isinstance(item, float) else item
