"""Money on pages: how it stands, expenses with their receipts, deposits, money that moves, what is taken back."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.counter.station import Station
from shopledger.desk.books.banking import balances, moves
from shopledger.desk.books.deposits import deposit_card, deposits
from shopledger.desk.books.spending import expense_card, expenses
from shopledger.desk.context import Desk
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoveKind
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.typed.words import typed_word
from tests.counter.visitor import Visitor

RENT = {
    "payee": "Alder Row Estates",
    "amount": "850",
    "category": "rent-of-premises",
    "description": "rent for March",
    "method": "bank",
    "reference": "transfer 7",
}
DEPOSIT = {"customer": "Fernhollow", "amount": "100", "method": "check", "reference": "1042"}


def lies(desk: Desk, account: Account) -> int:
    """Give what lies in an account of money, or is owed on it."""
    return dict(balances(desk))[account]


def test_the_overview_says_how_the_money_stands(visitor: Visitor) -> None:
    """Words for who keeps no books; the most usual deeds stand first."""
    said = visitor.go("/money").words
    for each in ("What the shop has", "What the shop owes", "New expense", "Goods on hand"):
        assert each in said


def test_an_expense_is_recorded_with_its_receipt(visitor: Visitor, desk: Desk, station: Station) -> None:
    """The picture is kept as the proof, and comes out as it went in."""
    picture = b"\x89PNG of a receipt"
    visitor.go("/money/expenses/new").send({**RENT, "receipt": ("photo.png", picture)})
    assert visitor.path == "/money/expenses/1"
    expense = expense_card(desk, 1).expense
    assert (expense.category, expense.method, expense.amount) == (ExpenseCategory.RENT, SpendMethod.BANK, 85000)
    visitor.press("/money/expenses/1/receipt")
    (written,) = Path(station.papers).iterdir()
    assert written.read_bytes() == picture


def test_an_expense_without_any_proof_is_recorded(visitor: Visitor, desk: Desk) -> None:
    """Small things have no receipt."""
    visitor.go("/money/expenses/new").send({**RENT, "reference": ""})
    assert expense_card(desk, 1).receipt is None
    assert "none was kept" in visitor.words


def test_an_expense_sent_twice_is_recorded_once(visitor: Visitor, desk: Desk) -> None:
    """A second press spends nothing again."""
    visitor.go("/money/expenses/new").send(RENT, again=True)
    assert "recorded already" in visitor.words
    assert len(expenses(desk)) == 1


def test_the_same_expense_again_is_asked_about(visitor: Visitor, desk: Desk) -> None:
    """Two alike on one day may be one; whoever knows says yes."""
    visitor.go("/money/expenses/new").send(RENT)
    visitor.go("/money/expenses/new").send(RENT)
    assert visitor.code == 422
    code = visitor.text.split('name="accept" value="')[1].split('"')[0]
    visitor.send({"payee": RENT["payee"], "accept": code})
    assert len(expenses(desk)) == 2


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("amount", "0", "more than 0"),
        ("amount", "12,50", "a comma"),
        ("payee", "", "needed"),
        ("category", "", "needed"),
        ("description", "", "needed"),
        ("reference", "4111 1111 1111 1111", "card"),
        ("day", "2026-13-01", "no such day"),
        ("day", "2027-01-01", "after today"),
    ],
)
def test_what_is_wrong_with_an_expense_is_said_beside_its_field(
    visitor: Visitor, desk: Desk, field: str, typed: str, said: str
) -> None:
    """Nothing is stored, and nothing typed is lost."""
    visitor.go("/money/expenses/new").send({**RENT, field: typed})
    assert visitor.code == 422
    assert said in visitor.words
    assert f'href="#f-{field}"' in visitor.text
    assert visitor.form(has="payee").values["method"] == ["bank"]
    assert expenses(desk) == ()


def test_the_next_expense_of_its_kind_stands_there_already(visitor: Visitor, desk: Desk) -> None:
    """Rent is typed once: the next month only its day and its receipt are new."""
    visitor.go("/money/expenses/new").send({**RENT, "day": "2026-03-01"})
    assert 'href="/money/expenses/new?like=1"' in visitor.text
    visitor.go("/money/expenses/new?like=1").send({"reference": "transfer 8"})
    again = expense_card(desk, 2).expense
    assert (again.payee, again.amount, again.category) == ("Alder Row Estates", 85000, ExpenseCategory.RENT)
    assert visitor.go("/money/expenses/new?like=99").code == 404


def test_expenses_are_listed_by_month_and_category(visitor: Visitor) -> None:
    """With their sum."""
    visitor.go("/money/expenses/new").send(RENT)
    assert "$850.00" in visitor.go("/money/expenses").words
    assert "$850.00" in visitor.go("/money/expenses?month=2026-03&category=rent-of-premises").words
    assert "$850.00" not in visitor.go("/money/expenses?month=2026-02").words
    assert visitor.go("/money/expenses?month=March").code == 409


def test_a_mistake_is_taken_back_with_its_reason(visitor: Visitor, desk: Desk) -> None:
    """Nothing is deleted: the card says it."""
    visitor.go("/money/expenses/new").send(RENT)
    before = lies(desk, Account.BANK)
    visitor.go("/money/void/expense/1").send({"reason": "was private"})
    assert visitor.path == "/money/expenses/1"
    assert "was private" in visitor.words
    assert lies(desk, Account.BANK) == before + 85000
    assert visitor.go("/money/void/order/1").code == 409


def test_a_deposit_is_taken_and_given_back(visitor: Visitor, desk: Desk) -> None:
    """What is left stands there already, and it goes back as it came."""
    visitor.go("/money/deposits/new").send(DEPOSIT, again=True)
    assert [each.account.left for each in deposits(desk)] == [10000]
    assert "Odalys Fernhollow" in visitor.go("/money/deposits").words
    visitor.go("/money/deposits/1/give-back").send({"amount": "40"})
    assert deposit_card(desk, 1).account.left == 6000
    visitor.go("/money/deposits/1/give-back").send({"amount": "70"})
    assert visitor.code == 422
    assert 'href="#f-amount"' in visitor.text
    assert deposit_card(desk, 1).account.left == 6000


def test_a_deposit_begins_at_its_customer(visitor: Visitor, desk: Desk) -> None:
    """Whoever comes from a customer's page types no name."""
    typed = {name: value for name, value in DEPOSIT.items() if name != "customer"}
    visitor.go("/money/deposits/new?customer=1").send(typed)
    assert deposit_card(desk, 1).customer.name == "Odalys Fernhollow"


