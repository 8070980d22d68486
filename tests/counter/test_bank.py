"""The bank on pages: a statement taken in, its lines said what they are, the month brought together and printed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.counter.station import Station
from shopledger.desk.books.bank_matching import line_card, shown_lines
from shopledger.desk.books.banking import record_move
from shopledger.desk.books.spending import expenses, record_expense
from shopledger.desk.books.statements import bank_accounts, keep_account
from shopledger.desk.context import Desk
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.statements import BankAccount
from tests.counter.visitor import Visitor
from tests.statements import ofx, transaction

CSV = b"Date,What,Amount,Balance\n03/03/2026,Alder Row Estates,-850.00,150.00\n03/05/2026,Monthly fee,-12.00,138.00\n"
FEE = transaction("20260305", "-12.00", "2", "MONTHLY FEE", kind="FEE")
RENT = transaction("20260303", "-850.00", "1", "ALDER ROW ESTATES", kind="DEBIT")


@pytest.fixture
def desk(desk: Desk) -> Desk:
    """Keep an account that held 1,000.00 when the books began, out of which the rent was paid."""
    keep_account(desk, BankAccount("Checking", "5678"))
    record_move(desk, MoneyMove(date(2026, 3, 1), MoveKind.OPENING, CashAccount.BANK, 100_000))
    rent = Expense(
        date(2026, 3, 2), "Alder Row Estates", ExpenseCategory.RENT, "rent for March", 85_000, SpendMethod.BANK, "t 7"
    )
    record_expense(desk, rent)
    return desk


@pytest.fixture
def station(station: Station) -> Station:
    """Stand at the counter in April."""
    return replace(station, day=date(2026, 4, 6))


def statement(*lines: str, balance: str = "138.00") -> tuple[str, bytes]:
    """Give a statement of March as the bank's file."""
    text = ofx(*lines, first="20260301", last="20260331", balance=balance, balance_day="20260331")
    return "march.ofx", text.encode()


@pytest.fixture
def taken(visitor: Visitor) -> Visitor:
    """Take in March's statement: the rent, and a fee that the books do not know."""
    return visitor.go("/money/bank/import").send({"statement": statement(RENT, FEE)})


def test_a_statement_is_taken_in(taken: Visitor, desk: Desk) -> None:
    """Its lines stand on the page, what is sure apart from what has to be said."""
    assert taken.path == "/money/bank"
    assert "2 new lines" in taken.words
    assert "Surely these" in taken.words
    assert "MONTHLY FEE" in taken.words
    assert len(shown_lines(desk)) == 2
    assert "Bank and books in 2026-03" in taken.words


def test_the_same_file_again_changes_nothing(taken: Visitor, desk: Desk) -> None:
    """Whoever is not sure whether it was taken in takes it in again."""
    taken.go("/money/bank/import").send({"statement": statement(RENT, FEE)})
    assert "0 new lines, 2 there already" in taken.words
    assert len(shown_lines(desk)) == 2


def test_what_is_sure_is_matched_at_once(taken: Visitor, desk: Desk) -> None:
    """One button for all of it; pressed again nothing is left to do."""
    taken.press("/money/bank/match")
    assert "1 matched, 1 left" in taken.words
    assert [str(each.document) for each in line_card(desk, 1).shown.entries] == ["expense 1"]


def test_a_line_is_said_what_it_is_and_open_again(taken: Visitor, desk: Desk) -> None:
    """What it could be is offered; a slip is taken back."""
    taken.go("/money/bank/lines/1").send(to="/money/bank/lines/1/is")
    assert line_card(desk, 1).shown.entries
    taken.go("/money/bank/lines/1").press("/money/bank/lines/1/unmatch")
    assert not line_card(desk, 1).shown.entries


def test_a_line_that_the_books_do_not_know_is_recorded(taken: Visitor, desk: Desk) -> None:
    """A fee needs no more than its name; it is matched at once, and stored once."""
    taken.go("/money/bank/lines/2").send({"meaning": "fee"}, again=True)
    (fee,) = [each.what for each in expenses(desk) if each.what.amount == 1200]
    assert fee.category is ExpenseCategory.FEES
    assert line_card(desk, 2).shown.entries


def test_a_paid_expense_needs_its_category(taken: Visitor, desk: Desk) -> None:
    """It is said on the page, and nothing is stored before."""
    taken.go("/money/bank/lines/2").send({"meaning": "expense"})
    assert taken.code == 422
    assert len(expenses(desk)) == 1
    taken.send({"meaning": "expense", "category": "software-and-services", "payee": "Nimbus Tools", "description": "x"})
    assert len(expenses(desk)) == 2


