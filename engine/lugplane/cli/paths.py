"""The command `paths`: the ways up from stock, listed, told step by step, drawn."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lugplane.cli.options import facts_options, open_workshop, terminal
from lugplane.errors import BadInput

if TYPE_CHECKING:
    from lugplane.answers.paths import Mapped, Question

_EXIT = {"reached": 0, "in doubt": 3, "not reached": 1}
_AIMS = ("steps", "parts", "price")
_SCHEMES = ("http", "https", "file")
_DRAWN = (".svg", ".png", ".dot")

_HELP = """The ways up from stock: what single changes of parts lead to.

PLATFORM [front|rear]: every setup of the axle that may be driven as it stands, best first, with
the way to it. Parts after --to are those that are to be reached: then the ways are told step by
step."""


@click.command(help=_HELP)
@click.argument("words", nargs=-1, required=True, metavar="PLATFORM [front|rear]")
@click.option(
    "--to",
    multiple=True,
    metavar="PART...",
    help="Ways to a setup with these parts; families are taken too.",
)
@click.option(
    "--through",
    multiple=True,
    metavar="PART",
    help="Only ways that pass a setup with this part; may be given more than once.",
)
@click.option(
    "--reuse",
    multiple=True,
    metavar="PART",
    help="A part at hand, which costs nothing; may be given more than once.",
)
@click.option(
    "--by",
    "aim",
    type=click.Choice(_AIMS),
    help="Fewest steps, fewest parts bought, or cheapest. Without it steps, and with --to all.",
)
@click.option(
    "--at-once",
    is_flag=True,
    help="Change several kinds of parts at one go where single changes lead no further. Where "
    "they lead nowhere at all this is done unasked.",
)
@click.option("--doubtful", is_flag=True, help="List the setups one step on that cannot be told.")
@click.option("--all", "whole", is_flag=True, help="Tell every setup in full.")
@click.option("--adapters", is_flag=True, help="Allow an adapter plate between the lugs.")
@click.option(
    "--draw",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Write a map: FILE.svg, FILE.png or FILE.dot.",
)
@click.option("--links", "base", metavar="BASE", help="Link each setup of the map to its sheet.")
@click.option("--replace", is_flag=True, help="Write over a map that is there.")
@click.option("--csv", "as_csv", is_flag=True, help="Print CSV.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schemas/answers/paths.json).")
@facts_options
def paths(
    words: tuple[str, ...],
    to: tuple[str, ...],
    through: tuple[str, ...],
    reuse: tuple[str, ...],
    aim: str | None,
    at_once: bool,
    doubtful: bool,
    whole: bool,
    adapters: bool,
    draw: Path | None,
    base: str | None,
    replace: bool,
    as_csv: bool,
    as_json: bool,
    added: tuple[Path, ...],
    only_kb: Path | None,
) -> int:
    if as_csv and as_json:
        raise BadInput("--csv and --json: one of them")
    question = _question(words, to)
    _check_drawing(draw, base, replace)
    from dataclasses import replace as with_

    from lugplane.answers.survey import paths as find
    from lugplane.cli.progress import progress

    question = with_(
        question,
        through=through,
        reuse=reuse,
        aim=aim or "",
        at_once=at_once,
        doubtful=doubtful,
        adapters=adapters,
    )
    workshop = open_workshop(added, only_kb)
    with progress("judging") as tell:
        mapped = find(workshop, question, progress=tell)
    if draw is not None:
        from lugplane.cli.files import write_whole
        from lugplane.render.map import drawn

        write_whole(draw, drawn(mapped, draw.suffix[1:].lower(), base or ""), replace=replace)
    _print(mapped, as_csv, as_json, whole)
    if draw is not None and not (as_csv or as_json):
        click.echo(f"\nMap: {draw}")
    target = mapped.paths.target
    return 0 if target is None else _EXIT[target.state]


def _question(words: tuple[str, ...], to: tuple[str, ...]) -> Question:
    """Platform and axle; words after them belong to `--to`."""
    from lugplane.answers.paths import Question

    platform, *rest = words
    axle = "front"
    if rest and rest[0] in ("front", "rear"):
        axle, *rest = rest
    if rest and not to:
        raise BadInput(
            f"'{rest[0]}': say front or rear, or name parts with --to, --through, --reuse"
        )
    if {"front", "rear"} & {*rest, *to}:
        raise BadInput("the axle stands after the platform: front or rear, one of them")
    return Question(platform, axle, (*to, *rest))


def _check_drawing(draw: Path | None, base: str | None, replace: bool) -> None:
    """Refuse what cannot be drawn before anything is judged."""
    if draw is None:
        if base is not None or replace:
            raise BadInput("--links and --replace belong to --draw FILE")
        return
    if draw.suffix.lower() not in _DRAWN:
        raise BadInput(f"--draw {draw}: write {', '.join(f'FILE{s}' for s in _DRAWN)}")
    if draw.exists() and not replace:
        raise BadInput(f"{draw} is there already: name another file, or say --replace")
    scheme = re.match(r"\s*([^/?#]*?):", base or "")
    if scheme and scheme[1].lower() not in _SCHEMES:
        raise BadInput(f"--links {base}: an address ({', '.join(_SCHEMES)}) or a path")


def _print(mapped: Mapped, as_csv: bool, as_json: bool, whole: bool) -> None:
    from lugplane.render.ways import paths_csv, paths_json, paths_text

    if as_csv:
        click.echo(paths_csv(mapped))
    elif as_json:
        click.echo(paths_json(mapped))
    else:
        width, colour = terminal()
        click.echo(paths_text(mapped, width=width, colour=colour, whole=whole), color=colour)