@pytest.mark.parametrize(
    ("kind", "more"),
    [
        (MoveKind.CONTRIBUTION, {"till": "bank"}),
        (MoveKind.DRAW, {"till": "bank"}),
        (MoveKind.WITHDRAWAL, {}),
        (MoveKind.OTHER_INCOME, {"note": "interest"}),
        (MoveKind.OPENING, {"till": "cash"}),
    ],
)
def test_money_moves(visitor: Visitor, desk: Desk, kind: MoveKind, more: dict[str, str]) -> None:
    """Each kind asks for what it has, and no more."""
    visitor.go(f"/money/moves/new/{typed_word(kind)}").send({"amount": "120", **more}, again=True)
    (found,) = moves(desk)
    assert (found.what.kind, found.what.amount) == (kind, 12000)
    assert "$120.00" in visitor.go("/money/moves").words


@pytest.mark.parametrize("kind", list(MoveKind))
def test_every_kind_of_move_has_its_page(visitor: Visitor, kind: MoveKind) -> None:
    """And stands in the list of what can have happened."""
    assert visitor.go(f"/money/moves/new/{typed_word(kind)}").code == 200
    assert f'href="/money/moves/new/{typed_word(kind)}"' in visitor.go("/money/moves").text


def test_cash_that_is_not_there_is_asked_about(visitor: Visitor, desk: Desk) -> None:
    """More than the drawer holds by the books needs a yes."""
    visitor.go("/money/moves/new/banked").send({"amount": "500"})
    assert visitor.code == 422
    assert moves(desk) == ()
    code = visitor.text.split('name="accept" value="')[1].split('"')[0]
    visitor.send({"amount": "500", "accept": code})
    assert len(moves(desk)) == 1
    visitor.go("/money/void/money/1").send({"reason": "counted wrong"})
    assert "counted wrong" in visitor.words


def test_hostile_text_stays_text(visitor: Visitor) -> None:
    """On the cards and in the lists."""
    hostile = "<script>alert(1)</script>"
    visitor.go("/money/expenses/new").send({**RENT, "payee": hostile, "description": hostile})
    visitor.go("/money/deposits/new").send({**DEPOSIT, "note": hostile})
    visitor.go("/money/moves/new/other-income").send({"amount": "1", "note": hostile})
    for path in ("/money", "/money/expenses", "/money/expenses/1", "/money/deposits/1", "/money/moves"):
        assert "<script>alert" not in visitor.go(path).text


@pytest.mark.parametrize("path", ["/money/expenses/9", "/money/deposits/9", "/money/moves/new/nothing"])
def test_what_is_not_there_is_said(visitor: Visitor, path: str) -> None:
    """In a sentence."""
    assert visitor.go(path).code == 404
