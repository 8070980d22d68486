"""What customers owed when the books began: owed by name, no sale, and income on cash alone once it is paid."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.opening_debts import take_over_debt
from shopledger.desk.books.reports import export_period, export_year, year_figures
from shopledger.desk.context import Desk
from shopledger.desk.fixing import what_can_be_done
from shopledger.desk.orders import cancel_order, ship_order, take_payment
from shopledger.desk.payment_corrections import write_rest_off
from shopledger.desk.receipts import issue_receipt
from shopledger.errors import RefusedError
from shopledger.ledger.books.customer_rows import CustomerRow, SalesRow, TaxRow
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.open_rows import OpenKind, OpenRow
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.nexus import NexusRow
from shopledger.ledger.offers import LineKind
from shopledger.ledger.opening_debts import debt_line, is_opening_debt
from shopledger.ledger.orders import Method, Order, PaymentRequest
from shopledger.ledger.payment_corrections import WriteOff
from shopledger.ledger.remedies import Fixable
from shopledger.ledger.settings import Accounting
from shopledger.money.tax import TaxRounding
from tests.desk.books import everything, on_both
from tests.desk.family import later
from tests.shelf import CUSTOMER, HOME

MARCH = Month(2026, 3)
BEGUN = date(2026, 3, 2)


def taken_over(desk: Desk) -> Desk:
    """Take over 120.00 of an invoice of the year before, and come back in April."""
    take_over_debt(desk, CUSTOMER, 12_000, "invoice 88", BEGUN)
    return later(desk, date(2026, 4, 1))


def accounts(desk: Desk) -> dict[Account, int]:
    """Give every account that stands at something."""
    with desk.reading() as work:
        return {account: amount for account, amount in work.balances.all().items() if amount}


@on_both
def test_it_is_owed_and_comes_out_of_the_opening_balances(desk: Desk) -> None:
    """120.00 on both sides, and no sale, no tax and no order of these books in any list."""
    before = accounts(desk).get(Account.OPENING_BALANCES, 0)
    there = taken_over(desk)
    found = accounts(there)
    assert found[Account.RECEIVABLE] == 12_000
    assert found[Account.OPENING_BALANCES] - before == -12_000
    assert not {Account.SALES, Account.SALES_TAX_PAYABLE} & found.keys()
    with there.reading() as work:
        totals = work.reports.totals(MARCH.days)
        assert (totals.orders, totals.net_kept) == (0, 0)
        for record in (SalesRow, TaxRow, CustomerRow, NexusRow):
            assert not [row for row in work.reports.rows(record, MARCH.days) if getattr(row, "orders", 1)]
        (row,) = work.reports.rows(OpenRow, MARCH.days)
    assert (row.kind, row.owed, row.later) == (OpenKind.SHIPPED, 12_000, 0)
    assert prove_books(there).holds


@on_both
def test_it_counts_on_cash_when_it_is_paid_and_on_accrual_never(desk: Desk) -> None:
    """100.00 are paid by check and 20.00 written off: income of 100.00 on cash; on accrual a loss of 20.00."""
    there = taken_over(desk)
    take_payment(there, 1, PaymentRequest(10_000, Method.CHECK, "77"))
    write_rest_off(there, WriteOff(1, "moved away"))
    with there.reading() as work:
        march, april = (work.reports.figures(month.days) for month in (MARCH, Month(2026, 4)))
    assert (march.accrual_result, march.cash_result) == (0, 0)
    assert not any(march.between.values()), "what was owed before lies between no two results"
    assert (april.accrual_result, april.cash_result) == (-2_000, 10_000)
    assert Account.RECEIVABLE not in accounts(there)
    assert prove_books(there).holds


@on_both
def test_the_workbook_of_the_month_adds_up_with_it(desk: Desk, tmp_path: Path) -> None:
    """Every check holds, before it is paid and with something paid."""
    there = taken_over(desk)
    export_period(there, MARCH.days, tmp_path)
    take_payment(there, 1, PaymentRequest(5_000, Method.CASH, day=date(2026, 3, 20)))
    export_period(there, MARCH.days, tmp_path)


@on_both
def test_the_workbook_of_the_year_adds_up_with_it(desk: Desk, tmp_path: Path) -> None:
    """Line 1 on cash is the 50.00 that was paid of it; nothing was sold, and one that was a mistake counts nowhere."""
    there = taken_over(desk)
    export_year(there, Period.of_year(2026), tmp_path)
    take_payment(there, 1, PaymentRequest(5_000, Method.CASH, day=date(2026, 3, 20)))
    take_over_debt(there, CUSTOMER, 700, "invoice 89")
    cancel_order(there, 2, "was paid in December")
    export_year(there, Period.of_year(2026), tmp_path)
    year = year_figures(there, Period.of_year(2026))
    assert [year.schedule(each)["1"] for each in (Accounting.ACCRUAL, Accounting.CASH)] == [0, 5_000]


@on_both
def test_one_that_was_a_mistake_is_cancelled(desk: Desk, tmp_path: Path) -> None:
    """Nothing is owed any more, the opening balances are what they were, and a month later it is no result either."""
    before = accounts(desk)
    there = taken_over(desk)
    cancel_order(there, 1, "was paid in December")
    assert accounts(there) == before
    april = Month(2026, 4).days
    with there.reading() as work:
        assert not any(work.reports.figures(april).between.values())
    export_period(there, april, tmp_path)
    assert prove_books(there).holds


def test_nothing_leaves_for_it_and_no_receipt_is_issued(desk: Desk, tmp_path: Path) -> None:
    """What was sold stands in the books of before, with its receipt."""
    there = taken_over(desk)
    before = everything(there)
    with pytest.raises(RefusedError, match="nothing on it is to be shipped"):
        ship_order(there, 1, "Harrow Post")
    with pytest.raises(RefusedError, match="it was owed when the books began"):
        issue_receipt(there, 1, "", tmp_path)
    assert everything(there) == before


def test_what_can_be_put_right_on_it_is_about_money_alone(desk: Desk) -> None:
    """It is paid, written off or cancelled; nothing is added to it, taken out or priced anew."""
    found = what_can_be_done(taken_over(desk), Fixable.ORDER, 1)
    said = " ".join(remedy.command for remedy in found.remedies)
    assert "payment take 1 --amount 120.00" in said
    assert "payment write-off 1" in said
    assert "sale cancel 1" in said
    assert not any(word in said for word in ("sale add", "take-out", "exchange", "sale price", "sale reduce"))


@pytest.mark.parametrize("amount", [0, -100])
def test_a_debt_of_nothing_is_refused(desk: Desk, amount: int) -> None:
    """A customer who is owed something has a deposit instead."""
    before = everything(desk)
    with pytest.raises(RefusedError, match="it must be more than 0"):
        take_over_debt(desk, CUSTOMER, amount, "invoice 88", BEGUN)
    assert everything(desk) == before


def test_goods_of_the_same_code_are_no_debt() -> None:
    """The owner chooses his codes; an accessory or an extra on a pair that has this one is sold like any other."""
    line = debt_line(12_000, "invoice 88")
    order = Order(1, BEGUN, HOME, (), (line,), TaxRounding.PER_LINE)
    assert is_opening_debt(order)
    for other in (replace(line, kind=LineKind.ACCESSORY), replace(line, pair=1)):
        assert not is_opening_debt(replace(order, lines=(other,)))
