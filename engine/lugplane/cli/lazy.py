"""A group whose commands are imported when they are called, not before."""

from __future__ import annotations

from importlib import import_module
from typing import Any, Final, NamedTuple

import click


class Lazy(NamedTuple):
    """A command by its name: `attribute` of `module`; `help` is its line in the group's help."""

    name: str
    module: str
    attribute: str
    help: str


class LazyGroup(click.Group):
    """A group of `Lazy` commands, in their order."""

    def __init__(self, *args: Any, lazy: tuple[Lazy, ...] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._lazy: Final = {each.name: each for each in lazy}

    def list_commands(self, ctx: click.Context) -> list[str]:
        return [*self._lazy, *super().list_commands(ctx)]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        named = self._lazy.get(cmd_name)
        if named is None:
            return super().get_command(ctx, cmd_name)
        command = getattr(import_module(named.module), named.attribute)
        assert isinstance(command, click.Command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        try:
            return super().resolve_command(ctx, args)
        except click.NoSuchCommand as error:
            # The group itself looks for close names only among the commands that are imported.
            known = self.list_commands(ctx)
            raise click.NoSuchCommand(error.command_name, possibilities=known, ctx=ctx) from None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        own = [(n, super(LazyGroup, self).get_command(ctx, n)) for n in super().list_commands(ctx)]
        rows = [(each.name, each.help) for each in self._lazy.values()]
        rows += [(n, c.get_short_help_str(80)) for n, c in own if c is not None]
        if rows:
            with formatter.section("Commands"):
                formatter.write_dl(rows)
