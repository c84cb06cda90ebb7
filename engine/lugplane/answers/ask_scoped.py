"""The doubts of some scopes: what hangs on which measurement, and what none of them settles."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from lugplane.answers.ask_supposed import SPACING, Candidate, Supposed, Taken, View
from lugplane.answers.rows import DOES_NOT_FIT, NOT_ASKED, Row, verdict
from lugplane.quantity.judge import CANNOT_TELL

_DONORS = 3
"""So many of the likest parts are tried where a fact is not known."""
_GRAIN = 1e-9


@dataclass(frozen=True, slots=True)
class Doubts:
    """What is in doubt and what could be measured.

    `rows` are the checks that cannot be told, `names` the candidates that tell more than is known,
    all of them by their names in `candidates`. `close` are checks that stay in doubt at the best
    guess however much is measured as well as instruments do, `beyond` those that read nothing that
    could be measured better. `open_` holds, by check, candidates of which nothing can be supposed.
    """

    supposed: Supposed
    scopes: tuple[str, ...]
    rows: tuple[Row, ...]
    candidates: Mapping[str, Candidate]
    names: tuple[str, ...]
    close: tuple[Row, ...] = ()
    beyond: tuple[Row, ...] = ()
    open_: Mapping[str, frozenset[str]] = field(default_factory=dict)

    def taken(self, names: Iterable[str]) -> Taken:
        """Candidates, each measured as well as its instrument does."""
        return {n: reach_of(self.candidates[n]) for n in names}

    @property
    def told(self) -> tuple[Row, ...]:
        """The checks that measuring settles."""
        left = {r.check for r in (*self.close, *self.beyond)}
        return tuple(r for r in self.rows if r.check not in left)

    def standing_of(self, view: View | None, names: frozenset[str]) -> tuple[frozenset[str], ...]:
        """What the doubts that a view leaves hang on, with `names` measured."""
        if view is None:
            return (frozenset(self.names),)
        left = {r.check for r in (*self.close, *self.beyond)}
        found: list[frozenset[str]] = []
        for row in doubtful(view, self.scopes, self.supposed):
            if row.check in self.open_:
                unread = self.open_[row.check] - names
                found += [frozenset({n}) for n in sorted(unread)]
            elif row.check not in left:
                found.append(self.hangs_on(row))
        return tuple(found)

    def standing(self, names: frozenset[str]) -> tuple[frozenset[str], ...]:
        """What hangs on what with some candidates measured; see `ask_search.Standing`."""
        return self.standing_of(self.view(self.taken(names)), names)

    def view(self, taken: Taken) -> View | None:
        """As it would be judged, as far as anything may be in doubt.

        Where all facts are known, measuring narrows them, and what is told now is told then.
        """
        known = all(c.known or c.name == SPACING for c in self.candidates.values())
        return self.supposed.view(taken, checks=self._in_doubt if known else None)

    @property
    def _in_doubt(self) -> frozenset[str]:
        return frozenset(r.check for r in self.rows)

    def reads(self, row: Row) -> frozenset[str]:
        """All candidates that a check reads, those that are known well enough too."""
        read = (self.supposed.candidate(p) for p in paths_of(row))
        return frozenset(c.name for c in read if c is not None and c.name in self.candidates)

    def hangs_on(self, row: Row) -> frozenset[str]:
        """The candidates that a check reads."""
        known = {f: n for n in self.names for f in self.candidates[n].facts}
        found = {n for p in paths_of(row) if (n := known.get(p) or self._within(p)) is not None}
        if SPACING in self.names and found & self._tied:
            found.add(SPACING)
        return frozenset(found)

    def hangs_on_any(self, name: str) -> bool:
        """Whether a check that measuring settles reads a candidate."""
        return any(name in self.hangs_on(r) for r in self.told)

    def _within(self, path: str) -> str | None:
        candidate = self.supposed.candidate(path)
        return candidate.name if candidate and candidate.name in self.names else None

    @property
    def _tied(self) -> set[str]:
        """Candidates that a measured spacing may stand in for."""
        return {n for n in self.names if n in _SPACED or n.startswith(_SPACED_LUG)}

    def narrowing(self) -> dict[str, dict[str, float]]:
        """By check and candidate: the share of the check's doubt that measuring takes away.

        1 for a fact for want of which nothing can be told. Choices have no such shares.
        """
        found: dict[str, dict[str, float]] = {}
        base = self.supposed.view({})
        for row in self.told:
            shares = found.setdefault(row.check, {})
            for name in self.hangs_on(row):
                if not self.candidates[name].known:
                    shares[name] = 1.0
            extent = base.extents.get(row.check) if base else None
            if extent is None or row.value is None or extent.hi - extent.lo < _GRAIN:
                continue
            for path, effect in extent.effects.items():
                candidate = self.supposed.candidate(path)
                if candidate is None or candidate.name not in self.names:
                    continue
                off = abs(effect.slope) * (effect.half - reach_of(candidate))
                if off > 0:
                    share = 2 * off / (extent.hi - extent.lo)
                    shares[candidate.name] = shares.get(candidate.name, 0.0) + share
        return found

    def before(self, shares: Mapping[str, Mapping[str, float]]) -> dict[str, frozenset[str]]:
        """By candidate, those that narrow every quantity in doubt more; see `ask_search`.

        Not of those that the spacing follows from: by narrowing it they may settle which stack is
        taken, and so more than their share. None at all while a check has no quantity: what it
        will read is not known yet.
        """
        if any(r.value is None or r.missing for r in self.told):
            return {}
        reading = {r.check: self.hangs_on(r) for r in self.told}
        plain = {n for n in self.names if self.candidates[n].known} - self._tied - {SPACING}
        found: dict[str, frozenset[str]] = {}
        for x in self.names:
            mine = [c for c, names in reading.items() if x in names]
            if x not in plain or not mine:
                continue
            found[x] = frozenset(y for y in plain if y != x and _more(shares, mine, y, x))
        return found


_SPACED = frozenset(
    {"knuckle.ear_face_mm", "knuckle.side", "disc.height_mm", "disc.height_to", "disc.plate_mm"}
    | {"disc.thickness_mm", "caliper.face_to_centre_mm", "caliper.lug_face"}
    | {"carrier.face_to_centre_mm", "carrier.lug_face"}
)
_SPACED_LUG = ("caliper.lug.thickness_mm", "carrier.lug.thickness_mm")


def _more(
    shares: Mapping[str, Mapping[str, float]], checks: Iterable[str], more: str, less: str
) -> bool:
    """Whether `more` narrows each check more than `less`; their names decide between equals."""
    pairs = [(shares[c].get(more, 0.0), shares[c].get(less, 0.0)) for c in checks]
    if any(a < b - _GRAIN for a, b in pairs):
        return False
    return any(a > b + _GRAIN for a, b in pairs) or more < less


def reach_of(candidate: Candidate) -> float:
    """The ± that the candidate's instrument reaches, and no worse than the one it has."""
    reaches = candidate.way.reaches or 0.0
    return reaches if candidate.now is None else min(reaches or candidate.now, candidate.now)


