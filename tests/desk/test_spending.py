"""Recording expenses: stored whole with their paper, warned of when odd, refused when they cannot be."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.spending import expense_card, expenses, plan_expense, record_expense, write_receipt
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.errors import RefusedError
from shopledger.ledger.books.closing import PeriodDeed, PeriodEvent
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.store.refusals import FileChangedError, FileUnreadableError, MonthClosedError, NumberUnknownError
from tests.desk.books import everything, notes, on_both, postings
from tests.desk.family import later
from tests.forging import forge

DAY = date(2026, 3, 2)
RENT = Expense(DAY, "Alder Row Estates", ExpenseCategory.RENT, "rent for March", 85_000, SpendMethod.BANK, "M-17")
STAMPS = Expense(DAY, "Stamp window", ExpenseCategory.POSTAGE, "stamps", 1_250, SpendMethod.OWNER)


@pytest.fixture
def scan(tmp_path: Path) -> Path:
    """Give the scan of a receipt."""
    file = tmp_path / "march rent.pdf"
    file.write_bytes(b"%PDF rent 850.00")
    return file


def close(desk: Desk, month: Month) -> None:
    """Close a month without the checks that come before it."""
    with desk.writing() as work:
        work.periods.add(PeriodEvent(month, PeriodDeed.CLOSED, "", (), work.journal.head()))


@on_both
def test_an_expense_is_stored_with_its_posting(desk: Desk) -> None:
    """As it was typed, under the next number."""
    before = len(postings(desk))
    done = record_expense(desk, RENT)
    assert done.expense == replace(RENT, number=1)
    assert expense_card(desk, 1).expense == done.expense
    assert postings(desk)[before:] == [("expense 1", "rent of premises", 85_000), ("expense 1", "bank", -85_000)]
    assert record_expense(desk, STAMPS).expense.number == 2


@on_both
def test_a_receipt_is_kept_and_written_back(desk: Desk, scan: Path, tmp_path: Path) -> None:
    """The very bytes, found by their hash, even when the file that was given is gone."""
    body = scan.read_bytes()
    record_expense(desk, RENT, scan)
    card = expense_card(desk, 1)
    assert card.expense.file_sha256 == hashlib.sha256(body).hexdigest()
    assert card.receipt is not None
    assert (card.receipt.name, card.receipt.size) == ("march rent.pdf", len(body))
    scan.unlink()
    (tmp_path / "out").mkdir()
    written = write_receipt(desk, 1, tmp_path / "out")
    assert written.name == "expense-00001-march rent.pdf"
    assert written.read_bytes() == body


def test_a_kept_receipt_that_is_missing_or_changed_is_said_to_be(desk: Desk, scan: Path, tmp_path: Path) -> None:
    """It is never handed out as if it were the proof."""
    record_expense(desk, RENT, scan)
    forge(desk, "UPDATE kept_body SET body = CAST('rent 950.00' AS BLOB)")
    with pytest.raises(FileChangedError, match="it is not what was kept"):
        write_receipt(desk, 1, tmp_path)
    forge(desk, "DELETE FROM kept_body")
    with pytest.raises(FileChangedError, match="it is missing"):
        write_receipt(desk, 1, tmp_path)
    assert not list(tmp_path.glob("expense-*"))


def test_an_expense_without_a_receipt_says_so(desk: Desk, tmp_path: Path) -> None:
    """There is nothing to write back."""
    record_expense(desk, RENT)
    with pytest.raises(RefusedError, match="no file was kept with it"):
        write_receipt(desk, 1, tmp_path)


def test_a_receipt_that_cannot_be_read_stores_nothing(desk: Desk, tmp_path: Path) -> None:
    """Neither a missing file nor a folder is a receipt."""
    before = everything(desk)
    with pytest.raises(FileUnreadableError, match=r"nowhere\.pdf cannot be kept: no such file"):
        record_expense(desk, RENT, tmp_path / "nowhere.pdf")
    with pytest.raises(FileUnreadableError, match="it is a folder"):
        plan_expense(desk, RENT, tmp_path)
    assert everything(desk) == before


def test_a_plan_stores_nothing(desk: Desk, scan: Path) -> None:
    """It tells the hash that the receipt would be kept under, and keeps nothing."""
    before = everything(desk)
    plan = plan_expense(desk, STAMPS, scan)
    assert plan.expense.file_sha256 == hashlib.sha256(scan.read_bytes()).hexdigest()
    assert everything(desk) == before


@on_both
def test_the_same_expense_twice_needs_a_yes(desk: Desk) -> None:
    """Same payee in any case, same day and amount; the yes is written down, and another day is another expense."""
    record_expense(desk, RENT)
    again = replace(RENT, payee="ALDER ROW estates")
    before = everything(desk)
    with pytest.raises(FindingsRefusedError, match=r"was recorded already, as expense 1\. \[EXPENSE-TWICE\]"):
        record_expense(desk, again)
    assert everything(desk) == before
    assert record_expense(desk, again, accept=frozenset({"EXPENSE-TWICE"})).expense.number == 2
    assert notes(desk)[-1] == ("tester", "accepted a warning", "expense 2 EXPENSE-TWICE")
    assert record_expense(desk, replace(RENT, day=date(2026, 3, 1))).expense.number == 3


def test_an_expense_taken_back_may_be_recorded_again(desk: Desk) -> None:
    """What was a mistake is not what was recorded already."""
    record_expense(desk, RENT)
    void_document(desk, Document(DocumentKind.EXPENSE, 1), "wrong account")
    assert plan_expense(desk, RENT).findings == ()


def test_more_cash_than_lies_there_needs_a_yes(desk: Desk) -> None:
    """By the books nothing lies in the till yet."""
    with pytest.raises(FindingsRefusedError, match=r"12\.50 is taken out of the cash, where nothing lies .*CASH-SHORT"):
        record_expense(desk, replace(STAMPS, method=SpendMethod.CASH))


@on_both
def test_a_day_to_come_and_a_closed_month_take_no_expense(desk: Desk) -> None:
    """The sentence names the day or the month, and nothing is stored."""
    with pytest.raises(RefusedError, match="it lies after today, 2026-03-02"):
        record_expense(desk, replace(RENT, day=date(2026, 3, 3)))
    close(desk, Month(2026, 2))
    before = everything(desk)
    with pytest.raises(MonthClosedError, match="the month 2026-02 is closed"):
        record_expense(desk, replace(RENT, day=date(2026, 2, 28)))
    assert everything(desk) == before


def test_an_expense_that_is_none_is_named(desk: Desk) -> None:
    """By its number."""
    with pytest.raises(NumberUnknownError, match="there is no expense 9"):
        expense_card(desk, 9)


@on_both
def test_a_list_holds_what_was_taken_back_twice(desk: Desk) -> None:
    """In its own month as it was spent, and below zero in the month it was voided."""
    record_expense(desk, RENT)
    record_expense(desk, STAMPS)
    in_april = later(desk, date(2026, 4, 9))
    void_document(in_april, Document(DocumentKind.EXPENSE, 1), "was private")
    listed = [(each.day, each.what.number, each.sign, each.voided) for each in expenses(desk)]
    assert listed == [(DAY, 1, 1, ""), (DAY, 2, 1, ""), (date(2026, 4, 9), 1, -1, "was private")]
    assert [each.what.number for each in expenses(desk, Month(2026, 3))] == [1, 2]
    assert [(each.what.number, each.sign) for each in expenses(desk, Month(2026, 4))] == [(1, -1)]
    assert [each.what.number for each in expenses(desk, category=ExpenseCategory.POSTAGE)] == [2]
    assert expenses(desk, Month(2026, 5)) == ()
    assert expense_card(desk, 1).voided is not None


def test_the_books_verify_after_expenses(desk: Desk) -> None:
    """The chain holds what was spent and what was voided."""
    record_expense(desk, RENT)
    void_document(desk, Document(DocumentKind.EXPENSE, 1), "was private")
    with desk.reading() as work:
        assert work.journal.verify() == work.journal.head()
