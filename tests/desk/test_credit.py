"""Credit in the place of money: what an order gives back waits for a later order, and no money moves."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.deposits import (
    DepositRequest,
    GiveBackRequest,
    deposit_card,
    deposits,
    give_back,
    pay_from_deposit,
    take_deposit,
)
from shopledger.desk.books.reports import export_period, export_year, period_figures, year_figures
from shopledger.desk.books.voiding import void_document
from shopledger.desk.changing_orders import PricesAgreed
from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.payment_corrections import correct_payment
from shopledger.desk.putting_right import CorrectionTerms, record_correction
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.books.customer_rows import DepositEvent, DepositRow
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.open_rows import OpenKind, OpenRow
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.payment_corrections import Change
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.settings import Accounting
from tests.desk.books import assert_sheets_meet_accounts, everything, on_both, postings, words_in
from tests.desk.family import DISTANCE, TWICE, ordered
from tests.shelf import CASE, CUSTOMER

TEN = RefundRequest(Method.CREDIT, "a scratch", (RefundedLine(1, 1_000),))
MARCH = Month(2026, 3)


@pytest.fixture
def paid(desk: Desk) -> Desk:
    """Sell a pair, and be paid for it in cash."""
    account = record_sale(desk, ordered(DISTANCE))
    take_payment(desk, 1, PaymentRequest(account.balance, Method.CASH))
    return desk


@on_both
def test_a_credit_is_owed_to_the_customer_and_no_money_moves(paid: Desk) -> None:
    """Returns are debited as in any refund, and the customer's deposits credited; it is kept with its refund."""
    ship_order(paid, 1, "Harrow Post", without_inspection="a trial")
    before = len(postings(paid))
    done = give_refund(paid, 1, TEN)
    assert postings(paid)[before:] == [
        ("refund 1", "returns and allowances", 1_000),
        ("refund 1", "customer deposits", -1_000),
    ]
    assert done.credit is not None
    card = deposit_card(paid, done.credit)
    assert (card.customer.name, card.account.left, card.account.deposit.method) == (CUSTOMER, 1_000, Method.CREDIT)
    with paid.reading() as work:
        assert work.refunds.of_credit(done.credit) == 1
    assert prove_books(paid).holds


@on_both
def test_it_pays_a_later_order_and_what_is_cancelled_puts_it_back(paid: Desk) -> None:
    """As a deposit does; both orders say that it was credit."""
    credit = give_refund(paid, 1, TEN).credit or 0
    order = OrderRequest("1", (), (AccessoryRequest(CASE.code, 1),), accept=TWICE)
    for again in (False, True):
        number = record_sale(paid, order).order.number or 0
        account = pay_from_deposit(paid, number, credit, 400)
        assert [(each.method, each.amount) for each in account.payments] == [(Method.CREDIT, 400)]
        if again:
            cancel_order(paid, number, "ordered twice")
    assert deposit_card(paid, credit).account.left == 600
    assert [each.method for each in order_account(paid, 1).refunds] == [Method.CREDIT]
    assert prove_books(paid).holds
    assert_sheets_meet_accounts(paid, MARCH.days)


@on_both
def test_cash_knows_nothing_of_it_until_money_goes(paid: Desk, tmp_path: Path) -> None:
    """Neither in nor out, in the month and in the year; all sheets agree, and it can be paid out in money at last."""
    ship_order(paid, 1, "Harrow Post", without_inspection="a trial")
    (first, _), worth = period_figures(paid, MARCH.days), year_figures(paid, Period.of_year(2026))
    credit = give_refund(paid, 1, TEN).credit or 0
    pay = record_sale(paid, OrderRequest("1", (), (AccessoryRequest(CASE.code, 1),), accept=TWICE)).order.number or 0
    pay_from_deposit(paid, pay, credit, 400)
    figures, _ = period_figures(paid, MARCH.days)
    assert (figures.money.received, figures.money.given_back) == (first.money.received, first.money.given_back)
    assert (figures.money.deposits_taken, figures.money.to_deposits) == (0, 1_000)
    assert figures.accrual_result + sum(figures.between.values()) == figures.cash_result
    year = year_figures(paid, Period.of_year(2026))
    line = {accounting: year.schedule(accounting)["3"] for accounting in Accounting}
    assert year.schedule(Accounting.CASH)["2"] == 1_000
    assert abs(line[Accounting.CASH] - worth.schedule(Accounting.CASH)["3"]) < 100
    give_back(paid, credit, GiveBackRequest(100, Method.CASH, accept=frozenset({"CASH-SHORT"})))
    export_period(paid, MARCH.days, tmp_path)
    export_year(paid, Period.of_year(2026), tmp_path)


