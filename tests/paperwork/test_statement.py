"""The health account's statement on paper."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.ledger.papers.account_statement import account_statement
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.refusals import DisagreeingTotalsError, MissingDetailError
from shopledger.paperwork.statement import STATEMENT
from tests.paperwork.reading import printed, text_of
from tests.paperwork.samples import receipt, unpaid_receipt

SAID = account_statement(receipt())


@pytest.mark.parametrize(
    "field",
    [
        "HSA / FSA statement", "For receipt No. 1042", "Order 311", "Quiet Harbour Optical", "Tax ID (EIN) 12-3456789",
        "Robin Sample", "Jul 4, 1961", "child of the customer", "Casey Sample", "98 Cedar Lane",
        "Date of sale", "Feb 27, 2026", "Date of service", "Mar 13, 2026", "Dr. Alex Example",
        "Prescription eyewear Frame Wren 52-18-140, matt black V2020 149.00",
        "Single vision lens, hard resin 1.50, right V2103 RT 0.00",
        "Charged for prescription eyewear 278.95", "Other items, not prescription eyewear Cleaning kit 12.00",
        "Neck cord 9.00 Charged for other items 21.00",
        "Shipping 9.50", "Sales tax 1.58", "Total charged 311.03",
        "CHARGED FOR PRESCRIPTION EYEWEAR: 278.95", "Made by the provider named above from its own record",
        "Paid by the customer 311.03", "Balance still owed 0.00",
        "for its administrator to decide", "Ledger head 1234-0123456789abcdef",
    ],
)  # fmt: skip
def test_an_administrator_finds_everything(field: str) -> None:
    """Provider, patient, days, each thing with its amount, and prescription eyewear apart, read from the PDF."""
    assert field in text_of(document_of(STATEMENT, SAID))


def test_without_other_items_nothing_is_said_of_them() -> None:
    """Neither their heading nor why they stand apart; with them both do."""
    only = account_statement(receipt(lines=receipt().lines[:5]))
    assert "ther items" not in text_of(document_of(STATEMENT, only))
    assert "The other items are listed apart" in text_of(document_of(STATEMENT, SAID))


def test_a_sum_that_is_wider_than_every_line_stays_on_one_line() -> None:
    """Nine frames of 149.00 are 1,341.00."""
    many = account_statement(receipt(lines=(receipt().lines[0],) * 9))
    assert "Charged for prescription eyewear 1,341.00" in text_of(document_of(STATEMENT, many))


@pytest.mark.parametrize("word", ["approved", "eligib", "covered", "qualif", "reimburs", "counted", "no source"])
def test_nothing_says_or_hints_that_an_account_pays(word: str) -> None:
    """What it says is what was sold: a judgment on that is the administrator's, on receipts of every form."""
    for content in (SAID, account_statement(RECEIPT.sample()), account_statement(receipt(form=3))):
        assert word not in text_of(document_of(STATEMENT, content)).casefold()


def test_goods_not_yet_supplied_are_told() -> None:
    """Before shipping there is no day of service."""
    text = text_of(document_of(STATEMENT, account_statement(receipt(dispensed_on=""))))
    assert "not yet supplied" in text


def test_what_is_owed_or_given_back_is_warned_of() -> None:
    """An account should be asked only for what was paid and kept."""
    assert "not paid yet" in text_of(document_of(STATEMENT, account_statement(unpaid_receipt())))
    text = text_of(document_of(STATEMENT, account_statement(RECEIPT.sample())))
    assert "Given back to the customer -9.00" in text
    assert "Part of the sale was given back: that part is in none of these amounts." in text
    # The cord of 9.00 came back whole: it is not listed, and the total is what was kept, 662.97.
    assert "Neck cord" not in text
    assert "Total less what was given back 653.97" in text


def test_printing_again_gives_the_same_bytes(tmp_path: Path) -> None:
    """Made from the same receipt, it is the same file."""
    first = printed(STATEMENT, SAID, tmp_path / "a.pdf").read_bytes()
    assert first == printed(STATEMENT, account_statement(receipt()), tmp_path / "b.pdf").read_bytes()


def test_a_statement_without_a_wearer_or_with_wrong_sums_is_refused() -> None:
    """What no administrator takes is not printed."""
    with pytest.raises(MissingDetailError, match="without the wearer's name"):
        document_of(STATEMENT, replace(SAID, wearer=""))
    with pytest.raises(DisagreeingTotalsError, match=r"lines, shipping and tax come to 311\.03"):
        document_of(STATEMENT, replace(SAID, total=1))
