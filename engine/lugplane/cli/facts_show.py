"""The command `facts show`: exit 0 for a record or a list of them, 2 where there is none."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import click

from lugplane.cli.options import facts_options, open_workshop

_HELP = """A record as it is known, and who relies on it.

PART: the id of a record of any kind. Its facts come with every reading (what it rests on, where,
when, its ± and whether that is assumed), rivals beside it, and the line that states it; then the
records that name it, and the setups that it stands in.

In place of PART a kind, such as platform, caliper or wheel, lists the records of that kind; with
nothing at all every record is listed."""


@click.command(help=_HELP)
@click.argument("part", required=False, default="")
@click.option(
    "--json",
    "as_json",
    is_flag=True,
    help="Print JSON (schemas/answers/part.json; of a list parts.json).",
)
@facts_options
def show(part: str, as_json: bool, added: tuple[Path, ...], only_kb: Path | None) -> int:
    from lugplane.answers.listed import kind_of, listed

    workshop = open_workshop(added, only_kb)
    if not part or kind_of(part):
        from lugplane.render.listed import listed_json, listed_text

        records = listed(workshop, part)
        return _say(as_json, partial(listed_json, records), partial(listed_text, records))
    from lugplane.answers.part_shown import part_shown
    from lugplane.render.part_shown import part_json, part_text

    found = part_shown(workshop, part)
    return _say(as_json, partial(part_json, found), partial(part_text, found))


def _say(as_json: bool, json_of: Callable[[], str], text_of: Callable[..., str]) -> int:
    from lugplane.cli.terminal import terminal

    if as_json:
        click.echo(json_of())
    else:
        width, colour = terminal()
        click.echo(text_of(width=width, colour=colour))
    return 0
