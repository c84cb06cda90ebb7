"""The command `ask`: what to measure so that a setup which cannot be told is settled."""

from __future__ import annotations

from pathlib import Path

import click

from lugplane.cli.options import open_workshop, terminal
from lugplane.cli.setup_options import SETUP_HELP, setup_options, wanted_of
from lugplane.errors import BadInput


@click.command(
    help="The fewest measurements that settle what is in doubt, how well they must be taken, and "
    f"how. Exit 3: there is something to measure.\n\n{SETUP_HELP}",
)
@setup_options
@click.option("--message", is_flag=True, help="Print a plain message to send to a customer.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schemas/answers/ask.json).")
def ask(
    words: tuple[str, ...],
    message: bool,
    as_json: bool,
    set_: tuple[str, ...],
    adapter: bool,
    wheel_spacer: float,
    added: tuple[Path, ...],
    only_kb: Path | None,
) -> int:
    if message and as_json:
        raise BadInput("--message and --json: one of them")
    wanted = wanted_of(words, set_, adapter, wheel_spacer)
    from lugplane.answers.ask import ask as find

    asked = find(open_workshop(added, only_kb), wanted)
    width, colour = terminal()
    if as_json:
        from lugplane.render.ask import ask_json

        click.echo(ask_json(asked))
    elif message:
        from lugplane.render.ask_message import message_text

        click.echo(message_text(asked, width=width))
    else:
        from lugplane.render.ask import ask_text

        click.echo(ask_text(asked, width=width, colour=colour), color=colour)
    return 3 if asked.asks else 0
