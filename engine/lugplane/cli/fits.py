"""The commands that give lists: `fits`, `takes`, `same`. Each exits 0, whatever it lists."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lugplane.cli.options import F, chosen_folders, facts_options, open_workshop, terminal
from lugplane.cli.terminal import told_by
from lugplane.errors import BadInput

if TYPE_CHECKING:
    from lugplane.answers.fits_list import Fits
    from lugplane.facts.ground import Ground


def say(
    question: Sequence[object],
    added: tuple[Path, ...],
    only_kb: Path | None,
    /,
    *,
    make: Callable[[Ground | None], str],
) -> int:
    """Print what `make` gives, or what it gave when all was as it is now.

    `question` is everything that was asked, besides the facts to use. `make` works out on the
    ground that it is given (`facts.again.said_on_ground`).
    """
    from lugplane.facts.again import said_on_ground

    typed = click.get_current_context().find_root().obj
    words = typed if isinstance(typed, tuple) else tuple(repr(word) for word in question)
    text = said_on_ground(chosen_folders(added, only_kb), told_by(words), make)
    click.echo(text, color=terminal()[1])
    return 0


def _worked_out(make: Callable[[], str]) -> Callable[[Ground | None], str]:
    from lugplane.facts.ground import worked_out

    return lambda ground: worked_out(ground, make)


def list_options(name: str) -> Callable[[F], F]:
    """`--csv` and `--json`, and the facts to use."""

    def add(function: F) -> F:
        function = click.option(
            "--json", "as_json", is_flag=True, help=f"Print JSON (schemas/answers/{name}.json)."
        )(function)
        function = click.option("--csv", "as_csv", is_flag=True, help="Print CSV.")(function)
        return facts_options(function)

    return add


@click.command()
@click.argument("platform")
@click.argument("axle", default="front", metavar="[front|rear]")
@click.option(
    "--wheel",
    metavar="ID|INCHES",
    help="Look at this wheel, or at all of this rim diameter, instead of the factory's.",
)
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
    _one_form(as_csv, as_json)
    narrowed = wheel is not None or bool(with_ or verdicts or adapters or whole)

    def judge() -> Fits:
        from lugplane.answers.fit import Memo
        from lugplane.answers.fits import asked_verdicts
        from lugplane.answers.fits import fits as judge
        from lugplane.answers.kept import Kept
        from lugplane.cli.progress import progress

        asked = asked_verdicts(verdicts)
        if not verdicts and not whole:
            asked = asked_verdicts([v for v in asked if v != "does not fit"])
        workshop = open_workshop(added, only_kb)
        kept = Kept(workshop, Memo())
        with progress("judging") as tell:
            return judge(
                workshop,
                platform,
                axle,
                wheel=wheel,
                with_=with_,
                verdicts=asked,
                adapters=adapters,
                fold=not (verdicts or whole),
                kept=kept,
                progress=tell,
            )

    def make(ground: Ground | None) -> str:
        from lugplane.answers.fits_told import fits_told
        from lugplane.cli.told import in_words, question_of

        question = None if narrowed else question_of(platform, axle)
        found = fits_told(ground, question, judge)
        return in_words(found, as_csv, as_json, whole or bool(verdicts))

    question = ("fits", platform, axle, wheel, with_, verdicts, adapters, whole, as_csv, as_json)
    return say(question, added, only_kb, make=make)


def _one_form(as_csv: bool, as_json: bool) -> None:
    if as_csv and as_json:
        raise BadInput("--csv and --json: one of them")


@click.command()
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
    _one_form(as_csv, as_json)

    def make() -> str:
        from lugplane.answers.fit import Memo
        from lugplane.answers.kept import Kept
        from lugplane.answers.takes import takes as judge
        from lugplane.cli.progress import progress
        from lugplane.render.tables_takes import takes_csv, takes_json, takes_text

        workshop = open_workshop(added, only_kb)
        kept = Kept(workshop, Memo())
        with progress("axles") as tell:
            found = judge(workshop, part, whole=whole, kept=kept, progress=tell)
        if as_csv:
            return takes_csv(found)
        if as_json:
            return takes_json(found)
        width, colour = terminal()
        return takes_text(found, width=width, colour=colour, whole=whole)

    question = ("takes", part, whole, as_csv, as_json)
    return say(question, added, only_kb, make=_worked_out(make))


@click.command()
@click.argument("part")
@list_options("same")
def same(
    part: str, as_csv: bool, as_json: bool, added: tuple[Path, ...], only_kb: Path | None
) -> int:
    """Parts whose facts agree within their ±: same ears, hub, pad shape, wheel seat."""
    _one_form(as_csv, as_json)

    def make() -> str:
        from lugplane.answers.same import same as compare
        from lugplane.render.tables_same import same_csv, same_json, same_text

        found = compare(open_workshop(added, only_kb), part)
        if as_csv:
            return same_csv(found)
        if as_json:
            return same_json(found)
        width, colour = terminal()
        return same_text(found, width=width, colour=colour)

    return say(("same", part, as_csv, as_json), added, only_kb, make=_worked_out(make))
