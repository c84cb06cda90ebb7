"""The fit sheet of one setup: verdicts, every check, what to buy and do, and what it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from lugplane.answers.evidence import FactLine, TrialTold, lines
from lugplane.answers.parts import BoltLine as BoltLine
from lugplane.answers.parts import Part as Part
from lugplane.answers.parts import StackLine as StackLine
from lugplane.answers.rows import DOES_NOT_FIT, NOT_ASKED, Row, Span, limiting, verdict, walk
from lugplane.answers.stock_joint import stock_reserve
from lugplane.deduce.deduction import Deduction, deduce
from lugplane.deduce.firing import Match
from lugplane.deduce.memory import Fact
from lugplane.deduce.rulebook import SCOPES, Rulebook, Step
from lugplane.measure.bench import Bolts, Stack, Torque
from lugplane.quantity.judge import CANNOT_TELL, FAILS
from lugplane.setup.parts import Setup, family
from lugplane.setup.words import named_by

VERSION = 1


@dataclass(frozen=True, slots=True)
class Scope:
    """The verdict of a scope and the check that decides it."""

    name: str
    verdict: str
    limiting: str


@dataclass(frozen=True, slots=True)
class Buying:
    """Something to buy: how many for the axle, which sides, and prices seen."""

    what: str
    text: str
    id: str
    count: int
    sides: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A step, hold point, caution or rule's saying, with the rule it comes from.

    `before` are the works that a hold point stops, by their ids.
    """

    id: str
    text: str
    rule: str = ""
    detail: str = ""
    before: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """The whole answer. `says` are the rules' own words, placeholders not yet filled in.

    `subjects` leads from the name of a quantity or choice to the check whose row shows it.
    `other_axle` tells how the car was judged: with the other axle `stock`, or as `given`;
    `open_pads` are the compounds that a pad named by its shape alone may be of; `trials` those
    of this very setup. `stock_slip_reserve` is the stock joint's, where this one's is low.
    """

    version: int
    platform: str
    platform_title: str
    axle: str
    parts: tuple[Part, ...]
    scopes: tuple[Scope, ...]
    rows: tuple[Row, ...]
    stack: tuple[StackLine, ...]
    bolts: tuple[BoltLine, ...]
    bolt_reason: str
    torque_nm: tuple[float, float, float] | None
    torque_origin: str
    buy: tuple[Buying, ...]
    work: tuple[Line, ...]
    hold: tuple[Line, ...]
    caution: tuple[Line, ...]
    inspect: tuple[Line, ...]
    says: tuple[Saying, ...]
    evidence: tuple[FactLine, ...]
    measured: tuple[str, ...] = ()
    subjects: Mapping[str, str] = field(default_factory=dict)
    other_axle: str = "stock"
    open_pads: tuple[str, ...] = ()
    trials: tuple[TrialTold, ...] = ()
    stock_slip_reserve: Span | None = None

    @property
    def as_built(self) -> bool:
        """Whether all is as the factory built it and no check asks for work: nothing is to do."""
        brake = (row for row in self.rows if row.scope != "car")
        asked = any(row.state in ("work", FAILS, CANNOT_TELL) for row in brake)
        return not asked and not self.buy and all(part.stock for part in self.parts)

    def row(self, check: str) -> Row:
        """The row of a check. Raises `KeyError`."""
        for row in self.rows:
            if row.check == check:
                return row
        raise KeyError(check)

    def verdict_of(self, scope: str) -> str:
        """The verdict of a scope. Raises `KeyError`."""
        for s in self.scopes:
            if s.name == scope:
                return s.verdict
        raise KeyError(scope)


@dataclass(frozen=True, slots=True)
class Saying:
    """A rule's words with what they speak of: placeholder -> name of a quantity or choice."""

    rule: str
    text: str
    about: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Judged:
    """A sheet and the deduction behind it (for proofs and drawings)."""

    sheet: Sheet
    deduction: Deduction


def judge_setup(setup: Setup, rulebook: Rulebook, match: Match | None = None) -> Judged:
    """Deduce one setup and set the sheet out. Raises `EngineError` where a rule fails."""
    d = deduce(setup, rulebook, match)
    rows = walk(d)
    close = frozenset(n for n, limit in rulebook.limits.limits.items() if limit.close)
    steps = rulebook.steps
    stack, bolts, torque = (detail(d, name) for name in ("stack", "bolt", "torque"))
    sheet = Sheet(
        VERSION,
        setup.platform.id,
        setup.platform.title,
        setup.axle_name,
        parts_of(setup),
        tuple(Scope(s, verdict(rows, s), limiting(rows, s, close)) for s in SCOPES),
        rows,
        stack_lines(stack) if isinstance(stack, Stack) else (),
        bolt_lines(setup, bolts) if isinstance(bolts, Bolts) else (),
        bolts.original_fails if isinstance(bolts, Bolts) else "",
        (torque.nm.lo, torque.nm.hi, torque.nm.nominal) if isinstance(torque, Torque) else None,
        torque.origin if isinstance(torque, Torque) else "",
        _buying(d),
        _lines(d, "work", steps.work),
        _lines(d, "hold", steps.hold),
        _lines(d, "caution", steps.caution),
        _lines(d, "inspect", steps.inspect),
        _says(d),
        lines(setup, (f for row in rows for f in row.facts)),
        tuple(setup.measured),
        {c.name: c.id for c in rulebook.checks},
        "stock" if setup.other is None else "given",
        tuple(pad.id for pad in setup.open_pads),
        stock_slip_reserve=stock_reserve(rows, setup, rulebook, match),
    )
    return Judged(sheet, d)