def test_several_entries_together_are_one_line(taken: Visitor, desk: Desk) -> None:
    """They have to come to it to the cent."""
    for amount in (500, 700):
        spent = Expense(
            date(2026, 3, 2), "Copy Hut", ExpenseCategory.OFFICE, f"{amount}", amount, SpendMethod.BANK, f"r {amount}"
        )
        record_expense(desk, spent)
    taken.go("/money/bank/lines/2/together").send({"documents": ["expense-2"]})
    assert taken.code == 422
    taken.send({"documents": ["expense-2", "expense-3"]})
    assert {str(each.document) for each in line_card(desk, 2).shown.entries} == {"expense 2", "expense 3"}


def test_two_lines_that_come_to_nothing_are_paired(visitor: Visitor, desk: Desk) -> None:
    """A transfer between own accounts, or an error and its correction."""
    wrong = transaction("20260306", "-40.00", "3", "SERVICE", kind="DEBIT")
    right = transaction("20260307", "40.00", "4", "SERVICE REVERSED")
    visitor.go("/money/bank/import").send({"statement": statement(RENT, FEE, wrong, right)})
    visitor.go("/money/bank/lines/3").press("/money/bank/lines/3/pair")
    assert line_card(desk, 3).shown.other == 4


def test_a_month_is_brought_together_and_printed(taken: Visitor, station: Station) -> None:
    """It says in a sentence whether bank and books agree, and what to do."""
    assert "is not in the books" in taken.go("/money/bank/months/2026-03").words or "are not" in taken.words
    taken.go("/money/bank").press("/money/bank/match")
    taken.go("/money/bank/lines/2").send({"meaning": "fee"})
    assert "agree at $138.00" in taken.go("/money/bank/months/2026-03").words
    taken.press("/money/bank/months/2026-03/print")
    (paper,) = Path(station.papers).iterdir()
    assert paper.read_bytes().startswith(b"%PDF")


def test_a_month_of_which_the_bank_says_nothing_leads_to_its_statement(visitor: Visitor) -> None:
    """The page says what lacks, and has the ways to bring it."""
    visitor.go("/money/bank/months/2026-03")
    assert visitor.code == 200
    assert "shopledger" not in visitor.words
    for way in ("/money/bank/import", "/money/bank/balance"):
        assert f'href="{way}"' in visitor.text
    assert visitor.go("/money/bank/months/soon").code == 409


def test_an_account_and_a_balance_from_paper_are_kept(visitor: Visitor, desk: Desk) -> None:
    """No more than four digits of its number."""
    visitor.go("/money/bank/accounts/new").send({"name": "Savings", "ending": "12345678"})
    assert visitor.code == 422
    assert 'href="#f-ending"' in visitor.text
    visitor.send({"name": "Savings", "ending": "1234"})
    visitor.go("/money/bank/balance").send({"account": "Savings", "amount": "20", "day": "2026-03-31"})
    said = {account.name: balance for account, balance in bank_accounts(desk)}["Savings"]
    assert said is not None
    assert said.amount == 2000


def test_the_columns_of_a_csv_file_are_said_once(visitor: Visitor, desk: Desk) -> None:
    """Tried on the file at hand, and kept: the next file needs none of it."""
    visitor.go("/money/bank/columns").send(
        {"account": "Checking", "statement": ("m.csv", CSV), "day": "Date", "amount": "Amount", "text": "What",
         "balance": "Balance"}
    )  # fmt: skip
    assert "2 lines were read so" in visitor.words
    visitor.go("/money/bank/import").send({"statement": ("m.csv", CSV), "account": "Checking"})
    assert [each.line.text for each in shown_lines(desk)] == ["Alder Row Estates", "Monthly fee"]


@pytest.mark.parametrize(
    ("file", "said"), [(("x.ofx", b"nothing"), ""), (("x.csv", CSV), "columns"), (("x.pdf", b"%PDF-1.4"), "")]
)
def test_a_file_that_cannot_be_read_brings_nothing(
    visitor: Visitor, desk: Desk, file: tuple[str, bytes], said: str
) -> None:
    """The page says why, and has the way on."""
    visitor.go("/money/bank/import").send({"statement": file, "account": "Checking"})
    assert visitor.code == 422
    assert said in visitor.words
    assert "/money/bank/columns" in visitor.text
    assert shown_lines(desk) == ()


def test_without_a_file_nothing_is_taken_in(visitor: Visitor) -> None:
    """The field says that it is needed."""
    visitor.go("/money/bank/import").send({"account": "Checking"})
    assert visitor.code == 422
    assert 'href="#f-statement"' in visitor.text


def test_what_the_bank_says_stays_text(visitor: Visitor) -> None:
    """A line that is a piece of a page is shown as what it says."""
    odd = transaction("20260305", "-12.00", "2", "&lt;script&gt;alert(1)&lt;/script&gt;", kind="FEE")
    visitor.go("/money/bank/import").send({"statement": statement(RENT, odd)})
    for path in ("/money/bank", "/money/bank/lines", "/money/bank/lines/2"):
        assert "alert(1)" in visitor.go(path).words
        assert "<script>alert" not in visitor.text
