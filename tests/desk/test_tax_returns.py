"""Sales tax: exemptions are frozen on the order, and each state's figures are what a pencil makes of the orders."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.desk.books.banking import record_move
from shopledger.desk.books.reports import tax_due
from shopledger.desk.context import Desk
from shopledger.desk.orders import cancel_order, give_refund, ship_order
from shopledger.desk.sales import plan_sale, record_sale
from shopledger.desk.tax_rates import set_tax_rate
from shopledger.errors import RefusedError
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Period
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.taxes import RATE_OVERLAPS, ImposedOn, TaxRate
from tests.desk.books import on_both, postings
from tests.desk.family import TWICE, later
from tests.shelf import CASE, CUSTOMER, SHADES

DAY, END = date(2026, 3, 2), date(2026, 3, 31)
SEVEN = 70_000
YES = frozenset({RATE_OVERLAPS})


def goods(**more: object) -> OrderRequest:
    """Ask for two cases at 12.00 and a pair of sunglasses, sent free of charge."""
    wanted = (AccessoryRequest(CASE.code, 2), AccessoryRequest(SHADES.code))
    return OrderRequest(CUSTOMER, (), wanted, shipping=0, accept=TWICE, **more)  # type: ignore[arg-type]


@pytest.fixture
def taxed(desk: Desk) -> Desk:
    """Tax accessories at 7 %, and say why shades are not taxed: the figures below are made with these."""
    set_tax_rate(desk, TaxRate("OH", TaxCategory.ACCESSORY, SEVEN, DAY))
    set_tax_rate(desk, TaxRate("OH", SHADES.tax_category, 0, DAY, exempt_reason="not taxed in this test"), YES)
    return desk


@on_both
def test_a_reason_at_a_rate_of_zero_is_frozen_on_the_line(taxed: Desk) -> None:
    """A later change of the rate leaves it; a line that is taxed has none."""
    order = record_sale(taxed, goods()).order
    set_tax_rate(taxed, TaxRate("OH", SHADES.tax_category, SEVEN, DAY), YES)
    with taxed.reading() as work:
        assert work.orders.get(1) == order
    assert [(line.tax, line.tax_reason) for line in order.lines] == [(168, ""), (0, "not taxed in this test")]


@on_both
def test_an_exempt_order_is_not_taxed_and_says_why_on_each_line(taxed: Desk) -> None:
    """Whatever the rates are; the reason is kept with the order, and no missing rate is pointed out."""
    plan = plan_sale(taxed, goods(tax_exempt=" resale  certificate 77-1042 "))
    assert "TAX-NOT-SET" not in {finding.code for finding in plan.findings}
    order = record_sale(taxed, goods(tax_exempt="resale certificate 77-1042")).order
    assert order.tax_exempt == "resale certificate 77-1042"
    assert [(line.tax_rate, line.tax, line.tax_reason) for line in order.lines] == [(0, 0, order.tax_exempt)] * 2
    with taxed.reading() as work:
        assert work.orders.get(1) == order


@on_both
def test_tax_laid_on_the_seller_is_part_of_the_receipts(taxed: Desk) -> None:
    """It is owed to the state all the same, and an expense (IRS Publication 334, chapter 5)."""
    set_tax_rate(taxed, TaxRate("OH", TaxCategory.ACCESSORY, SEVEN, DAY, ImposedOn.SELLER), YES)
    before = len(postings(taxed))
    order = record_sale(taxed, goods()).order
    ship_order(taxed, 1, "post")
    assert order.lines[0].tax_imposed_on is ImposedOn.SELLER
    posted = {account: amount for _, account, amount in postings(taxed)[before:]}
    assert posted["sales tax payable"] == posted["tax charged as seller"] == -168
    assert posted["taxes and licences"] == 168


@on_both
def test_a_return_is_what_a_pencil_makes_of_the_orders(taxed: Desk) -> None:
    """Three orders of 24.00 taxed and the shades not: two left, one exempt whole, of the other one case is refunded."""
    # The third is cancelled before it left, and is no sale.
    shades = SHADES.price
    record_sale(taxed, goods(payments=(PaymentRequest(2_568, Method.CASH),)))
    record_sale(taxed, goods(tax_exempt="resale certificate"))
    record_sale(taxed, goods())
    for number in (1, 2):
        ship_order(taxed, number, "post")
    cancel_order(taxed, 3, "ordered twice")
    give_refund(taxed, 1, RefundRequest(Method.CASH, "scratched", (RefundedLine(1, 1_200),)))
    record_move(taxed, MoneyMove(DAY, MoveKind.TAX_PAID, CashAccount.BANK, 50, 0, "OH"))
    (due,) = tax_due(taxed, Period(DAY, END))
    assert (due.state, due.first, due.last, due.orders) == ("OH", DAY, END, 2)
    assert due.gross == 2 * (2_400 + shades)
    assert due.exempt == (("not taxed in this test", shades), ("resale certificate", 2_400 + shades))
    assert (due.by_rates, due.difference, due.charged) == (168, 0, 168)
    assert (due.taken_back, due.taxable_taken_back) == (1_200, 1_200)
    assert (due.tax_taken_back, due.paid) == (84, 50)
    assert (due.owed_before, due.entered, due.owed_at_end) == (0, 0, 84 - 50)
    assert (due.taxable, due.net_tax) == (2_400, 84)


def test_what_is_taken_back_counts_on_its_own_day(taxed: Desk) -> None:
    """A refund in April leaves March's figures; April then has nothing sold and a credit."""
    record_sale(taxed, goods(payments=(PaymentRequest(2_568, Method.CASH),)))
    ship_order(taxed, 1, "post")
    (march,) = tax_due(taxed, Period(DAY, END))
    april = later(taxed, date(2026, 4, 2))
    give_refund(april, 1, RefundRequest(Method.CASH, "scratched", (RefundedLine(1, 1_200),)))
    assert tax_due(april, Period(DAY, END)) == (march,)
    (after,) = tax_due(april, Period.of_month(2026, 4))
    assert (after.gross, after.net_tax, after.owed_at_end) == (0, -84, 84)


def test_a_category_without_a_rate_is_told_from_one_at_zero(desk: Desk) -> None:
    """Where the owner set no rate, the return says so."""
    record_sale(desk, OrderRequest(CUSTOMER, (), (AccessoryRequest(CASE.code),), shipping=500))
    ship_order(desk, 1, "post")
    (due,) = tax_due(desk, Period(DAY, END))
    assert ("no rate set", 500 + CASE.price) in due.exempt


def test_a_state_may_be_named_and_days_must_follow(desk: Desk) -> None:
    """A state in which nothing happened has a return of zero; days the wrong way round are refused."""
    assert tax_due(desk, Period(DAY, END)) == ()
    (due,) = tax_due(desk, Period(DAY, END), "pa")
    assert (due.state, due.gross, due.net_tax) == ("PA", 0, 0)
    with pytest.raises(RefusedError, match="on or after it"):
        tax_due(desk, Period(END, DAY))
