"""The command `facts ready`: exit 0 where all is ready, 1 where lists were left, 2 a bad call."""

from __future__ import annotations

from pathlib import Path

import click

from lugplane.cli.options import chosen_folders, facts_options

_HELP = """Judge the lists of what fits beforehand.

PLATFORM: cars whose lists are judged, of both axles; without one, all cars. Whoever asks
`lugplane fits PLATFORM front|rear` for the first time then has the answer at once. After a change
of facts, say it again: only what the change reaches is judged anew.

Exit: 0 all are ready, 1 some were left (a process was ended from outside, or facts were changed
meanwhile), 2 a bad call, 130 interrupted. What was done is kept in each case."""


@click.command(help=_HELP)
@click.argument("platforms", nargs=-1, metavar="[PLATFORM]...")
@click.option(
    "--jobs",
    type=click.IntRange(1),
    metavar="N",
    help="Judge in so many processes; 1: in this one. Without it, as many as pay.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schemas/answers/ready.json).")
@facts_options
def ready(
    platforms: tuple[str, ...],
    jobs: int | None,
    as_json: bool,
    added: tuple[Path, ...],
    only_kb: Path | None,
) -> int:
    from lugplane.answers.ready import INTERRUPTED
    from lugplane.answers.ready import ready as make
    from lugplane.cli.progress import progress
    from lugplane.render.ready import cut_short_text, ready_json, ready_text

    with progress("judging") as tell:
        found = make(chosen_folders(added, only_kb), platforms, jobs=jobs, progress=tell)
    click.echo(ready_json(found) if as_json else ready_text(found))
    if not found.cut_short:
        return 0
    click.echo(f"lugplane: {cut_short_text(found)}", err=True)
    return 130 if found.cut_short == INTERRUPTED else 1
