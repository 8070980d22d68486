"""The root group: imports a command only when it is asked for, and says what went wrong in one line."""

from __future__ import annotations

import contextlib
import importlib
import os
import sys
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any, NamedTuple, TextIO

import click

from shopledger.errors import ShopledgerError, visible
from shopledger.files.refusals import TakenError, refused_by_system

INTERRUPTED = 1
USAGE = 2
NO_LETTER = "a byte that is no letter in UTF-8. Type it anew, or give the file another name."
_TOO_MUCH: Mapping[type[BaseException], str] = MappingProxyType(
    {
        MemoryError: "this takes more memory than the computer has left. Close other programs, or give less at once.",
        RecursionError: "what was given is nested too deep to be read. Look at its brackets.",
    }
)
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
        if name not in self.places and name not in self.former and not name.startswith("-"):
            raise click.exceptions.NoSuchCommand(name, possibilities=self.places, ctx=ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - click's signature
        """Write the commands under their headings, from the table alone."""
        widest = max(map(len, self.places))
        for heading, places in self.sections.items():
            with formatter.section(heading):
                formatter.write_dl([(name.ljust(widest), place.help) for name, place in places.items()])

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; where a file of somebody else's is in its way and somebody can be asked, ask and run anew.

        Nothing is stored by then: what a deed refuses is refused before it is stored.
        """
        given, around = (ctx._protected_args, ctx.args), ctx.obj  # noqa: SLF001 - click takes them away as it reads them
        with contextlib.ExitStack() as allowed:
            while True:
                ctx._protected_args, ctx.args = (list(words) for words in given)  # noqa: SLF001 - as above
                ctx.obj = around
                try:
                    return super().invoke(ctx)
                except TakenError as taken:
                    if not getattr(ctx.obj, "asks", False) or _stored(ctx.obj):
                        raise
                    if not click.confirm(f"{visible(taken.short)} Write over it?", err=True):
                        raise click.Abort from None
                    from shopledger.files.replacing import replacing

                    allowed.enter_context(replacing(taken.target))
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
            _flush(sys.stdout)
        except ShopledgerError as error:
            code = said(f"{error}{_also(self._ran)}", error.exit_code)
        except click.exceptions.NoArgsIsHelpError as error:
            error.show()
            code = error.exit_code
        except click.ClickException as error:
            code = said(_in_full(error), error.exit_code)
        except click.Abort as stop:
            code = _stopped(stop, self._ran)
        except OSError as error:
            code = _refused(error, self._ran)
        except UnicodeError:
            code = said(f"what was typed or read holds {NO_LETTER}{_also(self._ran)}", USAGE)
        except (MemoryError, RecursionError) as error:
            code = said(f"{_TOO_MUCH[type(error)]}{_also(self._ran)}", 1)
        _let_go_of_output()
        sys.exit(code if isinstance(code, int) else 0)


def refuse_bytes(words: Sequence[str]) -> None:
    """Refuse a word with a byte that is no letter: neither the ledger nor a paper could hold it."""
    for place, word in enumerate(words, start=1):
        try:
            if "\0" in word:
                message = f"Word {place} of the command holds a letter that no text may hold. Leave it out."
                raise click.UsageError(message)
            word.encode("utf-8")
        except UnicodeEncodeError:
            shown = word.encode("utf-8", "backslashreplace").decode("ascii", "replace")
            message = f"Word {place} of the command, '{shown[:60]}', holds {NO_LETTER}"
            raise click.UsageError(message) from None


def said(sentence: str, code: int) -> int:
    """Say an error on stderr in one line and give its exit code back."""
    with contextlib.suppress(OSError):
        click.echo(f"Error: {visible(' '.join(sentence.split()))}", err=True)
    return code


def _refused(error: OSError, ran: object) -> int:
    """Say what the system refused: a reader who went away is none, output that finds no room is."""
    if isinstance(error, BrokenPipeError):
        return 1
    refusal = refused_by_system(error)
    if _arose_in_output(error) or _fails(sys.stdout):
        return said(f"what there is to show cannot be written: {refusal.reason}.{_also(ran)}", 1)
    return said(f"{refusal}{_also(ran)}", refusal.exit_code)


def _arose_in_output(error: OSError) -> bool:
    """Tell whether something was being shown; click shows everything."""
    last = error.__traceback__
    while last is not None and last.tb_next is not None:
        last = last.tb_next
    return last is not None and str(last.tb_frame.f_globals.get("__name__", "")).startswith("click.")


def _flush(stream: TextIO | None) -> None:
    if stream is not None and not stream.closed:
        stream.flush()


def _fails(stream: TextIO | None) -> bool:
    """Tell whether a stream holds what cannot be written."""
    try:
        _flush(stream)
    except OSError:
        return True
    return False


def _let_go_of_output() -> None:
    """Throw away what no stream takes any more: Python would try once again at its end, and complain."""
    for stream in (sys.stdout, sys.stderr):
        if _fails(stream):
            with contextlib.suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _stored(ran: object) -> tuple[str, ...] | None:
    """Give what a run stored, by its numbers; None where it stored nothing."""
    stored: Sequence[tuple[str, ...]] = getattr(ran, "stored", ())
    return tuple(number for each in stored for number in each) if stored else None


def _also(ran: object) -> str:
    """Say what was stored before something failed; nothing where that has no number."""
    stored = _stored(ran)
    return f" Stored before that: {', '.join(stored)}." if stored else ""


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


def _guarded(command: click.Command) -> click.Command:
    # Imported with the first command, since the help of the program itself needs none of its rules.
    from shopledger.cli.guarding import guarded

    return guarded(command)


def _in_full(error: click.ClickException) -> str:
    """Give click's message; where it does not say itself what to type, point to the command's help."""
    message = error.format_message()
    if isinstance(error, click.UsageError) and error.ctx is not None and type(error) is not click.BadParameter:
        return f"{message} See '{error.ctx.command_path} --help'."
    return message


def _stopped(stop: click.Abort, ran: object) -> int:
    """Say what became of an interrupted command."""
    in_a_question = stop.__cause__ is None
    stored = _stored(ran)
    if stored is None:
        # The cursor still stands behind the question.
        sentence = "\nNothing was stored." if in_a_question else "Stopped. Nothing was stored."
    elif stored:
        sentence = f"Stopped, but stored by then: {', '.join(stored)}."
    else:
        sentence = "Stopped, but it was stored by then."
    with contextlib.suppress(OSError):
        click.echo(visible(sentence, "\n"), err=True)
    return INTERRUPTED
