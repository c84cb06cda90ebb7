"""What the engine's sheet and the oracle's answer differ in, beyond a small table of wording.

`differences` compares the verdicts of brake, wheel and car, the state of every check, what limits
each scope, the stack, the bolts and every quantity. `ALLOWED` holds the only differences of state
that are passed over, each with its reason; none of them lets one side pass what the other does
not, unless both have already failed (or left open) the very row that they hang on. `WIDER` holds
the quantities whose bounds are not linear in the facts: there the engine may be wider, by little,
and never narrower. How far the figures of the whole car may lie apart is in `agree_car`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from lugplane.answers.rows import Row
from lugplane.answers.sheet import Sheet

from .agree_car import CAR, figures
from .boxes import Span
from .oracle import CHECKS, Answer, verdict_of

PASSES = frozenset({"holds", "care", "work"})
EXACT = 1e-6
WIDER_MM = 0.05
WIDER_SHARE = 0.02  # of the lining: two percentage points
WIDER_RATIO = 0.02  # of a figure without unit


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing the two sides differ in: what sort, which check or scope, and what each says.

    Sorts: verdict, state, limiting, stack, bolt; narrower, wider, apart of figures; and edge.
    """

    sort: str
    about: str
    engine: str
    oracle: str

    @property
    def kind(self) -> str:
        """Differences of one kind are counted together: figures are left out of the name."""
        if self.sort in ("verdict", "state", "edge"):
            return f"{self.sort} {self.about}: engine {self.engine}, oracle {self.oracle}"
        return f"{self.sort} {self.about}"

    def __str__(self) -> str:
        return f"{self.sort} {self.about}: engine {self.engine}, oracle {self.oracle}"


# --- what is passed over -----------------------------------------------------------------------
PLACING = frozenset(
    {"spacing", "lift", "stack", "centring", "cheek", "abutment", "room-new", "worn-travel"}
    | {"piston-kept", "slide-new", "slide-worn", "overhang", "bridge", "trim", "trim-depth"}
    | {"plate-hat", "piston-cover", "shield-face", "surroundings", "wheel-gap"}
)
"""Checks that need the caliper placed over the disc."""
ON_A_BOLT = frozenset({"engagement", "shank", "bottoming", "tip", "torque", "slip-reserve"})
"""Checks of a bolt that has been chosen."""
BOLTING = ON_A_BOLT | {"lug-spacing", "adapter", "bolt-hole", "bolt", "class"}
"""Checks that need a joint of one plain and one threaded hole."""
OF_CAR = frozenset(check for check, scope in CHECKS.items() if scope == "car")


@dataclass(frozen=True, slots=True)
class Pair:
    """A sheet and an answer, with the states of a check in the oracle's words."""

    sheet: Sheet
    answer: Answer
    rows: Mapping[str, Row]

    def engine(self, check: str) -> str:
        return "n/a" if self.rows[check].state == "does not apply" else self.rows[check].state

    def oracle(self, check: str) -> str:
        return self.answer.states[check]

    def both(self, check: str, *states: str) -> bool:
        """Whether both sides give a check the same state, one of those named."""
        return self.engine(check) == self.oracle(check) and self.engine(check) in states


@dataclass(frozen=True, slots=True)
class Allowed:
    """A difference of state that means the same, or that hangs on a row both have settled."""

    name: str
    checks: frozenset[str]
    when: Callable[[Pair, str], bool]
    reason: str


def _said_otherwise(pair: Pair, check: str) -> bool:
    return {pair.engine(check), pair.oracle(check)} == {"n/a", "holds"}


def _stack_untold(pair: Pair, check: str) -> bool:
    return pair.both("stack", "cannot tell") and pair.engine(check) == "cannot tell"


def _not_joined(pair: Pair, check: str) -> bool:
    return any(pair.both(row, "fails") for row in ("mount", "joint"))


