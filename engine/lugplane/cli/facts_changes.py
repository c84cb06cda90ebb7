"""The command `facts changes`: exit 0 where no answer changes, 1 where one does, 2 a bad call."""

from __future__ import annotations

from pathlib import Path

import click

from lugplane.errors import BadInput

_HELP = """What a change of facts changes: setups that fit now or no longer, verdicts, figures.

OLD, NEW: revisions of the checkout (HEAD, a branch, a commit) or folders of facts; a folder may
hold kb and rules. Without NEW, the facts of the working tree. The checkout is the current folder
where it holds a kb, else that of the shipped facts; it is not touched, and LUGPLANE_KB is not
looked at.

Only what a changed record comes into is judged again. Both sides are judged by this program.

Exit: 0 no answer changes (a fact may, and none with it), 1 some do, 2 a bad call."""


@click.command(help=_HELP)
@click.argument("old")
@click.argument("new", required=False)
@click.option("--over-shipped", is_flag=True, help="Lay both sides over the shipped facts.")
@click.option("--all", "whole", is_flag=True, help="List every setup of which figures changed.")
@click.option("--markdown", "as_markdown", is_flag=True, help="Print a pull request's comment.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schemas/answers/changes.json).")
def changes(
    old: str, new: str | None, over_shipped: bool, whole: bool, as_markdown: bool, as_json: bool
) -> int:
    if as_json and as_markdown:
        raise BadInput("--json and --markdown: one of them")
    import tempfile

    from lugplane.answers.changes_sides import compared, places
    from lugplane.cli.progress import progress
    from lugplane.cli.terminal import terminal
    from lugplane.data import data_folder
    from lugplane.render.changes import changes_json, changes_markdown, changes_text

    with tempfile.TemporaryDirectory(prefix="lugplane-") as scratch:
        before, after = places(old, new, Path(scratch), Path.cwd())
        under = [data_folder() / "kb"] if over_shipped else []
        with progress("judging") as tell:
            found = compared(before, after, under, tell)
    if as_json:
        click.echo(changes_json(found))
    elif as_markdown:
        click.echo(changes_markdown(found))
    else:
        width, colour = terminal()
        click.echo(changes_text(found, width=width, colour=colour, whole=whole))
    return 1 if found.any else 0
