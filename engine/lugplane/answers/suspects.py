"""Which fact is wrong where trials disagree with the deduction.

Trials that share facts are looked at together: a wrong fact shows in every trial that it is part
of, and in each with its own slope. One wrong fact is sought at a time (`quantity.outlier`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lugplane.answers.observed import DISAGREES, FactId, Observed, Pull
from lugplane.quantity.limits import Assumed
from lugplane.quantity.outlier import Observation, Suspect, suspects

_GRAIN = 1e-9


@dataclass(frozen=True, slots=True)
class Explains:
    """What is left of an observation's residual once a suspect is set right; `agrees` or not."""

    trial: str
    measure: str
    left: float
    agrees: bool


@dataclass(frozen=True, slots=True)
class Suspected:
    """A fact, or a measurement (`measured.<measure>`, the record being the trial).

    `off` is what has to be added to it to explain most, `reads` what it would read then; `test`
    the value of the test of one outlier; `likelihood` against the likeliest, 0 to 1. `group` is
    its rank: those of one group no trial tells apart, and only the evidence orders them.
    """

    group: int
    fact: str
    record: str
    at: str
    basis: str
    nominal: float | None
    half: float
    off: float
    test: float
    likelihood: float
    explains: tuple[Explains, ...]

    @property
    def explained(self) -> bool:
        """Whether every observation that it moves agrees once it is set right."""
        return all(e.agrees for e in self.explains)

    @property
    def reads(self) -> float | None:
        """What the fact would have to read."""
        return None if self.nominal is None else self.nominal + self.off


@dataclass(frozen=True, slots=True)
class Case:
    """Trials that share facts, some of which disagree, and the suspects, likeliest first."""

    trials: tuple[str, ...]
    disagree: tuple[str, ...]
    suspects: tuple[Suspected, ...]


Seen = tuple[str, Observed]


def cases(seen: Sequence[Seen], assumed: Mapping[str, Assumed]) -> tuple[Case, ...]:
    """One case for each set of trials that hang together and do not all agree.

    A case takes in what disagrees and all that shares a number with it.

    `assumed` orders what no trial tells apart: evidence of the wider assumed ± is the weaker.
    """
    compared = [(t, o) for t, o in seen if o.residual is not None]
    found: list[Case] = []
    for part in _hanging_together(compared):
        wrong = [(t, o) for t, o in part if o.state == DISAGREES]
        if not wrong:
            continue
        # Whatever shares no number with what disagrees has nothing to say of its numbers.
        named = {p.fact.key for _, o in wrong for p in o.pulls}
        part = [(t, o) for t, o in part if any(p.fact.key in named for p in o.pulls)]
        found.append(
            Case(
                tuple(dict.fromkeys(t for t, _ in part)),
                tuple(dict.fromkeys(t for t, _ in wrong)),
                _ranked(part, wrong, assumed),
            )
        )
    return tuple(found)


def _hanging_together(seen: Sequence[Seen]) -> list[list[Seen]]:
    """Observations in sets that share no number with one another."""
    leader: dict[str, int] = {}
    parent = list(range(len(seen)))

    def top(n: int) -> int:
        while parent[n] != n:
            parent[n] = parent[parent[n]]
            n = parent[n]
        return n

    for n, (_, o) in enumerate(seen):
        for pull in o.pulls:
            first = leader.setdefault(pull.fact.key, n)
            parent[top(n)] = top(first)
    sets: dict[int, list[Seen]] = {}
    for n, each in enumerate(seen):
        sets.setdefault(top(n), []).append(each)
    return list(sets.values())


def _ranked(
    part: Sequence[Seen], wrong: Sequence[Seen], assumed: Mapping[str, Assumed]
) -> tuple[Suspected, ...]:
    pulls: dict[str, Pull] = {}
    for _, o in part:
        for pull in o.pulls:
            pulls.setdefault(pull.fact.key, pull)
    touching = {p.fact.key for _, o in wrong for p in o.pulls}
    observations = [
        Observation(o.residual or 0.0, o.own, {p.fact.key: p.slope for p in o.pulls})
        for _, o in part
    ]
    ranked = suspects(observations, {k: p.half for k, p in pulls.items()}, touching)

    errors = {s.name: s.error for s in ranked}

    def doubt(key: str) -> tuple[float, float, str]:
        """The weaker evidence first; then what would be off by fewer times its own ±."""
        pull = pulls[key]
        loose = assumed[pull.basis].mm if pull.basis in assumed else 0.0
        return -loose, abs(errors[key]) / max(pull.half, _GRAIN), key

    told: list[Suspected] = []
    done: set[str] = set()
    group = 0
    for s in ranked:
        if s.name in done:
            continue
        group += 1
        by_name = {x.name: x for x in ranked if x.name == s.name or x.name in s.alike}
        done.update(by_name)
        told += [
            _suspected(group, by_name[key], pulls[key], part) for key in sorted(by_name, key=doubt)
        ]
    return tuple(told)


def _suspected(group: int, s: Suspect, pull: Pull, part: Sequence[Seen]) -> Suspected:
    explains: list[Explains] = []
    for trial, o in part:
        slope = next((p.slope for p in o.pulls if p.fact.key == s.name), 0.0)
        if slope == 0.0 or o.residual is None or o.combined is None:
            continue
        left = o.residual - slope * s.error
        explains.append(Explains(trial, o.measure, left, abs(left) <= o.combined + _GRAIN))
    fact: FactId = pull.fact
    return Suspected(
        group,
        fact.path,
        fact.record,
        fact.at,
        pull.basis,
        pull.nominal,
        pull.half,
        s.error,
        s.w,
        s.likelihood,
        tuple(explains),
    )