def paths_of(row: Row) -> tuple[str, ...]:
    """Every fact that a check read or wants."""
    return tuple(dict.fromkeys((*row.facts, *row.missing, *(s.fact for s in row.settles))))


def doubtful(view: View, scopes: Iterable[str], supposed: Supposed) -> tuple[Row, ...]:
    """The checks of some scopes that cannot be told, but for those that nothing judges yet."""
    later = {c.id for c in supposed.rulebook.checks if c.source == "later"}
    return tuple(
        r
        for r in view.rows
        if r.scope in scopes and r.state == CANNOT_TELL and r.check not in later
    )


def joint_verdict(rows: tuple[Row, ...], scopes: Iterable[str]) -> str:
    """The worst verdict of some scopes."""
    found = [verdict(rows, scope) for scope in scopes]
    for word in (DOES_NOT_FIT, CANNOT_TELL, "fits with work"):
        if word in found:
            return word
    return next((v for v in found if v != NOT_ASKED), NOT_ASKED)


def doubts_of(supposed: Supposed, scopes: tuple[str, ...], mock_up: bool = False) -> Doubts:
    """Gather candidates until measuring them all brings up no further ones, and sort the rest.

    With `mock_up`, a spacing measured on the car is one of them where a check reads it.
    """
    base = supposed.view({})
    rows = doubtful(base, scopes, supposed) if base else ()
    left: list[int] = []
    for rank in range(_DONORS):
        found = _gathered(supposed, scopes, rows, rank, mock_up)
        left.append(len(found.close) + len(found.beyond))
        if not left[-1] or all(c.known for c in found.candidates.values()):
            return found
    return _gathered(supposed, scopes, rows, left.index(min(left)), mock_up)


