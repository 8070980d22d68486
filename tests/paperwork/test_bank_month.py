"""The page of a bank reconciliation: its verdict, its sums, what goes on over the page."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopledger.ledger.books.bank_matches import STALE_DAYS
from shopledger.ledger.books.bank_reconciliation import ProofLine
from shopledger.ledger.papers.bank_month import BankMonth, BankMonthRow
from shopledger.paperwork.bank_month import BANK_MONTH
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.refusals import DisagreeingTotalsError
from shopledger.paperwork.wording import read_wording
from tests.paperwork.reading import text_of

SAMPLE = BANK_MONTH.sample()


def said(content: BankMonth) -> str:
    """Give the text of the page."""
    return text_of(document_of(BANK_MONTH, content))


def test_the_verdict_says_whether_bank_and_books_agree() -> None:
    """They do, the books lack lines, or something is not explained."""
    assert "the books lack 1 of the bank's lines on Mar 31, 2026" in said(SAMPLE)
    booked = replace(SAMPLE, unbooked=(), books=SAMPLE.book_side, agrees=True)
    assert "The bank agrees with the books on Mar 31, 2026: 1,792.75" in said(booked)
    apart = replace(SAMPLE, books=SAMPLE.books - 5, book_side=SAMPLE.book_side - 5)
    assert "does not agree with the books on Mar 31, 2026: 0.05 is not explained" in said(apart)


@pytest.mark.parametrize("wrong", [{"bank_side": 1}, {"book_side": 1}, {"in_transit": ()}, {"unbooked": ()}])
def test_a_side_that_does_not_add_up_is_refused(wrong: dict[str, int]) -> None:
    """Nothing is printed that a calculator would contradict."""
    with pytest.raises(DisagreeingTotalsError):
        said(replace(SAMPLE, **wrong))  # type: ignore[arg-type]


def test_the_sample_proves_itself() -> None:
    """Each row of its four columns adds across."""
    assert all(row.adds_across for row in SAMPLE.proof)


def test_without_a_beginning_there_is_no_proof_of_cash() -> None:
    """It is said instead."""
    assert "so there is no proof of cash" in said(replace(SAMPLE, proof=()))


def test_what_is_stale_is_named() -> None:
    """With what to do; nothing is said where nothing is."""
    assert "bill payment 9 of Aug 11, 2025" in said(SAMPLE)
    assert "Outstanding for more than 180 days" not in said(replace(SAMPLE, stale=()))


def test_a_long_list_goes_on_under_its_heads() -> None:
    """Each page says of which group the table goes on."""
    many = tuple(BankMonthRow(f"payment of order {at}", 100, "2026-03-30", f"payment {at}") for at in range(1, 121))
    side = SAMPLE.bank_side - SAMPLE.in_transit[0].amount + 12_000
    document = document_of(
        BANK_MONTH, replace(SAMPLE, in_transit=many, bank_side=side, books=side + 1_200, book_side=side)
    )
    assert len(document.pages) > 2
    assert "not credited by the bank yet, continued" in text_of(document)


@pytest.mark.parametrize("line", ProofLine, ids=lambda line: line.name)
def test_every_row_of_the_proof_has_its_words(line: ProofLine) -> None:
    """A row that is added without words would fail at the first print."""
    assert read_wording("bank_month")[f"rows.{line.name.casefold()}"]


def test_missing_lines_are_said_before_anything_else() -> None:
    """Balances that agree prove little while lines of the month are missing."""
    whole = replace(SAMPLE, unbooked=(), books=179_275, book_side=179_275, agrees=True)
    assert "The bank agrees with the books on Mar 31, 2026: 1,792.75" in said(whole)
    page = said(replace(whole, missing_lines=4_200))
    assert "Lines of the bank's are missing: its balances up to Mar 31, 2026 lack 42.00" in page
    assert "The bank agrees" not in page


def test_old_checks_are_called_by_the_days_of_the_rule() -> None:
    """The heading takes its days from the rule that finds them."""
    assert f"Outstanding for more than {STALE_DAYS} days" in said(SAMPLE)
