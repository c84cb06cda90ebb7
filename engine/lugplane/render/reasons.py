"""Why a check came out as it did, as plain data: row, limit, inputs with their doubt, and rules."""

from __future__ import annotations

from dataclasses import dataclass

from lugplane.answers.evidence import FactLine, lines
from lugplane.answers.rows import Row
from lugplane.answers.sheet import Judged
from lugplane.deduce.deduction import DOES_NOT_APPLY, Deduction
from lugplane.deduce.deduction import Judged as JudgedName
from lugplane.deduce.memory import Fact
from lugplane.deduce.plain import missing as first_missing
from lugplane.deduce.proof import simplify
from lugplane.deduce.rulebook import Check
from lugplane.measure.bench import CHOICES, MEASURES
from lugplane.quantity.limits import Constant


@dataclass(frozen=True, slots=True)
class Push:
    """How far the doubt of an input moves the judged quantity either way, in the row's unit.

    An input in round brackets is a choice of ours, not a fact: a spacer's make, say.
    """

    input: str
    reach: float


@dataclass(frozen=True, slots=True)
class Figure:
    """A constant that the measure was given, with its source."""

    name: str
    value: float
    of: str
    source: str


@dataclass(frozen=True, slots=True)
class Because:
    """A fact of the proof: the words it is made of, the rule that gave it and where that stands.

    `rule` empty: it was given. `depth` counts from the conclusion; `uses` how many of the listed
    facts rest on it.
    """

    words: tuple[tuple[str, str], ...]
    rule: str
    at: str
    depth: int
    uses: int


@dataclass(frozen=True, slots=True)
class Lacking:
    """A rule that would give the answer, and the words of its first premise that are not there."""

    rule: str
    at: str
    words: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Reasons:
    """All that stands behind a row."""

    row: Row
    limit_of: str
    limit_unit: str
    figures: tuple[Figure, ...]
    pushes: tuple[Push, ...]
    facts: tuple[FactLine, ...]
    proof: tuple[Because, ...]
    lacking: tuple[Lacking, ...]


def reasons(judged: Judged, check_id: str) -> Reasons:
    """The reasons of a check's row. Raises `KeyError` for a check that is not on the list."""
    row, d = judged.sheet.row(check_id), judged.deduction
    check = next(c for c in d.rulebook.checks if c.id == check_id)
    found = d.judged.get(check.name)
    applies = row.state != DOES_NOT_APPLY or (
        found is not None and bool(found.finding.not_applying)
    )
    facts = lines(d.bench.setup, (*row.facts, *row.missing, *(s.fact for s in row.settles)))
    if found is None or not applies:
        return Reasons(row, "", "", (), (), facts, (), _lacking(d, check, applies))
    return Reasons(
        row,
        found.limit.of if found.limit else "",
        found.limit.unit if found.limit else "",
        _figures(d, check),
        _pushes(found),
        facts,
        _proof(d, found.fact),
        (),
    )


def _figures(d: Deduction, check: Check) -> tuple[Figure, ...]:
    entry = (MEASURES if check.source == "quantity" else CHOICES).get(check.name)
    if entry is None:
        return ()
    given: dict[str, Constant] = {n: d.rulebook.limits.constants[n] for n in entry.constants}
    return tuple(Figure(n, c.value, c.of, c.source) for n, c in given.items())


def _pushes(found: JudgedName) -> tuple[Push, ...]:
    """The inputs' doubts, widest first."""
    reckoned = found.finding.reckoned
    if reckoned is None:
        return ()
    pushes = [Push(path, e.reach) for path, e in reckoned.judged.effects.items() if e.reach > 1e-9]
    return tuple(sorted(pushes, key=lambda p: (-p.reach, p.input)))


def _proof(d: Deduction, fact: Fact) -> tuple[Because, ...]:
    """The simplified proof; of given facts only the words that some rule of it asked for."""
    rules = {rule.id: rule for rule in d.rulebook.rules}
    causes = simplify(d.ledger.proof_of(fact.id))
    asked: dict[str, set[str]] = {}
    for cause in causes:
        if cause.rule_id is not None:
            for pattern, premise in zip(rules[cause.rule_id].when, cause.premise_ids, strict=True):
                asked.setdefault(premise, set()).update(key for key, _ in pattern.equals)
    return tuple(
        Because(
            cause.fact.words
            if cause.rule_id
            else tuple(w for w in cause.fact.words if w[0] in asked.get(cause.fact.id, ())),
            cause.rule_id or "",
            rules[cause.rule_id].at if cause.rule_id else "",
            cause.depth,
            cause.uses,
        )
        for cause in causes
    )


def _lacking(d: Deduction, check: Check, applies: bool) -> tuple[Lacking, ...]:
    if not applies:
        unmet = (p for p in check.applies if not d.matching(p))
        return tuple(Lacking("", "", tuple(p.items())) for p in unmet)
    found: list[Lacking] = []
    for rule in d.rulebook.rules:
        if check.name in (rule.measure, rule.choose):
            pattern = first_missing(rule, d.facts)
            if pattern is not None:
                found.append(Lacking(rule.id, rule.at, pattern.equals))
    return tuple(found)