def _mount_untold(pair: Pair, check: str) -> bool:
    return pair.both("mount", "cannot tell") and pair.engine(check) == "cannot tell"


def _joint_untold(pair: Pair, check: str) -> bool:
    return pair.both("joint", "cannot tell") and pair.engine(check) in ("n/a", "cannot tell")


def _body_untold(pair: Pair, check: str) -> bool:
    stack = pair.rows["stack"]
    return _stack_untold(pair, check) and "caliper.body" in stack.missing


def _no_bolt(pair: Pair, check: str) -> bool:
    return pair.both("bolt", "fails", "cannot tell")


def _one_more_good_band(pair: Pair, check: str) -> bool:
    """Both pass, both bounds are given, and the engine's contain the oracle's by little."""
    value, have = pair.rows[check].value, pair.answer.have.get(check)
    if value is None or have is None or not {pair.engine(check), pair.oracle(check)} <= PASSES:
        return False
    return check in {*WIDER, *CAR} and _figures(pair.rows[check], have) is None


ALLOWED = (
    Allowed(
        "nothing to meet",
        frozenset({"tip", "bottoming", "trim-depth"}),
        _said_otherwise,
        "A bolt that points away from the disc or stands outside it, a hole that goes through, an "
        "inner edge that nothing comes off: the engine says that the check does not apply, the "
        "oracle that it holds. Neither weighs on a verdict.",
    ),
    Allowed(
        "not joined at all",
        PLACING | BOLTING,
        _not_joined,
        "Both say that kinds of mount differ, or that ear and lug are both threaded. Nothing can "
        "be bolted together, both verdicts are settled, and what either still tells of the rest "
        "is a courtesy: the engine tells what it can without a bolt, the oracle stops.",
    ),
    Allowed(
        "mount not known",
        PLACING | OF_CAR,
        _mount_untold,
        "Both say that it cannot be told whether the mounts are of a kind. The engine then places "
        "nothing at all and sets no car beside stock; the oracle still tells what the bare parts "
        "give (room in the slot, fluid, masses).",
    ),
    Allowed(
        "joint not known",
        PLACING | BOLTING,
        _joint_untold,
        "Both say that it cannot be told what the bolt screws into. Of its bolts the engine says "
        "that they do not apply, and of what hangs on the stack that it cannot be told; the "
        "oracle still tells what needs no stack (the room at full lock).",
    ),
    Allowed(
        "stack not known",
        frozenset({"surroundings"}),
        _stack_untold,
        "Both say that the stack cannot be told. The engine then leaves the room at full lock "
        "open as well; the oracle tells it, since an axial stack moves nothing outward.",
    ),
    Allowed(
        "body not known",
        PLACING | BOLTING | OF_CAR,
        _body_untold,
        "Both say that the stack cannot be told, not knowing whether the caliper floats, by which "
        "what may stay bare is another. The engine leaves all open that is judged after the stack; "
        "the oracle tells what hangs neither on it nor on the body.",
    ),
    Allowed(
        "no bolt to speak of",
        ON_A_BOLT,
        _no_bolt,
        "Both say that no bolt serves, or that none can be chosen. The rows of a chosen bolt have "
        "no bolt to speak of; the engine leaves them out, the oracle says cannot tell. The car's "
        "own torque can be told all the same.",
    ),
    Allowed(
        "one more good band",
        frozenset(CHECKS),
        _one_more_good_band,
        "The engine's bound is a hair wider (see WIDER) and touches one more band, both good.",
    ),
)

