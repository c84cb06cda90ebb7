"""A setup as it would be judged if some of its facts were measured.

A fact that is known is supposed to read as it does now (its best guess), moved inward only so far
that the ± of the measurement stays within what is recorded. A fact that is not known is supposed
to read as that of the likest part of the base; what follows from that is never told as an answer.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from lugplane.answers.ask_likest import fact_of, figures, is_stated, likest
from lugplane.answers.ask_measuring import Way
from lugplane.answers.evidence import find_fact
from lugplane.answers.rows import Row, walk
from lugplane.deduce.deduction import Deduction
from lugplane.deduce.rulebook import Rulebook
from lugplane.errors import BadInput, EngineError
from lugplane.facts.base import Base
from lugplane.facts.records import Record
from lugplane.facts.value import Fact, Points, Value, Word
from lugplane.links.partial import Some
from lugplane.quantity.form import Extent
from lugplane.setup.car import OTHER, OTHER_AXLE, ROLES, STOCK, setup_in_role
from lugplane.setup.override import MEASURED, value_of
from lugplane.setup.parts import Fitted, Setup

SPACING = "spacing_mm"
_GRAIN = 1e-9


@dataclass(frozen=True, slots=True)
class Candidate:
    """One measurement that might be taken, named by its first fact.

    `facts` are what it gives; `now` the ± that they have, None where they are not known; `at_car`
    tells that it is taken at a mock-up.
    """

    name: str
    facts: tuple[str, ...]
    way: Way
    now: float | None
    at_car: bool = False

    @property
    def known(self) -> bool:
        return self.now is not None

    @property
    def narrows(self) -> bool:
        """Whether measuring tells more than is known."""
        if self.now is None:
            return True
        return self.way.reaches is not None and self.now > self.way.reaches + _GRAIN


@dataclass(frozen=True, slots=True)
class View:
    """The rows of a setup, and the bounds that its quantities' rows rest on, by their checks."""

    rows: tuple[Row, ...]
    extents: Mapping[str, Extent]


Reading = float | str
Checks = frozenset[str] | None
"""Some checks by their ids; None: all of the scopes asked for."""
Taken = Mapping[str, float]
"""Candidates that are measured, by name, each with its ± (0 for what is looked at or counted)."""


