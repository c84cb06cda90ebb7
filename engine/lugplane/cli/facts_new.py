"""The command `facts new`: a record to fill in, asked for or from flags."""

from __future__ import annotations

import os
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lugplane.errors import BadInput, LugplaneError

if TYPE_CHECKING:
    from lugplane.draft.new import Desk, Draft

_HELP = """Write a new record to fill in, with every fact of its kind as a comment.

KIND: platform, knuckle, caliper, carrier, disc, pad, wheel, hose, master, bolt, washer, spacer,
trial, offer, source or moved. On a terminal the facts are asked for, unless they come by --set.
Nothing is written over, and nothing is written that `facts check` would turn down."""


@click.command(help=_HELP)
@click.argument("kind")
@click.argument("id_", metavar="[ID]", required=False)
@click.option("--title", metavar="TEXT", help="What it is called.")
@click.option(
    "--reading",
    "readings",
    multiple=True,
    metavar="NAME=BASIS,...",
    help="A reading, as in bench=measured,source=bench-14,date=2026-03-14,plus_minus_mm=0.15; "
    "values that name none rest on the first.",
)
@click.option(
    "--set",
    "set_",
    multiple=True,
    metavar="FACT=VALUE",
    help="A fact, as in diameter_mm=300±0.1 or bolts.count=5; may be given more than once.",
)
@click.option("--like", metavar="ID", help="Show the values of this record as comments.")
@click.option(
    "--into",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="The folder of facts; without it the one of LUGPLANE_KB, or the checkout's kb.",
)
@click.option("--ask/--no-ask", default=None, help="Ask for the facts, or do not.")
@click.option("--dry-run", is_flag=True, help="Print the record and write nothing.")
def new(
    kind: str,
    id_: str | None,
    title: str | None,
    readings: tuple[str, ...],
    set_: tuple[str, ...],
    like: str | None,
    into: Path | None,
    ask: bool | None,
    dry_run: bool,
) -> int:
    from lugplane.draft.new import put, reading

    desk = _desk(_into(into))
    kind = desk.kind(kind)
    data: dict[str, Any] = {}
    if title is not None:
        data["title"] = title
    for said in readings:
        name, body = reading(said)
        put(data, ("readings", name), body)
    for said in set_:
        put(data, *desk.setting(kind, said))
    if readings and "unless_said" not in data:
        data["unless_said"] = next(iter(data["readings"]))
    if ask if ask is not None else not set_ and sys.stdin.isatty() and sys.stdout.isatty():
        from lugplane.cli.asking import ask_for

        id_, data = ask_for(desk, kind, id_, data, like or "")
    if id_ is None:
        raise BadInput(f"facts new {kind} ID: name the record, as its file is to be called")
    draft = desk.draft(kind, id_, data, like or "")
    return _print(draft) if dry_run else _write(draft)


def _print(draft: Draft) -> int:
    click.echo(draft.text, nl=False)
    return 1 if _tell(draft) else 0


def _write(draft: Draft) -> int:
    from lugplane.check.finding import is_error
    from lugplane.cli.files import write_whole
    from lugplane.facts.folders import shown_path
    from lugplane.render.check import finding_line

    errors = [finding_line(each) for each in draft.findings if is_error(each)]
    if errors:
        raise LugplaneError(
            "\n".join(["the record would be turned down:", *errors, "nothing written"])
        )
    folder = draft.file.parent
    made = not folder.exists()
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise BadInput(f"{folder} cannot be made: {error.strerror}") from error
    try:
        write_whole(draft.file, draft.text)
    except BadInput:
        if made:
            folder.rmdir()
        raise
    _tell(draft)
    shown = shown_path(draft.file)
    click.echo(f"{shown} written. Fill in what you know, then: lugplane facts check {shown}")
    return 0


def _tell(draft: Draft) -> bool:
    """Say on stderr what was found; whether there is an error."""
    from lugplane.check.finding import is_error
    from lugplane.render.check import finding_line

    for each in draft.findings:
        click.echo(finding_line(each), err=True)
    return any(map(is_error, draft.findings))


def _into(said: Path | None) -> Path:
    """The folder of facts to write into. Raises `BadInput`."""
    from lugplane.data import VARIABLE, data_folder

    home = data_folder()
    named = [Path(each) for each in os.environ.get(VARIABLE, "").split(os.pathsep) if each]
    if said is None and named:
        said = named[0]
    if said is None:
        if home.name == "_data":
            raise BadInput(f"say --into DIR, or set {VARIABLE}: the shipped facts are not yours")
        said = home / "kb"
    if not said.is_dir():
        raise BadInput(f"{said}: no folder of facts is there")
    return said


def _desk(into: Path) -> Desk:
    from lugplane.check.one import Yardstick
    from lugplane.check.yardsticks import assumed, plausible, schemas
    from lugplane.data import data_folder, fact_folders
    from lugplane.draft.fields import Forms
    from lugplane.draft.new import Desk
    from lugplane.facts.store import checked_facts

    folders = [f for f in fact_folders() if f.resolve() != into.resolve()]
    parts = checked_facts([*folders, into], assumed()).parts
    by = Yardstick(plausible(), assumed(), date.today(), {})
    return Desk(parts, into, Forms(data_folder() / "schemas"), schemas(), by)
