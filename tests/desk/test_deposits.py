"""Deposits at the desk: taken, used on orders, put back by a cancellation, handed back; never below zero."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopledger.desk.books.deposits import (
    DepositRequest,
    GiveBackRequest,
    deposit_card,
    deposits,
    give_back,
    pay_from_deposit,
    plan_give_back,
    take_deposit,
)
from shopledger.desk.books.goods_moves import bring_in
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.orders import cancel_order, give_refund, take_payment
from shopledger.desk.people import add_customer
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.period import Month
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, Payment, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.store.refusals import MonthClosedError, NumberUnknownError
from tests.desk.books import everything, notes, on_both, postings, words_in
from tests.desk.family import DISTANCE, later, ordered
from tests.desk.test_spending import close
from tests.shelf import CASE, CUSTOMER, HOME

DAY = date(2026, 3, 2)
FIFTY = DepositRequest(CUSTOMER, 5_000, Method.CHECK, "1187", "towards sunglasses")


@pytest.fixture
def held(desk: Desk) -> Desk:
    """Take a check for 50.00, and sell a pair for 180.00 of which nothing is paid."""
    take_deposit(desk, FIFTY)
    record_sale(desk, ordered(DISTANCE))
    return desk


@on_both
def test_a_deposit_is_money_owed_to_the_customer(desk: Desk) -> None:
    """It is no sale and no payment yet."""
    before = len(postings(desk))
    card = take_deposit(desk, FIFTY)
    assert (card.account.deposit.number, card.customer.name, card.account.left) == (1, CUSTOMER, 5_000)
    assert postings(desk)[before:] == [("deposit 1", "bank", 5_000), ("deposit 1", "customer deposits", -5_000)]
    assert deposit_card(desk, 1) == card


@on_both
def test_an_order_is_paid_from_a_deposit(held: Desk) -> None:
    """No money moves; it is held for the order until its goods leave, and the payment says how it had come."""
    before = len(postings(held))
    account = pay_from_deposit(held, 1, 1, 3_000)
    assert account.payments == (Payment(1, DAY, 3_000, Method.CHECK, "1187", deposit_number=1, number=1),)
    assert account.balance == 15_000
    assert postings(held)[before:] == [
        ("payment 1", "customer deposits", 3_000),
        ("payment 1", "customer prepayments", -3_000),
    ]
    assert deposit_card(held, 1).account.left == 2_000


@on_both
def test_without_an_amount_as_much_is_paid_as_is_left_or_owed(held: Desk) -> None:
    """First the deposit runs out; then the order owes less than the deposit holds."""
    assert pay_from_deposit(held, 1, 1).payments[0].amount == 5_000
    take_payment(held, 1, PaymentRequest(12_000, Method.CASH))
    take_deposit(held, FIFTY)
    assert pay_from_deposit(held, 1, 2).balance == 0
    assert deposit_card(held, 2).account.left == 4_000
    with pytest.raises(RefusedError, match="The order is paid in full"):
        pay_from_deposit(held, 1, 2)
    record_sale(held, ordered(DISTANCE))
    with pytest.raises(RefusedError, match=r"only 0\.00 is left of deposit 1"):
        pay_from_deposit(held, 2, 1)


@on_both
def test_what_a_deposit_cannot_pay_is_refused(held: Desk) -> None:
    """More than is left or owed, another customer's, a day before it came, and a number that is none."""
    add_customer(held, "Bram Ollerenshaw", HOME)
    record_sale(held, OrderRequest("Bram", accessories=(AccessoryRequest(CASE.code),), shipping=0))
    before = everything(held)
    with pytest.raises(RefusedError, match=r"amount is 50\.01; only 50\.00 is left of deposit 1"):
        pay_from_deposit(held, 1, 1, 5_001)
    with pytest.raises(RefusedError, match=r"only 180\.00 is still owed"):
        pay_from_deposit(held, 1, 1, 18_001)
    with pytest.raises(FindingsRefusedError, match="money is Odalys Fernhollow's, and order 2 is Bram Ollerenshaw's"):
        pay_from_deposit(held, 2, 1)
    with pytest.raises(RefusedError, match="the order was recorded on 2026-03-02"):
        pay_from_deposit(held, 1, 1, 100, date(2026, 3, 1))
    with pytest.raises(RefusedError, match=r"payment is -1\.00; it must be more than 0"):
        pay_from_deposit(held, 1, 1, -100)
    with pytest.raises(NumberUnknownError, match="there is no deposit 9"):
        pay_from_deposit(held, 1, 9)
    assert everything(held) == before


