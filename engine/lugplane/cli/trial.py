"""The commands `trial check` and `trial new`: trials against the facts, and a sheet for one."""

from __future__ import annotations

import re
from pathlib import Path

import click

from lugplane.cli.options import facts_options, open_workshop, terminal
from lugplane.errors import BadInput

_EXIT = {"agrees": 0, "disagrees": 1, "tells": 3, "tells nothing": 3}
_OWN_ID = re.compile(r"[a-z0-9]+(?:[-.][a-z0-9]+)*")


@click.group()
def trial() -> None:
    """What was put together and measured, held against the facts."""


@trial.command(short_help="Whether trials agree with the facts, and which fact is suspect.")
@click.argument("ids", nargs=-1, metavar="[ID]...")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schemas/answers/trial.json).")
@facts_options
def check(
    ids: tuple[str, ...], as_json: bool, added: tuple[Path, ...], only_kb: Path | None
) -> int:
    """Hold trials, all or those named, against what the facts give for the same setup.

    Ends with 0 where all agree, 1 where one disagrees, 3 where one tells nothing or what the facts
    do not give.
    """
    from lugplane.answers.trials import check_trials
    from lugplane.render.trials import trials_json, trials_text

    workshop = open_workshop(added, only_kb)
    checked = check_trials(workshop.base, workshop.rulebook, ids)
    if as_json:
        click.echo(trials_json(checked))
    else:
        width, colour = terminal()
        click.echo(trials_text(checked, width=width, colour=colour), color=colour)
    return _EXIT[checked.state]


@trial.command(short_help="A blank sheet to fill in at the car.")
@click.argument("words", nargs=-1, required=True, metavar="PLATFORM [front|rear] PART...")
@click.option(
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.yaml",
    help="Write the record to fill in to a file of its own; never over one that is there.",
)
@facts_options
def new(
    words: tuple[str, ...], output: Path | None, added: tuple[Path, ...], only_kb: Path | None
) -> int:
    """A mock-up sheet for A4, 80 columns wide: what to measure, room for it, and the record.

    What is not named is what the factory fitted.
    """
    from lugplane.answers.mock_up import mock_up
    from lugplane.render.mock_up import record_yaml, sheet_to_fill

    platform, *rest = words
    axles = [w for w in rest if w in ("front", "rear")]
    if len(axles) > 1:
        raise BadInput("one axle a sheet: front or rear")
    parts = tuple(w for w in rest if w not in ("front", "rear"))
    id_ = "" if output is None else _id_of(output)
    workshop = open_workshop(added, only_kb)
    asked = mock_up(
        workshop.base, workshop.rulebook, platform, axles[0] if axles else "front", parts
    )
    if output is None:
        click.echo(sheet_to_fill(asked))
        click.echo(f"\n{record_yaml(asked)}", nl=False)
        return 0
    from lugplane.cli.files import write_whole

    write_whole(output, record_yaml(asked, id_))
    click.echo(sheet_to_fill(asked))
    click.echo(f"\nRecord to fill in: {output}")
    return 0


def _id_of(file: Path) -> str:
    """A record's id is its file's name. Raises `BadInput` for a name that is none."""
    if file.suffix != ".yaml" or not _OWN_ID.fullmatch(file.stem):
        raise BadInput(
            f"--output {file}: the file's name is the trial's id: small letters, digits, - and ., "
            "and .yaml behind it"
        )
    if file.exists():
        raise BadInput(f"{file} is there already: name another file")
    return file.stem
