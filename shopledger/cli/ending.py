"""How a run ends that did not end well: one line, an exit code, and what it stored by then."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Sequence
from typing import Final, TextIO

import click

from shopledger.errors import ShopledgerError, visible
from shopledger.files.refusals import refused_by_system

FAILED: Final = 1
USAGE: Final = 2
NO_LETTER: Final = "a byte that is no letter in UTF-8. Type it anew, or give the file another name."
TOO_LARGE: Final = "this takes more memory than the computer has left. Close other programs, or give less at once."
TOO_DEEP: Final = "what was given is nested too deep to be read. Look at its brackets."
BEFORE: Final = "shopledger.asked_before"
"""Under which click keeps that a question was asked before those of the command itself."""


class BackError(Exception):
    """The person wants to change the answer before."""


EXPECTED: Final = (
    ShopledgerError,
    click.ClickException,
    click.Abort,
    OSError,
    UnicodeError,
    MemoryError,
    RecursionError,
)
"""What a run may end with and be told; whatever else is raised is a bug and keeps its traceback."""


def ended(error: BaseException, ran: object, words: Sequence[str] = ()) -> int:
    """Say how a run ended, and give its exit code; `ran` knows what it stored, `words` are what was typed."""
    if isinstance(error, click.exceptions.NoArgsIsHelpError):
        error.show()
        return error.exit_code
    if isinstance(error, click.Abort):
        return _stopped(error, ran)
    if isinstance(error, OSError) and not isinstance(error, ShopledgerError):
        return _refused(error, ran)
    sentence, code = _sentence(error, words)
    return said(f"{sentence}{_also(ran)}", code)


def _sentence(error: BaseException, words: Sequence[str]) -> tuple[str, int]:
    if isinstance(error, ShopledgerError):
        return str(error), error.exit_code
    if isinstance(error, click.ClickException):
        return _in_full(error, words), error.exit_code
    if isinstance(error, UnicodeError):
        return f"what was typed or read holds {NO_LETTER}", USAGE
    return TOO_LARGE if isinstance(error, MemoryError) else TOO_DEEP, FAILED


def said(sentence: str, code: int) -> int:
    """Say an error on stderr in one line and give its exit code back."""
    with contextlib.suppress(OSError):
        click.echo(f"Error: {visible(' '.join(sentence.split()))}", err=True)
    return code


def refuse_bytes(words: Sequence[str]) -> None:
    """Refuse a word with a byte that is no letter: neither the ledger nor a paper could hold it."""
    for place, word in enumerate(words, start=1):
        if "\0" in word:
            message = f"Word {place} of the command holds a letter that no text may hold. Leave it out."
            raise click.UsageError(message)
        try:
            word.encode("utf-8")
        except UnicodeEncodeError:
            shown = word.encode("utf-8", "backslashreplace").decode("ascii", "replace")
            message = f"Word {place} of the command, '{shown[:60]}', holds {NO_LETTER}"
            raise click.UsageError(message) from None


def stored_by(ran: object) -> tuple[str, ...] | None:
    """Give what a run stored, by its numbers; None where it stored nothing."""
    stored: Sequence[tuple[str, ...]] = getattr(ran, "stored", ())
    return tuple(number for each in stored for number in each) if stored else None


def flush(stream: TextIO | None) -> None:
    """Let a stream write what it holds back; a closed one holds nothing."""
    if stream is not None and not stream.closed:
        stream.flush()


def let_go_of_output() -> None:
    """Throw away what no stream takes any more: Python would try once again at its end, and complain."""
    for stream in (sys.stdout, sys.stderr):
        if _fails(stream):
            with contextlib.suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _stopped(stop: click.Abort, ran: object) -> int:
    """Say what became of an interrupted command."""
    in_a_question = stop.__cause__ is None
    stored = stored_by(ran)
    if stored is None:
        # The cursor still stands behind the question.
        sentence = "\nNothing was stored." if in_a_question else "Stopped. Nothing was stored."
    elif stored:
        sentence = f"Stopped, but stored by then: {', '.join(stored)}."
    else:
        sentence = "Stopped, but it was stored by then."
    with contextlib.suppress(OSError):
        click.echo(visible(sentence, "\n"), err=True)
    return FAILED


def _refused(error: OSError, ran: object) -> int:
    """Say what the system refused: a reader who went away is none, output that finds no room is."""
    if isinstance(error, BrokenPipeError):
        return FAILED
    refusal = refused_by_system(error)
    if _arose_in_output(error) or _fails(sys.stdout):
        return said(f"what there is to show cannot be written: {refusal.reason}.{_also(ran)}", FAILED)
    return said(f"{refusal}{_also(ran)}", refusal.exit_code)


def _arose_in_output(error: OSError) -> bool:
    """Tell whether something was being shown; click shows everything."""
    last = error.__traceback__
    while last is not None and last.tb_next is not None:
        last = last.tb_next
    return last is not None and str(last.tb_frame.f_globals.get("__name__", "")).startswith("click.")


def _fails(stream: TextIO | None) -> bool:
    """Tell whether a stream holds what cannot be written."""
    try:
        flush(stream)
    except OSError:
        return True
    return False


def _also(ran: object) -> str:
    """Say what was stored before something failed; nothing where that has no number."""
    stored = stored_by(ran)
    return f" Stored before that: {', '.join(stored)}." if stored else ""


def _in_full(error: click.ClickException, words: Sequence[str]) -> str:
    """Give click's message; where it does not say itself what to type, say that or point to the command's help."""
    message = error.format_message()
    if not isinstance(error, click.UsageError) or error.ctx is None:
        return message
    from shopledger.cli.quoting import forgotten_quotes

    quoted = forgotten_quotes(error, words)
    if quoted or type(error) is click.BadParameter:
        return quoted or message
    meant = _commands_meant(error, words) if isinstance(error, click.NoSuchCommand) else _stands_before(error)
    return f"{meant or message} See '{error.ctx.command_path} --help'."


def _stands_before(error: click.UsageError) -> str:
    """Say of an option of the whole program that it stands before the command."""
    if error.ctx is None or not isinstance(error, click.NoSuchOption):
        return ""
    root = error.ctx.find_root()
    takes_value = {name for each in root.command.params if not getattr(each, "is_flag", False) for name in each.opts}
    if error.option_name not in takes_value:
        return ""
    below = error.ctx.command_path.removeprefix(f"{root.command_path} ")
    return f"{error.option_name} stands before the command: '{root.command_path} {error.option_name} VALUE {below}'."


def _commands_meant(error: click.NoSuchCommand, words: Sequence[str]) -> str:
    """Name the commands that may be meant, over all groups."""
    from shopledger.cli.nearest_commands import near_commands
    from shopledger.errors import listed

    root = None if error.ctx is None else error.ctx.find_root()
    if error.ctx is None or root is None or not isinstance(root.command, click.Group):
        return ""
    typed = [*words][[*words].index(error.command_name) :] if error.command_name in words else [error.command_name]
    near = near_commands(root.command, error.ctx, typed)
    said = listed([f"'{root.command_path} {each}'" for each in near])
    return f"No such command '{error.command_name}'. Did you mean {said}?" if near else ""