def _gathered(
    supposed: Supposed, scopes: tuple[str, ...], rows: tuple[Row, ...], rank: int, mock_up: bool
) -> Doubts:
    candidates: dict[str, Candidate] = {}
    supposed.spacing = None
    left = rows
    full: View | None = None
    while True:
        fresh = [
            c
            for row in left
            for path in paths_of(row)
            if (c := supposed.candidate(path)) is not None and c.name not in candidates
        ]
        if full is not None and not fresh:
            break
        candidates |= {c.name: c for c in fresh}
        supposed.suppose((c for c in candidates.values() if not c.known), rank)
        useful = {n: reach_of(c) for n, c in candidates.items() if c.narrows}
        full = supposed.view(useful)
        left = doubtful(full, scopes, supposed) if full else rows
    names = sorted(n for n, c in candidates.items() if c.narrows)
    if mock_up and (added := _mock_up(supposed, full, rows)) is not None:
        candidates[SPACING] = added
        names.append(SPACING)
    return _sorted_out(Doubts(supposed, scopes, rows, candidates, tuple(names)), full, left)


def may_be_spaced(supposed: Supposed, doubts: Doubts) -> bool:
    """Whether a spacing measured at a mock-up may tell anything of what is in doubt."""
    return supposed.mock_up() is not None and _reads_spacing(doubts.rows)


def _reads_spacing(rows: Iterable[Row]) -> bool:
    return any(p in _SPACED for r in rows for p in paths_of(r))


def _mock_up(supposed: Supposed, full: View | None, rows: tuple[Row, ...]) -> Candidate | None:
    """The spacing as a candidate, where it can be measured and a doubt hangs on it."""
    added = supposed.mock_up()
    spaced = next((r for r in full.rows if r.check == "spacing"), None) if full else None
    if added is None or spaced is None or spaced.value is None:
        return None
    if not _reads_spacing(rows):
        return None
    supposed.spacing = spaced.value.nominal
    return added


def _sorted_out(doubts: Doubts, full: View | None, left: tuple[Row, ...]) -> Doubts:
    """Tell what stays in doubt apart: hanging on unguessed facts, close to a limit, beyond."""
    supposed, candidates = doubts.supposed, doubts.candidates
    if not left:
        return doubts
    open_: dict[str, frozenset[str]] = {}
    close: list[Row] = []
    beyond: list[Row] = []
    for row in left:
        unguessed = {
            c.name
            for path in row.missing
            if (c := supposed.candidate(path)) is not None and not supposed.can_guess(c)
        }
        if unguessed:
            open_[row.check] = frozenset(unguessed)
        elif full is not None and any(candidates[n].known for n in doubts.reads(row)):
            close.append(row)
        else:
            beyond.append(row)
    return Doubts(
        supposed,
        doubts.scopes,
        doubts.rows,
        candidates,
        doubts.names,
        tuple(close),
        tuple(beyond),
        open_,
    )
