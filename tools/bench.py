"""Timings: a setup judged with its proof, and a cold sheet beside a bare interpreter."""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from lugplane.setup.assemble import Wanted
from lugplane.workshop import Workshop

ROOT = Path(__file__).resolve().parent.parent
DEMO = ("tovan-q4/44", "sorrel-300", "kite-120", "tammick-16-cast")
ENGINES = ("durable", "clips", "plain")


def median_ms(call: Callable[[], object], times: int) -> float:
    """Median processor time of a call in milliseconds."""
    taken: list[float] = []
    for _ in range(times):
        start = time.process_time()
        call()
        taken.append(1000 * (time.process_time() - start))
    return statistics.median(taken)


def child_ms(command: list[str], times: int) -> float:
    """Median processor time of a child process in milliseconds."""
    taken: list[float] = []
    for _ in range(times):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, check=False, stdout=subprocess.DEVNULL, cwd=ROOT)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        user, system = after.ru_utime - before.ru_utime, after.ru_stime - before.ru_stime
        taken.append(1000 * (user + system))
    return statistics.median(taken)


def main() -> None:
    """Print the table."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 50
    shop = Workshop.open()
    wanted = Wanted("tammick-van", "front", DEMO)
    print(f"load average {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores; median of {times}")
    print("one setup judged with its proof (the demonstration, wheel and trim included):")
    for name in ENGINES:
        try:
            shop.judge(wanted, name)
        except Exception as error:
            print(f"  {name:8} not here: {error}")
            continue
        print(f"  {name:8} {median_ms(lambda n=name: shop.judge(wanted, n), times):7.2f} ms")  # type: ignore[misc]
    few = max(5, times // 5)
    python = sys.executable
    sheet = [python, "-m", "lugplane.cli.main", "sheet", "tammick-van", "front", *DEMO]
    print(f"cold processes (median of {few}):")
    print(f"  bare interpreter      {child_ms([python, '-c', 'pass'], few):7.1f} ms")
    print(f"  sheet, first of all   {child_ms(sheet, 1):7.1f} ms")
    print(f"  sheet, facts compiled {child_ms(sheet, few):7.1f} ms")


if __name__ == "__main__":
    main()
