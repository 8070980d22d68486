"""Questions to the person at the terminal: each answer checked as it is typed, `back` goes to the one before.

Nothing is ever asked where nobody can answer; there the option that is missing is named instead.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NoReturn, TypeVar

import click

from shopledger.cli.context import Run
from shopledger.cli.ending import BackError
from shopledger.cli.lists import Listing, Row, listing, named_by_number, page, parts_of
from shopledger.errors import RefusedError, ShopledgerError, UnknownNameError, listed, visible

if TYPE_CHECKING:
    from shopledger.optics.findings import Finding

T = TypeVar("T")

BACK = "back"
"""What is typed to return to the question before."""

HELP = "?"
"""What is typed to see what can be answered, with a part of a name behind it to see fewer."""
NEW = "new"
"""What is typed to add what is not there yet."""
ANYTHING = "Anything in a line of text; it is kept as it is typed."

FIRST = "This is the first question; Ctrl-C leaves."

DRY_RUN = "Nothing was stored: this was a dry run."


class LackingError(click.UsageError):
    """A command cannot go on without an option or an argument, which is asked for on a terminal."""

    def __init__(self, option: str, message: str) -> None:
        super().__init__(message, click.get_current_context(silent=True))
        self.option = option


def lacking(option: str, message: str = "") -> NoReturn:
    """Refuse to go on without an option; on a terminal it is asked for, and the command is run with it."""
    raise LackingError(option, message or f"{option} is missing. Give it, or run this on a terminal to be asked.")


def ask(
    label: str,
    read: Callable[[str], T],
    default: str | None = None,
    *,
    of: Listing | None = None,
    hint: str = "",
) -> T:
    """Ask until the answer can be read; what is wrong with one is said at once.

    `?` shows the list that it is picked from, or the hint; a part of a code or name of that list picks.
    """
    label, shows = _labelled(label if of is None or of.add is None else f"{label}, or {NEW}", default)
    shown = _Shown(of, hint)
    while True:
        text: str = click.prompt(label, default=default, show_default=shows, value_proc=str, err=True)
        word = text.strip().casefold()
        if word == BACK:
            raise BackError
        if word.startswith(HELP):
            shown.show(text.strip()[len(HELP) :])
            continue
        try:
            return _read(_settled(of, text), read, of)
        except _AnewError:
            continue
        except click.UsageError as error:
            click.echo(f"Error: {error.message}", err=True)


def _labelled(label: str, default: str | None) -> tuple[str, bool]:
    """Give a label as it is shown, and whether click shows the default behind it."""
    # A default that could steer the terminal is shown by us, since click would send it as it is.
    steers = default is not None and visible(default) != default
    label = f"{visible(label)} [{visible(default or '')}]" if steers else visible(label)
    return label, bool(default) and not steers


def _read(text: str, read: Callable[[str], T], of: Listing | None) -> T:
    try:
        return read(text)
    except UnknownNameError as error:
        if of is None:
            raise click.UsageError(visible(str(error))) from error
        hint = f"Type {HELP} for the list" + (f", or {NEW} to add one." if of.add else ".")
        raise click.UsageError(visible(str(UnknownNameError(error.kind, error.given, error.near, hint)))) from error
    except ShopledgerError as error:
        meant = meant_of(error)
        if meant is not None:
            return _read(meant, read, of)
        raise click.UsageError(visible(str(error))) from error


class _AnewError(Exception):
    """The same question is asked again: what was begun in its place was left with `back`."""


@dataclass(slots=True)
class _Shown:
    """How far the list of a question was shown."""

    of: Listing | None
    hint: str
    rows: Sequence[Row] = ()
    until: int = 0

    def show(self, text: str) -> None:
        """Show the list, its next page when asked again, or those that hold a text."""
        if self.of is None:
            tell(f"  {self.hint or ANYTHING}")
            return
        if text.strip() or self.until >= len(self.rows):
            self.rows, self.until = self.of.rows(text.strip()), 0
        found = page(self.rows, self.until)
        self.until = found.shown
        for line in found.lines or (f"  There is no {self.of.kind} yet." if not text.strip() else "  None fits.",):
            tell(line)
        if found.shown < found.total:
            tell(f"  {found.shown} of {found.total}; {HELP} again for more, {HELP} with a part of one to narrow it.")


def _settled(of: Listing | None, text: str) -> str:
    """Put what is meant in the place of a part of it; what fits nothing is left to the reader to refuse."""
    if of is None or not text.strip():
        return text
    if text.strip().casefold() == NEW and of.add is not None:
        try:
            return of.add()
        except BackError:
            raise _AnewError from None
    whole = of.fitting(text)
    if not of.many or len(whole) == 1:
        return _one(of, text.strip(), whole)
    return "".join(
        f"{_one(of, code, of.fitting(code)) if code and code.casefold() not in of.beside else code}{rest}"
        for code, rest in parts_of(text)
    )


def _one(of: Listing, text: str, found: Sequence[Row]) -> str:
    if not found:
        return text
    row = found[0] if len(found) == 1 else _chosen(of, text, found)
    if row.code.casefold() != text.casefold():
        tell(f"  {row.code} {row.said}".rstrip())
    return row.code


def _chosen(of: Listing, text: str, found: Sequence[Row]) -> Row:
    """Let one of several be chosen by its number, or by more of its name."""
    numbers = named_by_number(found)
    tell(f"  '{text}' fits {len(found)}:")
    shown = page(found, numbered=not numbers)
    for line in shown.lines:
        tell(line)
    if shown.shown < shown.total:
        tell(f"  {shown.total - shown.shown} more; type more of the name.")
    places = {row.code if numbers else str(place): row for place, row in enumerate(found, start=1)}

    def read(typed: str) -> Row:
        wanted = typed.strip()
        if wanted in places:
            return places[wanted]
        fitting = listing(of.kind, found).fitting(wanted) if wanted else ()
        if len(fitting) == 1:
            return fitting[0]
        raise RefusedError(of.kind, f"'{wanted}'", "it is one of the list", "Type its number, or more of its name.")

    try:
        return ask("Which of them, by number", read, hint="A number of the list above, or more of a name.")
    except BackError:
        raise _AnewError from None


def meant_of(error: ShopledgerError) -> str | None:
    """Ask which number is meant where one may have lost its point; give the line with it, None for another error."""
    from shopledger.optics.refusals import PointMissingError

    if not isinstance(error, PointMissingError):
        return None
    lines = dict(zip(error.numbers, error.lines, strict=True))

    def read(text: str) -> str:
        typed = text.strip().lstrip("+-")
        found = [line for number, line in lines.items() if typed == number.lstrip("+-")]
        if not found:
            raise RefusedError("number", f"'{text.strip()}'", f"it is {listed(error.numbers)}", "Type one of them.")
        return found[0]

    return ask(f"'{error.text}' has no decimal point: {listed(error.numbers)}", read)


def confirm(question: str, *, default: bool = False) -> bool:
    """Ask for a yes or a no."""
    words = {"y": True, "yes": True, "n": False, "no": False}

    def read(text: str) -> bool:
        if text.strip().casefold() not in words:
            raise RefusedError("answer", f"'{text.strip()}'", "it is y or n", "Type y or n.")
        return words[text.strip().casefold()]

    return ask(f"{question} (y/n)", read, "y" if default else "n", hint="y for yes, n for no.")


def only_asked(findings: Iterable[Finding], accept: Iterable[str]) -> None:
    """Refuse a yes to what no warning of this command asks, in a dry run too."""
    from shopledger.desk.refusals import refuse_unasked

    refuse_unasked(findings, accept)


def accepted(run: Run, findings: Iterable[Finding], accept: Iterable[str]) -> frozenset[str]:
    """Give the codes of warnings said yes to; a no ends the command before anything is stored.

    Where nobody can be asked, or an error stops the command anyway, the desk refuses with its own sentence.
    """
    from shopledger.desk.refusals import unaccepted

    met, said_yes = tuple(findings), frozenset(accept)
    only_asked(met, said_yes)
    if not run.asks or any(finding.stops for finding in met):
        return said_yes
    for finding in unaccepted(met, said_yes):
        tell(f"Warning: {finding.sentence} [{finding.code}]")
        if not confirm("Is it meant so?"):
            raise click.Abort
        said_yes |= {finding.code}
    return said_yes


def agreed(findings: Iterable[Finding]) -> frozenset[str]:
    """Give the codes of warnings said yes to; a no leads back into the questions, as an error does at once."""
    from shopledger.desk.refusals import FindingsRefusedError, unaccepted

    met = tuple(findings)
    errors = tuple(finding for finding in met if finding.stops)
    if errors:
        raise FindingsRefusedError(errors)
    said_yes: frozenset[str] = frozenset()
    for finding in unaccepted(met, said_yes):
        tell(f"Warning: {finding.sentence} [{finding.code}]")
        if not confirm("Is it meant so? No leads back."):
            raise BackError
        said_yes |= {finding.code}
    return said_yes


def tell(sentence: str) -> None:
    """Say something to the person, beside the data."""
    click.echo(visible(sentence, "\n"), err=True)
