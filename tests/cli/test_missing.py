"""What a command cannot do without: asked for on a terminal, named elsewhere; found in the commands themselves."""

from __future__ import annotations

from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from shopledger.cli.context import Surroundings
from shopledger.cli.main import shop
from tests.cli.commands import leaves
from tests.cli.conftest import ADDRESS, NOW, Typed, done, read_json


def lines(*answers: str) -> str:
    """Write what is typed, one answer a line."""
    return "".join(f"{answer}\n" for answer in answers)


def needed(command: click.Command) -> list[click.Parameter]:
    """Give what a command cannot do without, in the order in which it is asked for."""
    return [param for param in command.params if param.required]


LACKING = [pytest.param(words, command, id=" ".join(words)) for words, command in leaves() if needed(command)]
NAMES = [pytest.param(words, id=" ".join(words)) for words, command in leaves() if needed(command)]


def run(ledger: Path, words: tuple[str, ...], *, terminal: bool, typed: str = "") -> Result:
    """Run a command with nothing of what it needs."""
    around = Surroundings(now=NOW, terminal=terminal)
    return CliRunner().invoke(shop, ["--ledger", str(ledger), *words], input=typed, obj=around, prog_name="shopledger")


def test_there_are_commands_that_lack_something() -> None:
    """They are found in the program, so that a new one is among them without a word."""
    found = {" ".join(words) for words, _ in leaves() if needed(_)}
    assert {"money open", "receipt print", "customer show", "void", "offer add"} <= found
    assert len(found) > 150


@pytest.mark.parametrize("words", NAMES)
def test_every_command_asks_on_a_terminal_for_what_it_needs(stocked: Path, words: tuple[str, ...]) -> None:
    """One question stands there; `?` says what can be typed, `back` has nowhere to go, and nothing is refused."""
    ended = run(stocked, words, terminal=True, typed=lines("?", "back"))
    assert ended.exit_code == 1, ended.output
    asked, *rest = [line for line in ended.stderr.splitlines() if line]
    assert asked.endswith(": ?")
    assert rest[0].startswith("  ")
    assert "This is the first question" in ended.stderr
    assert "Missing" not in ended.output
    assert ended.stderr.endswith("Nothing was stored.\n")


@pytest.mark.slow
@pytest.mark.parametrize(("words", "command"), LACKING)
def test_every_command_names_elsewhere_what_it_needs(
    stocked: Path, words: tuple[str, ...], command: click.Command
) -> None:
    """Nothing is asked where nobody can answer: the first thing that is missing is named, and the command's help."""
    ended = run(stocked, words, terminal=False)
    assert ended.exit_code == 2
    first = needed(command)[0]
    name = first.opts[0] if isinstance(first, click.Option) else first.make_metavar(click.Context(command))
    assert f"Missing {first.param_type_name} '{name}'" in ended.stderr
    assert f"shopledger {' '.join(words)} --help" in ended.stderr


def test_what_was_asked_for_is_as_if_it_had_been_typed(typed: Typed) -> None:
    """The words go with those that were typed, an amount below zero too, and the command runs once."""
    done(typed("money", "open", answers=lines("250.00", "bank")))
    done(typed("money", "fee", answers=lines("-3.20", "y")))
    done(typed("money", "contribute", "--till", "cash", answers=lines("40")))
    shown = read_json(typed("money", "list", "--json"))
    assert sorted(each["amount"] for each in shown["money"]) == ["-3.20", "250.00", "40.00"]


def test_an_answer_is_checked_as_it_is_typed(typed: Typed) -> None:
    """What the command would refuse is said at the question, and only that is asked again."""
    said = done(typed("money", "open", answers=lines("many", "250.00", "shoebox", "ca", "")))
    assert said.stderr.count("Error: ") == 2
    assert "  cash" in said.stderr


def test_back_returns_through_what_was_missing(typed: Typed) -> None:
    """Also from a question that the command asks itself; what was typed is the usual answer."""
    done(typed("sale", "record", "--customer", "1", "--accessory", "CASE"))
    said = done(typed("payment", "take", answers=lines("9", "back", "1", "5", "back", "19.34", "cash", "")))
    assert "Order [9]: 1" in said.stderr
    assert "Amount [5]: 19.34" in said.stderr
    assert "paid in full" in said.stderr


def test_people_and_goods_are_picked_by_a_part_of_a_name(typed: Typed) -> None:
    """One that fits is said, several are listed with their numbers, none names the nearest."""
    done(typed("customer", "add", "--name", "Fern Oddleigh", *ADDRESS, "--phone", "555-0177"))
    said = done(typed("customer", "show", answers=lines("ferm", "fern", "3", "2")))
    assert "no customer called 'ferm'. Did you mean" in said.stderr
    assert "  'fern' fits 2:\n  2  Fern Oddleigh" in said.stderr
    assert "Which of them, by number: 3\nError: customer is '3'" in said.stderr
    assert "  WREN-52 Thistledown Wren" in done(typed("frame", "show", answers=lines("thistle"))).stderr


def test_whose_wearer_is_asked_before_the_wearer(typed: Typed) -> None:
    """Else nothing could be listed."""
    said = typed("wearer", "held", answers=lines("1", "?", "wren")).stderr
    assert said.index("Who pays") < said.index("Wearer")
    assert "  Wren Fernhollow    child" in said


def test_what_was_typed_is_read_once_only(typed: Typed) -> None:
    """A line with an end of its options is completed before that end."""
    done(typed("money", "open", "--till", "bank", "--", answers=lines("250")))
    done(typed("money", "draw", "--", "12", answers=lines("bank")))


def test_an_option_that_the_rest_calls_for_is_asked_for_too(typed: Typed) -> None:
    """Where the command finds out by itself that something is missing, not only where it is always needed."""
    said = done(typed("sale", "record", "--customer", "1", "--frame-only", "WREN-52", answers=lines("removed")))
    assert "What became of the demo lenses" in said.stderr
    pair = ("--wearer", "Odalys", "--frame", "WREN-52", "--pd", "63", "--height", "19")
    assert "The lens: " in done(typed("sale", "record", "--customer", "1", *pair, answers=lines("sv", ""))).stderr


def test_a_whole_bill_is_asked_for(typed: Typed) -> None:
    """Whose it is, with a new supplier on the way, what it brought, how it was paid: the bill of the options."""
    answers = ("new", "Tollgate Frames", "", "", "", "TG-1", "", "", "CASE=5@4", "", "", "3", "", "bank", "881")
    done(typed("bill", "record", answers=lines(*answers)))
    given = ("--invoice", "TG-2", "--stock", "CASE=5@4", "--freight", "3", "--paid", "bank", "--reference", "881")
    done(typed("bill", "record", "1", *given))
    one, two = (read_json(typed("bill", "show", number, "--json")) for number in ("1", "2"))
    assert one["lines"] == two["lines"]
    assert (one["total"], one["supplier"]) == (two["total"], two["supplier"])


def test_a_bill_of_nothing_is_asked_about_until_it_brings_something(typed: Typed) -> None:
    """What is found of the whole at its end leads back to the question that can mend it."""
    done(typed("supplier", "add", "--name", "Tollgate", answers="\n\n\n"))
    nothing = ("toll", "", "", "", "", "", "", "", "", "", "")
    said = typed("bill", "record", answers=lines(*nothing, "CASE=5@4")).stderr
    assert "Error: goods is missing" in said
    assert said.rindex("Goods, as in") > said.index("Error: goods is missing")
