"""Completion with the tab key: the script that a shell reads, and the line that switches it on."""

from __future__ import annotations

from typing import Final

import click
from click.shell_completion import get_completion_class

from shopledger.cli.group import VARIABLE

SWITCHED_ON_BY: Final = {
    "bash": ('eval "$(shopledger completion bash)"', "~/.bashrc"),
    "zsh": ('eval "$(shopledger completion zsh)"', "~/.zshrc, after compinit"),
    "fish": ("shopledger completion fish | source", "~/.config/fish/completions/shopledger.fish"),
    "powershell": (
        "shopledger completion powershell | Out-String | Invoke-Expression",
        "the file that $PROFILE names",
    ),
}
"""For each shell the line, and the file in which it stands."""


@click.command()
@click.argument("shell", type=click.Choice(tuple(SWITCHED_ON_BY)))
def completion(shell: str) -> None:
    """Print what lets a shell complete words with the tab key.

    Commands, options and their words are completed, codes of goods, and people by their number or a word of their name.
    The last line of what is printed says which line switches it on, and in which file that stands. The ledger is only
    looked into, and never brought up to date.

    Example:
    shopledger completion bash
    """
    made = get_completion_class(shell)
    if made is None:  # pragma: no cover - every shell that may be typed has one
        raise click.UsageError(shell)
    line, file = SWITCHED_ON_BY[shell]
    root = click.get_current_context().find_root().command
    click.echo(made(root, {}, "shopledger", VARIABLE).source().rstrip())
    click.echo(f"# To switch it on, put this line into {file}: {line}")
