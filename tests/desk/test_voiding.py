"""Taking back what was recorded by mistake: reversed with a pointer, once, on a day that is open."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest

from shopledger.desk.books.banking import record_move
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.deposits import GiveBackRequest, deposit_card, give_back, pay_from_deposit, take_deposit
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.voiding import plan_voiding, void_document
from shopledger.desk.context import Desk
from shopledger.desk.people import add_supplier
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import BillRequest, GoodsBilled
from shopledger.ledger.books.documents import Document
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.stock import StockedKind
from shopledger.store.refusals import MonthClosedError, NumberUnknownError
from tests.desk.books import everything, on_both, postings
from tests.desk.family import DISTANCE, later, ordered
from tests.desk.test_deposits import FIFTY
from tests.desk.test_spending import RENT, close
from tests.documents import named
from tests.shelf import CASE

DAY = date(2026, 3, 2)
PUT_IN = MoneyMove(DAY, MoveKind.CONTRIBUTION, CashAccount.CASH, 7_000)

RECORDED: dict[str, Callable[[Desk], object]] = {
    "expense 1": lambda desk: record_expense(desk, RENT),
    "money 1": lambda desk: record_move(desk, PUT_IN),
    "deposit 1": lambda desk: take_deposit(desk, FIFTY),
}
"""Documents of each kind with what records the first of them."""


@on_both
@pytest.mark.parametrize("words", RECORDED)
def test_every_entry_of_a_document_is_reversed_with_a_pointer(desk: Desk, words: str) -> None:
    """On the day given; the old entry stays, and every account is as if it had never been."""
    document = Document.read(words)
    before = len(postings(desk))
    RECORDED[words](desk)
    recorded = postings(desk)[before:]
    done = void_document(later(desk, date(2026, 4, 3)), document, "a mistake")
    undone = postings(desk)[before + len(recorded) :]
    assert undone == [(f"taking back of {words}", account, -amount) for _, account, amount in recorded]
    with desk.reading() as work:
        assert work.voidings.of(document) == done.taken
        for number, entry in work.journal.of_documents([named(f"taking back of {words}")]):
            assert entry.day == date(2026, 4, 3)
            assert entry.reverses == number - len(done.entries)
        assert sum(work.balances.all().values()) == 0
        work.journal.verify()


@on_both
@pytest.mark.parametrize("words", RECORDED)
def test_a_document_is_taken_back_once(desk: Desk, words: str) -> None:
    """The day and the reason of the first time are named."""
    RECORDED[words](desk)
    void_document(desk, Document.read(words), "a mistake")
    before = everything(desk)
    with pytest.raises(RefusedError, match=rf"document is {words}; it was voided on 2026-03-02 \(a mistake\)"):
        void_document(desk, Document.read(words), "again")
    assert everything(desk) == before


@on_both
@pytest.mark.parametrize("words", [*RECORDED, "bill 1", "bill payment 1"])
def test_a_document_that_is_none_is_named(desk: Desk, words: str) -> None:
    """Nothing is stored for it."""
    before = everything(desk)
    with pytest.raises(NumberUnknownError, match=r"there is no .* 1 in the ledger"):
        void_document(desk, Document.read(words), "a mistake")
    assert everything(desk) == before


@on_both
def test_a_bill_is_taken_back_after_its_payments(desk: Desk) -> None:
    """The goods leave the shelf again, and nothing is owed to the supplier."""
    add_supplier(desk, Supplier("Harrow Row Frames"))
    goods = GoodsBilled(CASE.code, 4, unit_cost=500)
    record_bill(desk, BillRequest("Harrow Row", goods=(goods,), paid=SpendMethod.BANK))
    with desk.reading() as work:
        on_shelf = work.stock.level(StockedKind.ACCESSORY, CASE.code).on_hand
    with pytest.raises(RefusedError, match="Take 'bill payment 1' back first"):
        void_document(desk, Document.read("bill 1"), "was not ours")
    void_document(desk, Document.read("bill payment 1"), "was not ours")
    with desk.reading() as work:
        assert work.balances.of(Account.ACCOUNTS_PAYABLE) == -2_000
        assert work.balances.of(Account.BANK) == 0
    void_document(desk, Document.read("bill-1"), "was not ours")
    with desk.reading() as work:
        assert work.balances.of(Account.ACCOUNTS_PAYABLE) == 0
        assert work.stock.level(StockedKind.ACCESSORY, CASE.code).on_hand == on_shelf - 4
        worth = work.transaction.asked("SELECT SUM(cost) AS cost FROM stock_movement")[0].cost
        assert work.balances.of(Account.INVENTORY) == worth
    with pytest.raises(RefusedError, match="it was voided on 2026-03-02"):
        void_document(desk, Document.read("bill 1"), "again")


@on_both
def test_a_mistake_of_a_closed_month_is_taken_back_in_an_open_one(desk: Desk) -> None:
    """The closed month stays as it is."""
    record_expense(desk, RENT)
    close(desk, Month(2026, 3))
    in_april = later(desk, date(2026, 4, 3))
    before = everything(desk)
    with pytest.raises(MonthClosedError, match="the month 2026-03 is closed"):
        void_document(in_april, Document.read("expense 1"), "was private", date(2026, 3, 31))
    assert everything(desk) == before
    assert void_document(in_april, Document.read("expense 1"), "was private").taken.day == date(2026, 4, 3)


def test_a_day_before_the_document_or_to_come_is_refused(desk: Desk) -> None:
    """Between its day and today."""
    record_expense(desk, RENT)
    with pytest.raises(RefusedError, match="something happened to expense 1 on 2026-03-02"):
        void_document(desk, Document.read("expense 1"), "was private", date(2026, 3, 1))
    with pytest.raises(RefusedError, match="it lies after today"):
        void_document(desk, Document.read("expense 1"), "was private", date(2026, 3, 3))


def test_a_plan_stores_nothing(desk: Desk) -> None:
    """It shows the entries that would be posted."""
    record_expense(desk, RENT)
    before = everything(desk)
    plan = plan_voiding(desk, Document.read("expense 1"), "was private")
    assert [[posting.amount for posting in entry.postings] for entry in plan.entries] == [[-85_000, 85_000]]
    assert everything(desk) == before


@on_both
def test_a_deposit_that_an_order_stands_on_is_not_taken_back(desk: Desk) -> None:
    """Nor one of which some was handed back; that is voided first."""
    record_sale(desk, ordered(DISTANCE))
    take_deposit(desk, FIFTY)
    take_deposit(desk, FIFTY)
    pay_from_deposit(desk, 1, 1, 100)
    give_back(desk, 2, GiveBackRequest(100))
    with pytest.raises(RefusedError, match="order 1 was paid with it"):
        void_document(desk, Document.read("deposit 1"), "a mistake")
    with pytest.raises(RefusedError, match="Take 'deposit 3' back first"):
        void_document(desk, Document.read("deposit 2"), "a mistake")
    void_document(desk, Document.read("deposit 3"), "was not handed over")
    assert deposit_card(desk, 2).account.left == 5_000
    void_document(desk, Document.read("deposit 2"), "a mistake")
    assert deposit_card(desk, 2).account.left == 0


def test_cash_that_is_gone_is_taken_back_with_a_yes(desk: Desk) -> None:
    """Without it the books would say that less than nothing lies in the till."""
    record_move(desk, PUT_IN)
    record_move(desk, MoneyMove(DAY, MoveKind.BANKED, CashAccount.BANK, 7_000))
    with pytest.raises(FindingsRefusedError, match=r"70\.00 is taken out of the cash, where nothing lies"):
        void_document(desk, Document.read("money 1"), "was not put in")
    void_document(desk, Document.read("money 1"), "was not put in", accept=frozenset({"CASH-SHORT"}))
