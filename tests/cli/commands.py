"""Every command of the program, found in the program itself, with what each takes."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import click

from shopledger.cli.main import shop


@cache
def leaves() -> tuple[tuple[tuple[str, ...], click.Command], ...]:
    """Give each command that does something, with the words that name it."""
    return tuple(_below(shop, (), click.Context(shop)))


def _below(
    command: click.Command, path: tuple[str, ...], ctx: click.Context
) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    if not isinstance(command, click.Group):
        yield path, command
        return
    for name in command.list_commands(ctx):
        found = command.get_command(ctx, name)
        assert found is not None
        yield from _below(found, (*path, name), ctx)
