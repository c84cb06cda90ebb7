"""How fast it is, each figure beside its floor in the same run; nothing passes or fails.

    tools/bench [TIMES]            the shipped facts
    tools/bench --growth [PARTS]   from 100 parts to so many (20,000): a table and out/growth.svg,
                                   of the sizes that are done where it is interrupted

Figures are processor time (user and system) in ms, medians, of whole processes where not said
otherwise. Processes run with compiled bytecode, as an installed command does.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
DEMO = ("tovan-q4/44", "sorrel-300", "kite-120", "tammick-16-cast")
FITS = ("fits", "tammick-van", "front")
READY = ("facts", "ready")
ENGINES = ("durable", "clips", "plain")
SIZES = (100, 300, 1000, 3000, 10_000, 20_000)
FIRST, REPEAT, BIG, COMPILE = 150, 80, 300, 2.0
"""Targets: the first `fits` and a repeat on the shipped facts, on 20,000 parts, in ms; how many
times what bare reading and a schema check of the same files take, for compiling."""

JUDGED = ("judged", "told", "answers")
"""Sorts of files of the cache that hold what was judged: verdicts, lists, their texts."""

BEFOREHAND = """\
  beforehand, of fits judged on the spot: facts compiled, pair checks made, no verdict;
  of fits made ready beforehand: facts ready (all axles), and this list never asked for."""

FLOOR = """
import json, sys, yaml
from pathlib import Path
from jsonschema import Draft202012Validator
from referencing import Registry, Resource
kb, schemas = map(Path, sys.argv[1:])
found = {f.name: json.loads(f.read_text("utf-8")) for f in schemas.glob("*.json")}
registry = Registry().with_resources(
    [(name, Resource.from_contents(s)) for name, s in found.items()]
)
checks = {n[:-5]: Draft202012Validator(s, registry=registry) for n, s in found.items()}
Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
wrong = 0
for file in kb.glob("*/*.yaml"):
    data = yaml.load(file.read_text("utf-8"), Loader=Loader)
    wrong += not checks[data["kind"]].is_valid(data)
"""
"""Bare YAML on the C loader, composed and turned into data, and the schema check of that."""

PHASES = """
import json, sys, time
marks = [("bare interpreter", time.process_time())]
def mark(name): marks.append((name, time.process_time()))
from pathlib import Path
from lugplane.answers.fit import FitBench, Memo
from lugplane.answers.fits import asked_verdicts, fits, judged
from lugplane.answers.kept import Kept
from lugplane.links.candidates import candidates
from lugplane.links.stored import open_links
from lugplane.render.tables_fits import fits_text
from lugplane.workshop import Workshop
mark("imports")
shop = Workshop.open(only=Path(sys.argv[1])); mark("opening facts and rules")
links = open_links(shop); mark("opening the pair checks")
bench = FitBench(shop); found = candidates(links, sys.argv[2], "front").items
mark(f"{len(found)} candidates")
passed = [c for c in found if not bench.sieved(c)]
mark(f"turning down {len(found) - len(passed)} by single checks")
for c in passed: bench.fit(c)
mark(f"judging the other {len(passed)} in full")
for c in passed:
    if bench.fit(c).verdict != "does not fit": bench.looks(c)
mark("their wheels")
for c in passed:
    if bench.fit(c).verdict in ("bolts on", "fits with work"): bench.cars(c)
