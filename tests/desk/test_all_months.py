"""Whatever happens on whatever day: all months together are the journal's accounts, and each month its own postings."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopledger.desk.books.reports import period_figures
from shopledger.desk.books.stocking import receive_stock
from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.books.customer_rows import MoneyBackRow, RefundRow, SalesRow, TaxRow
from shopledger.ledger.books.figures import PeriodTotals
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.period import Month
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import PAID_BY, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.stock import StockedKind
from tests.desk.books import on_both
from tests.desk.family import later
from tests.desk.test_refunding import balances
from tests.desk.test_shares import DELIVERIES, orders
from tests.shelf import CASE, LARK, SHADES, WREN

pytestmark = pytest.mark.slow

MONTHS = [Month(2026, number) for number in range(3, 13)]
"""Every month that a deed can fall into."""


class Leaves(Enum):
    """When the goods leave of an order that is not cancelled."""

    FIRST = "before it is paid"
    LAST = "after the refunds"
    BETWEEN = "after the payments"
    NEVER = "not yet"


@dataclass(frozen=True)
class Deed:
    """One order, how it was paid, and how it was voided."""

    order: OrderRequest
    after: int
    between: int
    payments: list[tuple[Method, int]]
    cancelled: bool
    refunds: list[tuple[int, int, Method]]
    leaves: Leaves


deeds = st.builds(
    Deed,
    orders,
    st.integers(0, 120),
    st.integers(0, 35),
    st.lists(st.tuples(st.sampled_from(PAID_BY), st.sampled_from([20, 50, 100])), max_size=3),
    st.booleans(),
    st.lists(st.tuples(st.integers(0, 20), st.integers(1, 100), st.sampled_from(Method)), max_size=3),
    st.sampled_from(Leaves),
)


@pytest.fixture
def well_stocked(desk: Desk) -> Desk:
    """Receive enough for every order that may be tried."""
    for kind, goods in ((StockedKind.FRAME, (WREN, LARK)), (StockedKind.ACCESSORY, (CASE, SHADES))):
        for item in goods * DELIVERIES:
            receive_stock(desk, kind, item.code, 180, item.cost)
    return desk


@on_both
@settings(
    max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
@given(days=st.lists(deeds, min_size=1, max_size=4))
def test_all_months_together_are_the_journal_s_accounts(well_stocked: Desk, days: list[Deed]) -> None:
    """However parcels, payments, refunds and cancellations fall, no cent is in two months or in none."""
    for deed in days:
        carry_out(well_stocked, deed)
    totals = [period_figures(well_stocked, month.days)[0].totals for month in MONTHS]
    accounts = balances(well_stocked)

    def balance(*names: str) -> int:
        return sum(accounts.get(name, 0) for name in names)

    counted = sum(each.net_kept + each.tax_kept for each in totals)
    sold = balance("sales", "offers and discounts", "shipping income")
    assert sold + balance("returns and allowances") == -sum(each.net_kept for each in totals)
    assert balance("returns and allowances") == sum(each.refunded_net for each in totals)
    assert balance("sales tax payable") == -sum(each.tax_kept for each in totals)
    assert balance("receivable", "customer prepayments") == counted - sum(each.money_kept for each in totals)
    # Credit in the place of money waits as a deposit.
    assert balance("cash", "card clearing", "bank", "customer deposits") == sum(each.money_kept for each in totals)
    for month, each in zip(MONTHS, totals, strict=True):
        check_month(well_stocked, month, each)


def check_month(desk: Desk, month: Month, totals: PeriodTotals) -> None:
    """One month's rows and postings come to its totals."""
    with desk.reading() as work:
        assert (
            sum(row.net for row in work.reports.rows(SalesRow, month.days)) == totals.net_total - totals.cancelled_net
        )
        assert (
            sum(row.tax for row in work.reports.rows(SalesRow, month.days)) == totals.tax_total - totals.cancelled_tax
        )
        assert sum(row.net for row in work.reports.rows(RefundRow, month.days)) == totals.refunded_net
        back = list(work.reports.rows(MoneyBackRow, month.days))
        assert sum(row.amount + row.to_deposit for row in back) == totals.money_back
        assert sum(row.net_sales for row in work.reports.rows(TaxRow, month.days)) == totals.net_kept
        assert sum(row.net_tax for row in work.reports.rows(TaxRow, month.days)) == totals.tax_kept
        figures = work.reports.figures(month.days)
    posted = figures.posted
    assert figures.accrual_result + sum(figures.between.values()) == figures.cash_result
    assert (posted.net_sales, posted.tax_owed) == (totals.net_kept, totals.tax_kept)
    held = (Account.CASH, Account.BANK, Account.CARD_CLEARING, Account.CUSTOMER_DEPOSITS)
    assert posted.change(*held) == totals.money_kept


def carry_out(desk: Desk, deed: Deed) -> None:
    """Record an order, pay it over some days, let it leave, and take some or all of it back."""

    def leave(when: Leaves) -> None:
        if deed.leaves is when and not deed.cancelled:
            ship_order(later(desk, day), number, "post", without_inspection="a trial")

    day = date(2026, 3, 2) + timedelta(days=deed.after)
    number = number_of(record_sale(later(desk, day), deed.order).order)
    leave(Leaves.FIRST)
    for method, hundredth in deed.payments:
        day += timedelta(days=deed.between)
        if amount := order_account(desk, number).balance * hundredth // 100:
            take_payment(later(desk, day), number, PaymentRequest(amount, method))
    day += timedelta(days=deed.between)
    there = later(desk, day)
    leave(Leaves.BETWEEN)
    if deed.cancelled:
        cancel_order(there, number, "changed their mind")
        return
    lines = order_account(desk, number).order.lines
    for place, hundredth, method in deed.refunds:
        line = 1 + place % len(lines)
        asked = RefundedLine(line, lines[line - 1].net * hundredth // 100)
        # More than was paid, or nothing at all, is refused and stores nothing.
        with suppress(RefusedError):
            give_refund(there, number, RefundRequest(method, "too small", (asked,)))
    leave(Leaves.LAST)
