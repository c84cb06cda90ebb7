"""The group `facts`: what a shop does with facts themselves. One line a command."""

from __future__ import annotations

import click

from lugplane.cli.lazy import Lazy, LazyGroup

_COMMANDS = (
    Lazy("new", "lugplane.cli.facts_new", "new", "Write a new record to fill in."),
    Lazy("check", "lugplane.cli.facts_check", "check", "Every problem of every file, at once."),
    Lazy("changes", "lugplane.cli.facts_changes", "changes", "What a change of facts changes."),
    Lazy("ready", "lugplane.cli.facts_ready", "ready", "Judge the lists of cars beforehand."),
    Lazy("show", "lugplane.cli.facts_show", "show", "A record as known, and who relies on it."),
)


@click.group(cls=LazyGroup, lazy=_COMMANDS)
def facts() -> None:
    """Facts: add them and check them."""
