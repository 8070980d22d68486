"""The help of every command, and the table of all of them, for the written documents."""

from __future__ import annotations

from collections.abc import Iterator

import click

from shopledger.cli.main import SECTIONS, shop

WIDTH = 80


def contexts(
    command: click.Command = shop, name: str = "shopledger", above: click.Context | None = None
) -> Iterator[click.Context]:
    """Walk over a command and all commands below it, in the order of the help."""
    settings = {**command.context_settings, "terminal_width": WIDTH, "max_content_width": WIDTH}
    with click.Context(command, info_name=name, parent=above, **settings) as ctx:
        yield ctx
        if isinstance(command, click.Group):
            for below in command.list_commands(ctx):
                found = command.get_command(ctx, below)
                if found is not None and not found.hidden:
                    yield from contexts(found, below, ctx)


def reference() -> Iterator[tuple[str, str]]:
    """Give each command as it is typed, with its help."""
    for ctx in contexts():
        yield ctx.command_path, ctx.get_help()


def command_table() -> Iterator[str]:
    """Give a table of all commands with what each does, under the headings of the help, as lines of Markdown."""
    said = [ctx for ctx in contexts() if not isinstance(ctx.command, click.Group)]
    for section, nouns in SECTIONS.items():
        yield from (f"**{section}**", "", "| command | what it does |", "|---|---|")
        for ctx in said:
            if ctx.command_path.split()[1] in nouns:
                yield f"| `{ctx.command_path}` | {ctx.command.get_short_help_str(200)} |"
        yield ""
