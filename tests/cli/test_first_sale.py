"""A new customer's first sale at the terminal: how many questions it takes, and that none of them is a dead end."""

from __future__ import annotations

import re
from typing import Final

import pytest
from click.testing import Result

from tests.cli.conftest import Typed, done, read_json

SALE: Final = (
    "new",
    *("Briony Alderwick", "4 Fennel Court", "", "Millbrae", "OH", "43002", "555-0191", "", ""),
    *("", ""),
    "new",
    *("new", "Dr. Perpetua Quill", "", ""),
    *("2026-02-27", "-1.50 -0.50 x 010 add 1.75", "-1.25 DS add 1.75", "2028-02-27"),
    *("thistle", "prog", "ar", "31 31.5", "", "19"),
    *("", "", "", "", "", "all", "card", "4242", ""),
)
"""Everything that is typed for glasses of a customer, a prescriber and a prescription that nobody knew before."""
MOST: Final = 36
"""How many questions that may take."""


def lines(*answers: str) -> str:
    """Write what is typed, one answer a line."""
    return "".join(f"{answer}\n" for answer in answers)


def questions(result: Result) -> int:
    """Count the questions, each of which ends its line with what was typed at it."""
    asked = [line for line in result.stderr.splitlines() if re.match(r"[A-Z].*: ?", line)]
    return sum(not line.startswith(("Error", "Warning", "Order ", "Receipt ")) for line in asked)


@pytest.fixture
def sold(typed: Typed) -> Result:
    """Sell the glasses."""
    return typed("sale", "record", answers=lines(*SALE))


def test_a_first_sale_is_one_command(typed: Typed, sold: Result) -> None:
    """Customer, wearer, prescriber and prescription come into being on the way, and the order is paid."""
    done(sold)
    order = read_json(typed("sale", "show", "1", "--json"))
    assert (order["customer"], order["paid"], order["balance"]) == (2, order["total"], "0.00")
    (pair,) = order["pairs"]
    assert (pair["frame"], pair["lens"], pair["extras"]) == ("WREN-52", "PROG", ["AR"])
    written = read_json(typed("prescription", "show", str(pair["prescription"]), "--json"))
    assert (written["prescriber_name"], written["wearer_name"]) == ("Dr. Perpetua Quill", "Briony Alderwick")


def test_each_thing_that_is_added_is_stored_by_itself_and_said(sold: Result) -> None:
    """Its own questions end with it, so that it is there even if the sale is not."""
    for said in (
        "A new customer, stored when its questions end; 'back' at the first leaves it.",
        "  Customer 2, Briony Alderwick, was added.",
        "  Prescriber 2, Dr. Perpetua Quill, was added.",
        "  Prescription 2 of Briony Alderwick was recorded.",
    ):
        assert said in sold.stderr


def test_a_first_sale_takes_few_questions(typed: Typed, sold: Result) -> None:
    """One answer for each, and none for the receipt; a customer who comes again is asked far less."""
    receipt = done(typed("receipt", "issue", "1"))
    assert len(SALE) <= MOST
    assert questions(sold) == len(SALE)
    assert questions(receipt) == 0
    again = ("briony", "", "", "", "wren-52", "prog", "ar", "", "", "", "", "", "", "", "", "", "y", "")
    later = typed("sale", "record", answers=lines(*again))
    assert (done(later).exit_code, questions(later)) == (0, len(again))
