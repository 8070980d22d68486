"""What holds for every command: no text that may not be kept, no number out of bounds, a yes for a day long ago.

Commands declare plain text and whole numbers; each is made strict here as the command is imported, so that none is
forgotten. A command with the day of a deed gets `--accept` where it has none, for the day's own warning.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Any
from weakref import WeakSet

import click

from shopledger.cli.params import COMING_DAY, DAY, Typed
from shopledger.typed.numbers import read_whole

if TYPE_CHECKING:
    from datetime import date

    from click.shell_completion import CompletionItem

    from shopledger.cli.context import Run

ACCEPT_HELP = "Say yes to the warning with this code; may be given again."


_GUARDED: WeakSet[click.Command] = WeakSet()
"""The commands that were made strict; each is looked up again with every run in the same process."""


def guarded(command: click.Command) -> click.Command:
    """Make a command strict, and all below it, once."""
    if command in _GUARDED:
        return command
    _GUARDED.add(command)
    if isinstance(command, click.Group):
        for below in command.commands.values():
            guarded(below)
        return command
    for param in command.params:
        param.type = _strict(param.type)
    if command.callback is not None and any(_is_deeds_day(param) for param in command.params):
        _ask_about_day(command, command.callback)
    return command


def _strict(kind: click.ParamType[Any, Any]) -> click.ParamType[Any, Any]:
    """Give the kind that refuses what the declared one lets pass."""
    if type(kind) is type(click.STRING):
        return TEXT
    if type(kind) is type(click.INT):
        return WHOLE
    if type(kind) is click.IntRange:
        return _Between(kind)
    return _Place(kind) if type(kind) is click.Path else kind


class _Text(click.ParamType[str, str]):
    """A line of text as it was typed, unless it holds what is kept nowhere or cannot be seen."""

    name = "text"

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:  # noqa: ARG002 - click's signature
        """Refuse it as the ledger would, which is no mistake in how the command is typed."""
        from shopledger.ledger.text import refuse_private, refuse_unseen

        field = (param.name or "text").replace("_", " ") if param is not None else "text"
        refuse_unseen(field, " ".join(value.split()))
        refuse_private(field, value)
        return value

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem[str]]:
        """Give what the ledger knows of that."""
        from shopledger.cli.completing import known

        return known(ctx, param, incomplete)


TEXT = _Text()
"""A line of text."""
WHOLE = Typed("integer", read_whole)
"""A whole number."""


class _Between(click.IntRange):
    """A whole number between bounds."""

    def __init__(self, declared: click.IntRange) -> None:
        vars(self).update(vars(declared))

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Read the digits as everywhere, then look at the bounds."""
        found: int = super().convert(WHOLE.convert(value, param, ctx), param, ctx)
        return found


class _Place(click.Path):
    """A path, which no system takes with an end of text in it."""

    def __init__(self, declared: click.Path) -> None:
        vars(self).update(vars(declared))

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Refuse the one character that is in no path."""
        if "\0" in os.fsdecode(value):
            self.fail("A path holds no character U+0000. Type it again without it.", param, ctx)
        return super().convert(value, param, ctx)


def _is_deeds_day(param: click.Parameter) -> bool:
    return param.type in (DAY, COMING_DAY) and param.name == "day"


def _ask_about_day(command: click.Command, callback: Callable[..., Any]) -> None:
    """Ask for a yes where the day of a deed lies long ago, before the deed looks at anything else."""
    has_accept = any(param.name == "accept" for param in command.params)
    if not has_accept:
        added = click.Option(["--accept"], metavar="CODE", multiple=True, help=ACCEPT_HELP)
        added.type = TEXT
        command.params.append(added)

    @wraps(callback)
    def called(*args: Any, **values: Any) -> Any:
        from shopledger.cli.context import Run

        ctx = click.get_current_context()
        run = ctx.find_object(Run)
        words: tuple[str, ...] = values.pop("accept")
        if run is not None:
            words = _settled(run, values.get("day"), words, from_file=bool(_file_of(ctx)))
        if has_accept:
            values["accept"] = words
        elif words:
            from shopledger.desk.refusals import UnaskedError

            raise UnaskedError(words, ())
        return callback(*args, **values)

    command.callback = called


def _file_of(ctx: click.Context) -> object:
    """Give the file that the deed is read from, which may hold a day of its own."""
    return next((ctx.params[param.name] for param in ctx.command.params if param.name and "--from" in param.opts), None)


def _settled(run: Run, day: date | None, words: tuple[str, ...], *, from_file: bool) -> tuple[str, ...]:
    """Take the yes to a day long ago out of the words, asking for it at a terminal; give the other words."""
    from shopledger.cli.prompts import confirm, tell
    from shopledger.desk.context import long_ago
    from shopledger.desk.refusals import UnaskedError
    from shopledger.ledger.limits import DAY_LONG_AGO

    finding = None if day is None else long_ago(day, run.today)
    said = DAY_LONG_AGO in words
    if finding is None and said and not from_file:
        raise UnaskedError((DAY_LONG_AGO,), ())
    if finding is not None and not said and run.asks:
        tell(f"Warning: {finding.sentence} [{finding.code}]")
        if not confirm("Is it meant so?"):
            raise click.Abort
        said = True
    run.long_ago_is_meant = run.long_ago_is_meant or said
    return tuple(word for word in words if word != DAY_LONG_AGO)