@on_both
def test_a_cancelled_order_puts_its_money_back_into_the_deposit(held: Desk) -> None:
    """Only what came in otherwise is paid back; the books owe the customer the deposit again."""
    pay_from_deposit(held, 1, 1, 3_000)
    take_payment(held, 1, PaymentRequest(2_000, Method.CARD, "4242"))
    done = cancel_order(later(held, date(2026, 3, 5)), 1, "changed her mind")
    assert [payment.amount for payment in done.repaid] == [2_000]
    assert [(payment.amount, payment.deposit_number) for payment in done.put_back] == [(3_000, 1)]
    account = deposit_card(held, 1).account
    assert (account.left, account.uses[0].put_back_on) == (5_000, date(2026, 3, 5))
    with held.reading() as work:
        assert work.balances.of(Account.CUSTOMER_DEPOSITS) == -5_000
        assert work.balances.of(Account.RECEIVABLE) == 0


@on_both
def test_an_order_paid_from_a_deposit_is_refunded_in_money(held: Desk) -> None:
    """A refund follows its own rules, and the deposit stays used."""
    pay_from_deposit(held, 1, 1)
    give_refund(held, 1, RefundRequest(Method.CHECK, "scratched", (RefundedLine(1, 5_000),)))
    assert deposit_card(held, 1).account.left == 0


def test_a_receipt_shows_how_the_customer_had_paid(held: Desk, tmp_path: Path) -> None:
    """With the check's number, as if it had been handed over for the order."""
    pay_from_deposit(held, 1, 1)
    take_payment(held, 1, PaymentRequest(13_000, Method.CASH))
    printed = issue_receipt(held, 1, CUSTOMER, tmp_path)
    assert [(paid.method, paid.reference, paid.amount) for paid in printed.receipt.content.payments] == [
        ("check", "1187", 5_000),
        ("cash", "", 13_000),
    ]
    assert "1187" in words_in(printed.file)


@on_both
def test_a_deposit_is_handed_back_in_parts_and_whole(held: Desk) -> None:
    """By the way it came unless another is named; each under a number of its own."""
    give_back(held, 1, GiveBackRequest(2_000))
    card = give_back(held, 1, GiveBackRequest(note="moved away"))
    assert [(each.deposit.number, each.deposit.amount) for each in card.account.given_back] == [(2, 2_000), (3, 3_000)]
    assert [(each.deposit.method, each.deposit.reference) for each in card.account.given_back] == [
        (Method.CHECK, "1187")
    ] * 2
    assert card.account.left == 0
    assert postings(held)[-2:] == [("deposit 3", "bank", -3_000), ("deposit 3", "customer deposits", 3_000)]
    before = everything(held)
    with pytest.raises(RefusedError, match=r"only 0\.00 is left of deposit 1"):
        give_back(held, 1, GiveBackRequest())
    with pytest.raises(RefusedError, match="that is the giving back of deposit 1"):
        give_back(held, 2, GiveBackRequest())
    assert everything(held) == before


def test_more_is_never_handed_back_than_is_left(held: Desk) -> None:
    """A part that an order was paid with is the shop's."""
    pay_from_deposit(held, 1, 1, 4_000)
    with pytest.raises(RefusedError, match=r"amount is 10\.01; only 10\.00 is left"):
        plan_give_back(held, 1, GiveBackRequest(1_001))
    assert plan_give_back(held, 1, GiveBackRequest()).handed.amount == 1_000


def test_cash_that_does_not_lie_there_is_handed_back_with_a_yes(held: Desk) -> None:
    """The check went to the bank; the till is empty."""
    asked = GiveBackRequest(1_000, Method.CASH)
    with pytest.raises(FindingsRefusedError, match="CASH-SHORT"):
        give_back(held, 1, asked)
    given_back = give_back(held, 1, GiveBackRequest(1_000, Method.CASH, accept=frozenset({"CASH-SHORT"})))
    assert given_back.account.given_back[0].deposit.reference == ""
    assert notes(held)[-1] == ("tester", "accepted a warning", "deposit 2 CASH-SHORT")


