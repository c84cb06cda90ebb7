"""The commands about one setup: `sheet`, and `why` a check came out as it did."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from lugplane.cli.options import open_workshop, terminal
from lugplane.cli.setup_options import SETUP_HELP, setup_options, typed, wanted_of
from lugplane.errors import BadInput

EXIT = {"bolts on": 0, "fits with work": 0, "does not fit": 1, "cannot tell": 3}

_SHEET_HELP = f"""The fit sheet.

{SETUP_HELP}

PLATFORM front [PART]... rear [PART]...: the sheets of both axles, the car judged with both."""


@click.command(help=_SHEET_HELP)
@setup_options
@click.option(
    "--json",
    "as_json",
    is_flag=True,
    help="Print JSON (schemas/answers/sheet.json or sheets.json).",
)
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
    from lugplane.cli.car_words import names_both

    if names_both(words):
        return _both(words, as_json, as_markdown, drawing, **asked)
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
        if worst(judged.sheet) == "cannot tell":
            from lugplane.render.ask import hint_text

            click.echo("\n" + hint_text(typed(words, **asked), width=width))
    if drawing is not None and not as_json:
        click.echo(f"\nSection drawing: {drawing}")
    return EXIT[worst(judged.sheet)]


@click.command(
    help=f"The proof of one check, or why there is none.\n\n{SETUP_HELP}",
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


def _both(
    words: tuple[str, ...],
    as_json: bool,
    as_markdown: bool,
    drawing: Path | None,
    set_: tuple[str, ...],
    adapter: bool,
    wheel_spacer: float,
    added: tuple[Path, ...],
    only_kb: Path | None,
) -> int:
    """The sheets of both axles."""
    if drawing is not None:
        raise BadInput("--drawing: one axle a drawing, front or rear")
    from lugplane.cli.car_words import both_wanted

    wanted = both_wanted(words, set_, adapter, wheel_spacer)
    from lugplane.answers.both import both_sheets
    from lugplane.render.car_sheets import sheets_json, sheets_markdown, sheets_text

    sheets = both_sheets(open_workshop(added, only_kb), wanted)
    if as_json:
        click.echo(sheets_json(sheets))
    elif as_markdown:
        click.echo(sheets_markdown(sheets))
    else:
        width, colour = terminal()
        click.echo(sheets_text(sheets, width=width, colour=colour), color=colour)
    return EXIT[sheets.verdict]


def _judge(
    words: tuple[str, ...],
    set_: tuple[str, ...],
    adapter: bool,
    wheel_spacer: float,
    added: tuple[Path, ...],
    only_kb: Path | None,
) -> Any:
    wanted = wanted_of(words, set_, adapter, wheel_spacer)
    return open_workshop(added, only_kb).judge(wanted)
