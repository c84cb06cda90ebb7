"""Checks asked of a setup in their turn, until one of them fails.

Each is judged as on the sheet, by the same rules, measures and limits. Only nothing more is asked
of a setup once it has failed, and no rows and proofs are made of it.

Which rule is fired next hangs on words alone: those that the setup starts from, and those that the
rules fired so far came out with. So a course once gone is kept, in a tree: a rule at each step, a
branch for each outcome, the failing check at the end. The next setup that starts from the same
words goes along it, and is measured without any matching.
"""

from __future__ import annotations

from collections.abc import Iterable

from lugplane.deduce.deduction import Work
from lugplane.deduce.firing import WorkingMemory, failed
from lugplane.deduce.grammar import Rule
from lugplane.deduce.memory import Fact, fact_of
from lugplane.deduce.quick import Quick
from lugplane.deduce.rulebook import Check, Rulebook
from lugplane.errors import LugplaneError
from lugplane.links.partial import rules_behind
from lugplane.quantity.judge import FAILS
from lugplane.setup.parts import Setup
from lugplane.setup.shared import Shared
from lugplane.setup.words import words_of

MOST_KEPT = 4_096
"""So many steps of courses are kept; then it starts anew."""

Firing = tuple[Rule, tuple[Fact, ...]]


class _Step:
    """A rule to be fired for some facts, and what comes after each outcome.

    At the end of a course there is no rule, but the check that fails, if one does.
    """

    __slots__ = ("after", "check", "firing")

    def __init__(self) -> None:
        self.firing: Firing | None = None
        self.after: dict[Fact, _Step] = {}
        self.check = ""


class Turns:
    """Some of a rulebook's checks in their order, to be asked of setups again and again."""

    def __init__(
        self, rulebook: Rulebook, checks: Iterable[str], shared: Shared | None = None
    ) -> None:
        """`shared`: findings that setups have in common, of these checks and of others.

        Raises `KeyError` for a check that is not on the list.
        """
        known = {c.id: c for c in rulebook.checks}
        self._rulebook, self._shared = rulebook, shared
        # Each check with the rules behind it that none before it has brought.
        self._turns: list[tuple[Check, Quick]] = []
        taken: set[str] = set()
        for name in checks:
            rules = [r for r in rules_behind(rulebook, [name]) if r.id not in taken]
            taken.update(r.id for r in rules)
            self._turns.append((known[name], Quick(rules)))
        self._courses: dict[tuple[Fact, ...], _Step] = {}
        self._kept = 0

    def failing(self, setup: Setup) -> str:
        """The first check that a setup fails; empty: it fails none. Raises `EngineError`."""
        work = Work(setup, self._rulebook, self._shared)
        seeds = tuple(fact_of(words) for words in words_of(setup))
        step = self._courses.get(seeds)
        while step is not None and step.firing is not None:
            step = step.after.get(_outcome(work, *step.firing))
        return self._deduced(work, seeds) if step is None else step.check

    def _deduced(self, work: Work, seeds: tuple[Fact, ...]) -> str:
        """Go all the way with matching; what was measured already is not measured again."""
        course: list[tuple[Firing, Fact]] = []

        def fire(rule: Rule, chosen: tuple[Fact, ...]) -> tuple[Fact, ...]:
            found = work.fire(rule, chosen)
            if rule.measure or rule.choose:
                course.append(((rule, chosen), found[0]))
            return found

        memory = WorkingMemory(seeds, fire)
        failing = next((c.id for c, rules in self._turns if _fails(c, rules, memory, work)), "")
        self._keep(seeds, course, failing)
        return failing

    def _keep(
        self, seeds: tuple[Fact, ...], course: list[tuple[Firing, Fact]], failing: str
    ) -> None:
        if self._kept >= MOST_KEPT:
            self._courses.clear()
            self._kept = 0
        self._kept += len(course) + 1
        step = self._courses.setdefault(seeds, _Step())
        for step.firing, outcome in course:
            step = step.after.setdefault(outcome, _Step())
        step.check = failing


def _outcome(work: Work, rule: Rule, chosen: tuple[Fact, ...]) -> Fact:
    try:
        return work.outcome(rule, chosen)
    except LugplaneError:
        raise
    except Exception as error:
        raise failed(rule, error) from error


def _fails(check: Check, rules: Quick, memory: WorkingMemory, work: Work) -> bool:
    """Whether a check applies and fails, its rules fired."""
    rules.go_on(memory)
    judged = work.judged.get(check.name)
    if judged is None:
        return False
    state = judged.judgement.state
    if judged.finding.choice is not None:
        state = check.states.get(state, state)
    return state == FAILS and all(
        any(pattern.items() <= dict(fact.words).items() for fact in memory.facts)
        for pattern in check.applies
    )