_NOT_LINEAR = "corners of lining, bridge or caliper about the hub: the engine's bounds are rigorous"
_TWICE = "an area cut by two circles: the engine's bounds are rigorous"
WIDER: Mapping[str, str] = {
    "lift": _NOT_LINEAR,
    "overhang": _NOT_LINEAR,
    "bridge": _NOT_LINEAR,
    "trim": _TWICE,
    "trim-depth": _NOT_LINEAR,
    "plate-hat": _NOT_LINEAR,
    "piston-cover": _NOT_LINEAR,
    "wheel-gap": _NOT_LINEAR,
    "slip-reserve": _TWICE,
}
"""Quantities for which the engine may be wider than the oracle, and why."""
UPPER_END_FREE: Mapping[str, str] = {
    "piston-cover": "the greatest of a least of several forms, which the engine bounds in pairs; "
    "it only tells a sure failing from a doubtful one, and that is a state",
    "trim-depth": "the oracle stops at a depth of nought, where there is nothing to trim; the "
    "engine goes on to how far the edge stands clear",
    "wheel-gap": "what the gap may be at most only tells a sure clash from a doubtful one, and "
    "that is a state; the oracle looks at corners, the engine bounds what lies between",
}
"""Quantities whose greatest value is compared by its state alone (a narrower one is still told)."""
DEPTH_FREE: Mapping[str, str] = {
    "wheel-gap": "how deep an outline stands in the wheel: the oracle measures at its points, the "
    "engine along its edges as well. Either way it clashes.",
}
"""Quantities whose least value is compared by its state alone where both have it below nought."""
BY_MOCK_UP = frozenset({"tip", "shield-face", "wheel-gap", "slip-reserve"})
"""Where a measured spacing is given, these also need one of the three places that it ties together.

Engine and oracle then settle on another one of them (TRADE says not which), so that neither's
bounds lie within the other's; they have to meet all the same, and the states to agree.
"""


# --- the comparison ----------------------------------------------------------------------------
def differences(sheet: Sheet, answer: Answer, whole_car: bool = True) -> list[Difference]:
    """All that the two sides differ in and that no entry of `ALLOWED` explains.

    `whole_car` False: both were judged without what stands beside the stock car.
    """
    pair = Pair(sheet, answer, {row.check: row for row in sheet.rows})
    scopes = ("brake", "wheel", "car") if whole_car else ("brake", "wheel")
    found = _verdicts(pair, scopes)
    for check, scope in CHECKS.items():
        if scope in scopes or check == "slip-reserve":
            found += _check(pair, check)
    found += _limits(pair, scopes)
    if not _not_joined(pair, "stack"):
        found += _stack(pair)
        found += _bolts(pair)
    return found


def _verdicts(pair: Pair, scopes: Sequence[str]) -> list[Difference]:
    found: list[Difference] = []
    for scope in scopes:
        said = pair.sheet.verdict_of(scope)
        said = "does not apply" if said == "not asked" else said
        theirs = pair.answer.verdict[scope]
        of_scope = [c for c, of in CHECKS.items() if of == scope]
        settled = [_settled(pair, c) for c in of_scope]
        if (scope == "car" or _nothing_placed(pair)) and settled != [
            pair.oracle(c) for c in of_scope
        ]:
            theirs = verdict_of(settled)  # it hangs on a row of which the table speaks
        if said != theirs and not _courtesy(pair, scope):
            edge = said == "cannot tell" and _edges(pair, scope)
            sort, about = ("edge", f"verdict {scope}") if edge else ("verdict", scope)
            found.append(Difference(sort, about, said, theirs))
    return found


def _nothing_placed(pair: Pair) -> bool:
    """Whether the engine leaves all open that is judged after a placing that neither side tells."""
    return pair.both("mount", "cannot tell") or _body_untold(pair, "stack")


def _settled(pair: Pair, check: str) -> str:
    """The oracle's state, or the engine's where the table explains the difference."""
    return pair.engine(check) if allowed(pair, check) is not None else pair.oracle(check)


def _courtesy(pair: Pair, scope: str) -> bool:
    """Whether a wheel's verdict hangs on nothing but the gap to a caliper that is not joined.

    The brake does not fit then, on both sides.
    """
    rest = [c for c, of in CHECKS.items() if of == scope and c != "wheel-gap"]
    return (
        scope == "wheel"
        and _not_joined(pair, "wheel-gap")
        and all(pair.engine(check) == pair.oracle(check) for check in rest)
    )


