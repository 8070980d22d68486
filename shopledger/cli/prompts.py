"""Questions to the person at the terminal: each answer checked as it is typed, `back` goes to the one before.

Nothing is ever asked where nobody can answer; there the option that is missing is named instead.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from operator import attrgetter
from typing import TYPE_CHECKING, Any, NamedTuple, NoReturn, Protocol, Self, TypeVar

import click

from shopledger.cli.context import Run
from shopledger.errors import RefusedError, ShopledgerError, listed, visible

if TYPE_CHECKING:
    from shopledger.optics.findings import Finding

A = TypeVar("A", bound="Answered")
T = TypeVar("T")

BACK = "back"
"""What is typed to return to the question before."""

DRY_RUN = "Nothing was stored: this was a dry run."


class BackError(Exception):
    """The person wants to change the answer before."""


class Answered(Protocol):
    """A value that can be given with answers in the place of what was not typed."""

    def but(self, **values: object) -> Self:
        """Give the same with other values."""


class Question(NamedTuple):
    """One answer that a command needs: which field of its options it fills, the option, the words, how it is read."""

    name: str
    """The field; one of a set inside is named with it, as in `address.city`."""
    option: str
    words: str
    read: Callable[[str], Any]
    optional: bool = False
    """Whether an empty answer means none."""


def fill(run: Run, given: A, questions: Sequence[Question]) -> A:
    """Ask in turn for what the options lack; where nobody can answer, name the first option that is missing.

    Nothing is asked when every needed value was given, so that a full command line runs without a stop.
    """
    missing = [question for question in questions if attrgetter(question.name)(given) is None]
    needed = [question for question in missing if not question.optional]
    if not needed:
        return given
    if not run.asks:
        lacking(needed[0].option)
    answers: dict[str, Any] = {}
    in_turn([partial(_answer, answers, question) for question in missing])
    return _with_answers(given, answers)


def lacking(option: str) -> NoReturn:
    """Refuse to go on without an option."""
    message = f"{option} is missing. Give it, or run this on a terminal to be asked."
    raise click.UsageError(message, click.get_current_context(silent=True))


def _answer(answers: dict[str, Any], question: Question) -> None:
    if question.optional:
        read = question.read
        words = f"{question.words} (Enter for none)"
        answers[question.name] = ask(words, lambda text: read(text) if text.strip() else None, "")
    else:
        answers[question.name] = ask(question.words, question.read)


def _with_answers(given: A, answers: Mapping[str, Any]) -> A:
    """Put answers in the place of what was not given, those of a set of options inside in that set."""
    here = {name: value for name, value in answers.items() if "." not in name}
    inside: dict[str, dict[str, Any]] = {}
    for name, value in answers.items():
        if "." in name:
            outer, _, inner = name.partition(".")
            inside.setdefault(outer, {})[inner] = value
    for outer, found in inside.items():
        here[outer] = _with_answers(getattr(given, outer), found)
    return given.but(**here)


def ask(label: str, read: Callable[[str], T], default: str | None = None) -> T:
    """Ask until the answer can be read; what is wrong with one is said at once."""

    def checked(text: str) -> T:
        if text.strip().casefold() == BACK:
            raise BackError
        try:
            return read(text)
        except ShopledgerError as error:
            meant = meant_of(error)
            if meant is not None:
                return checked(meant)
            raise click.UsageError(visible(str(error))) from error

    # A default that could steer the terminal is shown by us, since click would send it as it is.
    steers = default is not None and visible(default) != default
    label = f"{visible(label)} [{visible(default or '')}]" if steers else visible(label)
    shows = bool(default) and not steers
    answer: T = click.prompt(label, default=default, show_default=shows, value_proc=checked, err=True)
    return answer


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
    return click.confirm(visible(question), default=default, err=True)


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


def in_turn(steps: Sequence[Callable[[], None]]) -> None:
    """Take the steps one after another; one that is answered with `back` gives way to the one before."""
    place = 0
    while place < len(steps):
        try:
            steps[place]()
        except BackError:
            place = max(0, place - 1)
        else:
            place += 1


def tell(sentence: str) -> None:
    """Say something to the person, beside the data."""
    click.echo(visible(sentence, "\n"), err=True)
