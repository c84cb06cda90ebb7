"""The command `car`: both axles of a car, stock beside proposed, with plots."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lugplane.cli.car_words import car_wanted
from lugplane.cli.options import facts_options, open_workshop, terminal
from lugplane.errors import BadInput

if TYPE_CHECKING:
    from lugplane.answers.car import CarAnswer
    from lugplane.answers.stops import StopList

_EXIT = {"bolts on": 0, "fits with work": 0, "does not fit": 1, "cannot tell": 3}

_HELP = """A car with both its axles: what it becomes beside stock.

Parts are named by their ids after --front and --rear, with commas or one by one; what is not named
is what the factory fitted."""


@click.command(help=_HELP)
@click.argument("platform")
@click.option("--front", multiple=True, metavar="PART,...", help="Parts of the front axle.")
@click.option("--rear", multiple=True, metavar="PART,...", help="Parts of the rear axle.")
@click.option("--adapter", is_flag=True, help="Allow an adapter plate between the lugs.")
@click.option(
    "--set",
    "set_",
    multiple=True,
    metavar="WHOSE.FACT=VALUE",
    help="What was measured on this car, as in front.disc.height_mm=50±0.1, "
    "rear.spacing_mm=5.0±0.1 or platform.gross_kg=1850; may be given more than once.",
)
@click.option(
    "--stops",
    type=click.Path(path_type=Path),
    metavar="FILE.yaml",
    help="A list of stops of your own to heat the discs over (schemas/asked/stops.json).",
)
@click.option(
    "--plots",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="DIR",
    help="Write the plots into this folder, as SVG.",
)
@click.option("--replace", is_flag=True, help="Write over plots that are there.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schemas/answers/car.json).")
@click.option("--markdown", "as_markdown", is_flag=True, help="Print Markdown.")
@facts_options
def car(
    platform: str,
    front: tuple[str, ...],
    rear: tuple[str, ...],
    adapter: bool,
    set_: tuple[str, ...],
    stops: Path | None,
    plots: Path | None,
    replace: bool,
    as_json: bool,
    as_markdown: bool,
    added: tuple[Path, ...],
    only_kb: Path | None,
) -> int:
    if as_json and as_markdown:
        raise BadInput("--json and --markdown: one of them")
    if replace and plots is None:
        raise BadInput("--replace belongs to --plots DIR")
    before, behind = tuple(_ids(front, "--front")), tuple(_ids(rear, "--rear"))
    wanted = car_wanted(platform, before, behind, set_, adapter)
    own = _stops(stops)
    if plots is not None:
        _check_folder(plots, own is not None, replace)
    from lugplane.answers.car import compare_cars
    from lugplane.render.car import car_json, car_markdown, car_text

    answer = compare_cars(open_workshop(added, only_kb), wanted, own)
    if plots is not None:
        _write(plots, answer, replace)
    if as_json:
        click.echo(car_json(answer))
    elif as_markdown:
        click.echo(car_markdown(answer))
    else:
        width, colour = terminal()
        click.echo(car_text(answer, width=width, colour=colour), color=colour)
        if plots is not None:
            click.echo(f"\nPlots: {plots}")
    return _EXIT[answer.verdict]


def _ids(given: tuple[str, ...], option: str) -> Iterable[str]:
    """Part ids, each option's by commas or blanks. Raises `BadInput` for an empty one."""
    for text in given:
        for id_ in text.split(","):
            if not id_.strip():
                raise BadInput(f"{option} '{text}': a part's id is missing; write PART,PART")
            yield from id_.split()


def _stops(path: Path | None) -> StopList | None:
    if path is None:
        return None
    from lugplane.answers.stops import read_stops

    return read_stops(path)


def _check_folder(folder: Path, own: bool, replace: bool) -> None:
    """Refuse what could not be written before anything is judged."""
    from lugplane.render.car_plots import plot_names

    there = [n for n in plot_names(own=own) if (folder / n).exists()]
    if there and not replace:
        raise BadInput(f"{folder / there[0]} is there already: name another folder, or --replace")


def _write(folder: Path, answer: CarAnswer, replace: bool) -> None:
    """Write all plots. Raises `BadInput`."""
    from lugplane.cli.files import write_whole
    from lugplane.render.car_plots import car_plots

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadInput(f"{folder} cannot be made: {error.strerror}") from error
    for name, svg in car_plots(answer).items():
        write_whole(folder / name, svg, replace=replace)
