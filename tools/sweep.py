"""The engine against the oracle over all candidates of the shipped facts, and over drawn setups.

The product is every axle with every caliper (a floating one in each carrier that takes it) and
every disc: once with the pads it takes and a wheel, by rotation, so that every wheel comes up for
every caliper on every axle; and once with a pad it does not take, by rotation as well. Compounds
of one shape do not differ in fit: the first stands for all. What stands beside the stock car is
compared where the brake may be mounted. Then setups drawn at random, with the whole car.

`--lists` holds the lists together instead: `fits` of every axle, without and with adapter plates,
against the full product of caliper, carrier, disc and pad, and `takes` and `same` of every part
(`takes` of every family besides).

What is done is kept in a file, a line a piece of work, and is not done again as long as engine,
oracle, rules and facts are the same. Exit 0: both sides agree; 1: they do not; 2: bad arguments.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import sys
import time
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass, field
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path.append(str(ROOT / "tests"))

from oracle import agree_lists as lists  # type: ignore[import-not-found]  # noqa: E402
from oracle.agree import differences  # type: ignore[import-not-found]  # noqa: E402
from oracle.both_sides import SHIPPED, Asked, BothSides  # type: ignore[import-not-found]  # noqa: E402
from oracle.candidates import axles, row, seats  # type: ignore[import-not-found]  # noqa: E402
from oracle.generated import draw  # type: ignore[import-not-found]  # noqa: E402
from oracle.oracle import Kb, load  # type: ignore[import-not-found]  # noqa: E402

DRAWN_AT_ONCE = 25
A_CHILD_LASTS = 60  # pieces of work; what the oracle remembers of pads grows with them
SCOPES = ("brake", "wheel", "car")
LISTS = ("same", "fits", "plates", "takes")


@dataclass
class Tally:
    """What was judged: verdicts by scope, what turned candidates down first, disagreements."""

    judged: int = 0
    verdicts: Counter[str] = field(default_factory=Counter)
    turned_down: Counter[str] = field(default_factory=Counter)
    kinds: Counter[str] = field(default_factory=Counter)
    disagreeing: int = 0
    examples: dict[str, str] = field(default_factory=dict)

    def add(self, other: Tally) -> None:
        """Add up; of two examples the one that was there stays."""
        self.judged += other.judged
        self.disagreeing += other.disagreeing
        self.verdicts += other.verdicts
        self.turned_down += other.turned_down
        self.kinds += other.kinds
        for kind, example in other.examples.items():
            self.examples.setdefault(kind, example)

    def as_json(self) -> dict[str, Any]:
        return dict(vars(self))

    @classmethod
    def from_json(cls, raw: dict[str, Any]) -> Tally:
        counted = {k: Counter(raw[k]) for k in ("verdicts", "turned_down", "kinds")}
        return cls(**{**raw, **counted})


# --- one piece of work, in a child ---------------------------------------------------------------
_both: BothSides | None = None
_mechanical: BothSides | None = None
_with_cars: BothSides | None = None
_folder: TemporaryDirectory[str] | None = None
_lists: lists.BothLists | None = None


def _open() -> None:
    global _both, _mechanical, _with_cars, _folder
    _both = BothSides.open()
    _mechanical = _both.mechanical()
    _folder = TemporaryDirectory(prefix="lugplane-sweep-")
    _with_cars = BothSides.with_drawn_cars(Path(_folder.name) / "kb")


def _setups(piece: str) -> Iterator[Asked | int]:
    """The setups of a piece, `row PLATFORM AXLE SEAT` or `drawn FIRST`; drawn ones by number."""
    assert _both is not None
    sort, *words = piece.split()
    if sort == "drawn":
        yield from range(int(words[0]), int(words[0]) + DRAWN_AT_ONCE)
    else:
        platform, axle, turn = words[0], words[1], int(words[2])
        yield from row(_both.kb, platform, axle, seats(_both.kb)[turn], turn)


def work(piece: str) -> tuple[str, dict[str, Any]]:
    """Judge the setups of a piece, or make its list, on both sides and compare."""
    if piece.split()[0] in LISTS:
        return piece, _listed(piece).as_json()
    assert _both is not None
    assert _mechanical is not None
    assert _with_cars is not None
    tally = Tally()
    for asked in _setups(piece):
        tally.judged += 1
        both = _with_cars if isinstance(asked, int) else _mechanical
        try:
            if isinstance(asked, int):
                asked = draw(both, asked)
            sheet = both.engine(asked).sheet
            if both is _mechanical and sheet.verdict_of("brake") != "does not fit":
                both = _both  # a brake that may be mounted: the whole car is looked at as well
                sheet = both.engine(asked).sheet
            answer = both.oracle(asked)
        except Exception as error:  # whatever falls over is a finding, and the sweep goes on
            _note(tally, f"error {type(error).__name__}: {error}"[:100], str(asked))
            tally.disagreeing += 1
            continue
        for scope in SCOPES if both.whole_car else SCOPES[:2]:
            tally.verdicts[f"{scope}: {sheet.verdict_of(scope)}"] += 1
        first = next((r.check for r in sheet.rows if r.state == "fails"), "(none)")
        tally.turned_down[first] += 1
        found = differences(sheet, answer, both.whole_car)
        tally.disagreeing += bool(found)
        for difference in found:
            _note(tally, difference.kind, f"{difference}\n      {asked}")
    return piece, tally.as_json()


def _listed(piece: str) -> Tally:
    """Compare a list: `fits PLATFORM AXLE`, `plates PLATFORM AXLE`, `takes PART`, `same PART`."""
    global _lists
    assert _both is not None
    _lists = _lists or lists.BothLists(_both)
    tally = Tally()
    sort, *words = piece.split()
    try:
        if sort == "takes":
            found = lists.part(_lists, words[0])
        elif sort == "same":
            found = lists.alike(_lists, words[0])
        else:
            found = lists.axle(_lists, words[0], words[1], sort == "plates")
    except Exception as error:  # as above
        _note(tally, f"error {type(error).__name__}: {error}"[:100], piece)
        tally.disagreeing += 1
        return tally
    tally.judged, tally.verdicts = 1, Counter({f"{sort}: {k}": n for k, n in found.counts.items()})
    tally.disagreeing = bool(found.told)
    for kind, text in found.told:
        _note(tally, kind, text)
    return tally


def _note(tally: Tally, kind: str, example: str) -> None:
    tally.kinds[kind] += 1
    tally.examples.setdefault(kind, example)


# --- what there is to do -------------------------------------------------------------------------
def pieces(product: bool, drawn: int) -> list[str]:
    """All pieces of work, mixed by their names so that a sweep cut short has seen of everything."""
    kb = load(SHIPPED)
    found: list[str] = []
    if product:
        turns = range(len(seats(kb)))
        found += [f"row {p.id} {axle} {turn}" for p, axle in axles(kb) for turn in turns]
    found += [f"drawn {n}" for n in range(0, drawn, DRAWN_AT_ONCE)]
    return sorted(found, key=lambda piece: hashlib.sha256(piece.encode()).digest())


def list_pieces(kb: Kb) -> list[str]:
    """The lists to make, those of axles first: a child that made them has them for the parts."""
    of_axles = [
        f"{sort} {platform.id} {axle}"
        for sort in ("fits", "plates")
        for platform, axle in axles(kb)
        if platform.get(f"{axle}.knuckle") is not None
    ]
    same = [f"same {part.id}" for kind in lists.COMPARED for part in kb.of(kind)]
    families = {part.family: None for kind in lists.TAKEN for part in kb.of(kind)}
    parts = [part.id for kind in lists.TAKEN for part in kb.of(kind)]
    takes = [f"takes {name}" for name in dict.fromkeys([*parts, *families])]
    return [*same, *of_axles, *takes]


def fingerprint() -> str:
    """Changes with anything that an answer or the comparison may depend on."""
    digest = hashlib.sha256()
    folders = ("engine", "rules", "schemas", "kb", "tests/oracle")
    files = [f for folder in folders for f in (ROOT / folder).rglob("*") if f.is_file()]
    for file in sorted([*files, Path(__file__).resolve()]):
        if file.suffix in (".py", ".yaml", ".json"):
            digest.update(str(file.relative_to(ROOT)).encode() + b"\0" + file.read_bytes() + b"\0")
    return digest.hexdigest()[:16]


class Kept:
    """The file of what is done: a line a piece, each with the fingerprint it was done under."""

    def __init__(self, file: Path, mark: str) -> None:
        self.file, self.mark = file, mark
        self.done: dict[str, Tally] = {}
        if not file.exists():
            return
        for line in file.read_text("utf-8").splitlines():
            try:
                entry = json.loads(line)
            except ValueError:
                continue  # cut off while it was written: that piece is done again
            if entry["mark"] == mark:
                self.done[entry["piece"]] = Tally.from_json(entry["tally"])

    def keep(self, piece: str, raw: dict[str, Any]) -> None:
        """Write a piece down; it is on the disk when this returns."""
        self.file.parent.mkdir(parents=True, exist_ok=True)
        with self.file.open("a", encoding="utf-8") as out:
            out.write(json.dumps({"mark": self.mark, "piece": piece, "tally": raw}) + "\n")
            out.flush()
            os.fsync(out.fileno())
        self.done[piece] = Tally.from_json(raw)


def run(
    todo: Sequence[str],
    kept: Kept,
    jobs: int,
    minutes: float | None,
    lasts: int | None = A_CHILD_LASTS,
) -> bool:
    """Do the pieces; whether all of them were done before the time was up.

    `lasts`: so many pieces a child does before another takes its place; None: all.
    """
    end = None if minutes is None else time.monotonic() + minutes * 60
    waiting = iter(todo)
    show = Progress(len(todo))
    with ProcessPoolExecutor(
        jobs, mp_context=get_context("spawn"), initializer=_open, max_tasks_per_child=lasts
    ) as pool:
        running: set[Future[tuple[str, dict[str, Any]]]] = set()

        def start(count: int) -> None:
            for piece in _some(waiting, count):
                running.add(pool.submit(work, piece))

        start(jobs)
        while running:
            finished, left = wait(running, return_when=FIRST_COMPLETED)
            running.clear()
            running.update(left)
            for future in finished:
                kept.keep(*future.result())
                show.one_more()
            if end is None or time.monotonic() < end:
                start(jobs - len(running))
    show.end()
    return next(waiting, None) is None


def _some(pieces_left: Iterator[str], count: int) -> Iterator[str]:
    for _ in range(count):
        piece = next(pieces_left, None)
        if piece is not None:
            yield piece


class Progress:
    """How far it is, on a terminal only."""

    def __init__(self, pieces_left: int) -> None:
        self.all, self.count, self.since = pieces_left, 0, time.monotonic()
        self.shown = sys.stderr.isatty()

    def one_more(self) -> None:
        self.count += 1
        if self.shown:
            rest = (time.monotonic() - self.since) / self.count * (self.all - self.count)
            text = f"\r{self.count} of {self.all} pieces, about {rest / 60:.0f} min to go  "
            print(text, end="", file=sys.stderr, flush=True)

    def end(self) -> None:
        if self.shown:
            print(file=sys.stderr)


# --- the summary ---------------------------------------------------------------------------------
def summary(done: Iterable[tuple[str, Tally]], pieces_all: int) -> tuple[str, bool]:
    """The table that is printed, and whether both sides agree."""
    product, drawn, count = Tally(), Tally(), 0
    for piece, tally in sorted(done, key=lambda entry: entry[0]):
        (drawn if piece.startswith("drawn") else product).add(tally)
        count += 1
    lines = [f"{count} of {pieces_all} pieces of work done"]
    if count < pieces_all:
        lines[0] += ": a part of the whole, mixed"
    if product.judged:
        lines += ["", "Candidates of the shipped facts", *_table(product)]
        lines += [
            "  Half of them have a pad of another shape than the caliper takes: of those one for",
            "  each axle, caliper and disc was judged, the shapes by rotation, not all of them.",
            "  A wheel stands with each of the other half, by rotation over the discs.",
        ]
    if drawn.judged:
        lines += ["", "Setups drawn at random", *_table(drawn)]
    whole = Tally()
    whole.add(product)
    whole.add(drawn)
    lines += ["", f"Disagreements: {whole.disagreeing} of {whole.judged} setups"]
    for kind, times in whole.kinds.most_common():
        lines += [f"{times:7d}  {kind}", f"      {whole.examples[kind]}"]
    return "\n".join(lines), not whole.kinds


def list_summary(done: Iterable[tuple[str, Tally]], pieces_all: int) -> tuple[str, bool]:
    """The table of lists, and whether both sides agree."""
    whole, sorts = Tally(), Counter[str]()
    for piece, tally in done:
        whole.add(tally)
        sorts[piece.split()[0]] += 1
    lines = [f"{sum(sorts.values())} of {pieces_all} lists held together"]
    for sort, count in sorts.items():
        lines += ["", f"{sort}: {count} lists"]
        lines += [
            f"{n:9d}  {what.removeprefix(f'{sort}: ')}"
            for what, n in whole.verdicts.items()
            if what.startswith(f"{sort}: ")
        ]
    lines += ["", f"Disagreements: {whole.disagreeing} of {sum(sorts.values())} lists"]
    for kind, times in whole.kinds.most_common():
        lines += [f"{times:9d}  {kind}", f"      {whole.examples[kind]}"]
    return "\n".join(lines), not whole.kinds


def _table(tally: Tally) -> list[str]:
    lines = [f"{tally.judged:7d}  setups judged"]
    lines += [f"{n:7d}  {verdict}" for verdict, n in sorted(tally.verdicts.items())]
    lines += ["  turned down first by (engine; in the order of the list of checks)"]
    lines += [f"{n:7d}  {check}" for check, n in tally.turned_down.most_common()]
    return lines


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(
        prog="tools/sweep",
        description="Compare the engine with the oracle over all candidates and drawn setups.",
    )
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="children at work")
    parser.add_argument("--drawn", type=int, default=3000, help="setups drawn at random")
    parser.add_argument("--no-product", action="store_true", help="drawn setups only")
    parser.add_argument("--lists", action="store_true", help="the lists instead of setups")
    parser.add_argument("--minutes", type=float, help="start nothing more after so many minutes")
    parser.add_argument(
        "--file",
        type=Path,
        default=ROOT / "out" / "sweep.jsonl",
        help="where it keeps what is done",
    )
    parser.add_argument("--fresh", action="store_true", help="forget what was done before")
    given = parser.parse_args(arguments)
    if given.jobs < 1 or given.drawn < 0:
        parser.error("--jobs from 1, --drawn from 0")
    if given.fresh:
        given.file.unlink(missing_ok=True)
    kept = Kept(given.file, fingerprint())
    wanted = (
        list_pieces(load(SHIPPED)) if given.lists else pieces(not given.no_product, given.drawn)
    )
    todo = [piece for piece in wanted if piece not in kept.done]
    if len(todo) < len(wanted) and sys.stderr.isatty():
        print(f"{len(wanted) - len(todo)} pieces were done before", file=sys.stderr)
    run(todo, kept, given.jobs, given.minutes, None if given.lists else A_CHILD_LASTS)
    done = [(piece, kept.done[piece]) for piece in wanted if piece in kept.done]
    text, agree = (list_summary if given.lists else summary)(done, len(wanted))
    print(text)
    return 0 if agree else 1


if __name__ == "__main__":
    sys.exit(main())
