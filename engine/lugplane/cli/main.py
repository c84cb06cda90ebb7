"""`lugplane`: commands are verbs; exit 0 fits, 1 does not fit, 3 cannot tell, 2 bad input."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path

import click

from lugplane import __version__
from lugplane.cli.lazy import Lazy, LazyGroup
from lugplane.cli.terminal import not_written, reader_gone
from lugplane.errors import BadInput, LugplaneError

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
    stdout = sys.stdout
    try:
        code = commands.main(prog_name="lugplane", standalone_mode=False, obj=tuple(sys.argv[1:]))
    except SystemExit:
        if sys.stdout is stdout:
            raise
        # click ends a command whose reader has gone, with a code that means another thing here.
        code = reader_gone()
    except click.exceptions.Abort:
        code = 130
    except click.ClickException as error:
        code = _say(error.format_message() + _hint(error))
    except BadInput as error:
        code = _say(str(error))
    except LugplaneError as error:
        code = _say(*str(error).split("\n"))
    except Exception as error:
        said = _outside(error)
        if said is None and os.environ.get("LUGPLANE_DEBUG"):
            raise
        code = _say(
            said
            or f"a defect of ours: {type(error).__name__}: {error} (LUGPLANE_DEBUG=1 shows where)"
        )
    sys.exit(code or 0)


def _outside(error: Exception) -> str | None:
    """What to say of an error that comes from where the command runs; None: it is a defect."""
    if isinstance(error, (OSError, UnicodeEncodeError)) and _on_output(error):
        return not_written(error)
    if isinstance(error, FileNotFoundError):
        try:
            Path.cwd()
        except FileNotFoundError:
            return "the current folder is not there any more: go to another one"
    return None


def _on_output(error: Exception) -> bool:
    """Whether it was met in printing: every answer is printed, and flushed, by `click.echo`."""
    at = error.__traceback__
    while at is not None:
        if at.tb_frame.f_code is click.echo.__code__:
            return True
        at = at.tb_next
    return False


def _hint(error: click.ClickException) -> str:
    """Where the ids are that a missing argument asks for."""
    if not isinstance(error, click.MissingParameter) or error.param is None:
        return ""
    asked = error.param.human_readable_name
    if asked.startswith("PLATFORM"):
        return " `lugplane facts show platform` lists them."
    return " `lugplane facts show` lists what there is." if asked.startswith("PART") else ""


def _say(*lines: str) -> int:
    """Print lines that quote what was typed or read: nothing of it may act on the terminal."""
    from lugplane.facts.show import plain

    # Where not even this can be written the exit code still tells.
    with suppress(OSError):
        click.echo("lugplane: " + "\n".join(map(plain, lines)), err=True)
    return 2


if __name__ == "__main__":
    main()