@on_both
def test_a_day_to_come_and_a_closed_month_take_no_deposit(held: Desk) -> None:
    """Neither taken, nor used, nor handed back."""
    in_april = later(held, date(2026, 4, 2))
    close(held, Month(2026, 3))
    before = everything(held)
    with pytest.raises(RefusedError, match="it lies after today"):
        take_deposit(held, DepositRequest(CUSTOMER, 1, Method.CASH, day=date(2026, 3, 3)))
    with pytest.raises(MonthClosedError, match="the month 2026-03 is closed"):
        take_deposit(in_april, DepositRequest(CUSTOMER, 1, Method.CASH, day=date(2026, 3, 3)))
    with pytest.raises(MonthClosedError, match="the month 2026-03 is closed"):
        pay_from_deposit(in_april, 1, 1, day=date(2026, 3, 3))
    with pytest.raises(MonthClosedError, match="the month 2026-03 is closed"):
        give_back(in_april, 1, GiveBackRequest(day=date(2026, 3, 3)))
    assert everything(held) == before


def test_deposits_are_listed_while_something_is_left(held: Desk) -> None:
    """Of one customer or of all; on request those used up as well."""
    add_customer(held, "Bram Ollerenshaw", HOME)
    take_deposit(held, DepositRequest("Bram", 700, Method.CASH))
    pay_from_deposit(held, 1, 1)
    assert [card.account.deposit.number for card in deposits(held)] == [2]
    assert [card.account.deposit.number for card in deposits(held, used_up=True)] == [1, 2]
    assert [card.customer.name for card in deposits(held, "Odalys", used_up=True)] == [CUSTOMER]


STEPS = st.lists(
    st.tuples(st.sampled_from(["pay", "hand", "cancel", "undo"]), st.integers(1, 6_000), st.integers(2, 9)), max_size=8
)


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=STEPS)
def test_a_deposit_is_never_below_zero(desk: Desk, steps: list[tuple[str, int, int]]) -> None:
    """On no day, in whatever order it is used, handed back, put back and undone: what is refused stores nothing."""
    desk = later(desk, date(2026, 3, 9))
    with desk.writing() as work:
        bring_in(work, StockMovement(DAY, StockedKind.ACCESSORY, CASE.code, 50, 20_000, StockReason.OPENING))
    number = take_deposit(desk, DepositRequest(CUSTOMER, 5_000, Method.CASH, day=DAY)).account.deposit.number or 0
    for step, amount, day in steps:
        try:
            _take_step(desk, number, step, amount, date(2026, 3, day))
        except (RefusedError, FindingsRefusedError):
            continue
    account = deposit_card(desk, number).account
    assert 0 <= account.left <= 5_000
    assert account.left == 5_000 - account.used - account.returned
    for each in range(2, 10):
        assert 0 <= account.free_from(date(2026, 3, each)) <= 5_000
    with desk.reading() as work:
        open_ones = sum(each.left for each in work.deposits.accounts())
        assert work.balances.of(Account.CUSTOMER_DEPOSITS) == -open_ones
        for each in range(1, 10):
            assert work.balances.of(Account.CUSTOMER_DEPOSITS, date(2026, 3, each)) <= 0


def _take_step(desk: Desk, number: int, step: str, amount: int, day: date) -> None:
    account = deposit_card(desk, number).account
    if step == "pay":
        case = OrderRequest(CUSTOMER, accessories=(AccessoryRequest(CASE.code),), shipping=2_000, day=DAY)
        order = record_sale(desk, case).order.number or 0
        pay_from_deposit(desk, order, number, amount, day)
    elif step == "hand":
        give_back(desk, number, GiveBackRequest(amount, day=day, accept=frozenset({"CASH-SHORT"})))
    elif step == "cancel" and account.uses:
        cancel_order(desk, account.uses[-1].order_number, "changed her mind", day)
    elif step == "undo" and account.given_back:
        handed = Document(DocumentKind.DEPOSIT, account.given_back[-1].deposit.number or 0)
        void_document(desk, handed, "a mistake", day)
