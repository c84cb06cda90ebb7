"""The durable-rules matcher, the default, behind a fence.

The library is native, dormant since 2020, and does all of the following without a word unless it
is kept from it (2.0.28, Python 3.11): two threads of its host race with sessions; what an action
raises is put away in a state; an action of more than ten seconds ends its session; a batch stops
at a fact it cannot read; giving back a session in which no action ever ran frees what was never
set; a 512th alternative hangs it, and a fact with 255 properties, or no fact at all, kills the
process. So the host's threads never start; actions only note which rule fires for which
facts; every session begins, and every batch ends, with a marker that has an action of its own,
whose running also proves that the whole batch was read; and rulesets near a limit are refused.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from itertools import count
from threading import Lock
from typing import Any

from lugplane.deduce.firing import Fire, WorkingMemory
from lugplane.deduce.grammar import Pattern, Rule
from lugplane.deduce.memory import Fact
from lugplane.deduce.words import Tokens, tokens
from lugplane.errors import EngineError

Whens = tuple[tuple[Pattern, ...], ...]
Hit = tuple[int, tuple[int, ...]]

# Well below what was measured: 254 properties, three of them ours (the next kills the process),
# 255 equal patterns (the next fires one rule twice), 511 alternatives, three ours (the next hangs).
MOST_KEYS = 200
MOST_EQUAL_PATTERNS = 200
MOST_PATTERNS = 400

_OTHER = "LUGPLANE_MATCHER=clips does without it"
_END = -1
_lock = Lock()
_building = Lock()
_numbers = count()
_built: dict[Whens, _Ruleset] = {}


def available() -> bool:
    """Whether durable-rules can be imported here."""
    try:
        import durable.engine  # noqa: F401
    except ImportError:
        return False
    return True


def match(rules: Sequence[Rule], facts: Iterable[Fact], fire: Fire) -> frozenset[Fact]:
    """All that follows, by durable-rules. Raises EngineError with the rule's id where its work
    fails; and where the library fails, stops half way, or cannot hold the ruleset."""
    memory = WorkingMemory(facts, fire)
    whens = tuple(rule.when for rule in rules)
    with _building:
        ruleset = _built.get(whens)
        if ruleset is None:
            ruleset = _built[whens] = _Ruleset(whens)
    session = ruleset.open()
    told = 0
    try:
        while told < len(memory.facts):
            first, told = told, len(memory.facts)
            for number, chosen in ruleset.tell(session, first, memory.facts[first:]):
                memory.fire(rules[number], tuple(memory.facts[one] for one in chosen))
    finally:
        ruleset.forget(session)
    return frozenset(memory.facts)


class _Ruleset:
    """One ruleset in the library, built once a process: a build is never given back.

    A fact is known to it by its number in working memory.
    """

    def __init__(self, whens: Whens) -> None:
        patterns = [pattern for when in whens for pattern in when]
        self._tokens = tokens(patterns)
        _refuse_near_limits(patterns, self._tokens)
        self._host = _host()
        self._hits: list[Hit] = []
        self._name = f"ruleset{next(_numbers)}"
        definition = {
            f"r{number}": {
                "all": [
                    {f"p{place}": _condition(pattern, self._tokens)}
                    for place, pattern in enumerate(when)
                ],
                "run": _noting(self._hits, number, len(when)),
            }
            for number, when in enumerate(whens)
        }
        definition["end"] = {"all": [{"p0": {"role": "end"}}], "run": _noting(self._hits, _END, 1)}
        # A fact that no rule mentions is an error to the library; this rule mentions every fact
        # and never fires, for want of its second one.
        definition["sink"] = {
            "all": [{"p0": {"role": "fact"}}, {"p1": {"role": "never"}}],
            "run": _noting(self._hits, _END, 2),
        }
        with _lock:
            self._host.register_rulesets({self._name: definition})

    def open(self) -> str:
        """A new session, by its name. From here on it can be, and must be, given back."""
        session = str(next(_numbers))
        self._assert([{"id": "begin", "sid": session, "role": "end"}])
        return session

    def tell(self, session: str, first: int, facts: Iterable[Fact]) -> list[Hit]:
        """Add facts, numbered on from `first`; gives the rules that now fire and for which."""
        batch = [
            {"id": str(number), "sid": session, "role": "fact", **dict(self._tokens.of_fact(fact))}
            for number, fact in enumerate(facts, first)
        ]
        return self._assert([*batch, {"id": f"end{first}", "sid": session, "role": "end"}])

    def _assert(self, batch: list[dict[str, str]]) -> list[Hit]:
        with _lock:
            self._hits.clear()
            try:
                state = self._host.assert_facts(self._name, batch)
            except Exception as error:
                raise EngineError(f"durable-rules failed: {error}; {_OTHER}") from error
            hits = self._hits.copy()
        if not isinstance(state, dict) or "exception" in state or hits.count((_END, ())) != 1:
            raise EngineError(f"durable-rules stopped half way through: {state}; {_OTHER}")
        return [hit for hit in hits if hit[0] != _END]

    def forget(self, session: str) -> None:
        """Give back all that a session holds; some thousand kept sessions exhaust the library."""
        with _lock:
            self._host.delete_state(self._name, session)


def _condition(pattern: Pattern, known: Tokens) -> dict[str, Any]:
    equalities: list[dict[str, str]] = [{key: word} for key, word in known.of_pattern(pattern)]
    return equalities[0] if len(equalities) == 1 else {"$and": equalities}


def _noting(hits: list[Hit], number: int, size: int) -> Callable[[Any], None]:
    """An action that notes its rule and facts. The library takes plain functions only."""
    names = [f"p{place}" for place in range(size)] if number != _END else []

    def note(found: Any) -> None:
        hits.append((number, tuple(int(getattr(found, name).id) for name in names)))

    return note


def _refuse_near_limits(patterns: Sequence[Pattern], known: Tokens) -> None:
    alike = Counter(frozenset(pattern.equals) for pattern in patterns)
    for what, size, most in (
        ("keys", len(known.keys), MOST_KEYS),
        ("patterns with the same words", max(alike.values(), default=0), MOST_EQUAL_PATTERNS),
        ("different patterns", len(alike), MOST_PATTERNS),
    ):
        if size > most:
            raise EngineError(
                f"durable-rules: {size} {what} in the rules, at most {most} are safe; {_OTHER}"
            )


@cache
def _host() -> Any:
    from durable import engine

    class QuietHost(engine.Host):  # type: ignore[misc]
        """A host that starts no threads."""

        def _run(self) -> None:
            pass

    return QuietHost()
