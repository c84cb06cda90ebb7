"""`lugplane`: commands are verbs; exit 0 fits, 1 does not fit, 3 cannot tell, 2 bad input."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

import click

from lugplane import __version__
from lugplane.cli import fits as lists
from lugplane.cli.options import F, facts_options, open_workshop, terminal
from lugplane.cli.paths import paths
from lugplane.errors import BadInput, LugplaneError

EXIT = {"bolts on": 0, "fits with work": 0, "does not fit": 1, "cannot tell": 3}

_SETUP_HELP = """PLATFORM [front|rear] [PART]...: parts by their ids, in any order; what is not
named is what the factory fitted, and with no part at all the stock setup is judged."""


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(__version__, prog_name="lugplane")
def commands() -> None:
    """Will these used brake parts fit this car, and what does it take?"""


for command in (lists.fits, lists.takes, lists.same, paths):
    commands.add_command(command)


def setup_options(function: F) -> F:
    """What belongs to the setup that is asked about."""
    for option in (
        click.argument("words", nargs=-1, required=True, metavar="PLATFORM [front|rear] [PART]..."),
        click.option(
            "--wheel-spacer",
            type=float,
            default=0.0,
            metavar="MM",
            help="Wheel spacer of this thickness.",
        ),
        click.option("--adapter", is_flag=True, help="Allow an adapter plate between the lugs."),
        click.option(
            "--set",
            "set_",
            multiple=True,
            metavar="FACT=VALUE",
            help="What was measured on this car, as in disc.height_mm=50±0.1 or "
            "spacing_mm=5.0±0.1; may be given more than once.",
        ),
    ):
        function = option(function)
    return facts_options(function)


@commands.command(short_help="The fit sheet of one setup.", help=f"The fit sheet.\n\n{_SETUP_HELP}")
@setup_options
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schemas/answers/sheet.json).")
@click.option("--markdown", "as_markdown", is_flag=True, help="Print Markdown.")
@click.option(
    "--drawing",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.svg",
    help="Write the section drawing, to scale.",
)
@click.option(
    "--scale",
    type=click.Choice(["1:1", "1:2"]),
    default="1:2",
    show_default=True,
    help="Scale of the drawing on paper; 1:2 mostly fits A4, 1:1 wants A3.",
)
@click.option("--replace", is_flag=True, help="Write over a drawing that is there.")
def sheet(
    words: tuple[str, ...],
    as_json: bool,
    as_markdown: bool,
    drawing: Path | None,
    scale: str,
    replace: bool,
    **asked: Any,
) -> int:
    from lugplane.answers.sheet import worst

    if as_json and as_markdown:
        raise BadInput("--json and --markdown: one of them")
    judged = _judge(words, **asked)
    if drawing is not None:
        from lugplane.cli.files import write_whole
        from lugplane.render.drawing.section import section_svg

        write_whole(
            drawing, section_svg(judged, scale=1.0 if scale == "1:1" else 0.5), replace=replace
        )
    if as_json:
        from lugplane.render.plain_json import sheet_json

        click.echo(sheet_json(judged.sheet))
    elif as_markdown:
        from lugplane.render.markdown import sheet_markdown

        click.echo(sheet_markdown(judged.sheet))
    else:
        from lugplane.render.text import sheet_text

        width, colour = terminal()
        click.echo(sheet_text(judged.sheet, width=width, colour=colour), color=colour)
    if drawing is not None and not as_json:
        click.echo(f"\nSection drawing: {drawing}")
    return EXIT[worst(judged.sheet)]


@commands.command(
    short_help="Why a check came out as it did, down to the facts.",
    help=f"The proof of one check, or why there is none.\n\n{_SETUP_HELP}",
)
@click.argument("check")
@setup_options
@click.option("--json", "as_json", is_flag=True, help="Print the check's row as JSON.")
def why(check: str, words: tuple[str, ...], as_json: bool, **asked: Any) -> int:
    judged = _judge(words, **asked)
    names = [row.check for row in judged.sheet.rows]
    if check not in names:
        import difflib

        near = difflib.get_close_matches(check, names, n=3, cutoff=0.4)
        raise BadInput(
            f"there is no check '{check}'; "
            + (f"close to it: {', '.join(near)}" if near else f"checks: {', '.join(names)}")
        )
    if as_json:
        from lugplane.render.plain_json import row_json

        click.echo(row_json(judged, check))
    else:
        from lugplane.render.proof import why_text

        click.echo(why_text(judged, check, width=terminal()[0]))
    return 0


def _judge(
    words: tuple[str, ...],
    set_: tuple[str, ...],
    adapter: bool,
    wheel_spacer: float,
    added: tuple[Path, ...],
    only_kb: Path | None,
) -> Any:
    from lugplane.setup.assemble import Wanted

    platform, *rest = words
    axles = [w for w in rest if w in ("front", "rear")]
    if len(axles) > 1:
        raise BadInput("one axle a sheet: front or rear")
    if not 0 <= wheel_spacer < 100:
        raise BadInput(f"--wheel-spacer {wheel_spacer:g}: a thickness in mm, 0 to 100")
    wanted = Wanted(
        platform,
        axles[0] if axles else "front",
        tuple(w for w in rest if w not in ("front", "rear")),
        set_,
        adapter,
        wheel_spacer,
    )
    return open_workshop(added, only_kb).judge(wanted)


def main() -> None:
    """Run a command; every error the user can meet is one message and exit 2."""
    try:
        code = commands.main(prog_name="lugplane", standalone_mode=False)
        sys.stdout.flush()
    except click.exceptions.Abort:
        code = 130
    except click.ClickException as error:
        code = _say(error.format_message())
    except LugplaneError as error:
        code = _say(str(error))
    except BrokenPipeError:
        # The reader has gone (head, a pager): nothing more to say, and no complaint at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = 141
    except Exception as error:
        if os.environ.get("LUGPLANE_DEBUG"):
            raise
        code = _say(
            f"a defect of ours: {type(error).__name__}: {error} (LUGPLANE_DEBUG=1 shows where)"
        )
    sys.exit(code or 0)


def _say(text: str) -> int:
    click.echo(f"lugplane: {text}", err=True)
    return 2


if __name__ == "__main__":
    main()
