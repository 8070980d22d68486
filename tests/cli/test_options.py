"""A set of options is one typed value: each field has its option, and its question where it can be asked for."""

from __future__ import annotations

import json
from typing import Any

import click
import pytest
from click.testing import CliRunner, Result

from shopledger.cli.context import Run, Surroundings, pass_run
from shopledger.cli.main import shop
from shopledger.cli.options import OptionSet, asked, changes, inner, nothing_given, option, options
from shopledger.cli.output import Json, show
from shopledger.cli.params import MM, OFF, Off
from tests.cli.conftest import NOW


class Inside(OptionSet):
    """A set that stands in another."""

    street: str | None = option("--street", metavar="TEXT", help="Street.", ask="Street")


class Outer(OptionSet):
    """A set with one inside."""

    name: str | None = option("--name", metavar="TEXT", help="Name.", ask="Name")
    inside: Inside = inner(Inside)
    phone: str | None = option("--phone", metavar="TEXT", help="Phone.", ask="Phone", optional=True)
    within: int | Off | None = option("--within", type=int, help="Days.")
    codes: tuple[str, ...] = option("--code", multiple=True, help="Codes.")


class Eye(OptionSet):
    """A set that is taken for each eye."""

    height: float | None = option("--{side}-height", type=MM, help="Height of the {side} eye.")


@click.command()
@options(Outer)
@options(Eye, "right", side="right")
@options(Eye, "left", side="left")
@pass_run
def command(run: Run, given: Outer, right: Eye, left: Eye) -> None:
    """Show what was given."""
    whole = asked(run, given)
    data: list[Json] = [whole.name, whole.inside.street, whole.phone, list(whole.codes), right.height, left.height]
    show(True, data)


def typed(*words: str, answers: str | None = None) -> Result:
    """Run the command away from a terminal, or with answers at one."""
    around = Surroundings(now=NOW, terminal=answers is not None)
    run = Run(None, "Ilse", around.clock(), NOW.date(), around.can_ask())
    return CliRunner().invoke(command, words, input=answers or "", obj=run)


def outer(**given: Any) -> Outer:  # noqa: ANN401 - whatever its fields hold
    """Give a set of which only this was typed."""
    return Outer(**given)


def test_a_command_gets_one_value() -> None:
    """What was typed stands in its field, also of a set inside, and of the set for each eye."""
    given = typed("--name", "Wren", "--street", "Mill Row", "--code", "A", "--code", "B", "--left-height", "18.5")
    assert json.loads(given.stdout) == ["Wren", "Mill Row", None, ["A", "B"], None, 18.5]


def test_help_shows_options_in_the_order_of_the_fields() -> None:
    """A set inside stands in its place, and the words of a set are filled into its help."""
    shown = typed("--help").stdout
    places = [shown.index(each) for each in ("--name", "--street", "--phone", "--within", "--code", "--right-height")]
    assert places == sorted(places)
    assert "Height of the left eye." in shown


def test_what_is_missing_is_asked_in_order() -> None:
    """On a terminal, `back` goes to the one before, also out of a set inside."""
    given = typed(answers="Rook\nback\nWren\nMill Row\n\n")
    assert '"Wren",\n  "Mill Row",\n  null' in given.stdout


def test_what_is_missing_is_named_where_nobody_answers() -> None:
    """The first option that is needed is named."""
    assert "--street is missing" in typed("--name", "Wren").stderr


def test_changes_are_what_was_typed() -> None:
    """What was not typed is no change; `off` takes a value away; a set inside has changes of its own."""
    given = outer(name="Wren", within=OFF, inside=Inside(street="Mill Row"))
    assert changes(given) == {"name": "Wren", "within": None}
    assert changes(given.inside) == {"street": "Mill Row"}


@pytest.mark.parametrize(
    ("given", "nothing"), [(outer(), True), (outer(inside=Inside(street="x")), False), (outer(codes=("A",)), False)]
)
def test_nothing_given(given: Outer, nothing: bool) -> None:
    """A set of options of which none was typed is told, whatever stands inside it."""
    assert nothing_given(None, given) is nothing


def test_the_former_name_of_a_command_goes_on_working() -> None:
    """It is the same command, and stands in no help."""
    ctx = click.Context(shop)
    assert shop.get_command(ctx, "take-back") is shop.get_command(ctx, "void")
    assert "take-back" not in shop.list_commands(ctx)
    assert "take-back" not in shop.get_help(ctx)
