"""Today at the terminal: what waits, and the way from a line of it to its command."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import show
from shopledger.cli.prompts import ask, confirm, lacking, tell
from shopledger.errors import RefusedError

if TYPE_CHECKING:
    from shopledger.ledger.today import Waiting


@click.command()
@click.option("--choose", is_flag=True, help="Choose a line by its number, and do it.")
@click.option(
    "--each", type=click.IntRange(1, 50), default=10, show_default=True, help="Show so many of a kind at most."
)
@as_json
@pass_run
def today(run: Run, choose: bool, each: int, as_json: bool) -> None:
    """See what waits, the most urgent first.

    Looking is noted for nobody, and stores nothing. On a terminal 'shopledger' alone shows it too, and lets you choose
    a line: its command is shown, asked about, and run.

    Example:
    shopledger today
    """
    from shopledger.cli.views.today import copies_fields, today_data, today_table
    from shopledger.desk.today import today as waiting

    if choose and not run.asks:
        lacking("A person at the terminal, who chooses,")
    found = waiting(run.desk(), each)
    show(as_json, today_data(found), today_table(found), copies_fields(found))
    if choose and found.rows:
        _choose(found.rows)


def _choose(rows: tuple[Waiting, ...]) -> None:
    """Ask for a line, show its command with all that it lacks, and run it after a yes."""
    from shopledger.cli.today_steps import step_of
    from shopledger.shell import typed

    def read(text: str) -> int:
        number = int(text) if text.strip().isdecimal() and text.isascii() else -1
        if not 0 <= number <= len(rows):
            raise RefusedError("number", f"'{text}'", f"the lines are 1 to {len(rows)}", "Type one, or Enter for none.")
        return number

    number = ask("Number of what to do (Enter for none)", lambda text: read(text or "0"), "")
    if not number:
        tell("All commands: 'shopledger --help'.")
        return
    words = step_of(rows[number - 1])
    tell(f"The command for it: {typed(('shopledger', *words))}")
    sys.stdout.flush()
    if confirm("Run it?", default=True):
        _run(words)


def _run(words: tuple[str, ...]) -> None:
    """Run a command of the program within this run, before the ledger that is open."""
    root = click.get_current_context().find_root()
    group = root.command
    if not isinstance(group, click.Group):
        return
    name, command, rest = group.resolve_command(root, [*words])
    if command is not None:
        with command.make_context(name, rest, parent=root) as own:
            command.invoke(own)
