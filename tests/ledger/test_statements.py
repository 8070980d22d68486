"""What a statement tells of: its days, and words without whole numbers of accounts."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.ledger.books.statements import (
    StatedAccount,
    StatedBalance,
    StatedLine,
    StatementForm,
    ending_of,
    kept_words,
)


def march(number: int) -> date:
    """Give a day of March."""
    return date(2026, 3, number)


def told(
    first: date | None = None, last: date | None = None, balance: date | None = None, *days: date
) -> tuple[date, date] | None:
    """Give the days that a statement tells of."""
    lines = tuple(StatedLine(day, 100) for day in days)
    closing = StatedBalance(balance, 0) if balance else None
    return StatedAccount(StatementForm.OFX, lines, "", first, last, None, closing).span


def test_a_statement_tells_of_no_day_after_its_balance() -> None:
    """Asked for to the month's end and downloaded in its middle, it knows nothing of the rest."""
    assert told(march(1), march(31), march(15)) == (march(1), march(15))
    assert told(march(1), march(15), march(20)) == (march(1), march(15))
    assert told(march(1), march(31), march(15), march(16)) == (march(1), march(16))


def test_a_statement_without_its_days_tells_of_those_of_its_lines() -> None:
    """From the first to the last of them, whatever order they have; without lines of none."""
    assert told(None, None, None, march(9), march(2)) == (march(2), march(9))
    assert told(None, None, march(31), march(9)) == (march(9), march(9))
    assert told() is None


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("TO 000012345678 RENT", "TO …5678 RENT"),
        ("CARD 4111-1111-1111-1111 OK", "CARD …1111 OK"),
        ("SSN 219-09-9999", "SSN …9999"),
        ("INV 20260310 NO 77", "INV 20260310 NO 77"),
        ("A\tB\u202eC\x07", "A B C"),
    ],
)
def test_no_whole_number_of_an_account_or_a_card_is_kept(text: str, kept: str) -> None:
    """Four digits at most; what cannot be seen is left out."""
    assert kept_words(text, "000012345678") == kept


def test_the_last_four_digits_are_those_of_the_number() -> None:
    """Nothing where there are fewer."""
    assert [ending_of(each) for each in ("000012345678", "DE02-1234 5678", "123", "")] == ["5678", "5678", "", ""]
