"""`lugplane`: commands are verbs; exit 0 fits, 1 does not fit, 3 cannot tell, 2 bad input."""

from __future__ import annotations

import os
import sys

import click

from lugplane import __version__
from lugplane.cli.lazy import Lazy, LazyGroup
from lugplane.errors import LugplaneError

_COMMANDS = (
    Lazy("ask", "lugplane.cli.ask", "ask", "What to measure where it cannot be told."),
    Lazy("car", "lugplane.cli.car", "car", "Both axles of a car, stock beside proposed."),
    Lazy("facts", "lugplane.cli.facts", "facts", "Add facts, and check them."),
    Lazy("fits", "lugplane.cli.fits", "fits", "What fits an axle, best first."),
    Lazy("paths", "lugplane.cli.paths", "paths", "The ways up from stock, step by step."),
    Lazy("same", "lugplane.cli.fits", "same", "Which parts are the same for a purpose."),
    Lazy("sheet", "lugplane.cli.sheet", "sheet", "The fit sheet of one setup."),
    Lazy("takes", "lugplane.cli.fits", "takes", "Which cars take a part."),
    Lazy("trial", "lugplane.cli.trial", "trial", "Trials: what was put together and measured."),
    Lazy("why", "lugplane.cli.sheet", "why", "Why a check came out as it did, down to the facts."),
)


@click.group(
    cls=LazyGroup,
    lazy=_COMMANDS,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)
@click.version_option(__version__, prog_name="lugplane")
def commands() -> None:
    """Will these used brake parts fit this car, and what does it take?"""


def main() -> None:
    """Run a command; every error the user can meet is one message and exit 2."""
    try:
        code = commands.main(prog_name="lugplane", standalone_mode=False, obj=tuple(sys.argv[1:]))
        sys.stdout.flush()
    except click.exceptions.Abort:
        code = 130
    except click.ClickException as error:
        code = _say(error.format_message() + _hint(error))
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


def _hint(error: click.ClickException) -> str:
    """Where the ids are that a missing argument asks for."""
    if not isinstance(error, click.MissingParameter) or error.param is None:
        return ""
    asked = error.param.human_readable_name
    if asked.startswith("PLATFORM"):
        return " `lugplane facts show platform` lists them."
    return " `lugplane facts show` lists what there is." if asked.startswith("PART") else ""


def _say(text: str) -> int:
    click.echo(f"lugplane: {text}", err=True)
    return 2


if __name__ == "__main__":
    main()
