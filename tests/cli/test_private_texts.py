"""No text that is typed or read from a file holds a card's whole number, a social security number or what is unseen."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import click
import pytest

from shopledger.cli.guarding import TEXT
from shopledger.cli.options import OptionSet, questions
from shopledger.errors import RefusedError
from shopledger.exchange import bill_file, catalogue_file, order_file, rows, shop_file, values
from tests.cli.commands import leaves
from tests.cli.conftest import ADDRESS, PAIR, UNSEEN, Typed, done, type_in

CARD = "4111 1111 1111 1111"
SOCIAL = "123-45-6789"
TURNED = "Odalys\u202eFernhollow"
REFUSED = {CARD: "the whole number of a payment card", SOCIAL: "a social security number", TURNED: "U+202E in place 7"}


def texts() -> Iterator[tuple[tuple[str, ...], click.Parameter]]:
    """Give every option and argument that takes a line of text."""
    for path, command in leaves():
        for param in command.params:
            if param.type is TEXT:
                yield path, param


TEXTS = list(texts())


def typed_in(path: tuple[str, ...], param: click.Parameter, text: str) -> tuple[str, ...]:
    """Give a command line with a text in an option, or in all arguments up to the one that is meant."""
    if isinstance(param, click.Option):
        return (*path, param.opts[0], text)
    arguments = [each for each in dict(leaves())[path].params if isinstance(each, click.Argument)]
    places = [each.name for each in arguments]
    before = ["5" if each.type is not TEXT else "A" for each in arguments[: places.index(param.name)]]
    return (*path, *before, text)


def test_texts_are_found() -> None:
    """The walk sees the program's texts, names, notes and codes among them."""
    found = {(*path, param.opts[0]) for path, param in TEXTS}
    assert len(found) > 200
    assert {("customer", "add", "--name"), ("spend", "record", "payee"), ("bill", "record", "--note")} <= found


@pytest.mark.parametrize("text", REFUSED, ids=["card", "social security", "direction mark"])
def test_every_text_of_every_command_refuses_it(tmp_path: Path, text: str) -> None:
    """Options and arguments alike, before the ledger is even opened, and without repeating the number."""
    wrong = []
    for path, param in TEXTS:
        result = type_in(*typed_in(path, param, text), ledger=tmp_path / "none.db")
        refused = result.exit_code == 30 and REFUSED[text] in result.stderr and text not in result.output
        if not refused:
            wrong.append((*path, param.opts[0], result.exit_code, result.output[-200:]))
    assert wrong == []
    assert list(tmp_path.iterdir()) == []


def option_sets(kind: type[OptionSet] = OptionSet) -> Iterator[type[OptionSet]]:
    """Give every set of options that a command declares."""
    for below in kind.__subclasses__():
        yield below
        yield from option_sets(below)


@pytest.mark.parametrize("text", REFUSED, ids=["card", "social security", "direction mark"])
def test_every_answer_that_is_a_text_refuses_it(text: str) -> None:
    """What is asked for at a terminal is read as strictly as what is typed with the command."""
    assert leaves()
    asked = 0
    for kind in option_sets():
        for question in questions(kind()):
            if question.name == "tracking" and text != TURNED:
                continue
            try:
                read = question.read(text)
            except (RefusedError, ValueError):
                asked += 1
                continue
            pytest.fail(f"{kind.__name__}.{question.name} takes {read!r}")
    assert asked > 50


def file_fields() -> Iterator[tuple[ModuleType, rows.Field]]:
    """Give every key of the owner's own files that holds text."""
    readers = {values.as_text, values.as_texts, values.as_set}
    for module in (bill_file, catalogue_file, order_file, shop_file):
        for found in vars(module).values():
            if isinstance(found, tuple):
                yield from ((module, each) for each in found if isinstance(each, rows.Field) and each.read in readers)


@pytest.mark.parametrize("text", REFUSED, ids=["card", "social security", "direction mark"])
def test_every_text_of_every_file_refuses_it(text: str) -> None:
    """Orders, catalogues, bills and the shop's own file, key by key."""
    found = list(file_fields())
    assert {field.key for _, field in found} >= {"name", "note", "code", "street", "reference", "extras", "invoice"}
    for _, field in found:
        with pytest.raises(RefusedError):
            field.read(field.key, text)
        if field.read is not values.as_text:
            with pytest.raises(RefusedError):
                field.read(field.key, ["A", text])


@pytest.mark.parametrize("name", [f"receipt {CARD}.pdf", f"{SOCIAL}.pdf", "receipt\u202efdp.pdf"])
def test_the_name_of_a_kept_file_refuses_it(typed: Typed, tmp_path: Path, name: str) -> None:
    """A paper's file name is stored with it."""
    file = tmp_path / name
    file.write_bytes(b"paper")
    spent = ("--category", "utilities", "--method", "bank", "--description", "light", "--receipt", str(file))
    result = typed("spend", "record", "City Light", "5", *spent)
    assert result.exit_code == 30, result.output
    assert "file name" in result.stderr


def test_a_tracking_number_like_a_card_needs_a_yes(typed: Typed) -> None:
    """Carriers' numbers may pass a card's check by chance; only there, and only after a yes, such a number is kept."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    ship = ("sale", "ship", "1", "--carrier", "Parcel post", *UNSEEN, "--tracking", "4111111111111111")
    refused = typed(*ship)
    assert (refused.exit_code, "--accept READS-LIKE-CARD" in refused.stderr) == (20, True)
    assert "4111111111111111" not in refused.output
    assert typed(*ship, answers="n\n").exit_code == 1
    done(typed(*ship, "--accept", "READS-LIKE-CARD"))
    assert "4111111111111111" in typed("sale", "show", "1", "--json").stdout


def test_a_tracking_number_is_no_social_security_number(typed: Typed) -> None:
    """That one is never kept, whatever is said; any other number of a parcel needs no yes."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    ship = ("sale", "ship", "1", "--carrier", "Parcel post", *UNSEEN, "--tracking")
    assert typed(*ship, SOCIAL, "--accept", "READS-LIKE-CARD").exit_code == 30
    done(typed(*ship, "9999 9999 9999 9999 9999 99"))


def test_a_customer_with_such_a_name_is_not_added(typed: Typed) -> None:
    """And the sentence shows where the mark stands, as its number."""
    result = typed("customer", "add", "--name", TURNED, *ADDRESS)
    assert (result.exit_code, result.stdout) == (30, "")
    assert "'Odalys\\u202eFernhollow'" in result.stderr
