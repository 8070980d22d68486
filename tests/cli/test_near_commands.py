"""A command that is not known is answered with those that may be meant, over all groups."""

from __future__ import annotations

import shlex

import click
import pytest

from shopledger.cli.main import SECTIONS
from shopledger.cli.other_names import OTHER_NOUNS, OTHER_VERBS
from shopledger.cli.reference import contexts
from tests.cli.conftest import type_in

ANSWERED = [
    ("order list", "'shopledger sale list'?"),
    ("orders", "'shopledger sale'?"),
    ("order 12", "'shopledger sale show 12'?"),
    ("order shp", "'shopledger sale ship' or 'shopledger sale show'?"),
    ("list orders", "'shopledger sale list'?"),
    ("add customer", "'shopledger customer add'?"),
    ("client find Fern", "'shopledger customer find'?"),
    ("invoice 3", "'shopledger bill show 3' or 'shopledger receipt show 3'?"),
    ("receipt 1", "'shopledger receipt show 1'?"),
    ("sale lst", "'shopledger sale list'?"),
    ("sale view 1", "'shopledger sale show'?"),
    ("sale customer", "'shopledger customer'?"),
    ("backup key ad", "'shopledger backup key add'?"),
    ("backup key zzz", "'shopledger backup key add', 'shopledger backup key"),
    ("optics vertx", "'shopledger optics vertex'?"),
    ("refnd", "'shopledger refund',"),
    ("Show receipt", "'shopledger receipt show'?"),
]

COMMANDS = {ctx.command_path.removeprefix("shopledger").strip(): ctx.command for ctx in contexts()}


@pytest.mark.parametrize(("line", "named"), ANSWERED)
def test_an_unknown_command_names_the_nearest(line: str, named: str) -> None:
    """By another word, in another order, with a letter astray, or a number without its command."""
    result = type_in(*line.split())
    assert result.exit_code == 2
    assert f"Did you mean {named}" in result.stderr
    assert result.stderr.startswith("Error: No such command '")
    assert "--help'." in result.stderr


@pytest.mark.parametrize("line", ["zzz", "receipt zzz", "qqq 17"])
def test_what_is_near_to_nothing_is_not_guessed(line: str) -> None:
    """Only the help is named."""
    assert "Did you mean" not in type_in(*line.split()).stderr


@pytest.mark.parametrize("line", [line for line, _ in ANSWERED])
def test_every_command_that_is_named_exists(line: str) -> None:
    """What is suggested can be typed, or asks for what it lacks."""
    said = type_in(*line.split()).stderr
    for quoted in said.partition("Did you mean ")[2].split("?")[0].replace(" or ", ", ").split(", "):
        words = [word for word in shlex.split(quoted.strip("'"))[1:] if not word.isdigit()]
        assert " ".join(words) in COMMANDS


def test_other_words_lead_to_names_that_there_are() -> None:
    """Each leads to groups or to deeds of some group; none is a name of its own, which would be found anyway."""
    groups = {name for section in SECTIONS.values() for name in section}
    deeds = {path.split()[-1] for path, command in COMMANDS.items() if not isinstance(command, click.Group)}
    assert {name for names in OTHER_NOUNS.values() for name in names} <= groups
    assert {name for names in OTHER_VERBS.values() for name in names} <= deeds
    assert OTHER_NOUNS.keys() & groups == set()
