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
        "Frame Wren 52-18-140, matt black V2020 eligible ¹ 149.00",
        "Single vision lens, hard resin 1.50, right V2103 RT eligible ² 0.00",
        "Cleaning kit plan decides ³ 12.00", "Neck cord not eligible ⁴ 9.00",
        "2 Corrective lens made to a prescription",
        "Eligible by its kind 278.95", "Not counted: the plan decides 12.00", "Not counted: not eligible 9.00",
        "Not counted: shipping 9.50", "Not counted: sales tax 1.58", "Total charged 311.03",
        "ELIGIBLE BY ITS KIND: 278.95", "Paid by the customer 311.03", "Balance still owed 0.00",
        "for its administrator to decide", "Ledger head 1234-0123456789abcdef",
    ],
)  # fmt: skip
def test_an_administrator_finds_everything(field: str) -> None:
    """Provider, patient, days, each thing with its amount and word, and what was not counted, read from the PDF."""
    assert field in text_of(document_of(STATEMENT, SAID))


def test_many_reasons_stand_below_the_sums() -> None:
    """Where the reasons are taller than the sums, they go below, and none is lost."""
    lines = tuple(replace(receipt().lines[0], reason=f"Reason {at} in a few words") for at in range(20))
    text = text_of(document_of(STATEMENT, account_statement(receipt(lines=lines))))
    assert text.index("Total charged") < text.index("1 Reason 0 in a few words")
    assert "20 Reason 19 in a few words" in text


def test_approval_is_never_claimed() -> None:
    """No word says that anybody approved anything."""
    assert "approved" not in text_of(document_of(STATEMENT, SAID)).casefold()


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
