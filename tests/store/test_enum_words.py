"""Words of enumerations reach SQL from their members alone."""

from __future__ import annotations

from enum import Enum

from shopledger.ledger.books.journal import Account
from shopledger.ledger.stock import StockReason
from shopledger.store.words import cases, listed, stands_on, word


class Odd(Enum):
    """A word with a quote in it."""

    QUOTED = "owner's"


def test_a_member_is_its_value_in_quotes_and_an_account_its_title() -> None:
    """A quote inside is doubled, as SQL wants it."""
    assert word(StockReason.WRITTEN_OFF) == "'written off'"
    assert word(Account.PAYABLE) == "'bills to pay'"
    assert word(Odd.QUOTED) == "'owner''s'"


def test_members_are_listed_and_none_fits_nothing() -> None:
    """A list follows IN; one of no members is never true."""
    assert listed((StockReason.SOLD, StockReason.OWN_USE)) == "('sold', 'own use')"
    assert listed(()) == "(NULL)"


def test_a_mapping_becomes_a_case_by_what_it_gives() -> None:
    """Members that give the same stand side by side; what is no member is SQL as it stands."""
    mapping = {StockReason.SOLD: Account.SALES, StockReason.GIVEN: Account.SALES, StockReason.OWN_USE: Account.DRAWS}
    assert cases("reason", mapping) == (
        "CASE WHEN reason IN ('sold', 'given away') THEN 'sales' WHEN reason IN ('own use') THEN 'owner draws' END"
    )
    assert cases("reason", {StockReason.SOLD: "cost"}, "0") == "CASE WHEN reason IN ('sold') THEN cost ELSE 0 END"


def test_a_document_is_found_by_its_kind_and_number() -> None:
    """The condition names both columns."""
    said = stands_on(StockReason.SOLD, "moved.number")
    assert said == "entry.document_kind = 'sold' AND entry.document_number = moved.number"