def allowed(pair: Pair, check: str) -> Allowed | None:
    """The entry of the table that explains a difference of state, if one does."""
    return next((a for a in ALLOWED if check in a.checks and a.when(pair, check)), None)


def _check(pair: Pair, check: str) -> list[Difference]:
    engine, oracle = pair.engine(check), pair.oracle(check)
    if engine != oracle:
        if allowed(pair, check) is not None:
            return []
        sort = "edge" if _on_edge(pair, check) else "state"
        return [Difference(sort, check, engine, oracle)]
    if allowed(pair, check) is not None and engine not in PASSES:
        return []
    have = pair.answer.have.get(check)
    if have is None or pair.rows[check].value is None:
        return []
    if check in BY_MOCK_UP and "spacing_mm" in pair.sheet.measured:
        said = _apart(pair.rows[check], have)
    else:
        said = _figures(pair.rows[check], have)
    return [] if said is None else [said]


def _edges(pair: Pair, scope: str) -> set[str]:
    """The checks of a scope that differ by an edge."""
    return {c for c, of in CHECKS.items() if of == scope and _on_edge(pair, c)}


def _on_edge(pair: Pair, check: str) -> bool:
    """The engine cannot tell where the oracle can, and is wider by no more than it may be.

    A bound that may be a hair wider will now and then touch a limit that the closer one does not.
    That stays a difference, of a sort of its own, which the tests count and keep rare: the engine
    is then the more careful one, always.
    """
    have = pair.answer.have.get(check)
    return (
        check in {*WIDER, *CAR}
        and pair.engine(check) == "cannot tell"
        and have is not None
        and pair.rows[check].value is not None
        and _figures(pair.rows[check], have) is None
    )


def of_car(difference: Difference) -> bool:
    """Whether a difference is about the whole car, a check of it or its verdict."""
    about = difference.about.split()[-1]
    return about == "car" or CHECKS.get(about) == "car"


def _apart(row: Row, have: Span) -> Difference | None:
    if row.value is None or (row.value.lo <= have[1] + EXACT and have[0] <= row.value.hi + EXACT):
        return None
    return Difference("apart", row.check, _span(row.value.lo, row.value.hi), _span(*have))


def _span(low: float, high: float) -> str:
    return f"{low:.6f}..{high:.6f}"


def _figures(row: Row, have: Span) -> Difference | None:
    """What is wrong with the engine's bounds beside the oracle's; None: nothing."""
    if row.value is None:
        return None
    if row.check in CAR:
        sort = figures(row.check, (row.value.lo, row.value.hi), have)
        said = _span(row.value.lo, row.value.hi), _span(*have)
        return None if sort is None else Difference(sort, row.check, *said)
    low, high = have[0] - row.value.lo, row.value.hi - have[1]
    if row.check in DEPTH_FREE and have[0] < 0 and row.value.lo < 0:
        low = 0.0
    if abs(low) <= EXACT and abs(high) <= EXACT:
        return None
    engine, oracle = _span(row.value.lo, row.value.hi), _span(*have)
    if min(low, high) < -EXACT:
        return Difference("narrower", row.check, engine, oracle)
    if row.check in UPPER_END_FREE:
        high = 0.0
    if row.check not in WIDER or max(low, high) > _leave(row.unit, have):
        return Difference("wider", row.check, engine, oracle)
    return None


def _leave(unit: str, have: Span) -> float:
    if unit == "mm":
        return WIDER_MM
    return WIDER_SHARE if unit == "share" else WIDER_RATIO * max(map(abs, have))


_WORST = ("fails", "cannot tell", "work", "care", "holds")


