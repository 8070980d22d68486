"""Quotes that were forgotten: a value with blanks arrives as several words, and all but the first have no place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

import click

from shopledger.shell import typed

_CURLY: Final = "\u2018\u2019\u201a\u201b\u201c\u201d\u201e\u201f\xab\xbb"
"""Quotes that a word processor makes; to a shell they are letters."""
NEVER_KEPT: Final = "A whole card number or a social security number is typed nowhere."
_EXTRA: Final = "Got unexpected extra argument"


class _Given(NamedTuple):
    """An option as it stands on the line, its first word, and the words behind that which no option begins."""

    name: str
    value: str
    behind: tuple[str, ...]


def forgotten_quotes(error: click.UsageError, words: Sequence[str]) -> str | None:
    """Say how an option is typed whose value has blanks, where words that cannot be placed stand behind it."""
    if error.ctx is None:
        return None
    for given in _given(error.ctx.command, words):
        if given.behind and _is_about(error, given):
            return _said(given)
    return None


def _said(given: _Given) -> str:
    from shopledger.ledger.private_numbers import private_number

    together = " ".join((given.value, *given.behind))
    if private_number(together):
        return f"{given.name} takes one word, and a text with blanks stands in quotes. {NEVER_KEPT}"
    bare = "".join(letter for letter in together if letter not in _CURLY).strip()
    curly = " Curly quotes are none to a shell." if bare != together else ""
    first = given.value.strip(_CURLY)
    return f"{given.name} got '{first}' alone, since a blank ends a value.{curly} Type {typed([given.name, bare])}."


def _is_about(error: click.UsageError, given: _Given) -> bool:
    """Tell whether what click refuses stands behind an option's value, or is a value that ends too early."""
    if isinstance(error, click.NoSuchOption):
        return _is_number(error.option_name) and any(word.startswith(error.option_name) for word in given.behind)
    if isinstance(error, click.BadParameter):
        alone = not any(isinstance(each, click.Argument) for each in error.ctx.command.params) if error.ctx else False
        return alone and error.param is not None and given.name in error.param.opts
    extra = error.message.removeprefix(_EXTRA) if error.message.startswith(_EXTRA) else ""
    return any(word in extra.partition("(")[2].rpartition(")")[0].split() for word in given.behind)


def _is_number(option: str) -> bool:
    """Tell whether what was taken for an option is the sign and the first digit of a number."""
    return option[1:2].isdigit() or option[1:2] == "."


def _given(command: click.Command, words: Sequence[str]) -> Iterator[_Given]:
    """Give each option with one value that stands on the line."""
    takes = {
        name
        for each in command.params
        if isinstance(each, click.Option) and not each.is_flag and each.nargs == 1
        for name in each.opts
    }
    for place, word in enumerate(words):
        name, sign, value = word.partition("=")
        rest = list(words[place + 1 :])
        if name not in takes or not (sign or rest):
            continue
        first = value if sign else rest.pop(0)
        ends = next((at for at, each in enumerate(rest) if each.startswith("--")), len(rest))
        yield _Given(name, first, tuple(rest[:ends]))
