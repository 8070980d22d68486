"""What was voided counts in the month of its own day, line by line and payment by payment."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.ledger.books.customer_rows import (
    MoneyBackCause,
    MoneyBackRow,
    PaymentRow,
    RefundRow,
    SaleEvent,
    SalesRow,
    TaxRow,
)
from shopledger.ledger.books.figures import PeriodTotals
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.postings import reversing_entry
from shopledger.ledger.corrections import LinePart
from shopledger.ledger.orders import Cancellation, Method, Payment, Refund
from shopledger.store.opening import Ledger
from tests.counted import post_payment, post_refund, post_sale
from tests.documents import named
from tests.shelf import CASE, CUSTOMER, SINGLE, WREN
from tests.store.samples import NOW, OPERATOR, an_order

FEBRUARY, MARCH, APRIL = Month(2026, 2), Month(2026, 3), Month(2026, 4)
TOTAL = 20_574
"""Each order: a frame at 180.00, lenses at 80.00 included, two cases at 24.00 with 1.74 tax."""


@pytest.fixture
def taken_back(furnished: Ledger) -> Ledger:
    """Sell on 28 February and on 2 March; refund of the first on 31 March, take the second back on 1 April."""
    with furnished.writing(OPERATOR, NOW) as work:
        for number, day in enumerate((date(2026, 2, 28), date(2026, 3, 2)), start=1):
            order = post_sale(work, work.orders.add(an_order(day=day)))
            for method, amount, reference in ((Method.CARD, TOTAL - 5_000, "4242"), (Method.CASH, 5_000, "")):
                post_payment(work, Payment(number, day, amount, method, reference), order)
        parts = (LinePart(1, 3_000, 0, 1), LinePart(3, 1_200, 87, 1))
        refund = work.refunds.add(Refund(1, date(2026, 3, 31), Method.CHECK, "1007", "too wide", parts))
        post_refund(work, refund, work.orders.get(1))
        cancellation = work.cancellations.add(Cancellation(2, date(2026, 4, 1), "ordered twice"))
        for number, entry in work.journal.of_documents(tuple(map(named, ("order 2", "payment 3", "payment 4")))):
            work.journal.post(reversing_entry(entry, number, cancellation))
    return furnished


def test_the_months_of_the_sales_stay_as_they_were(taken_back: Ledger) -> None:
    """A cancelled order still counts as sold in its month; what was voided stands in the month it was."""
    sold = (1, 28_400, 8_000, 20_400, 174, TOTAL)
    with taken_back.reading() as work:
        assert work.reports.totals(FEBRUARY.days) == PeriodTotals(*sold)
        march, april = work.reports.totals(MARCH.days), work.reports.totals(APRIL.days)
    assert march == PeriodTotals(*sold, refunds=1, refunded_net=4_200, refunded_tax=87, refunded=4_287)
    assert (march.net_kept, march.tax_kept, march.money_back, march.money_kept) == (16_200, 87, 4_287, 16_287)
    assert april == PeriodTotals(
        0, 0, 0, 0, 0, 0, cancellations=1, cancelled_list=28_400, cancelled_reduction=8_000, cancelled_net=20_400,
        cancelled_tax=174, repaid=TOTAL,
    )  # fmt: skip
    assert (april.net_kept, april.tax_kept, april.money_kept) == (-20_400, -174, -TOTAL)


def test_a_refund_is_given_line_by_line(taken_back: Ledger) -> None:
    """Whose line it was, what of it went back, why, and how many of the goods came back."""
    with taken_back.reading() as work:
        rows = list(work.reports.rows(RefundRow, MARCH.days))
        assert not list(work.reports.rows(RefundRow, FEBRUARY.days))
        assert not list(work.reports.rows(RefundRow, APRIL.days))
    day = date(2026, 3, 31)
    assert rows == [
        RefundRow(day, 1, CUSTOMER, "OH", "frame", WREN.description, "prescription eyewear", 3_000, 0, "check",
                  "too wide", 1),
        RefundRow(day, 1, CUSTOMER, "OH", "accessory", CASE.name, "accessory", 1_200, 87, "check", "too wide", 1),
    ]  # fmt: skip


def test_a_cancelled_order_s_lines_come_below_zero(taken_back: Ledger) -> None:
    """Each line of it once more, turned round, on the day of the cancellation."""
    with taken_back.reading() as work:
        rows = list(work.reports.rows(SalesRow, APRIL.days))
        assert [row.event for row in work.reports.rows(SalesRow, MARCH.days)] == [SaleEvent.SOLD] * 3
    assert [row.net for row in rows] == [-18_000, 0, -2_400]
    assert rows[1] == SalesRow(
        date(2026, 4, 1), 2, CUSTOMER, "OH", "lenses", SINGLE.code, SINGLE.name, -1, -8_000, -8_000, 0,
        "prescription eyewear", 0, SaleEvent.CANCELLED,
    )  # fmt: skip
    assert (rows[2].quantity, rows[2].tax) == (-2, -174)


def test_an_order_taken_back_in_its_own_month_stands_there_twice(taken_back: Ledger) -> None:
    """Sold first, then cancelled, also on one day."""
    day = date(2026, 4, 20)
    with taken_back.writing(OPERATOR, NOW) as work:
        post_sale(work, work.orders.add(an_order(day=day)))
        work.cancellations.add(Cancellation(3, day, "typed twice"))
        rows = [row for row in work.reports.rows(SalesRow, APRIL.days) if row.order_number == 3]
        totals = work.reports.totals(APRIL.days)
    assert [row.event.value for row in rows] == ["sold"] * 3 + ["cancelled"] * 3
    assert (totals.orders, totals.cancellations, totals.net_kept) == (1, 2, -20_400)


def test_money_back_is_apart_from_payments(taken_back: Ledger) -> None:
    """A refund is one row by its own method; a cancellation one for each payment, with the 1.74 of tax they carried."""
    with taken_back.reading() as work:
        march, april = (
            list(work.reports.rows(MoneyBackRow, MARCH.days)),
            list(work.reports.rows(MoneyBackRow, APRIL.days)),
        )
        day = date(2026, 3, 2)
        assert list(work.reports.rows(PaymentRow, MARCH.days)) == [
            PaymentRow(day, 2, CUSTOMER, "card", "4242", TOTAL - 5_000, None, 132),
            PaymentRow(day, 2, CUSTOMER, "cash", "", 5_000, None, 42),
        ]
        assert not list(work.reports.rows(PaymentRow, APRIL.days))
    assert march == [
        MoneyBackRow(date(2026, 3, 31), 1, CUSTOMER, MoneyBackCause.REFUND, "check", "1007", 4_287, tax=87)
    ]
    day, cause = date(2026, 4, 1), MoneyBackCause.CANCELLATION
    assert april == [
        MoneyBackRow(day, 2, CUSTOMER, cause, "card", "4242", TOTAL - 5_000, tax=132),
        MoneyBackRow(day, 2, CUSTOMER, cause, "cash", "", 5_000, tax=42),
    ]


def test_tax_by_state_is_net_of_what_was_taken_back(taken_back: Ledger) -> None:
    """Sold, refunded and cancelled side by side at the rate of the line; only a rate above zero makes a base."""
    with taken_back.reading() as work:
        march, april = list(work.reports.rows(TaxRow, MARCH.days)), list(work.reports.rows(TaxRow, APRIL.days))
    assert march == [
        TaxRow("OH", "accessory", 72_500, 2_400, 174, 1_200, 87),
        TaxRow("OH", "prescription eyewear", 0, 18_000, 0, 3_000),
    ]
    assert [(row.net_sales, row.taxable, row.net_tax) for row in march] == [(1_200, 1_200, 87), (15_000, 0, 0)]
    assert april == [
        TaxRow("OH", "accessory", 72_500, 0, 0, 0, 0, 2_400, 174),
        TaxRow("OH", "prescription eyewear", 0, 0, 0, 0, 0, 18_000, 0),
    ]
    assert [(row.net_sales, row.taxable, row.net_tax) for row in april] == [(-2_400, -2_400, -174), (-18_000, 0, 0)]


def test_the_journal_says_the_same_of_each_month(taken_back: Ledger) -> None:
    """Accounts change by what was posted on the month's days, and by nothing else."""
    with taken_back.reading() as work:
        march, april = work.reports.posted(MARCH.days), work.reports.posted(APRIL.days)
        assert work.reports.posted(Month(2026, 5).days).changes == {}
    assert march.changes == {
        Account.SALES: -28_400,
        Account.DISCOUNTS: 8_000,
        Account.RETURNS: 4_200,
        Account.SALES_TAX_PAYABLE: -87,
        Account.RECEIVABLE: 0,
        Account.CARD_CLEARING: TOTAL - 5_000,
        Account.CASH: 5_000,
        Account.BANK: -4_287,
    }
    assert (march.net_sales, march.tax_owed) == (16_200, 87)
    assert (april.net_sales, april.tax_owed, april.change(Account.CASH)) == (-20_400, -174, -5_000)