@on_both
def test_goods_returned_in_exchange_leave_credit_too(paid: Desk) -> None:
    """What a correction gives back of what was paid waits in the same way."""
    terms = CorrectionTerms("agreed by telephone", method=Method.CREDIT)
    done = record_correction(paid, PricesAgreed(1, {1: 16_000}, terms))
    assert done.refund is not None
    assert (done.refund.method, done.refund.amount) == (Method.CREDIT, 2_000)
    assert [each.account.left for each in deposits(paid)] == [2_000]
    assert prove_books(paid).holds


@on_both
def test_credit_is_no_money(paid: Desk) -> None:
    """It comes from a line of an order alone, is taken from its deposit alone, and goes back as money alone."""
    credit = give_refund(paid, 1, TEN).credit or 0
    other = record_sale(paid, OrderRequest("1", (), (AccessoryRequest(CASE.code, 1),), accept=TWICE)).order.number or 0
    cash = take_payment(paid, other, PaymentRequest(100, Method.CASH)).payments[-1].number or 0
    before = everything(paid)
    with pytest.raises(RefusedError, match=r"an allowance belongs to a line of an order.*refund give ORDER --line"):
        take_deposit(paid, DepositRequest("1", 1_000, Method.CREDIT))
    with pytest.raises(RefusedError, match="payment take ORDER --deposit"):
        take_payment(paid, other, PaymentRequest(100, Method.CREDIT))
    with pytest.raises(RefusedError, match="payment take ORDER --deposit"):
        correct_payment(paid, Change(cash, "it was credit", method=Method.CREDIT))
    with pytest.raises(RefusedError, match="Say how, as in --method check"):
        give_back(paid, credit, GiveBackRequest())
    with pytest.raises(RefusedError, match="no money came in"):
        void_document(paid, Document(DocumentKind.DEPOSIT, credit), "a mistake")
    with pytest.raises(RefusedError, match="line"):
        give_refund(paid, 1, RefundRequest(Method.CREDIT, "for the trouble", (RefundedLine(9, 1_000),)))
    assert everything(paid) == before


def test_receipts_say_that_it_was_credit(paid: Desk, tmp_path: Path) -> None:
    """On the order that gave it and on the one that used it."""
    credit = give_refund(paid, 1, TEN).credit or 0
    number = record_sale(paid, ordered(DISTANCE)).order.number or 0
    pay_from_deposit(paid, number, credit)
    rest = order_account(paid, number).balance
    take_payment(paid, number, PaymentRequest(rest, Method.CHECK, "1187"))
    for each, words in ((1, ("credit", "10.00")), (number, ("credit", "10.00"))):
        issued = issue_receipt(paid, each, CUSTOMER, tmp_path)
        said = words_in(issued.file)
        assert all(word in said.lower() for word in words), said


def test_the_day_of_a_credit_is_that_of_its_refund(paid: Desk) -> None:
    """It cannot be used before."""
    credit = give_refund(paid, 1, TEN).credit or 0
    assert deposit_card(paid, credit).account.deposit.day == date(2026, 3, 2)


@on_both
def test_a_credit_is_held_for_the_customer_at_the_cut_off(paid: Desk) -> None:
    """Among the deposits, with what it was, what was used of it, and what is left; nobody took any money."""
    credit = give_refund(paid, 1, TEN).credit or 0
    other = record_sale(paid, OrderRequest("1", (), (AccessoryRequest(CASE.code, 1),), accept=TWICE)).order.number or 0
    pay_from_deposit(paid, other, credit, 400)
    with paid.reading() as work:
        held = [row for row in work.reports.rows(OpenRow, MARCH.days) if row.kind is OpenKind.DEPOSIT]
        events = [(row.event, row.taken, row.used) for row in work.reports.rows(DepositRow, MARCH.days)]
    told = [(row.number, row.about, row.whole, row.paid, row.left) for row in held]
    assert told == [(credit, "credit", 1_000, 400, 600)]
    assert events == [(DepositEvent.CREDITED, 0, -1_000), (DepositEvent.USED, 0, 400)]
