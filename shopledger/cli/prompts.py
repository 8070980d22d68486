"""Questions to the person at the terminal: each answer checked as it is typed, `back` goes to the one before.

Nothing is ever asked where nobody can answer; there the option that is missing is named instead.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, NoReturn, TypeVar

import click

from shopledger.cli.context import Run
from shopledger.errors import ShopledgerError

T = TypeVar("T")

BACK = "back"
"""What is typed to return to the question before."""


class BackError(Exception):
    """The person wants to change the answer before."""


@dataclass(frozen=True, slots=True)
class Question:
    """One answer that a command needs: its name among the options, the option, the words, and how it is read."""

    name: str
    option: str
    words: str
    read: Callable[[str], Any]
    optional: bool = False
    usual: str = ""
    """What an empty answer means; for an optional question without it, an empty answer means none."""


def fill(run: Run, given: dict[str, Any], questions: Sequence[Question]) -> None:
    """Ask in turn for what the options lack; where nobody can answer, name the first option that is missing.

    Nothing is asked when every needed value was given, so that a full command line runs without a stop.
    """
    missing = [question for question in questions if given.get(question.name) is None]
    needed = [question for question in missing if not question.optional]
    if not needed:
        return
    if not run.asks:
        lacking(needed[0].option)
    in_turn([partial(_answer, given, question) for question in missing])


def lacking(option: str) -> NoReturn:
    """Refuse to go on without an option."""
    message = f"{option} is missing. Give it, or run this on a terminal to be asked."
    raise click.UsageError(message, click.get_current_context(silent=True))


def _answer(given: dict[str, Any], question: Question) -> None:
    if not question.optional:
        given[question.name] = ask(question.words, question.read, question.usual or None)
        return
    words = question.words if question.usual else f"{question.words} (Enter for none)"
    given[question.name] = ask(words, lambda text: question.read(text) if text.strip() else None, question.usual)


def ask(label: str, read: Callable[[str], T], default: str | None = None) -> T:
    """Ask until the answer can be read; what is wrong with one is said at once."""

    def checked(text: str) -> T:
        if text.strip().casefold() == BACK:
            raise BackError
        try:
            return read(text)
        except ShopledgerError as error:
            raise click.UsageError(str(error)) from error

    answer: T = click.prompt(label, default=default, show_default=bool(default), value_proc=checked, err=True)
    return answer


def confirm(question: str, *, default: bool = False) -> bool:
    """Ask for a yes or a no."""
    return click.confirm(question, default=default, err=True)


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
    click.echo(sentence, err=True)
