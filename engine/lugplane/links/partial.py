"""A few checks of a setup by themselves, with the rules, measures and limits of the whole sheet.

The rules that a check's row comes from, and those that these start from, are taken out of the
rulebook; the rest of the way (matching, measuring, judging, walking) is that of every sheet. So a
pair check, or the wheel's column, cannot come out otherwise than on the sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache

from lugplane.answers.rows import Row, walk
from lugplane.deduce.deduction import Deduction, deduce
from lugplane.deduce.grammar import Rule
from lugplane.deduce.quick import Quick
from lugplane.deduce.rulebook import Rulebook
from lugplane.errors import EngineError
from lugplane.facts.records import Record
from lugplane.setup.parts import Setup
from lugplane.setup.shared import Shared

NOWHERE = ("", 0, 0)


class Some:
    """Some of a rulebook's checks, to be walked over setups again and again."""

    def __init__(
        self, rulebook: Rulebook, checks: Iterable[str], shared: Shared | None = None
    ) -> None:
        """`shared`: findings that setups have in common, of these checks and of others.

        Raises `EngineError` for a check that is not on the list.
        """
        known = {c.id: c for c in rulebook.checks}
        wanted = tuple(dict.fromkeys(checks))
        for name in wanted:
            if name not in known:
                raise EngineError(f"there is no check {name}")
        self.checks = wanted
        self._shared = shared
        self._rulebook = Rulebook(
            rulebook.limits,
            tuple(known[name] for name in wanted),
            rules_behind(rulebook, wanted),
            rulebook.steps,
        )
        self._match = Quick(self._rulebook.rules).match

    @property
    def rulebook(self) -> Rulebook:
        """These checks with the rules behind them, and no others."""
        return self._rulebook

    def deduce(self, setup: Setup) -> Deduction:
        """What these checks need to be deduced of a setup."""
        return deduce(setup, self._rulebook, self._match, self._shared)

    def rows(self, setup: Setup, brief: bool = False) -> tuple[Row, ...]:
        """The rows of these checks, in the order in which they were asked for; see `walk`."""
        return walk(self.deduce(setup), brief)

    def limits_of(self, check: str, words: Mapping[str, str]) -> tuple[str, ...]:
        """The limits that a check may be held against.

        `words` are what the starting words of a setup are known to be; a rule that asks for
        another word under one of these keys does not come into question.
        """
        name = next(c.name for c in self._rulebook.checks if c.id == check)
        return tuple(
            rule.judge
            for rule in self._rulebook.rules
            if rule.measure == name and rule.judge and _may_fire(rule, words)
        )


def _may_fire(rule: Rule, words: Mapping[str, str]) -> bool:
    asked = (pair for pattern in rule.when for pair in pattern.equals)
    return all(words.get(key, word) == word for key, word in asked)


class _Gives:
    """What each rule of a rulebook may give, looked up once."""

    def __init__(self, rules: Iterable[Rule]) -> None:
        self._rules = [(r, [dict(words) for words in r.then]) for r in rules]
        # By each word that a rule may give.
        self._giving: dict[tuple[str, str], list[int]] = {}
        for n, (rule, then) in enumerate(self._rules):
            pairs = {pair for words in then for pair in words.items()}
            pairs |= {("quantity", rule.measure)} if rule.measure else set()
            pairs |= {("choice", rule.choose)} if rule.choose else set()
            for pair in pairs:
                self._giving.setdefault(pair, []).append(n)
        self._known: dict[frozenset[tuple[str, str]], tuple[Rule, ...]] = {}

    def rules(self, pattern: Mapping[str, str]) -> tuple[Rule, ...]:
        """The rules that may give a fact with these words."""
        key = frozenset(pattern.items())
        if key not in self._known:
            some = {n for pair in key for n in self._giving.get(pair, ())}
            self._known[key] = tuple(
                rule
                for rule, then in (self._rules[n] for n in sorted(some))
                if _may_give(rule, then, pattern)
            )
        return self._known[key]


_KNOWN: list[tuple[tuple[Rule, ...], _Gives]] = []


def _gives(rules: tuple[Rule, ...]) -> _Gives:
    for known, gives in _KNOWN:
        if known is rules:
            return gives
    del _KNOWN[:-3]
    _KNOWN.append((rules, _Gives(rules)))
    return _KNOWN[-1][1]


def rules_behind(rulebook: Rulebook, checks: Iterable[str]) -> tuple[Rule, ...]:
    """The rules that some checks' rows come from, and all that these may start from."""
    gives = _gives(rulebook.rules)
    known = {c.id: c for c in rulebook.checks}
    wanted: list[Mapping[str, str]] = []
    for check in (known[name] for name in checks):
        wanted += [{"quantity": check.name}, {"choice": check.name}, *check.applies]
    taken: set[str] = set()
    while wanted:
        for rule in gives.rules(wanted.pop()):
            if rule.id not in taken:
                taken.add(rule.id)
                wanted += [dict(p.equals) for p in rule.when]
    return tuple(r for r in rulebook.rules if r.id in taken)


def _may_give(rule: Rule, then: Iterable[Mapping[str, str]], pattern: Mapping[str, str]) -> bool:
    if rule.measure and pattern.get("quantity") == rule.measure:
        return True
    if rule.choose and pattern.get("choice") == rule.choose:
        return True
    return any(all(words.get(k) == v for k, v in pattern.items()) for words in then)


@cache
def blank(kind: str) -> Record:
    """A record of a kind of which nothing is known."""
    from lugplane.facts.decode import Decoder
    from lugplane.quantity.limits import Assumed

    # An outline without points has a doubt all the same, whatever it is.
    decoder = Decoder({"report": Assumed(0.0, 0.0)}, lambda path: NOWHERE)
    return decoder.record(kind, "", {})


def pair_setup(host: Record, guest: Record, adapter: bool = False) -> Setup:
    """A setup of which two parts are known and nothing else."""
    parts: dict[str, Record | None] = {
        k: blank(k) for k in ("platform", "knuckle", "caliper", "disc", "pad")
    }
    parts |= {"carrier": None, "wheel": None, host.kind: host, guest.kind: guest}
    return Setup(  # each part is of the class that its kind names
        axle_name="front",
        hose=None,
        bolts=(),
        washers=(),
        adapter=adapter,
        **parts,  # type: ignore[arg-type]
    )