class Supposed:
    """Judges one setup with facts measured, in some scopes; every question is judged once."""

    def __init__(
        self,
        base: Base,
        setup: Setup,
        ways: Mapping[str, Way],
        some: Some,
        now: View | None = None,
    ) -> None:
        """`some` are the checks of these scopes: see `checks_of`; `now` is as they were judged."""
        self.base, self.setup = base, setup
        self.rulebook = some.rulebook
        self._ways = ways
        self._some: dict[Checks, Some] = {None: some}
        self._views: dict[tuple[Checks, tuple[Any, ...]], View | None] = {}
        self._candidates: dict[str, Candidate | None] = {}
        self._guesses: dict[str, Fact] = {}
        self._now = now
        self.spacing: float | None = None

    # --- what might be measured --------------------------------------------------------------

    def candidate(self, path: str) -> Candidate | None:
        """The measurement that gives a fact; None where the fact is settled or is no part's."""
        if path not in self._candidates:
            self._candidates[path] = self._candidate(path)
        return self._candidates[path]

    def _candidate(self, path: str) -> Candidate | None:
        if path.startswith(("(", "bolt:")) or (
            path in MEASURED and path not in self.setup.measured
        ):
            # A choice of ours, standard hardware, or what is still to be settled at the mock-up.
            return None
        way = self._way(path)
        found = {f: n[1] for f in way.facts if (n := find_fact(self.setup, f)) is not None}
        at_car = way.facts[0] in MEASURED
        if not found:
            # A part that the setup has not, or a fact of somewhere else: it can only be asked for.
            return Candidate(path, (path,), way, None, at_car)
        name = next(iter(found))
        now = doubt_of(found[name]) if len(way.facts) == 1 else _group_doubt(found)
        if now == 0.0:
            return None
        return Candidate(name, tuple(found), way, now, at_car)

    def _way(self, path: str) -> Way:
        role, bare = whose(path)
        way = self._ways.get(bare)
        if way is None:
            within = (w for f, w in self._ways.items() if f.startswith(f"{bare}."))
            way = next(within, Way((bare,), "", None, "", ""))
        return replace(way, facts=tuple(f"{role}{f}" for f in way.facts)) if role else way

    def mock_up(self) -> Candidate | None:
        """The measurement of the spacing at a mock-up; None where there is none to take."""
        if self.setup.knuckle.mount.text != "axial" or SPACING in self.setup.measured:
            return None
        way = self._way(SPACING)
        return Candidate(SPACING, (SPACING,), way, None, True) if way.reaches else None

    # --- guesses at what is not known --------------------------------------------------------

    def suppose(self, unknown: Iterable[Candidate], rank: int = 0) -> None:
        """Take the facts of unknown candidates from the likest parts: the likest but `rank`."""
        wanted: dict[str, list[str]] = {}
        for candidate in unknown:
            for fact in candidate.facts:
                if not is_stated(self._fact(fact)):
                    wanted.setdefault(fact.split(".", 1)[0], []).append(fact)
        before, self._guesses = self._guesses, {}
        for facts in wanted.values():
            record = self._record(facts[0])
            if record is None:
                continue
            for group in (facts, *([f] for f in facts)):
                keys = [f.split(".")[1:] for f in group if _wanted_of_group(f)]
                donors = likest(self.base, record, keys) if keys else []
                if donors:
                    donor = donors[min(rank, len(donors) - 1)]
                    for fact in group:
                        given = fact_of(donor, fact.split(".")[1:])
                        if given is not None and is_stated(given) and fact not in self._guesses:
                            self._guesses[fact] = given
        if self._guesses != before:
            self._views.clear()

    def can_guess(self, candidate: Candidate) -> bool:
        """Whether something can be supposed of a candidate."""
        if candidate.name == SPACING and SPACING not in self.setup.measured:
            return self.spacing is not None
        return candidate.known or any(f in self._guesses for f in candidate.facts)

    def looked_over(self, fact: str) -> tuple[float, ...]:
        """What parts of the base read for a number that is not known here, ascending."""
        record = self._record(fact)
        return figures(self.base, record, fact.split(".")[1:]) if record else ()

    def guess(self, fact: str, plus_minus: float) -> float | None:
        """The best guess at a number, as a measurement of that ± would read it."""
        held = self._fact(fact)
        if fact == SPACING and held is None:
            return self.spacing
        if not isinstance(held, Value):
            return None
        if not held.known:
            given = self._guesses.get(fact)
            return given.reading.nominal if isinstance(given, Value) and given.known else None
        r = held.reading
        if r.hi - r.lo < 2 * plus_minus:
            return r.nominal
        return min(max(r.nominal, r.lo + plus_minus), r.hi - plus_minus)

    # --- judging -----------------------------------------------------------------------------

    def view(
        self, taken: Taken, at: Mapping[str, Reading] | None = None, checks: Checks = None
    ) -> View | None:
        """The rows with some candidates measured; `at` says what facts read instead of the guess.

        Of the checks named alone, which takes less time, else of all. None where such a setup
        cannot be judged at all.
        """
        at = at or {}
        if not taken and not at:
            self._now = self._now or self._judge({}, {}, None)
            return self._now
        key = (*sorted(taken.items()), "at", *sorted(at.items(), key=str))
        if (None, key) in self._views:
            return self._views[None, key]
        if (checks, key) not in self._views:
            self._views[checks, key] = self._judge(taken, at, checks)
        return self._views[checks, key]

    def _checks(self, checks: Checks) -> Some:
        if checks not in self._some:
            ids = [c.id for c in self.rulebook.checks if checks is None or c.id in checks]
            self._some[checks] = Some(self.rulebook, ids)
        return self._some[checks]

    def _judge(self, taken: Taken, at: Mapping[str, Reading], checks: Checks) -> View | None:
        try:
            setup = self.setup
            for name, plus_minus in taken.items():
                candidate = self.candidate(name)
                facts = candidate.facts if candidate else (name,)
                for fact in facts:
                    setup = self._measured(setup, fact, plus_minus, at.get(fact))
            return view_of(self._checks(checks).deduce(setup))
        except (BadInput, EngineError):
            return None

    def _measured(self, setup: Setup, fact: str, plus_minus: float, at: Reading | None) -> Setup:
        if fact in MEASURED:
            reads = at if at is not None else self.guess(fact, plus_minus)
            if not isinstance(reads, float):
                return setup
            value = value_of(fact, said(reads, plus_minus), self.base.assumed_measured)
            return replace(setup, measured={**setup.measured, fact: value})
        held = self._fact(fact)
        if held is None:
            return setup
        new = self._new(held, fact, plus_minus, at)
        return setup if new is None else put(setup, fact, new)

    def _new(self, held: Fact, fact: str, plus_minus: float, at: Reading | None) -> Fact | None:
        given = self._guesses.get(fact)
        if isinstance(held, Value):
            if at is None and not held.known and isinstance(given, Value) and given.through:
                return replace(held, through=True)
            reads = at if isinstance(at, float) else self.guess(fact, plus_minus)
            if reads is None:
                return None
            return value_of(held.path, said(reads, plus_minus), self.base.assumed_measured)
        if isinstance(held, Word) and isinstance(at, str):
            return Word(held.path, at)
        if isinstance(held, Points):
            doubtful = replace(held, plus_minus=plus_minus)
            if not held.known and isinstance(given, Points):
                return replace(doubtful, items=given.items)
            return doubtful
        if given is not None and not held.known:
            return replace(given, path=held.path)
        return None

    def _fact(self, path: str) -> Fact | None:
        named = find_fact(self.setup, path)
        return named[1] if named else None

    def _record(self, path: str) -> Record | None:
        """The part that a fact is of."""
        role, bare = whose(path)
        owner = setup_in_role(self.setup, role) if role else self.setup
        record = getattr(owner, bare.split(".", 1)[0], None)
        return record if isinstance(record, Record) else None


