"""Why a fact holds: every derivation recorded, one canonical proof, shared causes once.

No wording here. Matchers fire in different orders; a proof depends on the derivations alone.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from lugplane.deduce.firing import Fire
from lugplane.deduce.grammar import Rule
from lugplane.deduce.memory import Fact


@dataclass(frozen=True, slots=True, order=True)
class Derivation:
    """A fact follows by a rule from the facts that filled its patterns, in their order."""

    fact_id: str
    rule_id: str
    premise_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """A fact and what it follows from; `rule_id` is None for a fact that was given."""

    fact: Fact
    rule_id: str | None
    premises: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Cause:
    """A fact of a simplified proof; `uses` counts the listed facts that rest on it directly."""

    fact: Fact
    rule_id: str | None
    premise_ids: tuple[str, ...]
    depth: int
    uses: int


class Ledger:
    """Wraps the work of rules and keeps every derivation: give `ledger.fire` to a matcher."""

    def __init__(self, given: Iterable[Fact], fire: Fire) -> None:
        self._given = frozenset(given)
        self._fired: list[tuple[Rule, tuple[Fact, ...], tuple[Fact, ...]]] = []
        self._steps: dict[str, Step] | None = None
        self._fire = fire

    def fire(self, rule: Rule, chosen: tuple[Fact, ...]) -> tuple[Fact, ...]:
        """Do the rule's work and record what follows. Raises what the rule's work raises."""
        found = tuple(self._fire(rule, chosen))
        self._steps = None
        self._fired.append((rule, chosen, found))  # most are never asked for
        return found

    @property
    def derivations(self) -> frozenset[Derivation]:
        """Every way in which every fact was deduced."""
        return frozenset(
            Derivation(fact.id, rule.id, tuple(premise.id for premise in chosen))
            for rule, chosen, found in self._fired
            for fact in found
        )

    def proof_of(self, fact_id: str) -> Step:
        """The proof of a fact: of its shortest derivations the first by rule id, then premises.

        Equal steps of a proof are one object, so a proof is never larger than the memory.
        Raises KeyError for a fact that neither was given nor follows.
        """
        if self._steps is None:
            self._steps = self._prove()
        return self._steps[fact_id]

    def _prove(self) -> dict[str, Step]:
        """One proof for every fact, in rounds: a fact is proved in the first round in which all
        premises of some derivation were proved in earlier ones. So no proof can go in a circle,
        and the order of firing leaves no trace."""
        steps = {fact.id: Step(fact, None, ()) for fact in self._given}
        waiting = sorted(self.derivations)
        facts = {fact.id: fact for _, _, found in self._fired for fact in found}
        while True:
            proved: dict[str, Step] = {}
            later: list[Derivation] = []
            for derivation in waiting:
                if derivation.fact_id in steps or derivation.fact_id in proved:
                    continue
                premises = [steps.get(premise) for premise in derivation.premise_ids]
                known = tuple(premise for premise in premises if premise is not None)
                if len(known) < len(premises):
                    later.append(derivation)
                    continue
                proved[derivation.fact_id] = Step(
                    facts[derivation.fact_id], derivation.rule_id, known
                )
            if not proved:
                return steps
            steps |= proved
            waiting = later


def simplify(*trees: Step) -> tuple[Cause, ...]:
    """The facts of one or several proofs, each once, where it is first needed; conclusions come
    before their causes and `depth` is how far below a conclusion a fact was met."""
    order: dict[str, tuple[Step, int]] = {}
    uses: dict[str, int] = {}
    waiting = [(tree, 0) for tree in reversed(trees)]
    while waiting:
        step, depth = waiting.pop()
        if step.fact.id in order:
            continue
        order[step.fact.id] = (step, depth)
        for premise in step.premises:
            uses[premise.fact.id] = uses.get(premise.fact.id, 0) + 1
        waiting += [(premise, depth + 1) for premise in reversed(step.premises)]
    return tuple(
        Cause(
            step.fact,
            step.rule_id,
            tuple(premise.fact.id for premise in step.premises),
            depth,
            uses.get(fact_id, 0),
        )
        for fact_id, (step, depth) in order.items()
    )
