"""The command `facts show`: exit 0 for a record or a list of them, 2 where there is none."""

from __future__ import annotations

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
    from lugplane.answers.listed import kind_of
    from lugplane.answers.part_shown import part_shown
    from lugplane.cli.terminal import terminal
    from lugplane.render.part_shown import part_json, part_text

    if not part or kind_of(part):
        return _list(part, as_json, added, only_kb)
    found = part_shown(open_workshop(added, only_kb), part)
    if as_json:
        click.echo(part_json(found))
    else:
        width, colour = terminal()
        click.echo(part_text(found, width=width, colour=colour))
    return 0


def _list(kind: str, as_json: bool, added: tuple[Path, ...], only_kb: Path | None) -> int:
    from lugplane.answers.listed import listed
    from lugplane.cli.terminal import terminal
    from lugplane.render.listed import listed_json, listed_text

    records = listed(open_workshop(added, only_kb), kind)
    if as_json:
        click.echo(listed_json(records))
    else:
        width, colour = terminal()
        click.echo(listed_text(records, width=width, colour=colour))
    return 0