def whose(path: str) -> tuple[str, str]:
    """What stands before a fact's path, if it is of another setup, and the path itself."""
    role = next((r for r in ROLES if path.startswith(r)), "")
    return role, path.removeprefix(role)


def checks_of(rulebook: Rulebook, scopes: Iterable[str]) -> Some:
    """The checks of some scopes, with the rules that they can come to hang on and no others."""
    asked = frozenset(scopes)
    return Some(rulebook, [c.id for c in rulebook.checks if c.scope in asked])


class _Refitted:
    """What the factory fitted, but for one axle."""

    def __init__(self, fitted: Fitted, axle_name: str, setup: Setup) -> None:
        self.kept: dict[Hashable, Any] = {}
        self._fitted, self._axle_name, self._setup = fitted, axle_name, setup

    def setup(self, axle_name: str) -> Setup:
        return self._setup if axle_name == self._axle_name else self._fitted.setup(axle_name)


def put(setup: Setup, path: str, fact: Fact) -> Setup:
    """The setup with another fact at a path, be it of its own parts, of stock or of the other axle.

    Unchanged where it has no such place.
    """
    role, bare = whose(path)
    keys = bare.split(".")
    changed: Setup
    if not role:
        changed = _with(setup, keys, fact)
    elif role == OTHER_AXLE and setup.other is not None:
        changed = replace(setup, other=_with(setup.other, keys, fact))
    elif setup.fitted is None:
        changed = setup
    else:
        axle_name = setup.axle_name if role == STOCK else OTHER[setup.axle_name]
        stock = _with(setup.fitted.setup(axle_name), keys, fact)
        changed = replace(setup, fitted=_Refitted(setup.fitted, axle_name, stock))
    return changed


def said(reads: float, plus_minus: float) -> str:
    """A reading as `--set` takes it."""
    return f"{_plain(reads, 4)} ±{_plain(plus_minus, 6)}"


def _plain(x: float, places: int) -> str:
    """A number without an exponent, which no value may have."""
    text = f"{x:.{places}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def doubt_of(fact: Fact) -> float | None:
    """Half the width of a fact; 0 where it is settled, None where it is not known."""
    if isinstance(fact, Value):
        if fact.through:
            return 0.0
        return (fact.reading.hi - fact.reading.lo) / 2 if fact.known else None
    if isinstance(fact, Points):
        return fact.plus_minus if fact.known else None
    return 0.0 if fact.known else None


def _group_doubt(found: Mapping[str, Fact]) -> float | None:
    """The ± of facts that are taken together: points, or other figures that stand for them."""
    points = [f for f in found.values() if isinstance(f, Points)]
    others = [f for p, f in found.items() if not isinstance(f, Points) and _wanted_of_group(p)]
    known = [f.known for f in points]
    if not (all(known) or (others and (any(known) or all(f.known for f in others)))):
        return None
    return max((f.plus_minus for f in points), default=0.0)


def _wanted_of_group(path: str) -> bool:
    """A ± that stands as a fact of its own is never what is wanted."""
    return not path.rsplit(".", 1)[-1].startswith("plus_minus_")


def view_of(d: Deduction, checks: Checks = None) -> View:
    """The rows of a deduction, or of some of its checks, with their bounds."""
    rows, extents = walk(d), _extents(d)
    if checks is None:
        return View(rows, extents)
    some = tuple(r for r in rows if r.check in checks)
    return View(some, {c: e for c, e in extents.items() if c in checks})


def _extents(d: Deduction) -> dict[str, Extent]:
    found: dict[str, Extent] = {}
    for check in d.rulebook.checks:
        judged = d.judged.get(check.name)
        if check.source == "quantity" and judged and judged.finding.reckoned is not None:
            found[check.id] = judged.finding.reckoned.judged
    return found


def _with(owner: Any, keys: Sequence[str], fact: Fact) -> Any:
    """The owner with another fact under its keys; unchanged where it has no such place."""
    if not is_dataclass(owner):
        return owner
    name = next((f.name for f in fields(owner) if f.name.rstrip("_") == keys[0]), None)
    if name is None:
        return owner
    held: Any = getattr(owner, name)
    new = fact if len(keys) == 1 else _with(held, keys[1:], fact)
    return replace(owner, **{name: new})  # type: ignore[type-var]