def worst(sheet: Sheet) -> str:
    """The verdict that the exit code follows: brake, wheel if one is named, and a car that fails.

    A car of which something is not known leaves the brake's verdict as it is: it is judged
    mechanically alone then.
    """
    asked = [sheet.verdict_of("brake"), sheet.verdict_of("wheel")]
    if sheet.verdict_of("car") == DOES_NOT_FIT:
        return DOES_NOT_FIT
    for word in ("does not fit", "cannot tell", "fits with work"):
        if word in asked:
            return word
    return next(v for v in asked if v != NOT_ASKED)


def detail(d: Deduction, name: str) -> Stack | Bolts | Torque | None:
    """What a choice chose; None where nothing was."""
    judged = d.judged.get(name)
    return judged.finding.choice.detail if judged and judged.finding.choice else None


def parts_of(s: Setup) -> tuple[Part, ...]:
    """The parts of a setup."""
    stock = s.axle.stock
    parts = [Part("knuckle", s.knuckle.id, s.knuckle.title, True)]
    for kind, record, fitted in (
        ("caliper", s.caliper, stock.caliper),
        ("carrier", s.carrier, stock.carrier),
        ("disc", s.disc, stock.disc),
        ("pad", s.pad, stock.pad),
        ("hose", s.hose, stock.hose),
        ("wheel", s.wheel, stock.wheel),
    ):
        if record is None:
            continue
        names = (fitted.text, *(s.axle.wheels.items if kind == "wheel" else ()))
        offered = named_by(record.id, names)
        sided = (kind == "caliper" and s.caliper.hand.text == "pair") or (
            kind == "disc" and s.disc.vanes.text == "directional"
        )
        parts.append(Part(kind, record.id, record.title, offered, sided))
    return tuple(parts)


def stack_lines(stack: Stack) -> tuple[StackLine, ...]:
    """The stacks that were chosen."""
    return tuple(StackLine(o.kind, o.count, o.thickness, o.from_, o.to) for o in stack.options)


def bolt_lines(setup: Setup, bolts: Bolts) -> tuple[BoltLine, ...]:
    """The bolts that were chosen."""
    standards = {r.id: r.standard.text or "" for r in setup.bolts}
    return tuple(
        BoltLine(
            o.bolt.record,
            o.bolt.thread,
            o.bolt.length,
            o.bolt.class_,
            o.from_,
            o.to,
            standards.get(o.bolt.record, ""),
        )
        for o in bolts.options
        if o.bolt is not None
    )


_PER = {"lug": 4, "side": 2, "axle": 1, "": 1}


def _buying(d: Deduction) -> tuple[Buying, ...]:
    setup = d.bench.setup
    found: list[Buying] = []
    for step in d.rulebook.steps.buy:
        facts = _facts(d, "buy", step.id)
        # Thread and seat may both ask for another hose: it is one hose all the same.
        for fact in facts[:1] if step.id == "hose" else facts:
            count, sides = _PER[fact.get("per") or ""], ""
            part = getattr(setup, step.id.replace("-", "_"), None)
            id_ = part.id if part is not None and hasattr(part, "id") else ""
            text = step.text
            if step.id == "hose" and fact.get("as"):
                # The hose of the setup is the one that does not meet.
                id_, text = "", _other_hose(setup, text)
            elif step.id == "pad" and setup.open_pads:
                id_ = family(id_)  # its compound is still to be named
            if fact.get("per") == "side":
                sided = (step.id == "caliper" and setup.caliper.hand.text == "pair") or (
                    step.id == "disc" and setup.disc.vanes.text == "directional"
                )
                sides = "one left, one right" if sided else "both sides alike"
            stack = detail(d, "stack")
            if step.id == "washers" and isinstance(stack, Stack):
                count *= stack.options[0].count
            reason = fact.get("as") or ""
            found.append(Buying(step.id, text, id_, count, sides, _subject(d, reason)))
    return tuple(found)


def _other_hose(setup: Setup, text: str) -> str:
    """A hose by what it must have: the thread and the seat of the caliper's port."""
    port = ("thread", setup.caliper.hose.text), ("seat", setup.caliper.hose_seat.text)
    return ", ".join([text, *(f"{what} {word}" for what, word in port if word)])


def _facts(d: Deduction, key: str, word: str) -> list[Fact]:
    return d.matching({key: word})


def _subject(d: Deduction, fact_id: str) -> str:
    """The quantity or choice that a fact's id stands for."""
    f = d.by_id.get(fact_id)
    return "" if f is None else f.get("quantity") or f.get("choice") or ""


def _lines(d: Deduction, key: str, steps: tuple[Step, ...]) -> tuple[Line, ...]:
    found: list[Line] = []
    for step in steps:
        facts = _facts(d, key, step.id)
        if not facts and not step.always:
            continue
        subject = next((s for f in facts if (s := _subject(d, f.get("as") or ""))), "")
        rule = d.ledger.proof_of(facts[0].id).rule_id or "" if facts else ""
        found.append(Line(step.id, step.text, rule, subject, step.before))
    return tuple(found)


def _says(d: Deduction) -> tuple[Saying, ...]:
    """The words of the rules that fired, in the order of the rules."""
    fired: dict[str, tuple[str, ...]] = {}
    for derivation in sorted(d.ledger.derivations):
        fired.setdefault(derivation.rule_id, derivation.premise_ids)
    said: list[Saying] = []
    for rule in d.rulebook.rules:
        if rule.say and rule.id in fired:
            premises = zip(rule.when, fired[rule.id], strict=True)
            said.append(Saying(rule.id, rule.say, {p.name: _subject(d, i) for p, i in premises}))
    return tuple(said)
