"""The root group: imports a command only when it is asked for, and says what went wrong in one line."""

from __future__ import annotations

import contextlib
import importlib
import os
import sys
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple, TextIO

import click

from shopledger.cli.ending import BEFORE, EXPECTED, BackError, ended, flush, let_go_of_output, refuse_bytes, stored_by
from shopledger.errors import visible
from shopledger.files.refusals import TakenError

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from shopledger.cli.missing import Completed

VARIABLE = "_SHOPLEDGER_COMPLETE"
"""By which a shell asks for what may be typed, as click names it for this program."""
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
        alone: Sequence[str] = (),
        **settings: Any,
    ) -> None:
        super().__init__(**settings)
        self.sections = sections
        self.former = former
        """Names that a command had before, which go on working and stand in no help."""
        self.alone = alone
        """The words that are run where none are typed and somebody sits at a terminal."""
        self.places = {name: place for section in sections.values() for name, place in section.items()}
        self._ran: Any = None

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
        return _guarded(_with_examples(command)) if isinstance(command, click.Command) else None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, or suggest the nearest name; click would look among imported commands only."""
        name = args[0]
        if name not in self.places and name not in self.former and not (name.startswith("-") or ctx.resilient_parsing):
            raise click.exceptions.NoSuchCommand(name, ctx=ctx)
        return super().resolve_command(ctx, args)

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read the options before the command; whoever asks for the version is told it, with no command."""
        rest = super().parse_args(ctx, args or self._alone(ctx))
        if ctx.params.pop("version", False) and not ctx.resilient_parsing:
            from shopledger.cli.version import say_version

            say_version(ctx.params["ledger"])
            ctx.exit()
        if not ctx._protected_args:  # noqa: SLF001 - where click keeps the command's name
            ctx._protected_args, ctx.args = [*self._alone(ctx)[:1]], [*self._alone(ctx)[1:]]  # noqa: SLF001 - as above
        return rest

    def _alone(self, ctx: click.Context) -> list[str]:
        """Give what is run where no command is named: nothing away from a terminal, where the help is shown."""
        asks = getattr(ctx.obj, "can_ask", sys.stdin.isatty)
        return [*self.alone] if self.alone and not ctx.resilient_parsing and asks() else []

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - click's signature
        """Write the commands under their headings, from the table alone."""
        widest = max(map(len, self.places))
        for heading, places in self.sections.items():
            with formatter.section(heading):
                formatter.write_dl([(name.ljust(widest), place.help) for name, place in places.items()])

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem[str]]:
        """Give the commands that begin so from the table, importing none; and the options."""
        from click.shell_completion import CompletionItem

        named = [
            CompletionItem(name, help=each.help) for name, each in self.places.items() if name.startswith(incomplete)
        ]
        return [*named, *click.Command.shell_complete(self, ctx, incomplete)]

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; what it lacks and what it would write over is asked where somebody sits, and it runs anew.

        Nothing is stored by then: what a deed refuses is refused before it is stored.
        """
        line, around = Line(ctx), ctx.obj
        with contextlib.ExitStack() as allowed:
            while True:
                line.put()
                ctx.obj = around
                try:
                    return super().invoke(ctx)
                except (TakenError, click.UsageError, BackError) as error:
                    if not getattr(ctx.obj, "asks", False) or stored_by(ctx.obj):
                        if isinstance(error, BackError):
                            # What is stored cannot be gone back behind.
                            raise click.Abort from None
                        raise
                    line.settle(error, allowed)
                finally:
                    self._ran = ctx.obj

    def main(self, args: Sequence[str] | None = None, *rest: Any, standalone_mode: bool = True, **extra: Any) -> Any:
        """Run, and turn what the user can put right into a line and an exit code."""
        if not standalone_mode:
            return super().main(args, *rest, standalone_mode=False, **extra)  # type: ignore[call-overload]
        self._ran = None
        try:
            refuse_bytes(sys.argv[1:] if args is None else args)
            code = super().main(args, *rest, standalone_mode=False, **extra)  # type: ignore[call-overload]
            flush(sys.stdout)
        except Exception as error:
            if VARIABLE in os.environ:
                # A shell asked what may be typed, in the middle of a line: whatever failed, there is nothing to say.
                code = 1
            elif not isinstance(error, EXPECTED):
                raise
            else:
                code = ended(error, self._ran, sys.argv[1:] if args is None else args)
        let_go_of_output()
        sys.exit(code if isinstance(code, int) else 0)


class Line:
    """What was typed behind the options of the program, to be run again with what was asked for beside it."""

    def __init__(self, ctx: click.Context) -> None:
        self.ctx = ctx
        self.given = [*ctx._protected_args, *ctx.args]  # noqa: SLF001 - click takes them away as it reads them
        self.completed: Completed | None = None

    def put(self) -> None:
        """Give click the whole line again."""
        words = self.given if self.completed is None else self.completed.words
        self.ctx._protected_args, self.ctx.args = list(words[:1]), list(words[1:])  # noqa: SLF001 - as above

    def settle(self, error: TakenError | click.UsageError | BackError, allowed: contextlib.ExitStack) -> None:
        """Ask for what stopped the command, so that it can run anew; raise the error where nothing can be asked."""
        if isinstance(error, TakenError):
            self._may_replace(error, allowed)
            return
        from shopledger.cli.missing import Completed
        from shopledger.cli.prompts import LackingError

        completed = self.completed = self.completed or Completed(self.given)
        run = self.ctx.obj
        if isinstance(error, click.MissingParameter | LackingError):
            try:
                completed.ask_for(error, run)
            except BackError:
                completed.go_back()
        elif isinstance(error, BackError):
            completed.go_back()
        else:
            raise error
        self.ctx.meta[BEFORE] = bool(completed.asked)
        run.close()

    @staticmethod
    def _may_replace(taken: TakenError, allowed: contextlib.ExitStack) -> None:
        if not click.confirm(f"{visible(taken.short)} Write over it?", err=True):
            raise click.Abort from None
        from shopledger.files.replacing import replacing

        allowed.enter_context(replacing(taken.target))


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
    """Show the examples in the help of a command, and of all below it, as they are typed here."""
    from shopledger.cli.examples import with_examples

    command.help = with_examples(command.help or "") or None
    for below in command.commands.values() if isinstance(command, click.Group) else ():
        _with_examples(below)
    return command


def _guarded(command: click.Command) -> click.Command:
    # Imported with the first command, since the help of the program itself needs none of its rules.
    from shopledger.cli.guarding import guarded

    return guarded(command)
