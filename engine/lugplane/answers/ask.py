"""What to measure so that a setup that cannot be told is settled: the shortest list, best first.

A set of measurements *settles* a check if the check is decided (it holds, asks for care or work,
or fails) once each measured fact is replaced by its best guess ± the accuracy that is asked for,
all other facts staying as they are. The best guess of a fact that is known is what it reads now,
moved inward only so far that the ± stays within what is recorded. Of a fact that is not known
nothing can be guessed: it is supposed to read as that of the likest part of the base, only so that
the rest of the list can be found, and the answer tells for which readings it comes out how.

The list is the smallest set that settles every check in doubt of the verdicts asked for: brake and
wheel together, the car for itself. Candidates are the facts that those checks read and that are
not known, or known worse than an instrument reaches. A quantity that a mock-up measures is one
candidate of a second list, `at the car`. What no instrument settles at the best guess is told
apart: `close`, where a reading that comes out other than guessed still may settle it, and `beyond`,
where no measurement does.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

from lugplane.answers.ask_close import Close, closest
from lugplane.answers.ask_items import Item, items_of
from lugplane.answers.ask_measuring import read_instruments, read_measuring
from lugplane.answers.ask_scoped import Doubts, doubts_of, joint_verdict, may_be_spaced
from lugplane.answers.ask_search import least_set
from lugplane.answers.ask_supposed import SPACING, Supposed, checks_of, view_of
from lugplane.answers.rows import DOES_NOT_FIT
from lugplane.answers.sheet import Part, Sheet, judge_setup
from lugplane.data import data_folder
from lugplane.deduce.choose import matcher
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.setup.assemble import Wanted, assemble
from lugplane.workshop import Workshop

VERSION = 1
LISTS: Mapping[str, tuple[str, ...]] = {"fit": ("brake", "wheel"), "car": ("car",)}
_COMPOUND = "pad.compound"
_DIGITAL = "digital caliper"
_OF_COMPOUND = ("pad.friction", _COMPOUND)


@dataclass(frozen=True, slots=True)
class InDoubt:
    """A check in doubt; `because` says why no measurement settles it, where none does.

    `facts` are those whose doubts it hangs on, however finely they are measured.
    """

    check: str
    title: str
    because: str = ""
    facts: tuple[str, ...] = ()

    @property
    def of_compound(self) -> bool:
        """Whether it hangs on which compound the pads are."""
        return any(f.startswith(_OF_COMPOUND) for f in self.facts)


@dataclass(frozen=True, slots=True)
class AskList:
    """The list of some scopes.

    `doubts` are the checks that `items` settle; `outcome` is the verdict if everything reads as
    guessed, empty where something had to be supposed or stays in doubt. `at_the_car` is the
    shortest list that begins with a mock-up, where one settles as much. `proven` tells that no
    shorter list was passed over.
    """

    name: str
    scopes: tuple[str, ...]
    verdict: str
    doubts: tuple[InDoubt, ...]
    items: tuple[Item, ...]
    at_the_car: tuple[Item, ...]
    close: tuple[Close, ...]
    beyond: tuple[InDoubt, ...]
    outcome: str
    proven: bool

    @property
    def asks(self) -> bool:
        """Whether there is something to measure."""
        return bool(self.items or self.at_the_car) or any(c.items for c in self.close)


@dataclass(frozen=True, slots=True)
class Ask:
    """The answer: the setup, and a list for brake and wheel and one for the car.

    A list that is not there has nothing in doubt, or does not fit whatever is measured. `titles`
    are those of the checks that are named; `open_pads` the compounds that pads named by their shape
    alone may be of, and `ask_compound` what to ask a customer where a doubt hangs on which it is.
    `digital_caliper_mm` is the ± that this instrument reaches: finer takes a micrometer.
    """

    version: int
    platform: str
    platform_title: str
    axle: str
    parts: tuple[Part, ...]
    verdicts: Mapping[str, str]
    lists: tuple[AskList, ...]
    titles: Mapping[str, str]
    open_pads: tuple[str, ...] = ()
    ask_compound: str = ""
    digital_caliper_mm: float = 0.0

    @property
    def asks(self) -> bool:
        """Whether there is something to measure."""
        return any(found.asks for found in self.lists)


def ask(
    workshop: Workshop,
    wanted: Wanted,
    matcher_name: str | None = None,
    lists: Collection[str] = tuple(LISTS),
) -> Ask:
    """What to measure of a setup, by the lists named.

    Raises `BadInput`, `BadFacts`, `EngineError`.
    """
    rules = data_folder() / "rules"
    ways = read_measuring(rules)
    setup = assemble(workshop.base, wanted)
    judged = judge_setup(setup, workshop.rulebook, matcher(matcher_name))
    sheet = judged.sheet

    some = {scopes: checks_of(workshop.rulebook, scopes) for scopes in LISTS.values()}

    def supposed(scopes: tuple[str, ...]) -> Supposed:
        now = view_of(judged.deduction, frozenset(some[scopes].checks))
        return Supposed(workshop.base, setup, ways, some[scopes], now)

    made = [
        _list(supposed, name, scopes)
        for name, scopes in LISTS.items()
        if name in lists and _in_doubt(sheet, scopes)
    ]
    found = tuple(each for each in made if each is not None)
    open_ = bool(sheet.open_pads) and any(d.of_compound for each in found for d in each.beyond)
    return Ask(
        VERSION,
        sheet.platform,
        sheet.platform_title,
        sheet.axle,
        sheet.parts,
        {s.name: s.verdict for s in sheet.scopes},
        found,
        {c.id: c.title for c in workshop.rulebook.checks},
        sheet.open_pads,
        ways[_COMPOUND].ask if open_ else "",
        read_instruments(rules)[_DIGITAL],
    )


def _in_doubt(sheet: Sheet, scopes: tuple[str, ...]) -> bool:
    """Whether measuring may change a verdict: what does not fit does not fit, measured or not."""
    asked = [sheet.verdict_of(s) for s in ("brake", "wheel")]
    return DOES_NOT_FIT not in asked and joint_verdict(sheet.rows, scopes) == CANNOT_TELL


def least_names(doubts: Doubts, first: frozenset[str] = frozenset()) -> tuple[frozenset[str], bool]:
    """The shortest list of candidates, and whether no shorter one was passed over."""
    shares = doubts.narrowing()
    worth = {n: sum(s.get(n, 0.0) for s in shares.values()) for n in doubts.names}
    found = least_set(doubts.names, doubts.standing, worth, doubts.before(shares), first)
    return found.taken, found.proven


def _list(
    make: Callable[[tuple[str, ...]], Supposed], name: str, scopes: tuple[str, ...]
) -> AskList | None:
    doubts = doubts_of(make(scopes), scopes)
    if not doubts.rows:
        return None
    names, proven = least_names(doubts)
    items = items_of(doubts, names)
    close, lost = closest(doubts, names)
    beyond = tuple(
        InDoubt(r.check, r.title, r.because, tuple(s.fact for s in r.settles))
        for r in (*doubts.beyond, *lost)
    )
    at_the_car = _at_the_car(make(scopes), scopes, doubts, len(names))
    return AskList(
        name,
        scopes,
        CANNOT_TELL,
        tuple(InDoubt(r.check, r.title) for r in doubts.told),
        items,
        at_the_car,
        close,
        beyond,
        _outcome(doubts, items),
        proven,
    )


def _outcome(doubts: Doubts, items: tuple[Item, ...]) -> str:
    """The verdict where everything reads as guessed; empty where something was supposed."""
    if doubts.close or doubts.beyond or not all(i.known for i in items):
        return ""
    view = doubts.supposed.view({i.facts[0]: i.needs or 0.0 for i in items})
    return joint_verdict(view.rows, doubts.scopes) if view else ""


def _at_the_car(
    supposed: Supposed, scopes: tuple[str, ...], bench: Doubts, count: int
) -> tuple[Item, ...]:
    """The shortest list with the mock-up in it, unless it settles less or is longer for no more."""
    if not may_be_spaced(supposed, bench):
        return ()
    doubts = doubts_of(supposed, scopes, mock_up=True)
    if SPACING not in doubts.names or not doubts.hangs_on_any(SPACING):
        return ()
    told, before = ({r.check for r in d.told} for d in (doubts, bench))
    if not before <= told:
        return ()
    names, _ = least_names(doubts, frozenset({SPACING}))
    if told == before and (len(names) > count or not doubts.standing(names - {SPACING})):
        return ()
    return items_of(doubts, names, ranges=not count)
