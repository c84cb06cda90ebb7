"""The commands that give lists: `fits`, `takes`, `same`. Each exits 0, whatever it lists."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from lugplane.cli.options import F, facts_options, open_workshop, terminal
from lugplane.errors import BadInput


def list_options(name: str) -> Callable[[F], F]:
    """`--csv` and `--json`, and the facts to use."""

    def add(function: F) -> F:
        function = click.option(
            "--json", "as_json", is_flag=True, help=f"Print JSON (schemas/answers/{name}.json)."
        )(function)
        function = click.option("--csv", "as_csv", is_flag=True, help="Print CSV.")(function)
        return facts_options(function)

    return add


@click.command(short_help="What fits an axle, best first.")
@click.argument("platform")
@click.argument("axle", default="front", metavar="[front|rear]")
@click.option("--wheel", metavar="ID", help="Look at this wheel instead of the factory's.")
@click.option(
    "--with",
    "with_",
    multiple=True,
    metavar="PART",
    help="Only with this part or family; may be given more than once.",
)
@click.option(
    "--verdict",
    "verdicts",
    multiple=True,
    metavar="WORD",
    help="Only bolts-on, fits-with-work, cannot-tell or does-not-fit; may be given more than once.",
)
@click.option("--adapters", is_flag=True, help="Allow an adapter plate between the lugs.")
@click.option("--all", "whole", is_flag=True, help="List what does not fit, too.")
@list_options("fits")
def fits(
    platform: str,
    axle: str,
    wheel: str | None,
    with_: tuple[str, ...],
    verdicts: tuple[str, ...],
    adapters: bool,
    whole: bool,
    as_csv: bool,
    as_json: bool,
    added: tuple[Path, ...],
    only_kb: Path | None,
) -> int:
    """Every combination of caliper, disc and pad for an axle, judged, best first."""
    from lugplane.answers.fits import asked_verdicts
    from lugplane.answers.fits import fits as judge
    from lugplane.cli.progress import progress
    from lugplane.render.tables_fits import fits_csv, fits_json, fits_text

    _one_form(as_csv, as_json)
    asked = asked_verdicts(verdicts)
    if not verdicts and not whole:
        asked = asked_verdicts([v for v in asked if v != "does not fit"])
    workshop = open_workshop(added, only_kb)
    with progress("judging") as tell:
        found = judge(
            workshop,
            platform,
            axle,
            wheel=wheel,
            with_=with_,
            verdicts=asked,
            adapters=adapters,
            progress=tell,
        )
    if as_csv:
        click.echo(fits_csv(found))
    elif as_json:
        click.echo(fits_json(found))
    else:
        width, colour = terminal()
        named = whole or bool(verdicts)
        click.echo(fits_text(found, width=width, colour=colour, whole=named), color=colour)
    return 0


def _one_form(as_csv: bool, as_json: bool) -> None:
    if as_csv and as_json:
        raise BadInput("--csv and --json: one of them")


@click.command(short_help="Which cars take a part.")
@click.argument("part")
@click.option("--all", "whole", is_flag=True, help="List the axles where it does not fit, too.")
@list_options("takes")
def takes(
    part: str,
    whole: bool,
    as_csv: bool,
    as_json: bool,
    added: tuple[Path, ...],
    only_kb: Path | None,
) -> int:
    """Every axle that takes a caliper, carrier, disc, pad or wheel, each with the best setup."""
    from lugplane.answers.takes import takes as judge
    from lugplane.cli.progress import progress
    from lugplane.render.tables_takes import takes_csv, takes_json, takes_text

    _one_form(as_csv, as_json)
    workshop = open_workshop(added, only_kb)
    with progress("axles") as tell:
        found = judge(workshop, part, whole=whole, progress=tell)
    if as_csv:
        click.echo(takes_csv(found))
    elif as_json:
        click.echo(takes_json(found))
    else:
        width, colour = terminal()
        click.echo(takes_text(found, width=width, colour=colour, whole=whole), color=colour)
    return 0


@click.command(short_help="Which parts are the same for a purpose.")
@click.argument("part")
@list_options("same")
def same(
    part: str, as_csv: bool, as_json: bool, added: tuple[Path, ...], only_kb: Path | None
) -> int:
    """Parts whose facts agree within their ±: same ears, hub, pad shape, wheel seat."""
    from lugplane.answers.same import same as compare
    from lugplane.render.tables_same import same_csv, same_json, same_text

    _one_form(as_csv, as_json)
    found = compare(open_workshop(added, only_kb), part)
    if as_csv:
        click.echo(same_csv(found))
    elif as_json:
        click.echo(same_json(found))
    else:
        width, colour = terminal()
        click.echo(same_text(found, width=width, colour=colour), color=colour)
    return 0