def _limits(pair: Pair, scopes: Sequence[str]) -> list[Difference]:
    """The check that limits a scope is one of the oracle's worst; failing sets are the same."""
    found: list[Difference] = []
    for scope in (s for s in pair.sheet.scopes if s.name in scopes):
        of_scope = [c for c, s in CHECKS.items() if s == scope.name]
        told = _settled if scope.name == "car" or _nothing_placed(pair) else Pair.oracle
        states = {told(pair, c) for c in of_scope}
        worst = next((s for s in _WORST if s in states), None)
        if worst is None or not scope.limiting:
            continue
        alike = {c for c in of_scope if told(pair, c) == worst}
        beside = allowed(pair, scope.limiting) is not None or _courtesy(pair, scope.name)
        if scope.limiting not in alike and not beside:
            edge = scope.limiting in _edges(pair, scope.name)
            sort, about = ("edge", f"limiting {scope.name}") if edge else ("limiting", scope.name)
            said = f"{worst}: {', '.join(sorted(alike))}"
            found.append(Difference(sort, about, scope.limiting, said))
    return found


# --- hardware ----------------------------------------------------------------------------------
Piece = tuple[str, float, float]  # none, washers, ring or plate; thickness from and to


def engine_stack(sheet: Sheet) -> list[Piece]:
    """The stacks of a sheet, in the order of the spacings they serve."""
    found: list[Piece] = []
    for line in sheet.stack:
        if line.kind == "bare":
            found.append(("none", 0.0, 0.0))
        elif line.thickness_mm is not None:
            found.append((line.kind, line.thickness_mm, line.thickness_mm))
        elif line.kind == "plate":
            found.append((line.kind, line.from_mm, line.to_mm))
        else:
            found.append((line.kind, max(1.0, line.from_mm), max(1.0, line.to_mm)))
    return found


def oracle_stack(answer: Answer) -> list[Piece]:
    """The oracle's parts in the same form: single washers are added up, a ring's ends joined."""
    found: list[Piece] = []
    washers = [t for kind, t in answer.stack if kind == "washer"]
    if washers:
        return [("washers", sum(washers), sum(washers))]
    for kind, thickness in answer.stack:
        if kind in ("ring", "plate") and found and found[-1][0] == kind:
            found[-1] = (kind, found[-1][1], thickness)
        else:
            found.append((kind, thickness, thickness))
    return found


def _stack(pair: Pair) -> list[Difference]:
    if pair.engine("stack") not in PASSES or pair.oracle("stack") not in PASSES:
        return []
    leave = EXACT if pair.engine("lift") == "n/a" else WIDER_MM
    ours, theirs = engine_stack(pair.sheet), oracle_stack(pair.answer)
    same = len(ours) == len(theirs) and all(
        a[0] == b[0] and abs(a[1] - b[1]) <= leave and abs(a[2] - b[2]) <= leave
        for a, b in zip(ours, theirs, strict=True)
    )
    return [] if same else [Difference("stack", "stack", _pieces(ours), _pieces(theirs))]


def _pieces(pieces: list[Piece]) -> str:
    return ", ".join(
        kind if kind == "none" else f"{kind} {a:g}" if a == b else f"{kind} {a:g}..{b:g}"
        for kind, a, b in pieces
    )


def engine_bolts(sheet: Sheet) -> list[str]:
    """The bolts of a sheet in the oracle's words, in the order of the stacks they serve."""
    return [
        f"{line.thread}x{line.length_mm:g} {line.class_}" if line.record else "original"
        for line in sheet.bolts
    ]


def _bolts(pair: Pair) -> list[Difference]:
    if pair.engine("bolt") not in PASSES or pair.oracle("bolt") not in PASSES:
        return []
    given = pair.answer.bolt
    theirs = [given] if isinstance(given, str) else list(given or ())
    ours = list(dict.fromkeys(engine_bolts(pair.sheet)))
    if ours == theirs:
        return []
    return [Difference("bolt", "bolt", ", ".join(ours), ", ".join(theirs))]
