"""The root group: imports a command only when it is asked for, and says what went wrong in one line."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple, TextIO

import click

from shopledger.errors import ShopledgerError

INTERRUPTED = 1
WIDTH = 80
"""Columns to use where the output is no terminal."""


class Place(NamedTuple):
    """Where a command lives, as `module:attribute`, and what its one line of help says."""

    where: str
    help: str


class ShopGroup(click.Group):
    """A group whose commands stand in a table, under headings, and are imported one at a time.

    The program's own errors become one line on stderr and their exit code; whatever else is raised is a bug and keeps
    its traceback.
    """

    def __init__(
        self,
        *,
        sections: Mapping[str, Mapping[str, Place]],
        former: Mapping[str, str] = MappingProxyType({}),
        **settings: Any,
    ) -> None:
        super().__init__(**settings)
        self.sections = sections
        self.former = former
        """Names that a command had before, which go on working and stand in no help."""
        self.places = {name: place for section in sections.values() for name, place in section.items()}

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """Give the names in the table's order."""
        return list(self.places)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - click's signature
        """Import the one module that holds the command."""
        place = self.places.get(self.former.get(cmd_name, cmd_name))
        if place is None:
            return None
        module, _, attribute = place.where.partition(":")
        command = getattr(importlib.import_module(module), attribute)
        return _with_examples(command) if isinstance(command, click.Command) else None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, or suggest the nearest name; click would look among imported commands only."""
        name = args[0]
        if name not in self.places and name not in self.former and not name.startswith("-"):
            raise click.exceptions.NoSuchCommand(name, possibilities=self.places, ctx=ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - click's signature
        """Write the commands under their headings, from the table alone."""
        widest = max(map(len, self.places))
        for heading, places in self.sections.items():
            with formatter.section(heading):
                formatter.write_dl([(name.ljust(widest), place.help) for name, place in places.items()])

    def main(self, *args: Any, standalone_mode: bool = True, **extra: Any) -> Any:
        """Run, and turn what the user can put right into a line and an exit code."""
        if not standalone_mode:
            return super().main(*args, standalone_mode=False, **extra)  # type: ignore[call-overload]
        try:
            code = super().main(*args, standalone_mode=False, **extra)  # type: ignore[call-overload]
        except ShopledgerError as error:
            code = said(str(error), error.exit_code)
        except click.exceptions.NoArgsIsHelpError as error:
            error.show()
            code = error.exit_code
        except click.ClickException as error:
            code = said(_in_full(error), error.exit_code)
        except click.Abort as stop:
            code = _stopped(stop)
        sys.exit(code if isinstance(code, int) else 0)


def said(sentence: str, code: int) -> int:
    """Say an error on stderr in one line and give its exit code back."""
    click.echo(f"Error: {' '.join(sentence.split())}", err=True)
    return code


def columns(stream: TextIO | None) -> int:
    """Say how many letters a line of a stream's terminal has; eighty where it is none."""
    told = os.environ.get("COLUMNS", "")
    if told.isascii() and told.isdigit() and int(told):
        return int(told)
    try:
        return os.get_terminal_size(stream.fileno()).columns or WIDTH if stream else WIDTH
    except (OSError, ValueError):
        return WIDTH


def plain_terminal() -> bool:
    """Tell whether the user asked for text without colour or other effects (NO_COLOR, TERM=dumb)."""
    return bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"


def _with_examples(command: click.Command) -> click.Command:
    """Let the examples in the help of a command, and of all below it, keep their lines.

    A docstring spells the sign for that in two letters, since it may hold no control character.
    """
    command.help = (command.help or "").replace("\\b\n", "\b\n") or None
    for below in command.commands.values() if isinstance(command, click.Group) else ():
        _with_examples(below)
    return command


def _in_full(error: click.ClickException) -> str:
    """Give click's message; where it does not say itself what to type, point to the command's help."""
    message = error.format_message()
    if isinstance(error, click.UsageError) and error.ctx is not None and type(error) is not click.BadParameter:
        return f"{message} See '{error.ctx.command_path} --help'."
    return message


def _stopped(stop: click.Abort) -> int:
    """Say what became of an interrupted command: questions are asked before anything is stored."""
    in_a_question = stop.__cause__ is None
    # The cursor still stands behind the question.
    stored = "\nNothing was stored." if in_a_question else "Stopped. Look whether it was stored before typing it again."
    click.echo(stored, err=True)
    return INTERRUPTED
