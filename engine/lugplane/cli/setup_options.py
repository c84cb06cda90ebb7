"""What commands share that ask about one setup: its words, `--set` and the like."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from lugplane.cli.options import F, facts_options
from lugplane.errors import BadInput

if TYPE_CHECKING:
    from lugplane.setup.assemble import Wanted

SETUP_HELP = """PLATFORM [front|rear] [PART]...: parts by their ids, in any order; what is not
named is what the factory fitted, and with no part at all the stock setup is judged."""


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


def typed(
    words: tuple[str, ...],
    set_: tuple[str, ...] = (),
    adapter: bool = False,
    wheel_spacer: float = 0.0,
    **facts: Any,
) -> tuple[str, ...]:
    """A setup as it is typed again; `facts` are the folders of facts, left to whoever types."""
    return (
        *words,
        *(f"--set '{text}'" for text in set_),
        *(["--adapter"] if adapter else ()),
        *([f"--wheel-spacer {wheel_spacer:g}"] if wheel_spacer else ()),
    )


def wanted_of(
    words: tuple[str, ...], set_: tuple[str, ...], adapter: bool, wheel_spacer: float
) -> Wanted:
    """The setup that the options ask for. Raises `BadInput`."""
    from lugplane.setup.assemble import Wanted

    platform, *rest = words
    axles = [w for w in rest if w in ("front", "rear")]
    if len(axles) > 1:
        raise BadInput("one axle a sheet: front or rear")
    if not 0 <= wheel_spacer < 100:
        raise BadInput(f"--wheel-spacer {wheel_spacer:g}: a thickness in mm, 0 to 100")
    return Wanted(
        platform,
        axles[0] if axles else "front",
        tuple(w for w in rest if w not in ("front", "rear")),
        set_,
        adapter,
        wheel_spacer,
    )