mark("their whole cars")
print(json.dumps([(n, 1000 * (b - a)) for (_, a), (n, b) in zip(marks, marks[1:])]))
"""


class Runs:
    """Processes with a cache folder and bytecode of their own."""

    def __init__(self, folder: Path) -> None:
        self.cache = folder / "cache"
        self._environment = {
            **{k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"},
            "LUGPLANE_CACHE": str(self.cache),
            "PYTHONPYCACHEPREFIX": str(folder / "bytecode"),
            "PYTHONPATH": str(ROOT / "engine"),
        }

    def python(self, *words: str) -> list[str]:
        """A command for this Python."""
        return [sys.executable, *words]

    def lugplane(self, *words: str) -> list[str]:
        """A command line, begun as the installed command begins."""
        begin = "import sys; sys.argv[0] = 'lugplane'; from lugplane.cli.start import main; main()"
        return self.python("-c", begin, *words)

    def output(self, command: Sequence[str]) -> str:
        """What a command prints."""
        done = subprocess.run(
            command, check=True, capture_output=True, text=True, env=self._environment, cwd=ROOT
        )
        return done.stdout

    def ms(
        self, command: Sequence[str], times: int = 1, before: Callable[[], None] | None = None
    ) -> float:
        """Median processor time of a process; `before` puts things in order each time."""
        taken: list[float] = []
        for _ in range(times):
            if before is not None:
                before()
            start = resource.getrusage(resource.RUSAGE_CHILDREN)
            done = subprocess.run(
                command, check=False, capture_output=True, env=self._environment, cwd=ROOT
            )
            if done.returncode not in (0, 1, 3):
                raise SystemExit(done.stderr.decode())
            end = resource.getrusage(resource.RUSAGE_CHILDREN)
            spent = end.ru_utime - start.ru_utime + end.ru_stime - start.ru_stime
            taken.append(1000 * spent)
        return statistics.median(taken)

    def forget(self, *sorts: str) -> None:
        """Delete the files of some sorts from the cache; none named: all."""
        for path in self.cache.glob("*"):
            if not sorts or path.name.startswith(sorts):
                path.unlink()


def median_ms(call: Callable[[], object], times: int) -> float:
    """Median processor time of a call in milliseconds."""
    taken: list[float] = []
    for _ in range(times):
        start = time.process_time()
        call()
        taken.append(1000 * (time.process_time() - start))
    return statistics.median(taken)


def judging(times: int) -> None:
    """One setup, by each matcher."""
    from lugplane.setup.assemble import Wanted
    from lugplane.workshop import Workshop

    shop = Workshop.open()
    wanted = Wanted("tammick-van", "front", DEMO)
    print("one setup judged with its proof (the demonstration, wheel and trim included), in a row:")
    for name in ENGINES:
        try:
            shop.judge(wanted, name)
        except Exception as error:
            print(f"  {name:8} not here: {error}")
            continue
        print(f"  {name:8} {median_ms(lambda n=name: shop.judge(wanted, n), times):7.2f} ms")  # type: ignore[misc]


def shipped(runs: Runs, times: int) -> None:
    """The shipped facts: what is kept and what is not."""
    fits, sheet = runs.lugplane(*FITS), runs.lugplane("sheet", "tammick-van", "front", *DEMO)
    runs.ms(fits), runs.ms(sheet)  # bytecode
    few = max(3, times // 10)
    facts = str(ROOT / "kb"), str(ROOT / "schemas")

    def line(what: str, value: float, said: str = "") -> None:
        print(f"  {what:46} {value:8.1f}  {said}".rstrip())

    print(f"processes (median of {times} or {few}):")
    line("bare interpreter", runs.ms(runs.python("-c", "pass"), times))
    line("bare YAML and schema check of kb/", runs.ms(runs.python("-c", FLOOR, *facts), few))
    line("sheet, nothing kept", runs.ms(sheet, few, runs.forget))
    line("sheet, facts and rules kept", runs.ms(sheet, few))
    line("fits, nothing kept", runs.ms(fits, few, runs.forget))
    first = runs.ms(fits, few, lambda: runs.forget(*JUDGED))
    line("fits, judged on the spot", first, _met(first, FIRST))
    line("fits, verdicts kept", runs.ms(fits, few, lambda: runs.forget("answers", "told")))
    again = runs.ms(fits, times)
    line("fits, asked once more", again, _met(again, REPEAT))
    ready = runs.lugplane(*READY)
    line("facts ready, no verdicts kept", runs.ms(ready, 1, lambda: runs.forget(*JUDGED)))
    line("facts ready, nothing changed", runs.ms(ready, 3))
    told = runs.ms(fits, few, lambda: runs.forget("answers"))
    line("fits, made ready beforehand (facts ready)", told, _met(told, FIRST))
    print(BEFOREHAND)
    phases(runs, ROOT / "kb", "tammick-van")


def phases(runs: Runs, kb: Path, platform: str) -> None:
    """Where the time of a first `fits` goes."""
    told = json.loads(runs.output(runs.python("-c", PHASES, str(kb), platform)))
    print("  where the time of a first fits goes, with facts and pair checks kept:")
    for name, spent in told:
        print(f"    {name:45}{spent:8.1f}")


def _met(value: float, target: float, unit: str = "ms") -> str:
    word = "met" if value <= target else f"MISSED by {value - target:.1f} {unit}"
    return f"target {target:g} {unit}: {word}"


OPEN = """
import sys
from pathlib import Path
from lugplane.workshop import Workshop
shop = Workshop.open(only=Path(sys.argv[1]))
"""
LINKS = f"""{OPEN}
from lugplane.links.stored import open_links
links = open_links(shop)
"""
COUNT = f"""{LINKS}
from lugplane.links.candidates import candidates
print(len(candidates(links, sys.argv[2], sys.argv[3]).items))
"""

HEADS = {
    "parts": "",
    "files": "",
    "bare": "interpreter",
    "floor": "bare YAML and schema check",
    "compile": "opening the facts, nothing kept",
    "links": "making ready the pair checks",
    "first": "fits judged on the spot: never asked of, facts and pair checks kept",
    "pairs": "the same, its pairs kept too, no verdicts",
    "again": "the same question once more",
    "ready": "facts ready of the platform's axles, pairs kept, no verdicts",
    "told": "fits made ready beforehand by that, and never asked for",
    "cands": "candidates of the axle",
}


def growth(runs: Runs, most: int, folder: Path) -> None:
    """Bases of growing size: a table, a plot, and the targets; what is done, if interrupted."""
    print(f"{' '.join(FITS)}; in ms:")
    for head, meant in HEADS.items():
        if meant:
            print(f"  {head:8}{meant}")
    print(" ".join(f"{h:>7}" for h in HEADS), flush=True)
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    lines: list[dict[str, float]] = []
    sizes = [s for s in SIZES if s <= most] or [most]
    stopped = False
    try:
        for size in sizes:
            lines.append(_grown(runs, folder / f"kb-{size}", size, size == sizes[-1]))
    except KeyboardInterrupt:
        stopped = True
        doing("")
        print(f"interrupted: {len(lines)} of {len(sizes)} sizes are done", flush=True)
    if lines:
        _targets(lines)
        out = ROOT / "out"
        out.mkdir(exist_ok=True)
        (out / "growth.svg").write_text(plot(lines), "utf-8")
        print(f"drawn: {(out / 'growth.svg').relative_to(ROOT)}")
    if stopped:
        raise SystemExit(130)


def _grown(runs: Runs, kb: Path, size: int, last: bool) -> dict[str, float]:
    """One line of the table, printed; of the last size also where the time goes."""
    import big_kb

    def step(what: str) -> None:
        doing(f"{size:,} parts: {what}")

    step("making them")
    files, parts = big_kb.write(kb, size, FITS[1])
    times = 3 if size <= 1000 else 1
    opening = runs.python("-c", OPEN, str(kb))
    linking = runs.python("-c", LINKS, str(kb))
    fits = runs.lugplane(*FITS, "--only-kb", str(kb))
    ready = runs.lugplane(*READY, FITS[1], "--only-kb", str(kb))
    line: dict[str, float] = {"parts": parts, "files": files}

    def links_anew() -> None:
        runs.forget("links", *JUDGED)
        runs.ms(linking)

    runs.forget()
    line["bare"] = runs.ms(runs.python("-c", "pass"), 5)
    step("the floor")
    line["floor"] = runs.ms(runs.python("-c", FLOOR, str(kb), str(ROOT / "schemas")), times)
    step("compiling")
    line["compile"] = runs.ms(opening, times, runs.forget)
    opened = runs.ms(opening, times)
    step("pair checks")
    line["links"] = runs.ms(linking, times, lambda: runs.forget("links")) - opened
    step("fits")
    line["first"] = runs.ms(fits, times, links_anew if times > 1 else None)
    line["pairs"] = runs.ms(fits, times, lambda: runs.forget(*JUDGED))
    line["again"] = runs.ms(fits, 5)
    step("facts ready")
    line["ready"] = runs.ms(ready, 1, lambda: runs.forget(*JUDGED))
    line["told"] = runs.ms(fits, 5, lambda: runs.forget("answers"))
    line["cands"] = float(runs.output(runs.python("-c", COUNT, str(kb), *FITS[1:])))
    doing("")
    print(" ".join(f"{line[h]:7.0f}" for h in HEADS), flush=True)
    if last:
        phases(runs, kb, FITS[1])
    shutil.rmtree(kb)
    return line


def _targets(lines: Sequence[dict[str, float]]) -> None:
    last = lines[-1]
    for head, said in (
        ("first", "first time, judged on the spot"),
        ("told", "first time, made ready beforehand"),
        ("again", "asked once more"),
    ):
        print(f"{last['parts']:.0f} parts, {said + ':':34} {_met(last[head], BIG)}")
    for line in lines:
        if line["files"] >= 8000:
            share = line["compile"] / line["floor"]
            print(
                f"compile of {line['files']:.0f} files: {share:.2f} times the floor; "
                f"{_met(share, COMPILE, 'times')}"
            )


def doing(what: str) -> None:
    """Say on a terminal what is being done, in a line that the next word takes the place of."""
    if sys.stderr.isatty():
        sys.stderr.write(f"\r\x1b[K{what}")
        sys.stderr.flush()


DRAWN = (("floor", "#888888"), ("compile", "#1b4f8a"), ("links", "#2c7a4b"),
         ("first", "#a8461c"), ("pairs", "#8a6d1b"), ("again", "#6a3d9a"),
         ("ready", "#c24f8c"), ("told", "#1f9aa8"))  # fmt: skip


def plot(lines: Sequence[dict[str, float]]) -> str:
    """Time over parts, both in powers of ten, as SVG."""
    from math import ceil, floor, log10

    width, height, left, top = 640.0, 420.0, 70.0, 20.0
    xs = [log10(line["parts"]) for line in lines]
    ys = [log10(max(line[name], 1.0)) for line in lines for name, _ in DRAWN]
    x0, y0 = floor(min(xs)), floor(min(ys))
    x1, y1 = max(ceil(max(xs)), x0 + 1), max(ceil(max(ys)), y0 + 1)

    def at(x: float, y: float) -> tuple[float, float]:
        return left + (x - x0) / (x1 - x0) * width, top + (y1 - y) / (y1 - y0) * height

    def text(x: float, y: float, said: str, anchor: str = "start") -> str:
        return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{said}</text>'

    found = [
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 860 490" font-family="sans-serif" '
        'font-size="13"><title>Processor time over the number of parts</title>'
        '<rect width="860" height="490" fill="#ffffff"/>'
    ]
    for power in range(x0, x1 + 1):
        x, y = at(power, y0)
        found.append(f'<path d="M{x:.1f} {top}V{y:.1f}" stroke="#dddddd"/>')
        found.append(text(x, y + 18, f"{10**power:,}", "middle"))
    for power in range(y0, y1 + 1):
        x, y = at(x0, power)
        found.append(f'<path d="M{x:.1f} {y:.1f}H{left + width}" stroke="#dddddd"/>')
        found.append(text(x - 8, y + 4, f"{10**power:,}", "end"))
    found.append(text(left + width / 2, 480, "ms of processor time over parts", "middle"))
    for n, (name, colour) in enumerate(DRAWN):
        points = [at(log10(line["parts"]), log10(max(line[name], 1.0))) for line in lines]
        path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
        found.append(f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="2"/>')
        found += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3" fill="{colour}"/>' for x, y in points]
        y = top + 20 + 22 * n
        found.append(f'<path d="M725 {y}H749" stroke="{colour}" stroke-width="2"/>')
        found.append(text(756, y + 4, name))
    return "\n".join([*found, "</svg>"]) + "\n"


def _arguments() -> argparse.Namespace:
    asked = argparse.ArgumentParser(
        prog="tools/bench", description="Processor times, each beside its floor."
    )
    asked.add_argument("times", nargs="?", type=_count, default=50, help="runs of each (50)")
    asked.add_argument(
        "--growth",
        nargs="?",
        type=_count,
        const=SIZES[-1],
        metavar="PARTS",
        help=f"bases of made parts instead, up to so many ({SIZES[-1]}), with a plot",
    )
    return asked.parse_args()


def _count(word: str) -> int:
    if not word.isdecimal() or int(word) < 1:
        raise argparse.ArgumentTypeError(f"{word!r} is no count from 1 on")
    return int(word)


def main() -> None:
    """Print the tables."""
    asked = _arguments()
    print(f"load average {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores; ms of processor time")
    with tempfile.TemporaryDirectory(prefix="lugplane-bench-") as made:
        runs = Runs(Path(made))
        if asked.growth is not None:
            growth(runs, asked.growth, Path(made))
            return
        shipped(runs, asked.times)
        judging(asked.times)


if __name__ == "__main__":
    main()
