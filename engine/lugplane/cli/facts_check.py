"""The command `facts check`: exit 0 without problems, 1 with some, 2 for a bad call."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from lugplane.errors import BadInput

_HELP = """Every problem of every file, at once.

FOLDER or FILE: a folder of facts, a folder of one kind, or files; without one, the shipped facts
and those of LUGPLANE_KB. What is named is checked on top of these.

Each finding is one line: file:line:column: code: what was found; what is allowed; how to mend it.
Warnings do not count for the exit: 0 no problems, 1 problems, 2 a bad call."""


@click.command(help=_HELP)
@click.argument("targets", nargs=-1, type=click.Path(path_type=Path), metavar="[FOLDER|FILE]...")
@click.option("--alone", is_flag=True, help="Check the folder without the shipped facts.")
@click.option("--fix", is_flag=True, help="Mend what is mechanical, and say what was changed.")
@click.option("--on", "day", metavar="DAY", help="Hold dates against this day instead of today.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schemas/answers/check.json).")
@click.option(
    "--annotations", is_flag=True, help="Print workflow commands, which CI runners show in place."
)
def check(
    targets: tuple[Path, ...],
    alone: bool,
    fix: bool,
    day: str | None,
    as_json: bool,
    annotations: bool,
) -> int:
    if as_json and annotations:
        raise BadInput("--json and --annotations: one of them")
    today = _day(day)
    from lugplane.check.run import check as look
    from lugplane.check.targets import asked as ask
    from lugplane.check.yardsticks import assumed, plausible, schemas

    asked = ask(targets, alone)
    fixed = []
    if fix:
        from lugplane.check.mending import mend
        from lugplane.cli.files import write_whole
        from lugplane.facts.store import checked_facts

        parts = list(checked_facts(asked.folders, assumed()).parts)
        fixed = mend(
            asked,
            assumed(),
            schemas(),
            parts,
            lambda path, content: write_whole(path, content, replace=True),
        )
    checked = look(asked, assumed(), plausible(), today)
    from lugplane.render import check as render

    form = render.check_text
    if as_json:
        form = render.check_json
    elif annotations:
        form = render.check_annotations
    click.echo(form(checked, fixed))
    return 0 if checked.sound else 1


def _day(said: str | None) -> date:
    if said is None:
        return date.today()
    try:
        return date.fromisoformat(said)
    except ValueError as error:
        raise BadInput(f"--on {said}: a day, as in 2026-03-14") from error
